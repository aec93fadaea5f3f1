"""The list before the heat: a note of what nobody confirmed, of each list once."""

from __future__ import annotations

from pathlib import Path

from earlier import QUICK
from scripted import cut, edited, names, only, reviewed, shows_from, stepped

from pacer.review.rules.cautions import Cautions
from pacer.session.work import Phase
from pacer.units import Shown

NAME = "cautions not confirmed"
SCRIPT = "cautions-not-confirmed.txt"
SAID = "1,!prepared Hollows vented / Fire extinguisher"


def test_what_of_the_list_is_not_confirmed() -> None:
    """A note, in the list's own words."""
    seen = stepped(Path(SCRIPT), QUICK)
    found = reviewed(Path(SCRIPT), QUICK)
    assert names(found) == [NAME]
    one = only(found, NAME)
    assert (one.weight, one.t_s) == ("note", 1.0)
    assert [s.t_s for s in seen if s.record == one.record] == [1.0]
    assert one.said(Shown()) == "Hollows vented / Fire extinguisher"


def test_a_list_that_was_skipped() -> None:
    """The whole of it."""
    skipped = edited(SCRIPT, (SAID, "1,!prepared not confirmed"))
    assert only(reviewed(skipped, QUICK), NAME).words == "the list before the heat was skipped"


def test_a_list_confirmed_and_none_at_all() -> None:
    """Confirmed there is nothing to note; without a screen nobody was asked, nor before 1.4."""
    assert names(reviewed(edited(SCRIPT, (SAID, "1,!prepared")), QUICK)) == []
    assert names(reviewed(edited(SCRIPT, (SAID, "")), QUICK)) == []


def test_after_an_undo_the_last_answer_counts() -> None:
    """The same list, confirmed at last; or said a moment after the press, by a contact's."""
    undone = (SAID, f"{SAID}\n1.5,!next\n3,!undo\n4,!prepared")
    script = edited(SCRIPT, undone, ("1,!next", ""), ("2,150", ""), ("4,262", "4.5,!next"))
    assert names(reviewed(script, QUICK)) == []
    late = edited(SCRIPT, (SAID, ""), ("2,150", "2,!prepared Hollows vented"))
    assert only(reviewed(late, QUICK), NAME).words == "Hollows vented"


def test_another_days_list_is_another_one() -> None:
    """Covered for a night and gone on: PREPARE once more, confirmed this time."""
    stopped = "10,262\n12,262\n14,262\n16,!hold\n18,!covered\n50000,20\n50002,20\n50004,20\n"
    script = edited(SCRIPT) + stopped + "50005,!hold\n50006,!prepared\n50007,!next\n50008,20\n"
    found = reviewed(script, QUICK)
    assert [row.phase for row in found.phases].count(Phase.PREPARE) == 2
    assert only(found, NAME).t_s == 1.0
    missing = script.replace("50006,!prepared", "50006,!prepared Somebody for the fire watch")
    assert sorted(f.t_s for f in reviewed(missing, QUICK).findings if f.name == NAME) == [1, 50006]


def test_a_recording_may_be_cut_anywhere() -> None:
    """It shows from its record on."""
    seen = stepped(Path(SCRIPT), QUICK)
    (last,) = cut(seen, Cautions)[-1]
    assert shows_from(seen, Cautions, NAME) == last.record
