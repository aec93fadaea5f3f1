"""What is plugged in and what it says; how good it is."""
