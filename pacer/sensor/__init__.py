"""Bytes and hands to events: serial lines, files, the practice part. An edge."""
