"""`pacer outcome`: what became of a repair, added to a recording at any later date."""

from __future__ import annotations

import hashlib
import json
import os
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from commands import here, pacer, told
from fakes import QuietDisk
from terminal_answers import answering
from written import head_of, lines_of, some_events, welded, write_lines

from pacer.cli import outcome_asked
from pacer.cli.main import main
from pacer.cli.outcome_answers import WORDS
from pacer.cli.repair_answers import sha256_of
from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.afterwards import append_afterwards, beads_in
from pacer.run.opening import unfinished
from pacer.run.refold import refold
from pacer.session.events import Act, Outcome, Reading
from pacer.units import Shown

CLEAR = Outcome(t_ms=0, found="no crack found", wall="2026-03-04T10:00:00.000+00:00")


@pytest.fixture
def record(hot_job: Job, tmp_path: Path) -> Path:
    """A recording that was closed."""
    return write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), some_events()))


def outcomes(path: Path) -> list[Outcome]:
    """Return what stands in a file, which must be sound and sealed."""
    recording = Recording(path)
    found = [event for event in recording.events() if isinstance(event, Outcome)]
    assert recording.damage.sound, recording.damage.lines
    return found


def test_nothing_is_ever_said_that_sounds_like_a_verdict(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The program says what a look found, never that a part is sound or safe."""
    _, out, _ = told(["outcome", str(record), "--found", "no crack found"], capsys)
    main(["review", str(record)])

    words = (out + capsys.readouterr().out).casefold()
    assert not {"sound", "safe", "passed", "good"} & set(words.replace(",", " ").split())


def test_all_that_is_known_of_a_crack_is_kept_and_read_back(
    record: Path, tmp_path: Path, hot_job: Job, capsys: pytest.CaptureFixture[str]
) -> None:
    """400 h are 1,440,000 s; the photo's SHA-256 is that of its bytes; the path is not kept."""
    path = write_lines(tmp_path / "b.jsonl", lines_of(head_of(hot_job), welded()))
    photo = tmp_path / "foot.jpg"
    photo.write_bytes(b"not really a picture" * 10_000)
    args = ["--found", "CRACK", "--service", "400h", "--where", "heat affected zone"]
    args += ["--runs", "along", "--at", "stop_hole", "--bead", "1", "--photo", str(photo)]
    code, out, _ = told(
        ["outcome", str(path), *args, "--text", "by the \x1b[2Jowner", "--json"], capsys
    )

    assert code == 0
    said = json.loads(out)
    assert said["service_s"] == 400 * 3600
    assert said["where"] == "heat-affected zone"
    assert (said["when"], said["at"], said["bead"]) == ("in service", "stop hole", 1)
    assert said["photo"] == "foot.jpg"
    assert said["photo_sha256"] == hashlib.sha256(photo.read_bytes()).hexdigest()
    assert said["text"].isprintable()
    assert str(tmp_path) not in path.read_text("utf-8")

    main(["review", str(path), "--json"])
    assert json.loads(capsys.readouterr().out)["outcomes"] == [said]


def test_later_outcomes_follow_and_change_nothing(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No crack by the first look, cracked in service: both stay, the first one's bytes too."""
    told(["outcome", str(record), "--found", "no crack found"], capsys)
    first = record.read_bytes()
    told(["outcome", str(record), "--found", "crack", "--when", "in service"], capsys)

    assert record.read_bytes().startswith(first)
    assert [found.found for found in outcomes(record)] == ["no crack found", "crack"]


def test_session_time_does_not_go_on_for_an_outcome(hot_job: Job, tmp_path: Path) -> None:
    """Interrupted in a cool-down and looked at two days later: state and cues are as before.

    So nothing that is due in those two days fires, and the audit finds every cue as it was.
    """
    events = [
        *welded(),
        Act(t_ms=130_000, deed="finish", by="script"),
        Act(t_ms=131_000, deed="covered", by="script"),
        Reading(t_ms=140_000, raw=(250.0,), status="ok"),
    ]
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events))
    before = refold(head_of(hot_job), Recording(path).events())
    stopped = unfinished(path)

    append_afterwards(Recording(path), [CLEAR])
    recording = Recording(path)
    after = refold(recording.head, recording.events())
    assert (after.state, after.cues) == (before.state, before.cues)
    assert after.last_ms == before.last_ms == 140_000
    # Taken up again, the time nobody watched begins at the last reading, not at the outcome.
    assert (unfinished(path).wall, unfinished(path).last_s) == (stopped.wall, 140.0)
    assert not recording.damage.ended


def test_a_recording_with_a_torn_tail_takes_an_outcome_all_the_same(
    hot_job: Job, tmp_path: Path
) -> None:
    """Killed while it wrote: the torn bytes stay where they are, the outcome comes after."""
    lines = lines_of(head_of(hot_job), some_events()[:-1])
    torn = b"".join(lines) + lines[-1][:20]
    path = tmp_path / "a.jsonl"
    path.write_bytes(torn)

    append_afterwards(Recording(path), [CLEAR])
    assert path.read_bytes().startswith(torn)
    assert len(outcomes(path)) == 1


class _FullFor(QuietDisk):
    """Full for every file but those whose name `lets`."""

    def __init__(self, lets: Callable[[str], bool]) -> None:
        super().__init__()
        self._lets = lets
        self._names: dict[int, str] = {}

    def create(self, path: Path) -> int:
        if not self._lets(path.name):
            raise OSError(28, os.strerror(28))
        fd = super().create(path)
        self._names[fd] = path.name
        return fd

    def write(self, fd: int, line: bytes) -> int:
        if fd not in self._names:
            raise OSError(28, os.strerror(28))
        return super().write(fd, line)


def test_an_outcome_that_reaches_no_disk_is_told(record: Path) -> None:
    """A full disk: one line with the cause, the recording as it was."""
    before = record.read_bytes()
    with pytest.raises(RecordingError, match="the outcome is not written down"):
        append_afterwards(Recording(record), [CLEAR], disk=_FullFor(lambda name: False))

    assert record.read_bytes() == before


def test_where_the_file_takes_no_more_all_of_it_goes_elsewhere(record: Path) -> None:
    """The whole session and its outcome in a new file; which one is returned."""
    before = record.read_bytes()
    written = append_afterwards(Recording(record), [CLEAR], disk=_FullFor(lambda name: True))

    assert written.path != record
    assert record.read_bytes() == before
    assert written.path.read_bytes().startswith(before)
    assert len(outcomes(written.path)) == 1


def test_the_last_beads_number_is_known(hot_job: Job, tmp_path: Path, record: Path) -> None:
    """One bead in the one, none in the other."""
    path = write_lines(tmp_path / "b.jsonl", lines_of(head_of(hot_job), welded()))

    assert beads_in(Recording(path)) == 1
    assert beads_in(Recording(record)) == 0


def test_a_photo_is_hashed_in_pieces(tmp_path: Path) -> None:
    """The three-letter example of FIPS 180-4's companion: SHA-256 of "abc" (from memory)."""
    photo = tmp_path / "abc.jpg"
    photo.write_bytes(b"abc")

    assert sha256_of(photo) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def ask(path: Path) -> dict[str, Any] | None:
    """Ask about a recording."""
    told = outcome_asked.asked(Recording(path), Shown())
    return None if told is None else told.made


def test_the_questions_take_numbers_words_and_nothing(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A number or a word; wrong ones are told and asked again; Enter: not known."""
    answers = [
        "",
        "2",
        "in servce",
        "6",
        "400 h",
        "boundary",
        "",
        "1",
        "",
        "",
        "seen at the wash",
        "y",
    ]
    left = answering(monkeypatch, answers)

    assert ask(record) == {
        "found": WORDS["found"][1],
        "when": "in service",
        "service_s": 1_440_000.0,
        "where": "boundary",
        "at": "crater",
        "text": "seen at the wash",
    }
    assert left == []
    out = capsys.readouterr().out
    assert 'did you mean "in service"?' in out
    assert "crack in service after 400 h; at the boundary, in a crater; seen at the wash" in out
    assert all(len(line) <= 80 for line in out.splitlines())


def test_where_no_crack_was_found_nobody_is_asked_where_it_is(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What, when, photo, words, and whether to write it."""
    left = answering(monkeypatch, ["no crack found", "at uncovering", "", "", "yes"])

    assert ask(record) == {"found": "no crack found", "when": "at uncovering"}
    assert left == []
    assert "Where?" not in capsys.readouterr().out


@pytest.mark.parametrize("answers", [[], ["2"], ["1", "", "", "", ""], ["1", "", "", "", "n"]])
def test_leaving_or_saying_no_shows_the_command_that_would_write_it(
    answers: list[str],
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Ctrl+D at any question, n at the last; Enter there is asked again."""
    left = answering(monkeypatch, answers)

    assert ask(record) is None
    assert left == []
    last = capsys.readouterr().out.splitlines()[-1]
    found = [f"--found={WORDS['found'][int(answers[0]) - 1]}"] if answers else []
    words = ["pacer", "outcome", str(record), *found] if answers else ["nothing", "written"]
    assert shlex.split(last) == words


@pytest.mark.slow
def test_the_shell_sees_what_was_written(record: Path) -> None:
    """Through the real program; then the review shows it first."""
    pacer("outcome", record, "--found", "crack", "--when", "at grinding").fine()
    page = here("review", record, "--tables").fine().out

    assert "what became of it" in page
    assert "crack at grinding" in page
    assert page.index("what became of it") < page.index("phase   ")
