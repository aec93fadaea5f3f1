"""Old advice that harms: asbestos is named only as the poison it is, anywhere in the package."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

SPOKEN_OF = re.compile(r"asbestos", re.IGNORECASE)
WARNED = re.compile(
    r"\b(may|can) hold asbestos|poison|never a means|never (used|recommended)", re.IGNORECASE
)


def _said(root: Path) -> list[tuple[str, str]]:
    """Every sentence or row of the package, its manual and sample jobs that names it."""
    found = []
    folders = (root / "pacer", root / "configs")
    for path in sorted(item for folder in folders for item in folder.rglob("*")):
        if path.suffix not in {".py", ".toml", ".md", ".txt", ".json", ".tcss"}:
            continue
        lines = path.read_text("utf-8").splitlines()
        found += [
            (f"{path.relative_to(root)}:{n}", line)
            for n, line in enumerate(lines, start=1)
            if SPOKEN_OF.search(line)
        ]
    return found


def test_it_is_never_named_but_to_warn_of_it(root: Path) -> None:
    """Issue: "Old advice that is dangerous (asbestos) never appears"; row X13 warns of it."""
    said = _said(root)

    assert said
    for place, line in said:
        assert WARNED.search(line), f"{place}: {line.strip()}"


@pytest.mark.parametrize(
    "advice",
    ["wrap it in asbestos paper", "Asbestos: cover the casting and let it cool slowly"],
)
def test_the_guard_would_find_such_advice(advice: str) -> None:
    """A handbook of 1919 says so; the guard must not let it pass."""
    assert SPOKEN_OF.search(advice)
    assert not WARNED.search(advice)
