"""The append-only log: write, read, mend, import, export. An edge."""
