"""A file written in one step: the old text or the new one, never half of either."""

from __future__ import annotations

import os
import stat
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from pacer.cli.whole_file import write_told, write_whole
from pacer.errors import UserInputError


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    """Line ends are as they are in the text, on every system."""
    path = tmp_path / "page.html"
    write_whole(path, "first, and long enough")
    write_whole(path, "zweite °C\r\n\n")

    assert path.read_bytes() == "zweite °C\r\n\n".encode()
    assert list(path.parent.iterdir()) == [path]


def test_a_byte_order_mark_stays(tmp_path: Path) -> None:
    """Some editors know UTF-8 by it (Unicode, section 23.8: EF BB BF; from memory)."""
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\n")
    write_whole(path, "a = 2\n")

    assert path.read_bytes() == b"\xef\xbb\xbfa = 2\n"


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


@pytest.mark.parametrize("error", [OSError(5, "Input/output error"), KeyboardInterrupt()])
def test_a_write_that_fails_leaves_the_old_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    """At the sync the disk fails, or Ctrl+C is pressed: nothing has changed, nothing is left."""
    path = tmp_path / "page.html"
    path.write_text("old")

    def fail(_descriptor: int) -> None:
        raise error

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(type(error)):
        write_whole(path, "new")
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_text_that_no_file_can_hold_leaves_nothing_behind(tmp_path: Path) -> None:
    """Half a surrogate pair, as from a name that isn't UTF-8."""
    with pytest.raises(UnicodeEncodeError):
        write_whole(tmp_path / "page.html", "\udcff")
    assert list(tmp_path.iterdir()) == []


@contextmanager
def _without_rights_over_all() -> Iterator[None]:
    """Root, who may write anywhere, is somebody else meanwhile."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


@pytest.mark.skipif(sys.platform == "win32", reason="modes of POSIX")
def test_a_write_protected_file_is_left_alone() -> None:
    """As a plain write would leave it, though its folder would let another take its place."""
    # Not pytest's folder: that one is closed to everybody else.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o777)
        protected, open_ = folder / "protected.html", folder / "open.html"
        for path, mode in ((protected, 0o444), (open_, 0o666)):
            path.write_text("old")
            path.chmod(mode)
        with _without_rights_over_all():
            write_whole(open_, "new")
            with pytest.raises(PermissionError):
                write_whole(protected, "new")
            with pytest.raises(UserInputError, match=r"protected\.html: can't be written: "):
                write_told(protected, "new")

        assert (open_.read_text(), protected.read_text()) == ("new", "old")
        assert sorted(folder.iterdir()) == [open_, protected]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names there")
def test_what_is_no_file_is_left_alone(tmp_path: Path) -> None:
    """A pipe, a folder: nothing takes their place, and nobody waits for the pipe's other end."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    for name in ("pipe", "folder"):
        with pytest.raises(UserInputError, match=f"{name}: can't be written: not an ordinary file"):
            write_told(tmp_path / name, "new")


def test_no_folder_is_made_for_it(tmp_path: Path) -> None:
    """One mistyped would be made, and the file never found again."""
    for folder in ("none/deeper", "file"):
        (tmp_path / "file").write_text("")
        with pytest.raises(UserInputError, match="no such folder; make it first"):
            write_told(tmp_path / folder / "job.toml", "new")
    assert list(tmp_path.iterdir()) == [tmp_path / "file"]
