"""Two or more recordings side by side; a difference between them proves no cause."""
