"""`pacer history` in a folder of made recordings: the page, JSON, tables, mistakes; two at once."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest
from commands import environment, here, pacer
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.clock import BootClock
from pacer.job.job import Job
from pacer.recording.exchange import tables as exported
from pacer.review.history import lines
from pacer.run.history import tables
from pacer.run.history.index import NAME
from pacer.session.events import Outcome

GUIDE = Path(__file__).parent.parent / "pacer" / "guide" / "history.md"


@pytest.fixture
def shop(tmp_path: Path, hot_job: Job, cold_job: Job) -> Path:
    """Fourteen sessions, seven of each outcome but one, one of practice, one file that is none."""
    folder = tmp_path / "shop"
    folder.mkdir()
    for number in range(15):
        job = cold_job if number < 6 else hot_job
        head = head_of(
            job,
            sid=f"{number:016x}",
            wall=f"2026-01-{number + 1:02d}T08:00:00+00:00",
            invented="practice part, seed 1" if number == 14 else "",
        )
        found = Outcome(t_ms=6000, found="crack" if number % 2 else "no crack found")
        end = [found] if number < 13 else []
        write_lines(folder / f"{number:02d}.jsonl", lines_of(head, [*some_events(), *end]))
    (folder / "other.jsonl").write_bytes(b"t_s,temp_c\n")
    return folder


def test_the_page(shop: Path) -> None:
    done = here("history", shop).fine()
    assert done.err == ""
    assert max(map(len, done.out.splitlines())) <= 80
    text = " ".join(done.out.split())
    for words in (
        "2026-01-01 0/40 cold grey iron still air no crack found Test door, cold 00.jsonl: ",
        "2026-01-14 0/39 hot grey iron dry sand - Test bracket, hot 13.jsonl: ",
        "14 sessions; left out: 1 invented (practice; --invented takes them in), 1 called .jsonl "
        "that are no recordings",
        "a crack was found in 6 of 13 (95 %: 19 to 75 %); 1 session without an outcome left out",
        "method: cold 3/6 12-88 % 3/7 10-82 % 1 1",
    ):
        assert words in text
    assert "INVENTED: Test bracket" in here("history", shop, "--invented").fine().out


def test_conditions_and_dates(shop: Path) -> None:
    told = here(
        *("history", shop, "--json", "--where", "outcome=crack"),
        *("--where", "method=hot", "--since", "2026-01-08", "--until", "2026-01-12"),
    ).fine()
    found = json.loads(told.out)
    assert [row["recording"] for row in found["sessions"]] == [
        "07.jsonl",
        "09.jsonl",
        "11.jsonl",
    ]
    assert found["left_out"] == {
        "invented": 1,
        "not_meant": 11,
        "shorter_file": 0,
        "no_recording": 1,
        "unreadable": [],
    }
    assert found["against"] is None, "chosen by outcome"
    hot = json.loads(here("history", shop, "--json", "--where", "method=hot").fine().out)
    assert (hot["against"]["sessions"]["cracked"], hot["against"]["sessions"]["of"]) == (3, 7)


def test_all_lists_what_the_page_leaves_out(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lines, "MOST", 2)
    page, whole = (here("history", shop, *more).fine().out for more in ((), ("--all",)))
    assert "14 sessions, the newest 2 listed (--all lists every one); left out" in page
    assert [word for word in page.split() if word.endswith(".jsonl:")] == ["12.jsonl:", "13.jsonl:"]
    assert sum(word.endswith(".jsonl:") for word in whole.split()) == 14


@pytest.mark.parametrize(
    ("args", "line"),
    [
        (["--where", "cover=sand"], 'pacer: --where cover="sand": there are dry sand, vermiculite, '
         "ceramic blanket, still air, furnace"),
        (["--where", "finding=rust"], None),
        (["--since", "1.3.2026"], 'pacer: --since "1.3.2026": expected a date such as 2026-03-31'),
    ],
)  # fmt: skip
def test_a_mistake_is_one_line(shop: Path, args: list[str], line: str | None) -> None:
    done = here("history", shop, *args)
    assert (done.code, done.out) == (2, "")
    assert len(done.err.splitlines()) == 1
    assert line is None or done.err == line + "\n"


def test_a_folder_that_is_none(shop: Path) -> None:
    assert here("history", shop / "none").err == f"pacer: {shop}/none: no such folder\n"
    assert here("history", shop / "00.jsonl").err == f"pacer: {shop}/00.jsonl: not a folder\n"


def test_a_folder_of_no_name_and_one_too_long(shop: Path) -> None:
    """The first is not the settings' folder; neither is a traceback."""
    assert here("history", "").err == 'pacer: "": expected a folder of recordings\n'
    assert here("history", "a" * 5000).err.endswith(": no such folder\n")


def test_before_the_first_recording_it_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    done = here("history")
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        f"pacer: {tmp_path}/recordings: no recordings yet; pacer run JOB makes the first, or name "
        "another folder: pacer history FOLDER\n"
    )
    (tmp_path / "recordings").mkdir()
    assert "0 sessions" in here("history").fine().out


@pytest.mark.parametrize(
    ("out", "said"),
    [
        ("", '--parquet "": expected a folder to write to'),
        ("mine.txt", "--parquet: mine.txt: not a folder"),
        ("mine.txt/tables", "--parquet: mine.txt/tables: Not a directory"),
    ],
)
def test_tables_that_no_folder_can_hold_are_told_before_anything_is_read(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, out: str, said: str
) -> None:
    """Nothing is written, and no recording folded: there is no index yet."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.txt").write_text("mine")
    done = here("history", shop, "--parquet", out)
    assert (done.code, done.out, done.err) == (2, "", f"pacer: {said}\n")
    assert {path.name for path in tmp_path.iterdir()} <= {"shop", "mine.txt", "home"}
    assert not (tmp_path / "home" / NAME).exists()


def test_without_a_folder_it_is_the_settings(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "home"))
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "settings.toml").write_text(f'recordings = "{shop}"\nunits = "us"\n')
    out = here("history").fine().out
    assert "14 sessions" in out
    assert (tmp_path / "home" / NAME).exists()


def test_a_damaged_index_is_never_an_error(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    first = here("history", shop).fine()
    (tmp_path / NAME).write_bytes(b"\xff" * 20_000)
    assert here("history", shop).fine() == first
    (tmp_path / NAME).unlink()
    (tmp_path / NAME).mkdir()
    without = here("history", shop).fine()
    assert without.out == first.out
    assert without.err.startswith("pacer: note: done without the index: ")
    assert len(without.err.splitlines()) == 1


def _keys(found: Any) -> set[str]:
    if isinstance(found, dict):
        own = {str(key) for key in found}
        return own.union(*(_keys(value) for value in found.values()))
    if isinstance(found, list):
        return set().union(*(_keys(value) for value in found))
    return set()


def test_the_guide_names_every_key_and_column(shop: Path) -> None:
    text = GUIDE.read_text("utf-8")
    told = json.loads(here("history", shop, "--json", "--invented").fine().out)
    columns = {column.name for table in tables.TABLES.values() for column in table}
    lacking = {key for key in _keys(told) | columns if f"`{key}`" not in text}
    assert not lacking


def test_the_tables_hold_what_the_json_does(shop: Path, tmp_path: Path) -> None:
    out = tmp_path / "tables"
    assert "14 session(s)" in here("history", shop, "--parquet", out).fine().out
    told = json.loads(here("history", shop, "--json").fine().out)["sessions"]
    summaries = pq.read_table(out / "summaries.parquet").to_pylist()
    findings = pq.read_table(out / "findings.parquet").to_pylist()
    assert [row["session"] for row in summaries] == [row["session"] for row in told]
    for row, session in zip(summaries, told, strict=True):
        assert row["outcome"] == session["outcome"]
        assert {name: row[name] for name in session["numbers"]} == session["numbers"]
    in_order = [(s["session"], f["name"], f["words"]) for s in told for f in s["findings"]]
    assert [(f["session"], f["name"], f["words"]) for f in findings] == in_order
    schema = pq.read_schema(out / "summaries.parquet")
    assert schema.field("cooling_c_h").metadata[b"unit"] == b"K/h"
    assert not set(tables.TABLES) & set(exported.TABLES), "both exports may stand in one folder"
    again = here("history", shop, "--parquet", out)
    assert (again.code, again.err) == (2, f"pacer: {out}: summaries.parquet is there already\n")


class Terminal(io.StringIO):
    """Takes what is written as a terminal does."""

    def isatty(self) -> bool:
        """Say so."""
        return True


def test_progress_is_told_on_a_terminal_and_wiped(shop: Path) -> None:
    terminal = Terminal()
    with contextlib.redirect_stderr(terminal), contextlib.redirect_stdout(io.StringIO()):
        assert main(["history", str(shop)]) == 0
    *shown, wiped, end = terminal.getvalue().split("\r")[1:]
    assert shown[0] == "reading recordings: 1 of 16; Ctrl-C keeps what was read"
    assert shown[-1].startswith("reading recordings: 16 of 16;")
    assert (wiped.strip(), end) == ("", "")


@pytest.mark.slow
def test_two_at_once(shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both fold the same folder into one index."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    both = [_started(shop, stdout=subprocess.PIPE) for _ in range(2)]
    told = [process.communicate(timeout=60) for process in both]
    assert [process.returncode for process in both] == [0, 0]
    assert told[0] == told[1] == (here("history", shop).out, "")


@pytest.mark.slow
def test_ctrl_c_while_workers_fold_ends_it_without_a_word(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    process = _started(root / "recordings", start_new_session=True)
    clock = BootClock()
    while not (tmp_path / NAME).exists() and clock.now_s() < 30.0:
        pass
    # As a terminal does: to the program and to its workers.
    os.killpg(process.pid, signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (130, "")


def _started(folder: Path, **how: Any) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "pacer", "history", str(folder)]
    return subprocess.Popen(command, env=environment(), stderr=subprocess.PIPE, text=True, **how)


@pytest.mark.slow
def test_a_history_that_the_index_holds_loads_neither_numpy_nor_pint(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    first = pacer("history", shop).fine()
    script = (
        "import sys; from pacer.cli.main import main; main(sys.argv[1:]); "
        "print({'numpy', 'pint', 'textual', 'pyarrow', 'scipy'} & set(sys.modules), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, "history", str(shop)],
        env=environment(),
        capture_output=True,
        text=True,
        check=True,
    )
    assert (done.stdout, done.stderr) == (first.out, "set()\n")
