"""Times outside a limit, by hand: floor 200 °C, ceiling 300 °C, a reading a second."""

from __future__ import annotations

from telling import Session, ready

from pacer.job.job import Job
from pacer.session.excursion import Excursion, follow
from pacer.session.fold import begin, step
from pacer.session.stays import entered
from pacer.session.work import Phase


def excursions(session: Session) -> list[Excursion]:
    """Return what a session's events come to."""
    state, _ = begin(session.opened)
    found: list[Excursion] = []
    for event in session.events:
        state, _ = step(state, event)
        follow(found, state, event.t_s)
    return found


def sinking(session: Session, from_s: int, to_s: int, from_c: float) -> Session:
    """2 K a second down."""
    for t_s in range(from_s, to_s):
        session.at(t_s, from_c - 2.0 * (t_s - from_s))
    return session


def test_below_the_floor_counts_from_the_first_bead_on(hot_job: Job) -> None:
    """The part sinks from 262 °C at 86 s by 2 K a second: 200 °C at 117 s, 198 at 118 s.

    The median of three is a reading late: below the floor at 119 s. Out again when the second
    reading over it has come; the coldest median was 192 °C.
    """
    session = sinking(
        ready(hot_job).at(74, "next").steady(75, 86, 262.0).at(85.5, "next"), 86, 123, 262.0
    )
    session.steady(123, 130, 240.0)
    found = excursions(session)
    assert [(e.kind, e.from_s, e.to_s, e.over) for e in found] == [
        ("below the floor", 119.0, 124.0, True)
    ]
    assert found[0].peak_c == 192.0
    # As cold as that before any bead is a preheat that is not done yet.
    assert excursions(Session(hot_job).at(0, 20.0).at(1, "next").steady(2, 60, 150.0)) == []


def test_no_reading_counts_once_it_is_told_and_a_number_was_there(hot_job: Job) -> None:
    """The cable is pulled at 73.5 s, and told at once; the first record after that is at 74 s."""
    found = excursions(ready(hot_job).at(73.5, "lost cable pulled").at(74, "note").at(80, "note"))
    assert [(e.kind, e.from_s, e.to_s, e.over) for e in found] == [
        ("no reading", 74.0, 80.0, False)
    ]
    assert found[0].peak_c is None
    unheard = Session(hot_job).at(0, "next").at(100, "note")
    assert excursions(unheard) == []


def test_the_heat_of_a_bead_going_by_is_none(hot_job: Job) -> None:
    """Above the ceiling in peen and wait: what counts is the temperature at the next arc."""
    session = ready(hot_job).at(74, "next").steady(75, 86, 262.0).at(85.5, "next")
    for t_s in range(86, 112):
        session.at(t_s, min(310.0, 262.0 + 3.0 * (t_s - 85)))
    assert session.state.phase in {Phase.PEEN, Phase.LOOK, Phase.WAIT}
    control = session.state.control
    assert control is not None
    assert control.value_c == 310.0
    assert excursions(session) == []


def test_a_stay_goes_on_until_the_phase_changes(hot_job: Job) -> None:
    """An undo leads back to a phase entered long ago; the stay in it begins anew."""
    session = ready(hot_job)
    before = entered(session.state, 73.0, (Phase.SOAK, 12.0))
    assert before == (Phase.READY, 72.0)
    assert entered(session.state, 73.5, before) is before
    session.at(74, "next").at(75, 262.0)
    bead = entered(session.state, 75.0, before)
    assert bead == (Phase.BEAD, 74.0)
    session.at(76, "undo")
    assert entered(session.state, 76.0, bead) == (Phase.READY, 76.0)
