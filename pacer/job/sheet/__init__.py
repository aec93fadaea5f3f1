"""The plan as a sheet: sections of entries and steps, printed as text, JSON and a page to hang up."""
