"""The append-only log: its format and its reading; `writing/` writes and mends it, `exchange/` turns it into tables and back. An edge."""
