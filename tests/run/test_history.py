"""The sessions of a folder: what is found, what the index keeps, and that nothing of it hurts."""

from __future__ import annotations

import ast
import os
import resource
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from commands import ROOT, environment
from written import head_of, lines_of, some_events, write_lines

from pacer.job.job import Job
from pacer.review.history.gathered import Gathered
from pacer.run.history import folding, rules
from pacer.run.history import gather as gathering
from pacer.run.history.folding import Folded, folded
from pacer.run.history.gather import gather
from pacer.run.history.index import AT_ONCE, NAME, Index
from pacer.run.history.rules import judging, rules_version
from pacer.run.history.walk import Seen, files
from pacer.session.events import Outcome


@pytest.fixture
def folder(tmp_path: Path, hot_job: Job) -> Path:
    """Three sessions in two folders."""
    found = tmp_path / "shop"
    (found / "2026").mkdir(parents=True)
    for name, sid, wall in (("b", "b", "02"), ("a", "a", "03"), ("2026/c", "c", "01")):
        head = head_of(hot_job, sid=sid * 16, wall=f"2026-01-{wall}T08:00:00+00:00")
        write_lines(found / f"{name}.jsonl", lines_of(head, some_events()))
    return found


class Counting:
    """Gathers a folder with an index, and counts what was folded anew."""

    def __init__(self, folder: Path, index: Path, rules: str = "rules") -> None:
        self.folder = folder
        self.index = index
        self.rules = rules
        self.trouble = ""

    def __call__(self) -> tuple[int, Gathered]:
        new = 0

        def told(done: int, of: int) -> None:
            nonlocal new
            new = done

        index = Index(self.index, self.rules)
        found = gather(self.folder, index, told)
        self.trouble = index.trouble
        return new, found


@pytest.fixture
def look(folder: Path, tmp_path: Path) -> Counting:
    """Gathers that folder; its index is in a home not made yet."""
    return Counting(folder, tmp_path / "home" / NAME)


def _names(found: Gathered) -> list[str]:
    return [row.path for row in found.rows]


def test_sessions_come_in_the_order_they_were_opened(look: Counting) -> None:
    new, found = look()
    assert (new, _names(found)) == (3, ["2026/c.jsonl", "b.jsonl", "a.jsonl"])
    assert [row.session.sid[0] for row in found.rows] == ["c", "b", "a"]


def test_what_the_index_holds_is_what_folding_gives(look: Counting) -> None:
    first, again = look(), look()
    assert (first[0], again[0]) == (3, 0)
    assert again[1] == first[1]


def test_a_file_changed_added_or_gone_is_noticed(
    look: Counting, folder: Path, hot_job: Job
) -> None:
    look()
    head = head_of(hot_job, sid="a" * 16, wall="2026-01-03T08:00:00+00:00")
    lines = lines_of(head, [*some_events(), Outcome(t_ms=6000, found="crack")])
    write_lines(folder / "a.jsonl", lines)
    write_lines(folder / "d.jsonl", lines_of(head_of(hot_job, sid="d" * 16), some_events()))
    (folder / "b.jsonl").unlink()
    new, found = look()
    assert new == 2
    assert _names(found) == ["2026/c.jsonl", "d.jsonl", "a.jsonl"]
    assert [row.session.became.word for row in found.rows] == ["unknown", "unknown", "crack"]
    kept = sqlite3.connect(look.index).execute("SELECT path FROM files").fetchall()
    assert {os.path.basename(path) for (path,) in kept} == {b"a.jsonl", b"c.jsonl", b"d.jsonl"}


def test_the_same_size_written_later_is_another_file(look: Counting, folder: Path) -> None:
    look()
    path = folder / "a.jsonl"
    mtime_ns = path.stat().st_mtime_ns
    os.utime(path, ns=(mtime_ns, mtime_ns + 1))
    assert look()[0] == 1


def test_another_program_folds_anew_and_another_folder_is_left_alone(
    look: Counting, folder: Path
) -> None:
    look()
    inner = Counting(folder / "2026", look.index)
    assert inner()[0] == 0
    assert look()[0] == 0
    look.rules = "others"
    assert look()[0] == 3


def test_the_rules_are_those_of_every_file_that_judges(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert rules_version() == rules_version()
    judges = ("session/fold.py", "trade/iron.toml", "run/refold.py", "run/reviewing.py")
    showing = ("guide/start.md", "review/report/page.py", "review/history/lines.py")
    # Each file that is named for itself is there as well.
    named = [name for name in rules._MADE_BY if name.endswith(".py")]
    for name in (*judges, *showing, *named):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("1")
    monkeypatch.setattr(rules, "_PACKAGE", tmp_path)
    versions = [rules_version()]
    for name in judges:
        (tmp_path / name).write_text("2")
        versions.append(rules_version())
    assert len(set(versions)) == 1 + len(judges)
    for name in showing:
        (tmp_path / name).write_text("2")
    assert rules_version() == versions[-1]


def _imported(path: Path) -> Iterator[Path]:
    """Yield every file of the program that a file of it imports, at its top or in a function."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        for name in names:
            file = ROOT.joinpath(*name.split(".")).with_suffix(".py")
            if name.startswith("pacer.") and file.exists():
                yield file


def test_no_file_that_a_fold_imports_is_left_out_of_the_rules() -> None:
    """Followed from the fold through every import; the rules name no file that is gone."""
    seen: set[Path] = set()
    waiting = [Path(folding.__file__)]
    while waiting:
        file = waiting.pop()
        if file not in seen:
            seen.add(file)
            waiting += _imported(file)
    judged = set(judging())
    names = {file.relative_to(ROOT / "pacer").as_posix() for file in seen}
    assert len(names) > 100
    assert names <= judged
    assert all((ROOT / "pacer" / name).is_file() for name in judged)
    files_now = {path.relative_to(ROOT / "pacer").as_posix() for path in ROOT.rglob("pacer/**/*.*")}
    for out in rules._NOT_BY:
        assert any(name.startswith(out) for name in files_now), out


def _older(path: Path) -> None:
    path.unlink()
    with sqlite3.connect(path) as db:
        db.execute("CREATE TABLE files (path TEXT)")
        db.execute("PRAGMA user_version = 0")
    db.close()


def _misnamed(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("ALTER TABLE files RENAME COLUMN body TO what")
    db.close()


def _flipped(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("UPDATE files SET body = replace(CAST(body AS TEXT), 'Test', 'Best')")
        db.execute("UPDATE files SET body = CAST(body AS BLOB)")
    db.close()


@pytest.mark.parametrize(
    "harm",
    [
        lambda path: path.unlink(),
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(b"no database at all, whatever its name says" * 50),
        lambda path: path.write_bytes(path.read_bytes()[:5000]),
        lambda path: path.write_bytes(path.read_bytes()[:4096] + bytes(8192)),
        _older,
        _misnamed,
        _flipped,
    ],
    ids=["gone", "empty", "noise", "cut", "zeros", "older", "misnamed", "flipped"],
)
def test_an_index_that_is_no_good_is_made_anew(look: Counting, harm: object) -> None:
    """The same answer as without it, and the next time nothing is folded."""
    whole = look()[1]
    assert callable(harm)
    harm(look.index)
    assert look() == (3, whole)
    assert look.trouble == ""
    assert look() == (0, whole)


def test_a_locked_index_is_done_without_and_left_alone(
    look: Counting, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pacer.run.history import index

    monkeypatch.setattr(index, "WAITS_S", 0.05)
    whole = look()[1]
    other = sqlite3.connect(look.index, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    assert look() == (3, whole)
    assert "locked" in look.trouble
    other.execute("ROLLBACK")
    other.close()
    assert look() == (0, whole)


def test_an_index_that_cannot_be_is_done_without(look: Counting, tmp_path: Path) -> None:
    """A file where its folder should be; a folder in its place."""
    (tmp_path / "file").write_text("")
    for place in (tmp_path / "file" / NAME, tmp_path):
        look.index = place
        assert look()[0] == 3
        assert look.trouble
    assert tmp_path.is_dir()


def test_on_a_full_disk_it_is_done_without(look: Counting, folder: Path, hot_job: Job) -> None:
    """A limit on file size stands for the full disk: what is there is read, no more is kept."""
    look()
    write_lines(folder / "d.jsonl", lines_of(head_of(hot_job, sid="d" * 16), some_events()))
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, hard))
    try:
        new, found = look()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert (new, len(found.rows)) == (1, 4)
    assert look.trouble
    assert look()[0] == 1
    assert look()[0] == 0


def test_two_at_once_lose_nothing(look: Counting, folder: Path) -> None:
    """Both read an empty index, both write: the second finds all of it there."""
    one, two = Index(look.index, "rules"), Index(look.index, "rules")
    assert one.known(folder) == two.known(folder) == {}
    all_files = list(files(folder, []))
    for index, some in ((one, all_files[:2]), (two, all_files[1:])):
        for file in some:
            index.keep(file, folding.fold(file.path))
    one.write()
    two.write()
    one.close()
    two.close()
    assert look()[0] == 0


def test_a_halt_in_between_keeps_what_was_done(
    look: Counting, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Halt(KeyboardInterrupt):
        """Ctrl-C after the second."""

    def two(new: list[Seen]) -> Iterator[tuple[Seen, Folded]]:
        yield from folded(new[:2])
        raise Halt

    monkeypatch.setattr(gathering, "folded", two)
    with pytest.raises(Halt):
        look()
    monkeypatch.undo()
    assert look()[0] == 1


@pytest.mark.slow
def test_workers_come_to_the_same(look: Counting, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = look()[1]
    monkeypatch.setattr(folding, "LITTLE", 0)
    look.rules = "others"
    assert look() == (3, whole)


def test_a_worker_that_is_killed_is_told_in_one_line(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pacer.errors import RecordingError

    monkeypatch.setattr(folding, "LITTLE", 0)
    with pytest.raises(RecordingError, match="what was folded is kept: start it again"):
        list(folded(list(files(folder, [])), fold=killed))


def killed(path: str) -> Folded:
    """End this process as the system does for want of memory."""
    os.kill(os.getpid(), signal.SIGKILL)
    return Folded()


def test_no_worker_outlives_a_parent_that_is_killed(folder: Path, tmp_path: Path) -> None:
    """A worker holds the output open that is read to its end here: one that stays is a time-out."""
    script = (
        "import os, signal\n"
        "from pathlib import Path\n"
        "from pacer.run.history import folding, walk\n"
        "if __name__ == '__main__':\n"
        "    folding.LITTLE = 0\n"
        f"    some = list(walk.files(Path({str(folder)!r}), []))\n"
        "    print(next(folding.folded(some, fold=os.path.getsize))[1], flush=True)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    path = tmp_path / "parent.py"
    path.write_text(script)
    done = subprocess.run(
        [sys.executable, path], env=environment(), capture_output=True, text=True, timeout=30
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert int(done.stdout) > 0


def test_a_hostile_folder_hides_no_session(
    look: Counting, folder: Path, hot_job: Job, tmp_path: Path
) -> None:
    """Everything that a folder can hold besides recordings, and what is left of damaged ones."""
    good = (folder / "a.jsonl").read_bytes()
    (folder / "folder.jsonl").mkdir()
    (folder / "folder.jsonl" / "loop").symlink_to(folder, target_is_directory=True)
    (folder / "round.jsonl").symlink_to("round.jsonl")
    (folder / "twice.jsonl").symlink_to("a.jsonl")
    (folder / "empty.jsonl").write_bytes(b"")
    (folder / "other.jsonl").write_bytes(b'{"temperature": 20}\n')
    (folder / "noise.jsonl").write_bytes(bytes(range(256)) * 40)
    (folder / "notes.txt").write_text("not called so")
    os.mkfifo(folder / "pipe.jsonl")
    (folder / "headless.jsonl").write_bytes(good[:200] + b"#" + good[201:])
    (folder / os.fsdecode(b"bad\xff\x1b[2J.jsonl")).write_bytes(
        b"".join(lines_of(head_of(hot_job, sid="e" * 16), some_events())[:-4]) + b"torn"
    )
    _, found = look()
    assert [row.session.sid[0] for row in found.rows] == ["c", "e", "b", "a"]
    damaged = found.rows[1]
    assert damaged.path.isprintable()
    assert not damaged.session.sound
    assert (found.others, found.same) == (3, 1)
    assert [line.rsplit("/", 1)[1].split(":")[0] for line in found.unreadable] == [
        "round.jsonl",
        "headless.jsonl",
    ]
    assert look() == (1, found), "only what a person may yet mend is looked at again"


def test_what_may_not_be_read_is_told_and_read_once_it_may(look: Counting, folder: Path) -> None:
    """Leave changes neither size nor time of a file, so that a refusal is never kept."""
    gone = folding.fold(str(folder / "gone.jsonl"))
    assert gone.why == f"{folder}/gone.jsonl: cannot be opened: No such file or directory"
    assert not gone.lasting
    assert not gone.foreign
    if os.geteuid() == 0:
        # Root may read anything.
        return
    (folder / "a.jsonl").chmod(0)
    (folder / "2026").chmod(0)
    _, found = look()
    assert _names(found) == ["b.jsonl"]
    assert len(found.unreadable) == 2
    (folder / "2026").chmod(0o700)
    (folder / "a.jsonl").chmod(0o600)
    assert len(look()[1].rows) == 3


def test_of_a_moved_session_the_longest_file_counts(
    look: Counting, folder: Path, hot_job: Job
) -> None:
    head = head_of(hot_job, sid="a" * 16, wall="2026-01-03T08:00:00+00:00")
    lines = lines_of(head, some_events(40))
    write_lines(folder / "a-2.jsonl", lines)
    write_lines(folder / "2026" / "a.jsonl", lines[:5])
    _, found = look()
    assert (found.same, _names(found)[-1]) == (2, "a-2.jsonl")


def test_rows_are_written_a_few_at_a_time(look: Counting, folder: Path, hot_job: Job) -> None:
    """A kill costs some, not all."""
    index = Index(look.index, "rules")
    index.known(folder)
    one = folding.fold(str(folder / "a.jsonl"))
    for number in range(AT_ONCE + 3):
        index.keep(Seen(str(folder / f"{number}.jsonl"), 1, number), one)
    (count,) = sqlite3.connect(look.index).execute("SELECT count(*) FROM files").fetchone()
    assert count == AT_ONCE
    index.close()


def test_a_summary_goes_through_the_index_whole(folder: Path) -> None:
    whole = folding.fold(str(folder / "a.jsonl"))
    assert whole.summary is not None
    assert msgspec.json.decode(msgspec.json.encode(whole), type=Folded) == whole


def test_the_root_holds_this_checkout() -> None:
    """`rules_version` looks where the program is."""
    assert rules._PACKAGE == ROOT / "pacer"
