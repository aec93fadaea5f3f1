"""Commands: arguments in, one line an error and an exit code out."""
