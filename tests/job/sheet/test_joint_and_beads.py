"""The sections of joint and beads: counts by hand, both views shown; jobs made up for the tests."""

from __future__ import annotations

import functools
from pathlib import Path

import msgspec
import pytest

from pacer.job.file.read import job_from_text, read_job
from pacer.job.job import Job, PeenRuns
from pacer.job.plan import plan
from pacer.job.sheet.records import Drawing, Entry, Line, Step
from pacer.job.sheet.sections import beads, joint
from pacer.job.warn import warnings
from pacer.units import Shown

CONFIGS = Path(__file__).parents[3] / "configs"
METRIC, US = Shown("metric"), Shown("us")


@functools.cache
def example() -> Job:
    """The job of the worked example."""
    return read_job(str(CONFIGS / "pump-foot-hot-sand.toml"))


def job(joint_keys: str, facts: str = "", method: str = "hot", wall_mm: int = 12) -> Job:
    """A job with this joint."""
    return job_from_text(
        f'[job]\nmethod = "{method}"\n[part]\nmetal = "grey iron"\nmass = "8 kg"\n'
        f'wall = "{wall_mm} mm"\n[joint]\ncrack_length = "120 mm"\n{joint_keys}\n{facts}',
        "made up",
    )


def entries(lines: tuple[Line, ...]) -> dict[str, Entry]:
    """Entries by label."""
    return {line.label: line for line in lines if isinstance(line, Entry)}


def text(lines: tuple[Line, ...]) -> str:
    """All steps in one text."""
    return " ".join(line.text for line in lines if isinstance(line, Step))


def of_joint(made: Job, shown: Shown = METRIC) -> tuple[Line, ...]:
    """The joint's lines."""
    return joint.lines(plan(made), made, shown)


def of_beads(made: Job, shown: Shown = METRIC) -> tuple[Line, ...]:
    """The beads' lines."""
    return beads.lines(plan(made), made, shown)


def test_area_volume_and_weld_metal_by_hand() -> None:
    """57.7 mm² x 120 mm = 6.93 cm³; with a tenth 7.62 cm³; at 8,250 kg/m³ (from memory) 62.9 g."""
    told = entries(of_joint(example()))
    assert told["groove"].value == "57.7 mm²"
    assert told["groove volume"].value == "6.93 cm³"
    assert told["weld metal"].value == "7.62 cm³"
    assert told["weight of it"].value == "0.0629 kg"
    assert "from memory" in told["weight of it"].why


def test_no_density_is_another_filler_s() -> None:
    """Rows F09 (from memory) are nickel's, nickel-iron's and steel's: of others none is known."""
    for designation in ("ENiFeMn-CI", "ENiCu-B", "ERCuNi", "E312-16", "mystery 7"):
        made = job("", f'[filler]\ndesignation = "{designation}"\n')
        assert "weight of it" not in entries(of_joint(made))
    assert entries(of_joint(job("", '[filler]\ndesignation = "ERNi-1"\n')))["weight of it"]


def test_a_single_run_is_told_in_words_of_its_own() -> None:
    """No range from a number to itself, no "1 runs"."""
    keys = 'preparation = "square"\ndepth = "2 mm"\ngap = "2 mm"\n'
    made = job(keys, '[filler]\ndiameter = "3.2 mm"\n', wall_mm=2)
    told = entries(of_beads(made))
    said = f"{told['beads'].value} {told['beads'].note} {told['bead'].note}"

    assert made.plan.runs == 1
    assert told["beads"].value == f"{made.plan.beads} beads"
    assert "1 run of" in said
    assert "fills it in 1 run," in said
    for wrong in ("1 runs", "likely", "1 to 1"):
        assert wrong not in said


def test_a_start_of_peening_after_the_red_is_called_warm() -> None:
    """By the point source the example's bead is red for some 2 s; 5 s and 1 s are what is asked."""
    late, soon = (
        entries(of_beads(job("", f'[bead]\npeen_within = "{time}"\n')))["red at a bead's end"].note
        for time in ("5 s", "1 s")
    )

    assert late.endswith("and so is what begins at the latest, 5 s after the arc")
    assert soon.endswith("Later it is warm peening")


def test_the_same_in_inches() -> None:
    """57.74 / 645.16 = 0.0895 in²; 6.928 / 16.387 = 0.423 in³; 62.9 g is 0.139 lb."""
    told = entries(of_joint(example(), US))
    assert told["groove"].value == "0.0895 in²"
    assert told["groove volume"].value == "0.423 in³"
    assert told["weight of it"].value == "0.139 lb"


def test_stop_holes_are_shown_by_both_sources_and_never_averaged() -> None:
    """Row N10: 3.2 mm, just past the end. N11, aircraft: 6.35 mm, 2.5 mm past, temporary. N09: steel.

    All seen in secondary pages but N09 (AWS D1.1, steel, seen in the primary text).
    """
    lines = of_joint(job('ends = "both in the wall"'))
    told = entries(lines)
    assert told["stop hole"].value == "3.2 mm, just past"
    assert told["or, on aircraft"].value == "6.35 mm, 2.5 mm past"
    assert told["steel: sound metal"].value == "50 mm"
    assert "no such figure was found for iron" in told["steel: sound metal"].note
    assert "a temporary measure there, no repair" in text(lines)
    assert "blunts the crack's tip" in text(lines)
    assert any(line.mark == "decide" for line in lines if isinstance(line, Step))
    # Where the job file says what was drilled, nothing is left to decide.
    assert not any(line.mark == "decide" for line in of_joint(example()) if isinstance(line, Step))


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('ends = "one at an edge"', "beyond the blind end"),
        ('ends = "both in the wall"', "beyond each end"),
        ('ends = "through"', "no stop hole"),
        ('repair = "patch"', "rounded corners"),
    ],
)
def test_holes_belong_to_ends_in_the_wall(keys: str, words: str) -> None:
    """An edge has none, a patch has corners in their place (common practice, no source)."""
    assert words in text(of_joint(job(keys)))


@pytest.mark.slow
def test_the_example_s_counts_by_hand() -> None:
    """63.5 mm² at 5-8 mm² a bead: 8 to 13 runs of 5 places, 40 to 65 beads."""
    told = entries(of_beads(example()))
    assert told["beads"].value == "50 beads, likely 40 to 65"
    assert told["arc time"].value == "12.5 s"  # 25 mm at 120 mm/min
    assert "10 runs (8 to 13) of 5 places" in told["beads"].why
    assert told["to fill"].value == "63.5 mm²"
    assert told["bead"].value == "4.36 mm x 1.45 mm"
    assert told["cap"].value == "runs 8 to 10"


def test_a_double_v_says_which_side_and_when_to_turn() -> None:
    """The root, then the back ground; each side's layers in turn (row R11, common practice)."""
    lines = of_beads(job('preparation = "double-V"\naccess = "both sides"'))
    told = entries(lines)
    assert told["root, side 1"].value == "run 1"
    assert "fill, side 2" in told
    steps = [line.text for line in lines if isinstance(line, Step)]
    assert steps[0] == "Turn over, and grind the back to sound metal."
    assert steps[1] == "Turn over."
    assert "the part burns" in text(lines)


def test_a_v_that_can_be_reached_from_behind_says_what_is_not_counted() -> None:
    """Its runs all lie on the side it opens to."""
    assert "not in the count" in text(of_beads(job('access = "both sides"')))
    assert "not in the count" not in text(of_beads(job("")))


def test_buttering_is_planned_where_it_is_asked_and_said_where_it_does_not_fit() -> None:
    """Two beads are the least of it: one on each face, and one more for the root."""
    assert "butter" in entries(of_beads(job('butter = "yes"')))
    small = of_beads(job('butter = "yes"\ndepth = "1 mm"\nroot_face = "11 mm"'))
    assert "butter" not in entries(small)
    assert any(
        line.mark == "decide" and "not coated first" in line.text
        for line in small
        if isinstance(line, Step)
    )


def test_how_many_runs_a_coat_needs_is_told_and_warned_of() -> None:
    """Double V, 9 mm a side, 10 runs: 8 of coat, a root and a cap on each side are 11, by hand."""
    keys = 'preparation = "double-V"\naccess = "both sides"\nbutter = "yes"\n'
    made = job(keys, '[filler]\ndiameter = "3.2 mm"\n', wall_mm=20)
    assert made.plan.runs == 10
    assert "10 runs do not leave root and cap then; 11 runs would do" in text(of_beads(made))
    assert entries(of_joint(made))["faces coated first"].value.startswith("asked for, too few runs")
    warned = [line for line in warnings(made) if line.startswith("joint.butter: yes, but 10 runs")]
    assert len(warned) == 1
    assert "11 would do" in warned[0]
    thin = job(keys, '[filler]\ndiameter = "2.5 mm"\n', wall_mm=20)
    assert "butter, side 2" in entries(of_beads(thin))
    assert not any(line.startswith("joint.butter") for line in warnings(thin))


@pytest.mark.parametrize(
    ("which", "words"),
    [
        ("all", "Here all are peened"),
        ("not root", "Here run 1 is left"),
        ("not root nor last", "Here runs 1 and 10 are left"),
    ],
)
def test_both_views_of_the_peen_are_shown(which: PeenRuns, words: str) -> None:
    """Rows B09 (shop pages: at once, red) and B10 (AWS D1.5: 66-260 °C, not root nor last): D05."""
    made = example()
    rules = msgspec.structs.replace(made.bead, peen_runs=which)
    lines = of_beads(msgspec.structs.replace(made, bead=rules))
    assert words in text(lines)
    assert "shop texts on iron make no exception" in text(lines)
    assert entries(lines)["steel is peened at"].value == "66 °C to 260 °C"
    assert "while the bead is still red" in text(lines)
    assert "no middle between them" in text(lines)


def test_the_red_window_is_computed_and_in_the_shop_s_units() -> None:
    """Rosenthal, calculated: 550 °C is 1022 °F."""
    red = entries(of_beads(example(), US))["red at a bead's end"]
    assert red.origin == "computed"
    assert "1022 °F" in red.why


def test_bead_lengths_published_for_the_case_stand_beside_the_choice() -> None:
    """Rows B01-B03 (secondary pages): cold some 30 mm, at most 25 mm, very thin at most 13 mm."""
    told = entries(of_beads(job("", method="cold")))
    assert told["length at most"].value == "25 mm"
    assert told["length when cold"].value == "30 mm"
    assert "length, thin wall" not in told
    thin = entries(of_beads(job("", wall_mm=4)))["length, thin wall"]
    assert thin.value == "13 mm"
    assert "a wall under 5 mm is taken as such, our choice" in thin.why  # B03: "very thin castings"


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('ends = "both in the wall"', "Weld each end of a crack first"),
        ('ends = "one at an edge"', "From the blind end to the edge"),
        ('ends = "through"', "From the middle outward"),
        ('repair = "patch"', "Opposite sides in turn"),
    ],
)
def test_the_order_comes_with_its_rule_and_map(keys: str, words: str) -> None:
    """Row B06 is seen in a secondary page; the others say that they have no source."""
    lines = of_beads(job(keys))
    assert words in text(lines)
    assert [line.name for line in lines if isinstance(line, Drawing)] == ["map"]
    assert "Back-step" in text(lines)
    assert "offset from those below" in text(lines)


def test_nothing_says_that_it_will_hold() -> None:
    """What is planned and published, never what a repair is worth."""
    for made in (example(), job('repair = "patch"')):
        told = f"{of_joint(made)} {of_beads(made)}".casefold()
        assert not any(word in told for word in ("will hold", "is safe", "as strong", "guarantee"))
