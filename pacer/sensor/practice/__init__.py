"""A simulated casting and a welder who hears the cues: `practice:`. Opened by `source.open_practice`."""
