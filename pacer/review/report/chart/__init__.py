"""Charts of the report: what is drawn, on which scale, and the same as tables."""
