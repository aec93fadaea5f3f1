"""A soak left too soon, an uneven part: hand-written scripts, a job that soaks for 60 s."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import HOT
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, stepped
from written import head_of

from pacer.job.job import Job
from pacer.review.rules.soak import Soak
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.session.events import Act
from pacer.session.work import Phase
from pacer.units import Shown


def test_cut_short() -> None:
    """The soak counts from 8 s, where 262 °C has stood for 2 s, and is left at 45 s."""
    seen = stepped(Path("soak-cut-short.txt"), HOT)
    found = reviewed(Path("soak-cut-short.txt"), HOT)
    assert above_notes(found) == ["soak cut short"]
    one = only(found, "soak cut short")
    assert one.said(Shown()) == "the soak was left after 37 s of 60 s; then came bead 1"
    assert (one.t_s, one.bead, one.times) == (45.0, None, 1.62)
    (press,) = (s.event for s in seen if s.record == one.record)
    assert isinstance(press, Act)
    assert press.deed == "next"
    assert one.limit is not None
    assert (one.limit.name, one.limit.origin) == ("band.soak", "given")


def test_nothing_is_said_before_a_bead_came() -> None:
    """Cut anywhere nothing raises, and up to the arc nobody knows whether he soaks again."""
    seen = stepped(Path("soak-cut-short.txt"), HOT)
    for step, found in zip(seen, cut(seen, Soak), strict=True):
        assert names(found) == (["soak cut short"] if step.t_s >= 50.5 else [])


def test_held_for_its_time() -> None:
    """Left by the clock after 60 s; and by a press after 70, where places were not yet even."""
    whole = edited(
        "soak-cut-short.txt", ("45,!next", ""), ("50.5,!arc on", ""), ("60.7,!arc off", "")
    )
    struck = whole.replace("62.5,!peen", "").replace("78,262", "78,262\n78.5,!arc on")
    found = reviewed(struck, HOT)
    assert len(found.beads) == 1
    assert above_notes(found) == []
    assert "soak cut short" not in names(reviewed(Path("uneven-at-the-first-bead.txt"), HOT))
    assert above_notes(reviewed(Path("soak-cut-short.txt"), QUICK)) == []


def test_no_soak_is_asked_for() -> None:
    """A job with 0 s: READY comes at once."""
    job = HOT.replace('soak = "60 s"', 'soak = "0 s"')
    assert "soak cut short" not in names(reviewed(Path("soak-cut-short.txt"), job))


def test_an_undone_press_cut_nothing() -> None:
    """Taken back at 47 s; the soak goes on to its end at 68 s, then comes the bead."""
    script = edited(
        "soak-cut-short.txt",
        ("46,262", "46,262\n47,!undo"),
        ("50.5,!arc on", ""),
        ("60.7,!arc off", ""),
        ("62.5,!peen", ""),
        ("76,262", "76,262\n76.5,!arc on"),
    )
    found = reviewed(script, HOT)
    assert len(found.beads) == 1
    assert "soak cut short" not in names(found)


def test_soaked_anew_before_the_bead() -> None:
    """Left at 45 s, covered, taken out again: what counts is the soak before the arc."""
    again = "".join(f"{t},262\n" for t in range(92, 180, 2))
    script = edited(
        "soak-cut-short.txt",
        ("46,262", "46,!covered"),
        ("48,262", "48,!hold"),
        ("50.5,!arc on", ""),
        ("60.7,!arc off", ""),
        ("62.5,!peen", ""),
    )
    found = reviewed(f"{script}{again}180.5,!next\n181,!arc on\n192,!arc off\n", HOT)
    assert [str(row.phase) for row in found.phases].count("soak") == 2
    assert len(found.beads) == 1
    assert "soak cut short" not in names(found)


def test_struck_in_the_preheat() -> None:
    """No soak at all: the arc burns while the flame does."""
    script = "0,20\n1,!next\n2,210\n4,212\n6,214\n8,216\n8.5,!arc on\n10,218\n14,220\n19,!arc off\n"
    one = only(reviewed(script, HOT), "soak cut short")
    assert (one.values["held_s"], one.times) == (0.0, 10.0)


def test_by_hand(hot_job: Job) -> None:
    """Nothing measured: the clock alone counts, and the press after 20 s is on record."""
    head = head_of(hot_job, hand=True)
    presses = (Act(t_ms=1000 * t_s, deed="next") for t_s in (1, 100, 120, 130, 145))
    found = table(numbered(head, enumerate(presses, start=1)))
    one = only(found, "soak cut short")
    assert (one.t_s, one.record, one.values["held_s"]) == (120.0, 3, 20.0)


def test_uneven() -> None:
    """262 and 206 °C, soaked for long enough; half of floor to ceiling is 50 K."""
    found = reviewed(Path("uneven-at-the-first-bead.txt"), HOT)
    assert above_notes(found) == ["uneven at the first bead"]
    one = only(found, "uneven at the first bead")
    assert one.said(Shown()) == (
        "bead 1 was struck with 56 K between 2 places, 206 °C to 262 °C; even is within 50 K"
    )
    assert (one.t_s, one.bead, one.times) == (84.5, None, 1.12)
    cut(stepped(Path("uneven-at-the-first-bead.txt"), HOT), Soak)


def test_even_all_the_same_speaks_against_it() -> None:
    """The script of two places, 262 and 240 °C, in a job that soaks for five minutes."""
    text = edited("uneven-at-the-first-bead.txt").replace(";206.0", ";240.0")
    job = HOT.replace('soak = "60 s"', 'soak = "300 s"')
    one = only(reviewed(text, job), "soak cut short")
    assert one.said_against(Shown()) == (
        "the 2 places known at the first arc were within 22 K of each other",
    )
    uneven = reviewed(Path("uneven-at-the-first-bead.txt"), job)
    assert only(uneven, "soak cut short").against == ()


@pytest.mark.parametrize(("second_c", "uneven"), [(219.0, False), (211.0, True)])
def test_nearly_uneven(second_c: float, uneven: bool) -> None:
    """43 K: 85 % of the limit."""
    text = edited("uneven-at-the-first-bead.txt").replace(";206.0", f";{second_c}")
    assert ("uneven at the first bead" in names(reviewed(text, HOT))) is uneven


@pytest.mark.parametrize(("far_c", "uneven"), [(220, False), (205, True)])
def test_a_place_typed_in_the_soak_counts(far_c: int, uneven: bool) -> None:
    """One channel at 262 °C, and the far end typed: it holds the soak until he presses."""
    hot = {t: f"{t},262" for t in range(4, 90, 2)}
    hot[46] = f"46,!reading {far_c} degC far end"
    hot[76], hot[80] = "76,!next" if uneven else "76,262", "80,!arc on"
    found = reviewed("\n".join(["0,20", "1,!next", "2,150", *hot.values()]) + "\n", HOT)
    assert [bead.struck_in for bead in found.beads] == [Phase.READY]
    assert above_notes(found) == (["uneven at the first bead"] if uneven else [])
