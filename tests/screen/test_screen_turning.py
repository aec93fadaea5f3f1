"""Turning the part over: said in the quiet line and the caution, until G or the next bead.

A double V is turned after its root and after each pair of layers (procedure.md section 5:
common practice, no source); which run lies on which side is `job/layers.py`'s, tested there.
"""

from __future__ import annotations

import fake_desk as fd
import msgspec
import pytest
from test_screen_layout import SIZES, lines_of, shown_as

from pacer.job.layers import layers
from pacer.screen.app import PacerApp
from pacer.screen.parts.cautions import LONGEST, caution
from pacer.screen.parts.quiet import quiet
from pacer.screen.widgets.lines import Quiet
from pacer.session.work import Phase
from pacer.units import Shown

AFTER_ROOT = "Turn over first: stand ready, grind to sound metal, fix sensor anew, then G"
LATER = "Turn over first: stand ready, fix sensor anew, then G"


def told(session: fd.Session) -> str:
    """Return the quiet line."""
    return quiet(session.snapshot(), Shown())


def phase_of(session: fd.Session) -> Phase:
    """Return the phase in force."""
    return session.state.phase


def run_laid(session: fd.Session) -> fd.Session:
    """One run more, each bead with its peen."""
    for _ in range(session.state.job.plan.places):
        session.press("next").read(262.0, 12.0).press("next").read(262.0, 16.0)
    return session


def test_it_is_said_until_g_and_again_at_the_next_change_of_sides() -> None:
    """Root on side 1, two layers on side 2, then back: on the way nothing is said."""
    session = fd.root_laid()
    sides = [layer.side for layer in layers(session.state.job)]
    assert sides[:3] == [1, 2, 2]
    assert phase_of(session) is Phase.READY
    assert told(session) == AFTER_ROOT
    assert "Turning it over" in caution(session.state, session.t_s)

    assert told(session.press("turned")) == ""
    assert "Turning it over" not in caution(session.state, session.t_s)

    while session.state.work.laid + 1 <= _last_bead_of_side_2(session):
        assert told(session) == ""
        run_laid(session)
    assert told(session) == LATER


def _last_bead_of_side_2(session: fd.Session) -> int:
    job = session.state.job
    made = layers(job)
    end = next(at for at, layer in enumerate(made[1:], 1) if layer.side == 1)
    return made[end - 1].last * job.plan.places


def test_the_last_bead_of_the_root_is_peened_first() -> None:
    """Turned over while it is red nobody could peen it."""
    session = fd.root_laid(beads=4).press("next").read(262.0, 12.0).press("next").read(262.0, 2.0)
    assert phase_of(session) is Phase.PEEN
    assert told(session) == ""
    session.read(262.0, 14.0)
    assert phase_of(session) is Phase.READY
    assert told(session) == AFTER_ROOT


def test_who_turned_it_without_g_is_not_nagged() -> None:
    """The next bead lies on the other side: the line has done its work."""
    session = fd.root_laid().press("next").read(262.0, 3.0)
    assert phase_of(session) is Phase.BEAD
    assert told(session) == ""
    session.read(262.0, 9.0).press("next").read(262.0, 18.0)
    assert phase_of(session) is Phase.READY
    assert told(session) == ""


@pytest.mark.parametrize(("temp_c", "phase"), [(312.0, Phase.WAIT), (190.0, Phase.REHEAT)])
def test_it_is_said_while_the_part_is_too_hot_or_too_cold(temp_c: float, phase: Phase) -> None:
    """A wait is a good time to turn it."""
    session = fd.root_laid().ramp(temp_c).read(temp_c, 20.0)
    assert phase_of(session) is phase
    assert told(session).startswith(AFTER_ROOT)


def test_a_joint_laid_from_one_side_is_not_turned() -> None:
    """The same beads in a single V."""
    assert fd.JOB.joint.preparation == "single-V"
    session = fd.ready()
    for _ in range(2):
        run_laid(session)
        assert told(session) == ""


def test_typed_readings_have_no_sensor_to_fix() -> None:
    """The state of a hand session, which has none clamped on."""
    session = fd.root_laid()
    sensor = msgspec.structs.replace(session.state.sensor, hand=True)
    session.state = msgspec.structs.replace(session.state, sensor=sensor)
    assert "sensor" not in told(session)
    assert told(session).startswith("Turn over first: stand ready, grind to sound metal, then G")


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_it_stands_whole_in_one_line(size: tuple[int, int]) -> None:
    """The narrowest window has 78 letters for it; the caution has its own."""

    def check(app: PacerApp) -> None:
        (row,) = [at for at, line in enumerate(lines_of(app)) if AFTER_ROOT in line]
        assert [row] == [panel.region.y for panel in app.live.query(Quiet) if panel.region.area]
        assert any("Turning it over: dry gloves, tongs" in line for line in lines_of(app))

    session = fd.root_laid()
    assert len(caution(session.state, session.t_s)) <= LONGEST
    shown_as(session.snapshot(), size, check)
