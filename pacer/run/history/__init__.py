"""The sessions of a folder: found, folded in several processes, kept in an index."""
