"""`pacer review`: one recording, the same one by other limits, or several side by side."""
