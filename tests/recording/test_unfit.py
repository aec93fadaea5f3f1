"""Sealed lines that this version makes nothing of are never shown, and never dropped (T-11, T-17)."""

from __future__ import annotations

from pathlib import Path

import pytest
from written import SID, head_of, lines_of, sealed, some_events, write_lines

from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.codec import VERSION, Unfit, decode, seed_of
from pacer.recording.reader import Recording
from pacer.recording.writing.mend import mend
from pacer.session.events import Recovered

SEED = seed_of(SID)
EVENTS = some_events(24)[:-1]
NEWER = (VERSION[0], VERSION[1] + 1)

NEW_WORDS = (
    b'"k":"ev","b":11500,"e":"preen"',
    b'"k":"s","b":11500,"R":[20.0],"D":"saturated"',
    b'"k":"gap","b":11500,"to":11500,"by":"stars"',
    b'"k":"sensor","b":11500,"state":"asleep"',
    b'"k":"outcome","b":11500,"found":"a pore"',
)
"Of a later version, each in a kind known today. All invented."

NO_SENSE = (
    b'"k":"ev","b":11500,"e":"note","text":"\xff\xfe"',
    b'"k":"ev","b":11500,"e":"note","e":"next"',
    b'"k":"ev","b":11500,"e":"note","text":NaN',
    b'"k":"ev","b":11500,"e":"note","text":"\\ud800"',
    b'"k":"ev","b":11500,"e":"note"]',
    b'"k":"smell","b":11500,"x":"\xc3\x28"',
)
"What no version writes, though its checksum holds."


def with_lines(path: Path, job: Job, *bodies: bytes, v: tuple[int, int] = VERSION) -> Path:
    """Write a recording in which sealed lines stand before the last record."""
    lines = lines_of(head_of(job, v=v), EVENTS)
    q = len(lines)
    odd = [sealed(b'{"q":%d,%b' % (q + at, body), SEED) for at, body in enumerate(bodies)]
    after = sealed(b'{"q":%d,"k":"ev","b":12000,"e":"note"' % (q + len(odd)), SEED)
    return write_lines(path, [*lines, *odd, after])


@pytest.mark.parametrize("body", [*NEW_WORDS, *NO_SENSE])
def test_a_sealed_line_that_is_not_fit_is_damage_with_its_number(
    body: bytes, hot_job: Job, tmp_path: Path
) -> None:
    """Under our own version nobody writes such a line; whatever it is, nothing else is raised."""
    path = with_lines(tmp_path / "a.jsonl", hot_job, body)
    with pytest.raises(Unfit):
        decode(path.read_bytes().splitlines(keepends=True)[-2], SEED)
    recording = Recording(path)
    assert list(recording.events())[:-1] == EVENTS
    first, *_, last = recording.damage.told("a")
    assert first.startswith(f"a: line {len(EVENTS) + 2}: not as the format says (")
    assert first.isprintable()
    assert last.startswith("a: 1 damaged line(s) left out, 1 record(s) missing")


@pytest.mark.parametrize("v", [VERSION, NEWER])
def test_a_copy_keeps_what_is_sealed_and_in_its_place(
    v: tuple[int, int], hot_job: Job, tmp_path: Path
) -> None:
    """T-11: rewriting never drops; the copy lacks nothing, and says so."""
    path = with_lines(tmp_path / "a.jsonl", hot_job, *NEW_WORDS, *NO_SENSE, v=v)
    mended = mend(path, tmp_path / "b.jsonl")
    whole = path.read_bytes()
    assert mended.records == whole.count(b"\n")
    assert (tmp_path / "b.jsonl").read_bytes().startswith(whole)
    *events, last = Recording(tmp_path / "b.jsonl").events()
    assert events == list(Recording(path).events())
    assert isinstance(last, Recovered)
    assert (last.left_out, last.missing, last.repeated) == (0, 0, 0)


def test_time_that_falls_is_copied_and_still_told(hot_job: Job, tmp_path: Path) -> None:
    """The record is as it was written; what is wrong with it is seen in the copy as well."""
    path = with_lines(tmp_path / "a.jsonl", hot_job, b'"k":"ev","b":1,"e":"note","text":"early"')
    mend(path, tmp_path / "b.jsonl")
    assert b'"early"' in (tmp_path / "b.jsonl").read_bytes()
    copy = Recording(tmp_path / "b.jsonl")
    list(copy.events())
    assert "session time falls" in copy.damage.lines[0]
    assert copy.damage.bad_lines == 1


def test_a_later_versions_words_count_as_unknown(hot_job: Job, tmp_path: Path) -> None:
    """T-11: kept, told once, no damage: they are sound, this pacer is old."""
    path = with_lines(tmp_path / "a.jsonl", hot_job, *NEW_WORDS, v=NEWER)
    recording = Recording(path)
    assert list(recording.events())[:-1] == EVENTS
    assert recording.damage.sound
    newer, known = (".".join(map(str, v)) for v in (NEWER, VERSION))
    assert recording.damage.told("a") == [
        f"a: format version {newer}, this pacer knows {known}: what it does not know is left out",
        "a: 5 record(s) of a kind this version does not know",
    ]


def test_a_later_version_writes_no_nonsense_either(hot_job: Job, tmp_path: Path) -> None:
    """What is no JSON with each key once is damage in every version."""
    recording = Recording(with_lines(tmp_path / "a.jsonl", hot_job, *NO_SENSE, v=NEWER))
    assert list(recording.events())[:-1] == EVENTS
    assert recording.damage.bad_lines == len(NO_SENSE)


@pytest.mark.parametrize(
    "command",
    [
        ("review",),
        ("review", "--json"),
        ("replay", "--no-screen"),
        ("replay", "--audit"),
        ("forecast",),
        ("export", "--csv", "-"),
    ],
)
def test_every_reading_command_tells_bytes_that_are_no_text(
    command: tuple[str, ...],
    hot_job: Job,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """One line with its number, no traceback."""
    path = with_lines(tmp_path / "a.jsonl", hot_job, NO_SENSE[0])
    main([command[0], str(path), *command[1:]])
    assert (
        f"pacer: a.jsonl: line {len(EVENTS) + 2}: not as the format says "
        "(holds bytes that are no UTF-8)\n"
    ) in capsys.readouterr().err
