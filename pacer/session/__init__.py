"""The fold: events in, state and cues out. Pure; no clock, port, thread or screen."""
