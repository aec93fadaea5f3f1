"""A file written in one step: the old text or the new one, never half of either."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from pacer.cli.whole_file import write_whole


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    """A missing folder is made."""
    path = tmp_path / "new" / "page.html"
    write_whole(path, "first, and long enough")
    write_whole(path, "zweite °C")

    assert path.read_text(encoding="utf-8") == "zweite °C"
    assert list(path.parent.iterdir()) == [path]


@pytest.mark.skipif(sys.platform == "win32", reason="modes of POSIX")
def test_what_may_be_done_with_a_file_stays_as_it_was(tmp_path: Path) -> None:
    """A new one is made like any other file, by the process's mask."""
    path, plain = tmp_path / "page.html", tmp_path / "plain"
    plain.write_text("")
    write_whole(path, "a")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)

    path.chmod(0o640)
    write_whole(path, "b")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """Settings and job files are often links into somebody's own folder."""
    path, link = tmp_path / "page.html", tmp_path / "link.html"
    path.write_text("old")
    link.symlink_to(path)
    write_whole(link, "new")

    assert link.is_symlink()
    assert path.read_text() == "new"


def test_a_write_that_fails_leaves_the_old_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk fails at the sync: nothing has changed, nothing is left."""
    path = tmp_path / "page.html"
    path.write_text("old")

    def fail(_descriptor: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="Input/output error"):
        write_whole(path, "new")
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]
