"""Looks at a finished repair and the preparation list on the review's page and in its JSON."""

from __future__ import annotations

import json

import msgspec
import pytest
from hypothesis import given, settings
from strategies import INSPECTIONS
from written import head_of, some_events

from pacer.job.job import Job
from pacer.review.inspections import inspection_json, inspection_lines, stress
from pacer.review.json_page import as_json
from pacer.review.table import Table, table
from pacer.review.text.lines import review_lines
from pacer.run.refold import states
from pacer.run.reviewing import numbered
from pacer.session.events import SKIPPED, Act, AnyEvent, Inspection, Opened
from pacer.session.inspection import Imperfection, Penetrant, Proof
from pacer.units import Shown

NOW = "2026-03-04T10:00:00.000+00:00"


def reviewed(job: Job, *events: AnyEvent, **head: object) -> tuple[Opened, Table]:
    """Fold some readings and what comes after them, and gather."""
    opened = head_of(job, **{"v": (1, 4), **head})
    return opened, table(numbered(opened, enumerate([*some_events(), *events], 1)))


def page(job: Job, *events: AnyEvent, **head: object) -> str:
    """Return the text."""
    told = reviewed(job, *events, **head)
    return "\n".join(review_lines("a.jsonl", *told, Shown(), tables=True))


def lines(look: Inspection, job: Job, shown: Shown | None = None) -> list[str]:
    """Return a look's lines."""
    return list(inspection_lines(look, job, shown or Shown()))


def test_a_look_stands_with_its_date_and_each_imperfection_on_a_line(hot_job: Job) -> None:
    """Number, name, where, how large; in the JSON too."""
    look = Inspection(
        t_ms=6000,
        look="visual",
        result="imperfections found",
        imperfections=(
            Imperfection(1046, "transverse crater crack", bead=3, size_m=0.002),
            Imperfection(601, "stray arc", place="left end"),
            # Its line in ISO 6520-1 was not seen: the table has it from memory.
            Imperfection(106, "branching crack"),
        ),
        by="day shift",
        wall=NOW,
    )
    text = page(hot_job, look)

    assert (
        "\ninspection\n"
        "  2026-03-04 10:00 UTC  visual: imperfections found; by day shift\n"
        "  - 1046 transverse crater crack, at bead 3, 2 mm\n"
        "  - 601 stray arc, at left end\n"
        "  - 106 branching crack (ISO number from memory, confidence high)\n"
    ) in text
    as_keys = as_json("a.jsonl", *reviewed(hot_job, look), [])["inspections"]
    assert as_keys == [inspection_json(look)]


@pytest.mark.parametrize(
    ("tested", "told"),
    [
        # T.O. 33B-1-1 (row N04, seen in the primary text): maker's 10 min at 20, 10 and 45 °C.
        (Penetrant(20.0, 600.0, maker_s=600.0), ["at least 10 min ("]),
        (Penetrant(10.0, 600.0, maker_s=600.0), ["at least 20 min; it stood only 10 min ("]),
        (Penetrant(45.0, 300.0, maker_s=600.0), ["at least 5 min ("]),
        (Penetrant(20.0, 1800.0, maker_s=600.0, from_service=True), ["at least 30 min ("]),
        # The maker's time not known: the least of row N01.
        (Penetrant(20.0, 600.0), ["at least 5 min (with a maker's time of 5 min, the least"]),
        # Outside of what other sources have: ISO 3452-1 (from memory) and ASME V (secondary).
        (Penetrant(6.0, 1200.0), ["at least 10 min (", "10 to 50 °C"]),
        # Row N01 (ISO 3452-1 clause 8.4.2, seen in the primary text): 5 to 60 min, whoever made it.
        (
            Penetrant(20.0, 120.0, maker_s=120.0),
            [
                "at least 5 min; it stood only 2 min (",
                "maker's time of 2 min is outside of 5 min to",
            ],
        ),
        (
            Penetrant(20.0, 5400.0, maker_s=5400.0),
            ["at least 1 h 30 min (", "maker's time of 1 h 30 min is", "on the part is outside of"],
        ),
        (
            Penetrant(maker_s=120.0),
            ["maker's time of 2 min is outside of 5 min to 1 h (ISO 3452-1"],
        ),
        # A record made elsewhere: no surface so hot is ever asked for.
        (Penetrant(60.0, 600.0), ["let the part cool first"]),
        (
            Penetrant(developer_s=300.0),
            [
                # Row N06 is from memory: as sure as whoever wrote it down was.
                "looked at outside of 10 to 30 min (ISO 3452-1, these clauses not seen; "
                "from memory, confidence high)",
                "looked at outside of 10 to 60 min",
            ],
        ),
        (Penetrant(developer_s=2400.0), ["looked at outside of 10 to 30 min"]),
        (Penetrant(developer_s=1200.0), []),
    ],
)
def test_what_is_published_of_the_dwell_stands_beside_it(
    tested: Penetrant, told: list[str], hot_job: Job
) -> None:
    """Each with its source; nothing is told of what was not said."""
    look = Inspection(t_ms=0, look="penetrant", result="nothing found", penetrant=tested)
    _, *remarks = lines(look, hot_job)

    for words in told:
        assert any(words in remark for remark in remarks), remarks
    assert all("(" in remark or "cool first" in remark for remark in remarks)
    assert bool(remarks) == bool(told)


@pytest.mark.parametrize(
    ("loaded", "mpa"),
    [
        # By hand: 6 · 1000 N · 0.2 m / (0.05 m · (0.02 m)²) = 60 MPa.
        (Proof(1000.0, 0.2, width_m=0.05, height_m=0.02), 60.0),
        # By hand: 32 · 1000 N · 0.2 m / (pi · (0.03 m)³) = 75.45 MPa.
        (Proof(1000.0, 0.2, diameter_m=0.03), 75.45),
        (Proof(1000.0, 0.2, width_m=0.05), None),
        (Proof(1000.0, diameter_m=0.03), None),
        (Proof(arm_m=0.2, diameter_m=0.03), None),
    ],
)
def test_a_stress_is_computed_only_from_all_its_figures(
    loaded: Proof, mpa: float | None, hot_job: Job
) -> None:
    """And whatever is missing, it is no rating."""
    look = Inspection(t_ms=0, look="proof load", result="nothing found", proof=loaded)
    found = stress(loaded)

    assert (found is None) == (mpa is None)
    if found is not None and mpa is not None:
        assert found / 1e6 == pytest.approx(mpa, rel=1e-3)
    assert lines(look, hot_job)[-1].startswith("No rating")
    part = inspection_json(look)["proof"]
    assert isinstance(part, dict)
    assert part["nominal_stress_pa"] == found


def test_the_strength_beside_a_proof_load_is_that_of_the_wall_that_was_given(hot_job: Job) -> None:
    """EN 1561 GJL-250 (secondary page): 195 MPa up to 20 mm, 155 to 250 where nobody said it."""
    loaded = Proof(1000.0, 0.2, width_m=0.05, height_m=0.02, grade="EN-GJL-250")
    look = Inspection(t_ms=6000, look="proof load", result="not judged", proof=loaded)
    measured = msgspec.structs.replace(hot_job.part, wall_m=0.012)
    given = msgspec.structs.replace(
        hot_job, part=measured, origin={**hot_job.origin, "part.wall": "given"}
    )
    guessed = msgspec.structs.replace(
        given, origin={**hot_job.origin, "part.wall": "default: a guess"}
    )

    assert "\n  195 MPa in a wall of 20 mm, the next" in page(given, look)
    assert "\n  155 MPa to 250 MPa: " in page(guessed, look)


@given(look=INSPECTIONS)
@settings(max_examples=150, deadline=None)
def test_any_look_is_shown_and_nothing_of_it_obeys_a_terminal(
    hot_job: Job, look: Inspection
) -> None:
    """Also with members of another look; every line printable, the JSON without NaN."""
    for shown in (Shown(), Shown("us")):
        assert all(line.isprintable() for line in inspection_lines(look, hot_job, shown))
    json.dumps(inspection_json(look), allow_nan=False)
    by_this_look = "nothing found by this look" in lines(look, hot_job)[0]
    assert by_this_look == (look.result == "nothing found")


def prepared(t_s: int, text: str | None) -> Act:
    """The preparation list, as the screen writes it."""
    return Act(t_ms=1000 * t_s, deed="prepared", text=text)


def test_the_preparation_list_is_shown_as_it_was_answered(hot_job: Job) -> None:
    """Confirmed, skipped, some of it; each day's; it is no note."""
    acts = [prepared(7, None), prepared(8, SKIPPED), prepared(9, "groove, vents")]
    text = page(hot_job, *acts)

    assert (
        "\npreparation list\n"
        "  0:00:07    confirmed\n"
        "  0:00:08    not confirmed\n"
        "  0:00:09    not confirmed: groove, vents\n"
    ) in text
    assert "note: groove" not in text
    assert as_json("a", *reviewed(hot_job, *acts), [])["prepared"] == [
        {"t_s": 7.0, "by": "key", "not_confirmed": None},
        {"t_s": 8.0, "by": "key", "not_confirmed": "not confirmed"},
        {"t_s": 9.0, "by": "key", "not_confirmed": "groove, vents"},
    ]


def test_a_list_that_nobody_answered_is_not_confirmed(hot_job: Job) -> None:
    """Headless; where no list was ever shown nothing is missed."""
    assert "\npreparation list\n  not confirmed\n" in page(hot_job)
    assert "preparation list" not in page(hot_job, v=(1, 3))
    assert "preparation list" not in page(hot_job, start_phase="cool-down")


def test_the_list_changes_nothing_of_the_session(hot_job: Job) -> None:
    """A fact for the record: the fold's state is that of a note."""
    opened = head_of(hot_job)
    ends = []
    for deed in ("prepared", "note"):
        act = msgspec.convert({"k": "ev", "b": 500, "e": deed, "text": "groove"}, Act)
        *_, (_, state, cues) = states(opened, [act])
        ends.append((state, cues))
    assert ends[0] == ends[1]
