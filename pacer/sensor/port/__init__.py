"""Live ports: opening, reading, losing, finding again."""
