"""Which program a summary was made by: another one may come to something else."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

_PACKAGE = Path(__file__).parents[2]

_MADE_BY = (
    *("heat", "trade", "job", "session", "recording", "review"),
    *("run/history/folding.py", "run/history/walk.py", "run/refold.py", "run/reviewing.py"),
    *("screen/words.py", "clock.py", "errors.py", "text.py", "units.py"),
)
"What a recording is read, folded, judged and summed up by."

_NOT_BY = (
    *("job/file/", "job/metal/", "job/sheet/", "recording/exchange/", "recording/writing/"),
    *("review/compare/", "review/report/", "review/what_if", "review/timeline.py"),
    *("review/text/", "review/json_page.py", "review/grid.py"),
    *("review/inspections.py", "review/history/statistics/", "review/history/against.py"),
    *("review/history/lines.py", "review/history/json_page.py", "review/history/where.py"),
)
"""What of it only shows or compares what is found, or writes: no fold imports it, which a test
holds, so that a word of a page costs nobody the folding of ten thousand recordings."""


def rules_version() -> str:
    """Return a hash of all of it, so that nobody has to count versions."""
    found = hashlib.sha256()
    for name in judging():
        found.update(name.encode())
        found.update((_PACKAGE / name).read_bytes())
    return found.hexdigest()


def judging() -> Iterator[str]:
    """Yield each file that a summary depends on, from the package on."""
    for room in _MADE_BY:
        for path in sorted((_PACKAGE / room).rglob("*")) or [_PACKAGE / room]:
            name = path.relative_to(_PACKAGE).as_posix()
            if path.suffix in {".py", ".toml"} and not name.startswith(_NOT_BY):
                yield name
