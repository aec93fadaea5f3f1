"""pacer: live pacing for a welder mending a cracked iron casting."""

__version__ = "0.1.0"
