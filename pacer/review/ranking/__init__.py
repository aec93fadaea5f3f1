"""How findings are put in order: the cracks on record, the points, what speaks against each."""
