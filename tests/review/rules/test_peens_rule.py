"""Peens late, left out, against the plan, or said by nobody: hand-written scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import COLD, HOT
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, shows_from, stepped

from pacer.heat.behind_arc import Plate, end_c
from pacer.review.rules.peens import Peens
from pacer.run.reviewing import numbered
from pacer.session.events import AnyEvent, ClockGap, Opened
from pacer.units import Shown

NOT_ROOT = QUICK.replace('peen = "15 s"', 'peen = "15 s"\npeen_runs = "not root"')


def begun_at(t_s: float) -> str:
    """Return the script of a late peen with the peen begun at another time."""
    later = next(t for t in range(32, 60, 2) if t > t_s)
    return edited("late-peen.txt", ("43.4,!peen", ""), (f"{later},264", f"{t_s},!peen"))


def test_a_late_peen() -> None:
    """12.5 s after the arc; 10 s are a finding, 5 s are planned."""
    found = reviewed(Path("late-peen.txt"), QUICK)
    assert above_notes(found) == ["late peen"]
    one = only(found, "late peen")
    assert one.said(Shown()).startswith(
        "the peen of bead 1 began 12.5 s after its arc, planned within 5 s; "
    )
    assert (one.t_s, one.record, one.bead, one.place, one.times) == (43.4, 33, 1, 0, 1.25)
    assert one.limit is not None
    assert (one.values[one.limit.value], one.limit.origin) == (10.0, "common practice, no source")


def test_how_cold_it_was_is_calculated() -> None:
    """The job's arc, 22 V and 65 A at 2.5 mm/s with k 0.8, on a plate of 12 mm at 264 °C."""
    job = QUICK + '\n[filler]\nprocess = "111"\ncurrent = "65 A"\nvoltage = "22 V"\n'
    one = only(reviewed(Path("late-peen.txt"), job), "late peen")
    heat_kj_mm = 0.8 * 22 * 65 / 2.5 / 1000
    expected_c = end_c(heat_kj_mm, Plate(262.0, 0.012), 0.0025, 10.4, 12.5)
    assert one.values["end_c"] == pytest.approx(expected_c, abs=1.0)
    assert one.said(Shown()).endswith("(calculated)")


@pytest.mark.parametrize("after_s", [5.9, 8.5])
def test_later_than_planned_is_a_note(after_s: float) -> None:
    """Up to 10 s; 8.5 s are 85 % of it."""
    found = reviewed(begun_at(round(30.9 + after_s, 1)), QUICK)
    assert above_notes(found) == []
    one = only(found, "late peen")
    assert one.limit is not None
    assert (one.weight, one.limit.name) == ("note", "bead.peen_within")


@pytest.mark.parametrize(
    "presses",
    [
        ("25,!next", "26,!peen", "28,!undo", "31,!next"),
        ("25,!peen", "31,!next"),
    ],
    ids=["undone", "in the arc"],
)
def test_a_peen_said_before_the_bead_ended_is_none(presses: tuple[str, ...]) -> None:
    """The one that follows 14 s after the arc counts."""
    said = {float(press.split(",")[0]): press for press in presses}
    lines = ["0,20", "1,!next", *(f"{t},150" for t in range(2, 9))]
    for t_s in range(9, 70):
        lines += [f"{t_s},262", *(["20,!next"] if t_s == 20 else [])]
        lines += [said[t_s]] if t_s in said else []
        lines += ["45,!peen"] if t_s == 45 else []
    one = only(reviewed("\n".join(lines) + "\n", QUICK), "late peen")
    assert one.times == pytest.approx(1.4, abs=0.02)


def test_in_time_it_leaves_nothing() -> None:
    """4.25 s: 85 % of the 5 s planned."""
    found = reviewed(begun_at(35.15), QUICK)
    assert not {"late peen", "peens not confirmed"} & set(names(found))


def test_an_assumed_end_speaks_against_it() -> None:
    """By presses the arc's end is only the cadence's."""
    script = edited("late-peen.txt", ("20.5,!arc on", "20.5,!next"), ("30.9,!arc off", ""))
    one = only(reviewed(script, QUICK), "late peen")
    assert one.values["after_arc_s"] == 12.9
    assert "when its arc went out was assumed, not seen" in one.against


def test_not_peened() -> None:
    """Paused by the peen, gone on with 30 s after the arc: LEAVE IT."""
    found = reviewed(Path("not-peened.txt"), QUICK)
    assert above_notes(found) == ["not peened"]
    one = only(found, "not peened")
    assert one.said(Shown()) == (
        "bead 1: the peen was paused and gone on with too late for it: LEAVE IT was told 30 s after "
        "its arc, planned within 5 s; nobody said that it was peened"
    )
    assert (one.t_s, one.to_s, one.record, one.bead) == (30.5, 60.5, 43, 1)
    assert "peens not confirmed" not in names(found)


def test_left_by_the_clock_it_is_a_note() -> None:
    """Paused while the bead is laid and never gone on with: LEAVE IT comes by itself."""
    more = "".join(f"{t},264\n" for t in range(72, 100, 2))
    script = edited(
        "not-peened.txt", ("34,!pause", ""), ("28,264", "28,!pause"), ("60.5,!next", "")
    )
    found = reviewed(script + more, QUICK)
    assert above_notes(found) == []
    one = only(found, "not peened")
    assert one.said(Shown()).startswith("bead 1: LEAVE IT was told 60 s after its arc, ")


def test_warm_is_not_cold() -> None:
    """In a hot part a bead's end is still warm; a cold one's is not, minutes later."""
    warm = only(reviewed(Path("late-peen.txt"), QUICK), "late peen")
    assert warm.values["end_c"] > 300.0
    assert warm.said_against(Shown())[-1].endswith(
        "(calculated) it was warm, not cold; sources differ on peening warm (D05)"
    )
    lines = "0,20\n1,!next\n2,20\n4,20\n6,20\n8,20\n9,!arc on\n10,20\n19,!arc off\n"
    cold = only(reviewed(f"{lines}20,20\n600,20\n602,20\n604,!peen\n606,20\n", COLD), "late peen")
    assert cold.values["end_c"] < 66.0
    assert cold.against == ()


def test_gone_on_with_soon_enough_it_is_peened() -> None:
    """17 s after the arc, 85 % of the 20 s after which it is left alone: nobody confirmed it."""
    script = edited("not-peened.txt", ("60.5,!next", ""), ("48,264", "47.5,!next"))
    found = reviewed(script, QUICK)
    assert above_notes(found) == []
    assert "peens not confirmed" in names(found)


def test_begun_before_it_was_left_it_is_no_missing_peen() -> None:
    """He said so; then he paused."""
    script = edited("not-peened.txt", ("34,264", "33,!peen\n34,264"))
    found = reviewed(script, QUICK)
    assert found.beads[0].peened == "left alone"
    assert not {"not peened", "late peen", "peens not confirmed"} & set(names(found))


def test_undone_it_is_not_left_alone() -> None:
    """The press that left the bead is taken back, and made again soon enough by nobody."""
    script = edited("not-peened.txt", ("62,264", "61,!undo\n61.5,!peen"))
    found = reviewed(script, QUICK)
    assert "not peened" not in names(found)
    assert only(found, "late peen").values["after_arc_s"] == 31.0


def test_not_confirmed_is_one_note() -> None:
    """Of two beads one peen was said to begin; the other is not confirmed, never missing."""
    found = reviewed(Path("peens-not-confirmed.txt"), QUICK)
    assert above_notes(found) == []
    one = only(found, "peens not confirmed")
    assert one.said(Shown()) == "1 of 2 beads: nobody said that they were peened"
    assert (one.weight, one.t_s, one.record, one.bead) == ("note", 30.9, 25, 1)
    assert "lost_n" not in one.values
    both = reviewed(edited("peens-not-confirmed.txt", ("62,!peen", "")), QUICK)
    assert only(both, "peens not confirmed").values == {"silent_n": 2, "laid_n": 2}
    said = edited("peens-not-confirmed.txt", ("32,264", "32,!peen"))
    assert "peens not confirmed" not in names(reviewed(said, QUICK))


def test_a_peen_that_nobody_watched_is_not_confirmed() -> None:
    """The lid was closed as the bead was to be peened: nobody told him to leave it."""
    seen = stepped(Path("peens-not-confirmed.txt"), QUICK)
    head = Opened(
        v=(1, 5), sid="0" * 16, app="", wall="", job=seen[0].state.job,
        channel=seen[0].state.sensor.channel,
    )  # fmt: skip
    events: list[tuple[int, AnyEvent]] = [
        (s.record, s.event) for s in seen[1:] if s.event and s.t_s < 31.5
    ]
    events.append((99, ClockGap(t_ms=31_500, to_ms=100_000)))
    again = list(numbered(head, events))
    assert again[-1].state.work.beads[0].peened == "left alone"
    assert names(cut(again, Peens)[-1]) == ["peens not confirmed"]


def test_peened_against_the_plan() -> None:
    """The first run of an uncoated groove is the root, and the job leaves it unpeened."""
    found = reviewed(Path("peened-against-the-plan.txt"), NOT_ROOT)
    assert above_notes(found) == []
    one = only(found, "peened against the plan")
    assert one.said(Shown()) == ("bead 1, of run 1, was peened; the plan leaves that run unpeened")
    assert (one.weight, one.t_s, one.record, one.bead) == ("note", 32.0, 28, 1)
    assert one.limit is not None
    assert (one.limit.name, one.limit.origin) == ("bead.peen_runs leaves unpeened run", "given")


def test_left_unpeened_as_planned_it_leaves_nothing() -> None:
    """Nor does a peen of a run that is to be peened."""
    left = reviewed(edited("peened-against-the-plan.txt", ("32,!peen", "")), NOT_ROOT)
    peened = reviewed(Path("peened-against-the-plan.txt"), HOT.replace('"60 s"', '"3 s"'))
    for found in (left, peened):
        assert not {"peened against the plan", "peens not confirmed"} & set(names(found))


@pytest.mark.parametrize("name", ["late peen", "not peened", "peened against the plan"])
def test_a_recording_may_be_cut_anywhere(name: str) -> None:
    """It shows from its record on, and nothing raises before it."""
    job = NOT_ROOT if "plan" in name else QUICK
    seen = stepped(Path(f"{name.replace(' ', '-')}.txt"), job)
    (record,) = (f.record for f in cut(seen, Peens)[-1] if f.name == name)
    assert shows_from(seen, Peens, name) == record
