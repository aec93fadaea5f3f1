"""Recordings side by side: figures against a script's own arithmetic, and hand-made findings."""

from __future__ import annotations

import math
from pathlib import Path

import msgspec
import pytest
from commands import here
from conftest import COLD, HOT
from earlier import QUICK, one_bead
from written import head_of

from pacer.cli.reviewing.reading import read
from pacer.job.job import Job
from pacer.review.compare.as_json import compared_json
from pacer.review.compare.compared import NO_CAUSE, Compared, compare
from pacer.review.compare.course import Course
from pacer.review.compare.figures import Figures, figures
from pacer.review.compare.grids import FIGURES, grids
from pacer.review.compare.lines import compared_lines
from pacer.review.compare.side import Side
from pacer.review.reviewed import Reviewed
from pacer.review.table import PhaseRow, Table
from pacer.session.events import Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.inspection import Imperfection
from pacer.session.work import Bead, Phase
from pacer.units import Shown

COVERED_S, FALLS_S = 200.0, 2000.0
SCRIPT = Path(__file__).parent / "scripts" / "uncovered-early.txt"
CRACK = Outcome(t_ms=0, found="crack", where="boundary")
NONE_FOUND = Outcome(t_ms=0, found="no crack found", when="at grinding")


def cooled_c(t_s: float) -> float:
    """Return the script's reading under the cover: from 262 °C towards 20 °C."""
    return 20.0 + 242.0 * math.exp(-(t_s - COVERED_S) / FALLS_S)


def coursed(script: str, job_toml: str, folder: Path) -> Figures:
    """Return the figures of a hand-written script."""
    (folder / "job.toml").write_text(job_toml)
    (folder / "in.txt").write_text(script)
    source, out = f"file:{folder}/in.txt?time=first", folder / "a.jsonl"
    out.unlink(missing_ok=True)
    here("run", folder / "job.toml", "--sensor", source, "--no-screen", "--out", out).fine()
    one = read(str(out))
    return figures(Side(one.reviewed, one.course))


def test_the_figures_are_those_of_the_script(tmp_path: Path) -> None:
    """Every one by hand from its times.

    Preheat from the press at 1 s until 262 °C has held for 2 s at 12 s (9 s, and the median of the
    readings one later); the soak of 3 s; the bead from 20 to 31 s; finish at 60 s and 120 s of
    hold; covered at 200 s, then a cooling curve.
    """
    after = ["60,!finish", *(f"{t_s},262" for t_s in range(61, 200, 2)), f"{COVERED_S},!covered"]
    after += [f"{t_s},{cooled_c(t_s):.2f}" for t_s in range(210, 8000, 30)]
    of = coursed(one_bead(*after), QUICK, tmp_path)
    assert of.preheat_s == 11.0
    assert of.soak_held_s == 3.0
    assert (of.least_start_c, of.median_start_c, of.most_start_c) == (262.0, 262.0, 262.0)
    assert (of.beads_laid, of.beads_planned) == (1, 39)
    assert (of.mean_arc_s, of.sd_arc_s) == (11.0, None)
    assert (of.peens_confirmed, of.peens_due) == (0, 1)
    assert (of.below_floor_s, of.above_ceiling_s, of.wait_s, of.reheat_s) == (0.0, 0.0, 0.0, 0.0)
    assert of.post_heat_held_s == 120.0
    assert of.covers == ("dry sand",)
    until_s = FALLS_S * math.log(242.0 / 20.0)
    assert of.to_until_s == pytest.approx(until_s, abs=61.0), "readings are 30 s apart, filtered"
    # From 15 to 30 min the curve is steepest: nothing earlier counts, nothing shorter is a mean.
    fall_dc = cooled_c(COVERED_S + 900.0) - cooled_c(COVERED_S + 1800.0)
    assert of.fastest_fall_c_h == pytest.approx(fall_dc / 900.0 * 3600.0, rel=0.02)


def until_cool(of: Figures, shown: Shown | None = None) -> str:
    """Return the cell of the row that says how it was until it was cool."""
    return dict(FIGURES)["covered until cool"](of, shown or Shown())


def test_uncovered_before_it_was_cool_it_was_never_covered_until_cool(tmp_path: Path) -> None:
    """Covered at 100 s, uncovered at 1601 s; the median of what was read by then is 105 °C."""
    early = SCRIPT.read_text(encoding="utf-8") + "".join(
        f"{t_s},39\n" for t_s in range(2600, 3200, 60)
    )
    of = coursed(early, HOT, tmp_path)
    assert of.to_until_s is None
    assert (of.covered_s, of.uncovered_c) == (1501.0, 105.0)
    assert until_cool(of) == "uncovered after 25 min at 105 °C"
    assert until_cool(of, Shown("us")) == "uncovered after 25 min at 221 °F"
    # Under the cover there were 10 min beyond the first quarter of an hour, in which nothing is a
    # mean: it is of the open air too. 103 °C at 1600 s and 48 °C at 2500 s are 220 K/h.
    assert of.fastest_fall_c_h is not None
    assert 150.0 < of.fastest_fall_c_h < 220.0
    left = coursed(early.replace("1601,!uncovered\n", ""), HOT, tmp_path)
    assert left.to_until_s == pytest.approx(2500.0, abs=180.0)
    assert left.covered_s is None
    assert until_cool(left) == Shown().duration(left.to_until_s or 0.0)


def test_of_two_days_it_is_until_cool_after_the_last_cover(tmp_path: Path) -> None:
    """The night fell by 15 % in 10 min, the burial by 10 %; 20 of 240 K are left at 40 °C."""
    night = ["60,!hold", "61,262", "62,262", "65,!covered"]
    night += [f"{65 + 600 * n},{20 + 240 * 0.85**n:.1f}" for n in range(1, 40)]
    day = ["24065,!hold", "24067,!next", *(f"{t_s},262" for t_s in range(24068, 24105))]
    day += ["24105,!next", *(f"{t_s},262" for t_s in range(24106, 24185)), "24185,!finish"]
    day += [*(f"{t_s},258" for t_s in range(24186, 24375)), "24375,!covered"]
    day += [f"{24375 + 600 * n},{20 + 240 * 0.9**n:.1f}" for n in range(1, 40)]
    first = coursed(one_bead(*night), QUICK, tmp_path)
    both = coursed(one_bead(*night, *day), QUICK, tmp_path)
    assert both.covers == ("dry sand",)
    wanted = [600.0 * math.log(20.0 / 240.0) / math.log(keeps) for keeps in (0.85, 0.9)]
    late = "readings are 10 min apart, filtered"
    assert [first.to_until_s, both.to_until_s] == pytest.approx(wanted, abs=1201.0), late
    assert both.covered_s is None


def test_a_cover_that_an_undo_takes_back_never_was(tmp_path: Path) -> None:
    """Uncovered and undone it stood in sand throughout; uncovered for good it stood bare as well."""
    early, late = SCRIPT.read_text(encoding="utf-8").split("1601,!uncovered\n")
    tail = "".join(f"{t_s},39\n" for t_s in range(2600, 3200, 60))
    undone = early + "1601,!uncovered\n1602,!undo\n" + late + tail
    of, left = coursed(undone, HOT, tmp_path), coursed(early + late + tail, HOT, tmp_path)
    assert of.covers == left.covers == ("dry sand",)
    assert (of.covered_s, of.to_until_s) == (None, left.to_until_s)
    bare = coursed(f"{early}1601,!uncovered\n{late}{tail}", HOT, tmp_path)
    assert bare.covers == ("dry sand", "still air")


def test_of_a_cold_job_nothing_is_covered_until_cool(tmp_path: Path) -> None:
    """Its part is never hotter than it may be uncovered at for long, and lies in the open."""
    of = coursed(
        "0,20\n1,!next\n2,20\n9,20\n10,!next\n11,!next\n12,!finish\n20,20\n30,20\n", COLD, tmp_path
    )
    assert (of.to_until_s, of.covered_s, of.uncovered_c) == (None, None, None)
    assert until_cool(of) == "-"


def made(
    job: Job, *findings: str, name: str = "a.jsonl", outcome: Outcome | None = None, **lists: object
) -> tuple[Reviewed, Course]:
    """Return a recording with findings of these names, a preheat from 30 s, and what it came to."""
    out = Table(**lists)  # type: ignore[arg-type]
    for t_s, finding in enumerate(findings):
        out.findings.add(Finding(name=finding, t_s=float(t_s), words=f"{finding} of {name}"))
    out.phases.extend([PhaseRow(Phase.PREPARE, 0.0, 30.0), PhaseRow(Phase.PREHEAT, 30.0, 90.0)])
    if outcome is not None:
        out.outcomes.add(outcome)
    return Reviewed(name, head_of(job), out), Course()


def text(compared: Compared, shown: Shown | None = None) -> str:
    """Return the page; no line of it is too long."""
    lines = list(compared_lines(compared, shown or Shown()))
    assert all(len(line) <= 80 for line in lines), max(lines, key=len)
    return "\n".join(lines)


def test_what_only_the_cracked_one_has_comes_first(hot_job: Job) -> None:
    """With its evidence, before every figure; and that a difference proves no cause."""
    good = made(hot_job, "cooled through", "tink heard", outcome=NONE_FOUND)
    bad = made(hot_job, "arc lost", "cooled through", name="b.jsonl", outcome=CRACK)
    compared = compare([good, bad])
    assert [(one.side.letter, one.finding.name) for one in compared.only_cracked] == [
        ("B", "arc lost")
    ]
    assert [(one.side.letter, one.finding.name) for one in compared.only_one] == [
        ("A", "tink heard")
    ]
    page = text(compared)
    first = page.index(
        "Only where a crack was found (B), not in A\nB  0:00:00  arc lost: arc lost of"
    )
    assert page.index("proves no cause") < first < page.index("what was measured")
    assert first < page.index("only one has")


def test_what_began_after_the_crack_is_left_out_and_so_is_the_crack(hot_job: Job) -> None:
    """Reported at 1 s: what came at 2 s can't have led there; the count of them is told."""
    bad = made(hot_job, "arc lost", "crack reported", "uncovered early", name="b.jsonl")
    compared = compare([made(hot_job, outcome=NONE_FOUND), bad])
    assert [one.finding.name for one in compared.only_cracked] == ["arc lost"]
    assert [one.finding.name for one in compared.only_one] == ["crack reported", "uncovered early"]
    words = " ".join(text(compared).split())
    assert "(B), not in A; left out: 1 that began after the crack B 0:00:00 arc lost" in words


def test_of_three_what_either_cracked_one_has_and_no_other(hot_job: Job) -> None:
    """Two cracked with one finding in common: it isn't of one only, and is listed all the same."""
    compared = compare(
        [
            made(hot_job, "late peen", "arc lost", outcome=CRACK),
            made(hot_job, "late peen", outcome=CRACK),
            made(hot_job, "arc lost", outcome=NONE_FOUND),
        ]
    )
    assert [(one.side.letter, one.finding.name) for one in compared.only_cracked] == [
        ("A", "late peen"), ("B", "late peen")
    ]  # fmt: skip
    assert not compared.only_one
    assert "Only where a crack was found (A, B), not in C" in text(compared)


@pytest.mark.parametrize(
    ("outcomes", "asked"),
    [
        ((CRACK, CRACK), False),
        ((NONE_FOUND, NONE_FOUND), False),
        ((None, None), False),
        ((CRACK, None), True),
    ],
)
def test_good_against_failed_needs_one_that_cracked_and_one_that_is_not_known_to(
    outcomes: tuple[Outcome | None, ...], asked: bool, hot_job: Job
) -> None:
    """Of an unknown one it says that nobody has said."""
    compared = compare([made(hot_job, "arc lost", outcome=outcome) for outcome in outcomes])
    assert compared.good_against_failed is asked
    page = text(compared)
    assert ("Only where a crack was found" in page) is asked
    assert ("what became of it: not known" in " ".join(page.split())) is (None in outcomes)


def test_a_look_that_found_a_crack_counts_as_an_outcome(hot_job: Job) -> None:
    """ISO 6520-1 number 1012 is a crack along the weld at its boundary."""
    crack = Imperfection(number=1012, name="longitudinal crack in the weld junction")
    looked = made(hot_job)
    looked[0].table.inspections.add(
        Inspection(t_ms=0, look="penetrant", result="imperfections found", imperfections=(crack,))
    )
    compared = compare([looked, made(hot_job)])
    assert [side.became.word for side in compared.sides] == ["crack", "unknown"]
    words = " ".join(text(compared).split())
    assert "what became of it: crack (look: penetrant)" in words
    assert "what became of it crack (look: penetrant) not known" in words


def test_a_crack_that_was_reported_counts_until_a_look_found_none(hot_job: Job) -> None:
    """A ring that found nothing is no such look."""
    rang = Inspection(t_ms=9000, look="ring", result="nothing found", ring="clear")
    seen = Inspection(t_ms=9000, look="visual", result="nothing found")
    both = [made(hot_job, "crack reported") for _ in range(2)]
    for (reviewed, _), look in zip(both, (rang, seen), strict=True):
        reviewed.table.inspections.add(look)
    compared = compare(both)
    assert [side.became.word for side in compared.sides] == ["crack", "no crack found"]
    assert "what became of it: crack reported" in " ".join(text(compared).split())


def test_rows_alike_in_all_are_left_out_of_the_text_and_counted(hot_job: Job) -> None:
    """Of a page and of JSON they are not: there the tables are whole."""
    one, other = (Bead(n, 0, 100.0 * n, 250.0, "arc", 100.0 * n + 9.0, "arc") for n in (1, 2))
    hotter = msgspec.structs.replace(other, start_c=260.0)
    compared = compare([made(hot_job, beads=(one, other)), made(hot_job, beads=(one, hotter))])
    lines = text(compared).splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("bead "))
    assert lines[at + 1].split()[:3] == ["2", "250", "°C"]
    assert lines[at + 2 : at + 4] == ["(1 of 2 alike)", ""]
    assert "phases, from preheat on: all 2 alike" in lines
    whole = {grid.title: grid.rows for grid in grids(compared, Shown())}
    assert [label for label, _ in whole["bead"]] == ["1", "2"]
    assert [label for label, _ in whole["phases, from preheat on"]] == ["prepare", "preheat"]
    assert len(compared_json(compared)["beads"]) == 2  # type: ignore[arg-type]


def test_they_are_aligned_at_the_preheat_of_each(hot_job: Job) -> None:
    """Or at the start, where one has none."""
    late = made(hot_job)
    late[0].table.phases = type(late[0].table.phases)()
    late[0].table.phases.extend([PhaseRow(Phase.PREHEAT, 100.0, 160.0, 20.0, 260.0)])
    compared = compare([made(hot_job), late])
    assert (compared.aligned, compared.zeros_s) == ("preheat", (30.0, 100.0))
    (phase, (one, other)) = compared.phases[1]
    assert phase is Phase.PREHEAT
    assert one is not None
    assert other is not None
    assert (one.after_s, other.after_s) == (0.0, 0.0)
    assert (other.least_c, other.most_c) == (20.0, 260.0)
    none = Reviewed("c.jsonl", head_of(hot_job), Table()), Course()
    assert compare([late, none]).aligned == "the start"


def test_beads_stand_beside_each_other_by_number(hot_job: Job) -> None:
    """One that lost its arc and the one that finished it share a number; a tap of the arc is none."""
    lost = Bead(1, 0, 100.0, 250.0, "arc", 106.0, "arc", lost=True)
    finished = Bead(1, 0, 120.0, 260.0, "arc", 130.0, "arc", peened="ended by press")
    tap = Bead(2, 1, 140.0, 255.0, "arc", 141.0, "arc", counted=False)
    whole = Bead(1, 0, 90.0, None, "press", 102.5, "press", peened="left alone")
    compared = compare([made(hot_job, beads=(lost, finished, tap)), made(hot_job, beads=(whole,))])
    assert [(row.number, row.again, row.beads) for row in compared.beads] == [
        (1, 0, (lost, whole)),
        (1, 1, (finished, None)),
    ]
    rows = [" ".join(line.split()) for line in text(compared).splitlines()]
    assert "1 250 °C 6.0 s arc lost not read, 12.5 s left alone" in rows
    assert "1, again 260 °C 10.0 s peened -" in rows


def test_only_the_keys_that_differ_are_listed(hot_job: Job) -> None:
    """In the job file's spelling; a fact that one lacks is a difference too."""
    other = msgspec.structs.replace(
        hot_job,
        title="another",
        band=msgspec.structs.replace(hot_job.band, floor_c=230.0),
        facts={"filler.batch": "7 of May"},
    )
    compared = compare([made(hot_job), made(other)])
    assert compared_json(compared)["job"] == {
        "filler.batch": [None, "7 of May"],
        "band.floor": ["200 degC", "230 degC"],
    }
    page = [" ".join(line.split()) for line in text(compared, Shown("us")).splitlines()]
    assert "band.floor 392 °F 446 °F" in page
    assert not any(line.startswith("band.ceiling") for line in page)


def test_of_five_the_table_goes_on_below(hot_job: Job) -> None:
    """Three across, then two; each row in both parts, one that differs in one of five as well."""
    pairs = [made(hot_job, name=f"{n}.jsonl") for n in range(4)]
    page = text(compare([*pairs, made(hot_job, name="4.jsonl", outcome=CRACK)]))
    assert sum(line.startswith("what became of it ") for line in page.splitlines()) == 2
    heads = [line.split() for line in page.splitlines() if line.startswith("what was measured")]
    assert heads == [["what", "was", "measured", *"ABC"], ["what", "was", "measured", *"DE"]]


def test_as_json_every_cell_has_its_recording(hot_job: Job) -> None:
    """Lists as long as there are recordings; findings counted by name."""
    page = compared_json(
        compare(
            [
                made(hot_job, "late peen", "late peen", outcome=NONE_FOUND),
                made(hot_job, "arc lost", outcome=CRACK),
            ]
        )
    )
    assert [of["became"] for of in page["recordings"]] == ["no crack found", "crack"]  # type: ignore[attr-defined]
    assert page["findings"] == {"late peen": [2, 0], "arc lost": [0, 1]}
    assert page["proves"] == NO_CAUSE
    measured = page["measured"]
    assert isinstance(measured, dict)
    assert measured["preheat_s"] == [60.0, 60.0]
    assert measured["peens_late"] == [2, 0]
    assert all(len(cells) == 2 for cells in measured.values())
    (first,) = page["only_where_cracked"]  # type: ignore[misc]
    assert (first["letter"], first["name"]) == ("B", "arc lost")  # type: ignore[has-type]
