"""Which program a summary was made by: another one may come to something else."""

from __future__ import annotations

import hashlib
from pathlib import Path

_PACKAGE = Path(__file__).parents[2]

_MADE_BY = (
    *("heat", "trade", "job", "session", "recording", "review"),
    *("run/history", "run/refold.py", "run/reviewing.py"),
)
"What a recording is read, folded, judged and summed up by."


def rules_version() -> str:
    """Return a hash of all of it, so that nobody has to count versions."""
    found = hashlib.sha256()
    for room in _MADE_BY:
        for path in sorted((_PACKAGE / room).rglob("*")) or [_PACKAGE / room]:
            if path.suffix in {".py", ".toml"}:
                found.update(path.name.encode())
                found.update(path.read_bytes())
    return found.hexdigest()
