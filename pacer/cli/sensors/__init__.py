"""`pacer sensors`: what is plugged in, what it says, and the field check."""
