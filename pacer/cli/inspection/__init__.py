"""`pacer inspect`: the looks at a finished repair, written into its recording."""
