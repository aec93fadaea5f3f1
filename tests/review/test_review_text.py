"""The review as text: findings at its end, what is told once, and nothing cut off."""

from __future__ import annotations

import msgspec
import pytest
from pages_of import a_part, act, page, reviewed
from written import some_events

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.json_page import as_json
from pacer.review.text.became_lines import became_lines
from pacer.review.text.lines import review_lines
from pacer.session.events import (
    AnyEvent,
    Inspection,
    Outcome,
    Reading,
)
from pacer.session.finding import Finding
from pacer.session.inspection import Imperfection
from pacer.units import Shown


def test_findings_end_the_page_numbered_with_limit_size_and_what_speaks_against_them(
    hot_job: Job,
) -> None:
    """After what became of it, timeline, tables, notes; nothing wider than 80 columns."""
    lines = list(review_lines("a.jsonl", *a_part(hot_job), Shown(), tables=True))
    at = lines.index("FINDINGS: what the record shows, not a verdict on the repair")

    assert lines[at + 1 : at + 10] == [
        "  1 finding, 1 note",
        "  In order of how much they could have to do with the crack at the boundary, at",
        "    bead 1 (pacer guide review). Which of them had, if any, the record can't",
        "    say.",
        "",
        "  1. 0:01:13  bead above the ceiling, record 77",
        "               bead 1 was started at 330 °C, above the ceiling 300 °C",
        "     limit     band.ceiling 300 °C (from the job file)",
        "     how far   30 K above; 10 s, until 0:01:23",
    ]
    assert lines[at + 10].startswith("     usually   struck too hot")
    assert "     against   bead 2 was at 330 °C too" in lines
    beads = "bead  place  from       arc      start     remarks"
    order = [lines.index(line) for line in ("what became of it", "timeline", beads, "notes")]
    assert [*order, at] == sorted([*order, at])
    assert "  0:01:13  finding  1: bead above the ceiling" in lines
    assert max(map(len, lines)) <= 80


def test_what_a_kind_usually_leads_to_is_said_once(hot_job: Job) -> None:
    """The second bead too hot points at the first; one of another kind has its own."""
    opened, out = a_part(hot_job)
    hot = next(iter(out.findings))
    late = Finding(name="late peen", t_s=90.0, words="late")
    out.findings = Capped()
    out.findings.extend([hot, late, msgspec.structs.replace(hot, bead=2), late])
    usual = [
        line.removeprefix("     usually   ").split(",")[0]
        for line in review_lines("a.jsonl", opened, out, Shown())
        if line.startswith("     usually")
    ]

    assert usual == [
        "struck too hot",
        "a bead peened late has shrunk already and is stretched little by",
        "as for 1",
        "as for 2",
    ]


def test_the_page_is_in_us_units_for_who_uses_them(hot_job: Job) -> None:
    """300 °C is 572 °F; no metric temperature is left, in the timeline neither."""
    text = "\n".join(review_lines("a.jsonl", *a_part(hot_job), Shown("us"), tables=True))

    assert "band.ceiling 572 °F (from the job file)" in text
    assert "how far   54 °F above" in text
    assert "bead 2 was at 626 °F too" in text
    assert "bead 1 at place 1 from 504 °F" in text
    assert "°C" not in text


def test_a_page_says_whether_anything_was_recorded_yet(hot_job: Job) -> None:
    """Nothing yet, no crack found, a crack without a place, one in service."""
    opened, out = a_part(hot_job)

    def told(*outcomes: Outcome) -> str:
        out.outcomes = Capped()
        out.outcomes.extend(outcomes)
        text = "\n".join(review_lines("a.jsonl", opened, out, Shown()))
        return " ".join(text.split())

    assert "nothing is recorded yet; pacer outcome RECORDING writes it down" in told()
    assert "No crack is recorded yet. In order of what could strain the metal" in told()
    none = told(Outcome(t_ms=0, found="no crack found"))
    assert "No crack is recorded by any look" in none
    assert "1. 0:01:13 bead above the ceiling" in none
    assert "A crack is recorded, but not where" in told(Outcome(t_ms=0, found="crack"))
    served = Outcome(t_ms=0, found="crack", when="in service", service_s=90_000)
    assert "A crack was found in service, after 25 h: the loads of that time" in told(served)


def test_the_page_is_short_and_ends_with_the_findings_in_short(hot_job: Job) -> None:
    """Of three findings a line each comes last but for where the tables are; of two nothing."""
    opened, out = a_part(hot_job)
    hot = next(iter(out.findings))
    late = Finding(name="late peen", t_s=90.0, words="late", bead=2)
    out.findings = Capped()
    out.findings.extend([hot, late])
    assert "in short" not in list(review_lines("a.jsonl", opened, out, Shown()))
    out.findings.add(Finding(name="tink heard", t_s=95.0, words="tick"))
    lines = list(review_lines("a.jsonl", opened, out, Shown()))

    assert lines[-7:] == [
        "",
        "in short",
        "  1. 0:01:13  bead above the ceiling, bead 1: 30 K above",
        "  2. 0:01:30  late peen, bead 2",
        "  3. 0:01:35  tink heard",
        "",
        "timeline and tables: pacer review RECORDING --tables",
    ]
    assert "timeline" not in lines


def test_nothing_recorded_is_not_told_as_nothing_found(hot_job: Job) -> None:
    """A head alone; with a reading there was something to look at."""
    assert page(hot_job, []).endswith("\n  nothing was recorded: no readings, no beads")
    assert "nothing was recorded" not in page(hot_job, some_events())


@pytest.mark.parametrize(("temp_c", "hot"), [(43.0, False), (43.5, True)])
def test_a_part_that_was_hot_when_last_read_says_so_above_the_findings(
    temp_c: float, hot: bool, hot_job: Job
) -> None:
    """Bare metal may be held up to 43 °C (trade table of burns); covered is told."""
    read = Reading(t_ms=4000, raw=(temp_c,), status="ok")
    events: list[AnyEvent] = [act(1, "next"), read, act(5, "covered")]

    def told() -> str:
        return " ".join(page(hot_job, events).split())

    said = "STILL HOT when last read: 44 °C at 0:00:04, covered since 0:00:05. Measure before"
    assert (said in told()) == hot == ("STILL HOT" in told())
    events.append(act(6, "uncovered"))
    assert ("STILL HOT when last read: 44 °C at 0:00:04. Measure before" in told()) == hot


def test_the_welders_words_of_a_tink_stand_in_its_finding_only(hot_job: Job) -> None:
    """A note of his own stays, and is not counted as a note of the review."""
    events = [act(1, "note", "new electrode"), act(2, "tink", "near {bead} 3")]
    text = page(hot_job, events)

    assert text.count("near {bead} 3") == 1
    assert "\nwritten down in the session\n  0:00:01  new electrode\n" in text
    assert "\n  1 finding, no notes\n" in text
    opened, out = reviewed(hot_job, events)
    # Programs get all of it.
    both = [{"t_s": 1.0, "text": "new electrode"}, {"t_s": 2.0, "text": "near {bead} 3"}]
    assert as_json("a", opened, out, [])["notes"] == both


def test_what_is_said_twice_running_says_so(hot_job: Job) -> None:
    """Uncovered early, and asked for again when it was cold; turned twice is turned twice."""
    deeds = ("covered", "uncovered", "covered", "uncovered", "uncovered", "turned", "turned")
    text = page(hot_job, [act(n, deed) for n, deed in enumerate(deeds)])
    _, _, said = text.partition("done to the part\n")
    rows = [line.split(maxsplit=1)[1] for line in said.splitlines()[: len(deeds)]]

    assert rows == [*deeds[:4], "uncovered, said again", "turned", "turned"]


def test_a_line_too_long_for_80_columns_goes_on_below(hot_job: Job) -> None:
    """The title, what was written down, what a cue told: nothing is cut off."""
    long = "very long " * 30
    job = msgspec.structs.replace(hot_job, title=f"{long}title")
    text = page(job, [act(1, "note", f"{long}note")], invented=f"{long}data")

    assert max(map(len, text.splitlines())) <= 80
    assert text.count("very") == 3 * 30 + 30
    assert "…" not in text


def test_a_crack_that_a_look_found_is_told_with_what_it_was_found_by(hot_job: Job) -> None:
    """With its number and its bead; where an outcome tells of a crack that is enough."""
    found = (Imperfection(number=1045, name="longitudinal crater crack", bead=3),)
    look = Inspection(
        t_ms=9000, look="penetrant", result="imperfections found", imperfections=found
    )
    clear = Inspection(t_ms=9000, look="visual", result="nothing found")
    ring = Inspection(t_ms=9000, look="ring", result="nothing found")

    def told(*events: AnyEvent) -> list[str]:
        return list(became_lines(reviewed(hot_job, events)[1], Shown()))

    (line,) = told(look)
    assert "crack, by a look (penetrant): 1045 longitudinal crater crack" in line
    assert line.endswith("at bead 3")
    assert len(told(look, Outcome(t_ms=9000, found="crack", bead=3))) == 1
    assert told(clear) == ["no crack found by a look (visual)"]
    assert told(ring)[0].startswith("the look on record says nothing of cracks")
    assert told()[0].startswith("nothing is recorded yet")
