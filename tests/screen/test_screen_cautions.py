"""The line of caution: what it says is a row of the trade tables, and it is one line."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from itertools import product

import fake_desk as fd
import msgspec
import painted
import pytest

from pacer.job.job import Job
from pacer.job.sheet.sections.cautions import STAGES, Stage, cautions
from pacer.screen.parts.cautions import FIRE_WATCH_S, Short, caution, told
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.trade.rows import Row, row

COATINGS = (None, "none", "paint", "lead", "zinc", "cadmium", "chromium", "unknown")
HOLLOWS = (None, "none", "vented", "closed", "unknown")
SOURCES = ("gas grill", "torch", "oven", "hot plate")
COVERS = ("dry sand", "vermiculite", "ceramic blanket", "still air", "furnace")
BEFORE = frozenset({Phase.PREPARE, Phase.TACK, Phase.PREHEAT, Phase.SOAK})


def facts(coating: str | None, hollow: str | None) -> dict[str, str]:
    """Return a job file's facts."""
    said = {"part.coating": coating, "part.hollow": hollow}
    return {key: word for key, word in said.items() if word is not None}


def jobs() -> Iterator[Job]:
    """Yield jobs that differ in everything a caution hangs on."""
    change = msgspec.structs.replace
    for source, cover, designation in product(SOURCES, COVERS, ("ENiFe-CI", "E7018")):
        yield change(
            fd.JOB,
            heating=change(fd.JOB.heating, source=source),
            cooldown=change(fd.JOB.cooldown, cover=cover),
            filler=change(fd.JOB.filler, designation=designation),
        )
    for coating, hollow in product(COATINGS, HOLLOWS):
        yield change(fd.JOB, facts=facts(coating, hollow))


def moments() -> Iterator[tuple[State, float]]:
    """Yield every phase with every such job, covered as that job says."""
    for make in painted.PHASES.values():
        session = make()
        for job in jobs():
            work = session.state.work
            if work.cover:
                work = msgspec.structs.replace(work, cover=job.cooldown.cover)
            yield msgspec.structs.replace(session.state, job=job, work=work), session.t_s


@pytest.mark.slow
def test_every_caution_of_every_moment_is_one_line_of_80() -> None:
    """Three cells go to its mark; there is always one, and never half a one."""
    for state, t_s in moments():
        said = caution(state, t_s)
        assert 0 < len(said) <= 77, said
        assert said.startswith(told(state, t_s)[0].words)


@pytest.mark.slow
def test_every_caution_is_a_row_that_the_job_calls_for() -> None:
    """`row` raises for one that isn't there; the plan of the same job shows it too."""
    found: dict[str, Short] = {}
    for state, t_s in moments():
        planned = {row_.id for row_ in cautions(state.job)}
        for short in told(state, t_s):
            found[short.words] = short
            assert row(short.table, short.id)
            assert short.table != "cautions" or short.id in planned, (short, state.phase)
    # The last look is the repair's own row, no caution.
    assert {short.id for short in found.values() if short.table != "cautions"} == {"R24"}
    assert len(found) > 20


@pytest.mark.slow
def test_before_the_arc_nothing_is_told_that_matters_only_afterwards() -> None:
    """And the other way round: the stages are those of the plan."""
    later: set[Stage] = {"cool", "after"}
    for state, t_s in moments():
        stages = {
            row("cautions", short.id).values["stage"]
            for short in told(state, t_s)
            if short.table == "cautions"
        }
        assert stages <= set(STAGES)
        if state.phase in BEFORE:
            assert not stages & later, state.phase
        if state.phase in {Phase.COOL_DOWN, Phase.DONE, Phase.BURY}:
            assert "weld" not in stages, state.phase


def before_heat(coating: str | None, hollow: str | None) -> str:
    """Return what is said before any heat of a part so described."""
    job = msgspec.structs.replace(fd.JOB, facts=facts(coating, hollow))
    return caution(fd.Session(job).state, 0.0)


@pytest.mark.parametrize("metal", ["lead", "zinc", "cadmium", "chromium"])
def test_a_poisonous_coating_comes_first(metal: str) -> None:
    """procedure.md section 12: lead, zinc, cadmium coatings off first (from memory)."""
    for hollow in HOLLOWS:
        assert before_heat(metal, hollow).startswith(f"{metal.capitalize()} comes off before any")


def test_hollows_are_named_unless_there_are_none() -> None:
    """29 CFR 1910.252(a)(3)(ii), seen in a secondary page: what nobody said is not "none"."""
    for coating, hollow in product(COATINGS, HOLLOWS):
        assert ("closed hollows" in before_heat(coating, hollow)) == (hollow != "none")


def test_what_the_job_does_not_ask_for_leaves_its_room_to_what_it_does() -> None:
    """Solvent always; gas where there is a flame; coatings that nobody named."""
    assert before_heat("none", "none") == (
        "No solvent near arc or flame. Burning gas makes carbon monoxide: open doors"
    )
    assert before_heat(None, "none") == (
        "No solvent near arc or flame. Lead, zinc, cadmium, chromium come off first"
    )
    assert before_heat("paint", "none").startswith("Old paint counts as lead")


def test_the_fire_watch_is_the_rows_own() -> None:
    """Half an hour: 29 CFR 1910.252(a)(2)(iii)(B), seen in a secondary page."""
    assert row("cautions", "fire watch").values["watch_s"] == FIRE_WATCH_S == 1800.0


def test_a_replay_counts_down_the_fire_watch_that_was_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By a program whose row says another by then: the module is loaded anew beside one of 2 h."""

    def later(table: str, row_id: str) -> Row:
        found = row(table, row_id)
        return msgspec.structs.replace(found, values={**found.values, "watch_s": 7200.0})

    monkeypatch.setattr("pacer.trade.rows.row", later)
    spec = importlib.util.find_spec("pacer.screen.parts.cautions")
    assert spec is not None
    assert spec.loader is not None
    anew = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(anew)
    state = painted.PHASES[Phase.COOL_DOWN]().state
    last_s = max(bead.ended_s or 0.0 for bead in state.work.beads)

    assert anew.row is later
    assert "Fire watch: at least 20 min more" in {
        short.words for short in anew.told(state, last_s + 600.0)
    }
