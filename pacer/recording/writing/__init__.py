"""A recording written: one write a record, elsewhere when its file fails, taken up again, mended."""
