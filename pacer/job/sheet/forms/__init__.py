"""The sheet as text, JSON and a page to print."""
