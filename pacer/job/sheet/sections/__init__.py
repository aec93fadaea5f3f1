"""The sections of the plan's sheet, a module each."""
