"""Recordings of every version of the format, read for ever; newer ones, honestly (T-11, T-12).

`tests/data/recordings/V.jsonl` was written by the very program of version V over an invented
session (no measurement; made by `freeze.py`), `V.csv` is what that program exported then,
`V.cues.txt` the cue lines it printed. 1.1 was killed in its cool-down, the others ended; 1.3 and
1.4 were closed there and taken up again, and have an outcome after their end, 1.4 a look too.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

import pytest
from commands import here, pacer
from written import SID, head_of, lines_of, sealed, some_events, write_lines

from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.codec import VERSION, encode, seed_of
from pacer.recording.reader import Recording
from pacer.session.events import CueTold, Ended, Reading

VERSIONS = ("1.0", "1.1", "1.2", "1.3", "1.4")
KILLED = "1.1"
DATA = Path(__file__).parent.parent / "data/recordings"


def _kept(version: str) -> Path:
    return DATA / f"{version}.jsonl"


def test_every_earlier_version_has_a_kept_recording() -> None:
    """Before the minor is raised, freeze.py makes one of the version that ends."""
    major, minor = VERSION
    assert {f"{major}.{earlier}" for earlier in range(minor)} <= set(VERSIONS)
    for version in VERSIONS:
        assert Recording(_kept(version)).head.v == tuple(map(int, version.split(".")))


@pytest.mark.parametrize("version", VERSIONS)
def test_every_record_is_read_and_none_is_damaged(version: str) -> None:
    """As many as an ordinary JSON parser finds; seals hold; `end` only where it was closed."""
    recording = Recording(_kept(version))
    events = list(recording.events())
    lines = [json.loads(line) for line in _kept(version).read_bytes().splitlines()]
    if version >= "1.3":
        # The head stands three times since then.
        assert lines[0] == lines[1] == lines[2]
        del lines[1:3]
    assert [line["q"] for line in lines] == list(range(len(lines)))
    assert len(events) == len(lines) - 1
    assert [event.t_ms for event in events] == [line["b"] for line in lines[1:]]
    damage = recording.damage
    assert damage.told(recording.name) == []
    assert (damage.sound, damage.unknown, damage.ended) == (True, 0, version != KILLED)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_export_is_what_it_was_then(version: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Byte for byte what that version's own program exported."""
    assert main(["export", str(_kept(version)), "--csv", "-"]) == 0
    told = capsys.readouterr()
    assert told.out.encode() == (DATA / f"{version}.csv").read_bytes()
    assert told.err == ""


@pytest.mark.parametrize("version", VERSIONS)
def test_the_cues_are_read_as_they_were_told_then(version: str) -> None:
    """As that version's own program printed them."""
    cues = [event for event in Recording(_kept(version)).events() if isinstance(event, CueTold)]
    printed = [f"{cue.t_s:.3f}\t{cue.kind}\t{cue.words}" for cue in cues]
    assert printed == (DATA / f"{version}.cues.txt").read_text(encoding="utf-8").splitlines()


@functools.cache
def _reviewed(version: str) -> dict[str, Any]:
    """Return today's review, asked for once: over a bridged cool-down it takes seconds."""
    review: dict[str, Any] = json.loads(here("review", _kept(version), "--json").fine().out)
    return review


@pytest.mark.parametrize("version", VERSIONS)
def test_todays_review_knows_the_session(version: str) -> None:
    """freeze.py: two beads of 10 s, said to be 24 mm; one of the sessions was cut short."""
    review = _reviewed(version)
    assert review["damage"] == []
    assert review["closed"] is (version != KILLED)
    assert review["phase"] == ("cool-down" if version == KILLED else "done")
    assert [bead["bead"] for bead in review["beads"]] == [1, 2]
    assert [bead["length_m"] for bead in review["beads"]] == [0.024, 0.024]
    assert all(abs(bead["arc_s"] - 10.0) <= 0.5 for bead in review["beads"])


def test_what_1_3_brought_is_still_told(tmp_path: Path) -> None:
    """freeze.py: what broke it, a reading of the far end, 10 min away, cracked after 400 h."""
    review = _reviewed("1.3")
    assert review["facts"] == {"history.cause": "frost"}
    (typed,) = [each for each in review["typed_readings"] if each["place"]]
    assert (typed["temp_c"], typed["place"]) == (228.0, "far end")
    (gap,) = review["gaps"]
    assert (gap["to_s"] - gap["from_s"], gap["known_by"]) == (600.0, "said")
    assert len(review["resumed"]) == 1
    (outcome,) = review["outcomes"]
    assert (outcome["found"], outcome["service_s"]) == ("crack", 1_440_000.0)
    # No list could be confirmed then, so none is missed.
    assert (review["prepared"], review["inspections"]) == ([], [])
    # Its beginning is enough for that.
    begun = write_lines(tmp_path / "a.jsonl", _kept("1.3").read_bytes().splitlines(True)[:60])
    assert "preparation list" not in here("review", begun).fine().out


REPLAYED = [
    *VERSIONS[:-1],
    pytest.param(VERSIONS[-1], marks=pytest.mark.full),
]
"""The newest bridges hours of a cool-down, which takes seconds: by default it is audited only."""


@pytest.mark.slow
@pytest.mark.parametrize("version", REPLAYED)
def test_it_replays(version: str) -> None:
    """By today's rules."""
    assert "COVERED" in here("replay", _kept(version), "--no-screen").fine().out


@pytest.mark.slow
@pytest.mark.parametrize("version", VERSIONS)
def test_an_audit_says_where_todays_rules_tell_otherwise(version: str) -> None:
    """And changes nothing."""
    before = _kept(version).read_bytes()
    assert here("replay", _kept(version), "--audit").code in (0, 1)
    assert _kept(version).read_bytes() == before


@pytest.mark.slow
def test_an_unfinished_old_recording_goes_on(tmp_path: Path) -> None:
    """What is appended is of today, what stood there stays; the head keeps its version."""
    copy = tmp_path / "copy.jsonl"
    before = _kept(KILLED).read_bytes()
    copy.write_bytes(before)
    pacer(
        *("run", "--resume", "--out", copy, "--away", "10min", "--no-screen"),
        *("--sensor", "file:-?time=first"),
        told="0,60\n5,59.5\n",
    ).fine()
    assert copy.read_bytes().startswith(before)
    recording = Recording(copy)
    events = list(recording.events())
    assert recording.damage.told(recording.name) == []
    assert recording.head.v == (1, 1)
    assert [event.raw for event in events if isinstance(event, Reading)][-2:] == [(60.0,), (59.5,)]
    assert isinstance(events[-1], Ended)


# --- newer ones ------------------------------------------------------------------------


def _head_with(job: Job, was: bytes, is_: bytes) -> bytes:
    head = encode(0, head_of(job), 0)
    assert was in head
    return sealed(head.replace(was, is_, 1)[: head.rindex(b',"c"') - len(was) + len(is_)], 0)


def _newer(path: Path, job: Job) -> Path:
    """A recording of a later minor version: new members everywhere, a new kind, then an end."""
    major, minor = VERSION
    head = _head_with(job, b'"v":[1,0]', b'"v":[%d,%d],"humidity":0.4' % (major, minor + 1))
    seed = seed_of(SID)
    return write_lines(
        path,
        [
            head,
            sealed(b'{"q":1,"k":"s","b":0,"R":[20.5],"D":"ok","emissivity":[0.9]', seed),
            sealed(b'{"q":2,"k":"smell","b":500,"of":{"what":"flux"}', seed),
            sealed(b'{"q":3,"k":"s","b":1000,"R":[21.5],"D":"ok"', seed),
            sealed(b'{"q":4,"k":"end","b":1000,"why":"over"', seed),
        ],
    )


def test_a_later_minor_version_opens_and_it_is_said(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """T-11: all known records shown, "n records of unknown kind", exit 0, once."""
    recording = _newer(tmp_path / "a.jsonl", hot_job)
    assert main(["export", str(recording), "--csv", "-"]) == 0
    told = capsys.readouterr()
    assert told.out.splitlines() == ["t_s,channel,temp_c", "0,t1,20.5", "1,t1,21.5"]
    newer = f"format version {VERSION[0]}.{VERSION[1] + 1}"
    assert told.err.count(newer) == 1
    assert "1 record(s) of a kind this version does not know" in told.err
    assert main(["review", str(recording), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["closed"] is True


@pytest.mark.slow
def test_what_is_not_known_is_never_dropped(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """T-11: recover copies unknown members and kinds, going on leaves them where they are."""
    recording = _newer(tmp_path / "a.jsonl", hot_job)
    before = recording.read_bytes()
    assert main(["recover", str(recording), str(tmp_path / "b.jsonl")]) == 0
    capsys.readouterr()
    assert (tmp_path / "b.jsonl").read_bytes().startswith(before)
    assert recording.read_bytes() == before
    pacer(
        *("run", "--resume", "--out", recording, "--away", "10min", "--no-screen"),
        *("--sensor", "file:-?time=first"),
        told="0,60\n",
    ).fine()
    assert recording.read_bytes().startswith(before)


NOT_SO = "the head is not as the format says: "


@pytest.mark.parametrize(
    ("version", "told"),
    [
        (b'"v":[2,0]', "format version 2.0, this pacer reads 1.x"),
        (b'"v":[0,9]', "format version 0.9, this pacer reads 1.x"),
        (b'"v":"1"', NOT_SO),
        (b'"v":1e99', NOT_SO),
        (b'"v":-1', NOT_SO),
        (b'"v":[1]', NOT_SO),
        (b'"v":[1,-1]', NOT_SO),
        (b'"v":[1,1e99]', NOT_SO),
        (b'"v":null', NOT_SO),
        (b'"vv":[1,0]', NOT_SO),
    ],
)
@pytest.mark.parametrize(
    "command", [("export", "--csv", "-"), ("review",), ("replay", "--audit"), ("cool", "--json")]
)
def test_another_major_version_or_none_is_refused(
    hot_job: Job,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    version: bytes,
    told: str,
    command: tuple[str, ...],
) -> None:
    """T-11: one clear line, exit 2, the file untouched."""
    head = _head_with(hot_job, b'"v":[1,0]', version)
    lines = [head, *lines_of(head_of(hot_job), some_events())[1:]]
    recording = write_lines(tmp_path / "a.jsonl", lines)
    before = recording.read_bytes()
    assert main([command[0], str(recording), *command[1:]]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.startswith("pacer: a.jsonl: line 1: ")
    assert told in err
    assert recording.read_bytes() == before
