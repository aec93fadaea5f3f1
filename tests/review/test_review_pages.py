"""The review of a recording: what its page and its JSON hold, and that neither grows without end."""

from __future__ import annotations

import json
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from pages_of import a_part, act, page, reviewed, typed
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.job.job import Job
from pacer.review import capped
from pacer.review.json_page import as_json
from pacer.review.moments import local, utc
from pacer.review.outcomes import outcome_words
from pacer.review.text.lines import review_lines
from pacer.session.events import (
    AnyEvent,
    ClockGap,
    Outcome,
    Reading,
    Recovered,
    Resumed,
)
from pacer.units import Shown

GUIDE = Path(capped.__file__).parents[1] / "guide" / "outcome.md"


def test_facts_of_the_job_are_on_the_page_and_in_the_json(hot_job: Job) -> None:
    """In the words of their keys; a key of a later version too; nothing that steers a terminal."""
    facts = {
        "history.cause": "frost",
        "filler.batch": "B\x1b[2J 12",
        "weather.rain": "some",
    }
    job = msgspec.structs.replace(hot_job, facts=facts)
    text = page(job, some_events())

    assert "  cause                frost" in text
    assert "  weather rain         some" in text
    assert "filler batch" in text
    assert "\x1b" not in text
    as_keys = as_json("a.jsonl", *reviewed(job, some_events()), [])["facts"]
    assert isinstance(as_keys, dict)
    assert as_keys["history.cause"] == "frost"
    assert "for the record" not in page(hot_job, some_events())


def test_readings_of_other_places_are_shown_and_are_no_notes(hot_job: Job) -> None:
    """By place; one of the joint is in the JSON only."""
    events = [
        typed(1, 231.0),
        typed(2, 190.0, "far end"),
        typed(3, 260.0, "back", side=1),
    ]
    text = page(hot_job, events)

    assert "read at other places\n  0:00:02    190 °C at far end" in text
    assert "at least 260 °C at back" in text
    assert "written down" not in text
    out = as_json("a.jsonl", *reviewed(hot_job, events), [])
    assert out["notes"] == []
    assert out["typed_readings"] == [
        {"t_s": 1.0, "temp_c": 231.0, "side": 0, "place": None},
        {"t_s": 2.0, "temp_c": 190.0, "side": 0, "place": "far end"},
        {"t_s": 3.0, "temp_c": 260.0, "side": 1, "place": "back"},
    ]


def test_what_was_done_to_the_part_is_listed_with_its_time(hot_job: Job) -> None:
    """Wrapped or not, uncovered when (procedure.md section 14); a press is in the phases."""
    text = page(hot_job, [act(1, "next"), act(2, "wrap"), act(3, "unwrap"), act(4, "turned")])

    assert "done to the part\n  0:00:02    wrap\n  0:00:03    unwrap\n  0:00:04    turned\n" in text


def test_a_session_taken_up_again_says_when_by_what_clock_and_who(hot_job: Job) -> None:
    """One line each, in order: damage, time nobody watched, who went on."""
    events: list[AnyEvent] = [
        Reading(t_ms=1000, raw=(20.0,), status="ok"),
        Recovered(t_ms=1000, torn=37),
        ClockGap(t_ms=1000, to_ms=3_601_000, why="the program was not running", by="wall"),
        Resumed(
            t_ms=3_601_000,
            wall="2026-01-01T09:00:01.000+00:00",
            tz="+01:00",
            app="pacer test",
            source="hand:",
        ),
        ClockGap(
            t_ms=3_601_000,
            to_ms=3_601_000,
            why="the program was not running",
            by="unknown",
        ),
    ]
    lines = page(hot_job, events).splitlines()
    at = lines.index("nobody there, or taken up again")

    assert lines[at + 1 : at + 7] == [
        "  0:00:01    37 torn bytes before this were left out",
        "  0:00:01    nobody watched until 1:00:01, by the wall clock: the program was",
        "    not running",
        "  1:00:01    taken up again 2026-01-01 10:00 (UTC+01:00) with pacer test, sensor",
        "    hand:",
        "  1:00:01    nobody watched, for how long is not known: the program was not",
    ]


def test_a_damaged_recording_says_so_at_the_top(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line changed, two taken out; the copy that `recover` makes says it too."""
    lines = lines_of(head_of(hot_job), some_events(40))
    lines[2] = lines[2].replace(b"ok", b"KO")
    del lines[20:22]
    path = write_lines(tmp_path / "a.jsonl", lines)
    assert main(["review", str(path)]) == 0
    first = capsys.readouterr().out.splitlines()[:2]

    assert first == [
        "FROM A DAMAGED RECORDING: 1 line(s) left out, 3 record(s) missing; figures may",
        "  lack them",
    ]
    main(["recover", str(path), str(tmp_path / "b.jsonl")])
    capsys.readouterr()
    main(["review", str(tmp_path / "b.jsonl")])
    assert capsys.readouterr().out.splitlines()[:2] == first
    main(
        [
            "review",
            str(write_lines(tmp_path / "c.jsonl", lines_of(head_of(hot_job), []))),
        ]
    )
    assert "DAMAGED" not in capsys.readouterr().out


def test_every_peen_is_counted_by_how_it_ended(hot_job: Job) -> None:
    """Two beads by hand: the first one's peen ended by a press, the second's by its time."""
    presses = (1.0, 73.5, 83.5, 90.0, 100.0, 110.0)
    events: list[AnyEvent] = [act(t_s, "next") for t_s in presses]
    events += [
        Reading(t_ms=1000 * t_s, raw=(150.0 if t_s < 9 else 262.0,), status="ok")
        for t_s in range(140)
    ]
    opened, out = reviewed(hot_job, sorted(events, key=lambda event: event.t_ms))

    assert as_json("a", opened, out, [])["peens"] == {
        "ended by press": 1,
        "not confirmed": 1,
    }
    text = "\n".join(review_lines("a", opened, out, Shown(), tables=True))
    assert "\npeens: 1 ended by press, 1 not confirmed\n" in text


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (Outcome(t_ms=0, found="no crack found"), "no crack found"),
        (
            Outcome(
                t_ms=0,
                found="no crack found",
                when="at a later look",
                text="after a day",
            ),
            "no crack found at a later look; after a day",
        ),
        (
            Outcome(
                t_ms=0,
                found="crack",
                when="in service",
                service_s=90_000,
                where="boundary",
            ),
            "crack in service after 25 h; at the boundary",
        ),
        (
            Outcome(t_ms=0, found="crack", runs="across", at="tack", bead=3, where="weld"),
            "crack; in the weld, across the weld, at a tack, at bead 3",
        ),
        (
            Outcome(
                t_ms=0,
                found="crack",
                photo="a\x1bb.jpg",
                photo_sha="0123456789abcdef" * 4,
            ),
            "crack; photo a\N{REPLACEMENT CHARACTER}b.jpg (SHA-256 0123456789ab…)",
        ),
    ],
)
def test_an_outcome_in_words(outcome: Outcome, words: str) -> None:
    """Only what was said."""
    assert outcome_words(outcome, Shown()) == words


def test_wall_times_are_told_with_their_offset_and_hostile_ones_as_they_are() -> None:
    """A summer time, another day, no date at all, an offset that is none."""
    assert local("2026-07-01T23:30:00+00:00", "+02:00") == "2026-07-02 01:30 (UTC+02:00)"
    assert utc("2026-07-01T23:30:00") == "2026-07-01T23:30:00"
    assert utc("soon\x1b[2J") == "soon\N{REPLACEMENT CHARACTER}[2J"
    assert utc("0001-01-01T00:00:00+14:00") == "0001-01-01T00:00:00+14:00"
    assert local("0001-01-01T00:00:00+00:00", "-12:00") == "0001-01-01 00:00 UTC"
    assert local("2026-07-01T23:30:00+00:00", "+99:99") == "2026-07-01 23:30 UTC"


def test_every_key_of_the_json_is_in_the_guide(hot_job: Job) -> None:
    """`pacer guide outcome` documents it; the keys of before are still there, in their order."""
    out = as_json("a.jsonl", *reviewed(hot_job, some_events()), [])
    guide = GUIDE.read_text("utf-8")

    assert [key for key in out if f"`{key}`" not in guide] == []
    before = [
        "recording",
        "phase",
        "closed",
        "damage",
        "cues",
        "undone_presses",
        "phases",
    ]
    before += ["beads", "excursions", "findings", "notes"]
    assert list(out)[: len(before)] == before
    json.dumps(out, allow_nan=False)


def many(count: int) -> Iterator[AnyEvent]:
    """Notes, typed readings, tinks, gaps, outcomes without end, a second apart; invented."""
    for i in range(count):
        t_ms = 1000 * i
        yield act(i, "note", f"note {i}")
        yield typed(i, 231.0, f"place {i}")
        yield act(i, "wrap")
        yield act(i, "tink")
        yield ClockGap(t_ms=t_ms, to_ms=t_ms + 500, why="x" * 200)
        yield Resumed(t_ms=t_ms + 500, source="y" * 200)
        yield Outcome(t_ms=t_ms + 500, found="crack", text="z" * 200)


def test_a_log_made_to_fill_the_page_is_cut_and_says_by_how_much(
    hot_job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With room for 50 rows and 70 of each kind: 20 more of each."""
    monkeypatch.setattr(capped, "MOST", 50)
    opened, out = reviewed(hot_job, many(70))

    left_out = out.not_shown()
    wanted = {"notes": 20, "typed_readings": 20, "said": 20, "outcomes": 20}
    assert left_out["taken_up_again"] == 90
    assert wanted.items() <= left_out.items()
    assert left_out["findings"] >= 20
    text = "\n".join(review_lines("a.jsonl", opened, out, Shown(), tables=True))
    assert text.count("and 20 more, not shown") >= 5
    not_shown = as_json("a.jsonl", opened, out, [])["not_shown"]
    # 50 rows each of gaps, deeds and notes, one phase, the findings; of all these 50 are kept.
    telling = len(out.of_weight("finding"))
    assert telling > 0
    assert not_shown == {**left_out, "timeline": 3 * 50 + 1 + telling - 50}
    assert "not_shown" in as_json("a.jsonl", opened, reviewed(hot_job, many(3))[1], [])
    assert reviewed(hot_job, many(3))[1].not_shown() == {}


def test_a_crack_reported_with_key_k_is_told_until_a_later_look_found_none(hot_job: Job) -> None:
    """At the top and in the JSON; the ranking and the page say the same."""
    cracked = [act(60, "crack", "heard from the bed")]
    clear = Outcome(t_ms=61_000, found="no crack found")

    def told(*events: AnyEvent) -> tuple[str, object]:
        opened, out = reviewed(hot_job, events)
        text = " ".join(" ".join(review_lines("a", opened, out, Shown())).split())
        return text, as_json("a", opened, out, [])["became"]

    text, word = told(*cracked)
    assert word == "crack"
    assert "what became of it a crack was reported in the session" in text
    assert "have to do with the crack heard or seen by 0:01:00" in text
    text, word = told(*cracked, clear)
    assert word == "no crack found"
    assert "a crack was reported in the session" not in text
    assert "No crack is recorded by any look" in text
    assert told()[1] == "unknown"


def test_a_finding_in_json_has_its_place_counted_from_one_and_its_words_filled(
    hot_job: Job,
) -> None:
    """Every key is in the guide; what it leads to comes with its source and status."""
    out = as_json("a.jsonl", *a_part(hot_job), [])
    findings, moments = out["findings"], out["timeline"]
    assert isinstance(findings, list)
    assert isinstance(moments, list)
    first, guide = findings[0], GUIDE.read_text("utf-8")

    assert first["place"] == first["bead"] == 1
    assert first["record"] == 77
    assert first["words"] == "bead 1 was started at 330 °C, above the ceiling 300 °C"
    assert first["limit"] == {
        "name": "band.ceiling",
        "value": "ceiling_c",
        "origin": "given",
    }
    assert first["against"] == ["bead 2 was at 330 °C too"]
    assert first["leads_to"]["status"] == "from memory"
    assert findings[1]["weight"] == "note"
    assert findings[1]["limit"] is None
    keys = {*first, *first["limit"], *first["leads_to"], *moments[0]}
    assert sorted(key for key in keys if f"`{key}`" not in guide) == []
    assert [moment["t_s"] for moment in moments] == sorted(moment["t_s"] for moment in moments)
    assert {"phase", "bead", "finding"} <= {moment["kind"] for moment in moments}


def test_a_warning_stands_in_the_timeline_once_and_a_step_does_not(
    hot_job: Job,
) -> None:
    """A soak heated by a degree a second to 330 °C: the waiting after it is a step."""
    events: list[AnyEvent] = [act(1, "next")]
    events += [
        Reading(t_ms=1000 * t_s, raw=(min(150.0 + t_s, 330.0),), status="ok") for t_s in range(200)
    ]
    lines = page(hot_job, sorted(events, key=lambda event: event.t_ms)).splitlines()
    warned = [line for line in lines if "  cue      " in line]

    assert len(warned) == 1
    assert warned[0].startswith("  0:02:34  cue      TOO HOT: ")


@pytest.mark.slow
def test_memory_does_not_grow_with_what_is_not_shown(
    hot_job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four times as long a log: within 100 kB of the same peak."""
    monkeypatch.setattr(capped, "MOST", 50)

    def peak(count: int) -> int:
        tracemalloc.start()
        try:
            reviewed(hot_job, many(count))
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    peak(100)
    assert peak(1600) < peak(400) + 100_000


def test_a_phase_that_is_not_shown_still_ends_when_it_ended(
    hot_job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The last row that is shown ends where the next phase, not shown, begins."""
    monkeypatch.setattr(capped, "MOST", 1)
    events = [act(5, "next"), act(6, "next"), act(7, "next")]
    _, out = reviewed(hot_job, events)
    (row,) = out.phases

    assert (row.phase, row.from_s, row.to_s) == ("prepare", 0.0, 5.0)
    assert out.phases.more > 0
