"""Published and practical facts as TOML rows, each with its source and status."""
