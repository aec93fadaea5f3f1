"""The job file: keys as data, TOML text and quantities to a checked `Job`."""
