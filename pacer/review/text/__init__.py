"""The review as text for a terminal."""
