"""The first section: what decides the day, with where each value is from."""

from __future__ import annotations

from pathlib import Path

import pytest
from words import job, lines_of, steps, value

from pacer.job.file.read import read_job
from pacer.job.plan import plan
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections import short
from pacer.job.sheet.whole import whole
from pacer.units import Shown

EXAMPLE = Path(__file__).parents[3] / "configs" / "pump-foot-hot-sand.toml"


def labelled(lines: tuple[Line, ...], label: str) -> Entry:
    """Return the one entry with this label."""
    (found,) = [line for line in lines if isinstance(line, Entry) and line.label == label]
    return found


def labels(lines: tuple[Line, ...]) -> list[str]:
    """Return the labels in their order."""
    return [line.label for line in lines if isinstance(line, Entry)]


def test_the_example_job_s_day_in_a_dozen_lines() -> None:
    """Its own values as the file has them; 40 to 65 beads and 7 rods by hand (test_plan.py)."""
    lines = lines_of(short.lines, read_job(EXAMPLE))

    assert value(lines, "band") == "preheat 260 °C, floor 200 °C, ceiling 300 °C"
    assert value(lines, "filler") == "ENiFe-CI, 2.5 mm, 65 A, DC+"
    assert value(lines, "rods") == "7 rods (7 to 9)"
    peen = [
        (line.value, line.origin)
        for line in lines
        if isinstance(line, Entry) and line.label == "peen"
    ]
    assert peen == [("15 s, begin within 5 s", "given"), ("every run", "default")]
    assert value(lines, "cover") == "dry sand, until 40 °C"
    assert value(lines, "fire watch") == "30 min at least"  # 29 CFR 1910.252, a secondary page
    (beads,) = [line for line in lines if isinstance(line, Entry) and line.label == "beads"]
    assert "likely 40 to 65" in beads.note
    assert len(lines) <= 16


def test_it_follows_the_first_page_and_repeats_the_forecasts_as_they_are() -> None:
    """One source of truth: the same entries, not the same words written twice."""
    made = read_job(EXAMPLE)
    sections = {section.name: section for section in whole(plan(made), made, Shown())}

    assert list(sections)[:2] == ["gate", "short"]
    known = {line.label: line for line in sections["forecasts"].lines if isinstance(line, Entry)}
    for line in sections["short"].lines:
        if isinstance(line, Entry) and line.label in ("session", "cool-down", "rods"):
            assert line == known[line.label]


def test_the_cold_method_waits_and_holds_nothing() -> None:
    """A ceiling, a wait from bead to bead; no soak, hold or preheat."""
    lines = lines_of(short.lines, job("cold"))

    assert value(lines, "band") == "at most 60 °C, no preheat"
    assert "wait" in labels(lines)
    assert not {"soak", "hold", "cover needed"} & set(labels(lines))


def test_a_job_that_is_not_peened_says_so() -> None:
    """No figure that could be taken for one."""
    assert value(lines_of(short.lines, job(bead='peen = "0 s"')), "peen") == "no peening"


@pytest.mark.parametrize(
    ("band", "origin", "note"),
    [
        ("", "default", "common practice"),
        ('preheat = "260 degC"\nfloor = "200 degC"\nceiling = "300 degC"', "given", ""),
        ('preheat = "260 degC"\nfloor = "200 degC"', "default", "common practice (ceiling)"),
        (
            'floor = "200 degC"',
            "default",
            "60 K above the floor given (preheat computed); common practice (ceiling)",
        ),
    ],
)
def test_a_value_of_several_keys_has_the_weakest_origin(band: str, origin: str, note: str) -> None:
    """What was not given is named with its own reason, those with the same reason together."""
    found = labelled(lines_of(short.lines, job(band=band)), "band")

    assert (found.origin, found.note) == (origin, note)


@pytest.mark.parametrize(
    ("method", "tables", "label", "note"),
    [
        # Rows B13 and W18 are of the cold ceiling; W18 has 38 degrees, which 60 is not.
        ("cold", {}, "band", "row B13, common practice"),
        # F01b is the page on nickel-iron; ERNi-1 and ERNi-CI are nickel, named from memory.
        ("hot", {}, "filler", "row F01b (designation);"),
        ("hot", {"filler": 'process = "TIG"'}, "filler", "practice, from memory (designation);"),
        ("hot", {"filler": 'process = "MAG"'}, "filler", "practice, from memory (designation);"),
        # B02: 25 mm; B03: 13 mm in very thin castings.
        ("hot", {}, "bead", "row B02 (length); common practice (travel)"),
        (
            "hot",
            {"part": 'wall = "4 mm"'},
            "bead",
            "row B03, our choice (length); common practice (travel)",
        ),
        # B10 leaves out root and last run: it does not speak for every run.
        ("hot", {}, "peen", "row B09 (peen runs);"),
        # S09 is of dry sand and blankets.
        ("hot", {}, "cover", "row S09 (cover); row T03 (until)"),
        ("cold", {}, "cover", "common practice (cover); row T03 (until)"),
    ],
)
def test_a_default_names_only_the_rows_that_speak_for_its_value(
    method: str, tables: dict[str, str], label: str, note: str
) -> None:
    """What each row says stands beside its case, from the trade tables."""
    found = labelled(lines_of(short.lines, job(method, "grey iron", False, **tables)), label)

    assert note in found.note
    assert "B10" not in found.note
    assert "W18" not in found.note
    assert found.origin == "default"


def test_a_short_joint_is_one_bead_and_says_so() -> None:
    """18 mm of joint: neither 25 nor 13 mm, so no row is its source."""
    made = job(joint='crack_length = "18 mm"')
    assert made.origin["bead.length"] == "default: the whole joint, within row B02"


def test_losses_are_in_the_rods_and_said_to_be() -> None:
    """Of a rod 250 mm melt, 0.9 of them stay: both are in `plan.rods` (by hand, test_plan.py)."""
    found = labelled(lines_of(short.lines, job()), "rods")
    assert "spatter and stubs counted in" in found.note


@pytest.mark.parametrize(
    ("bead", "words"),
    [
        # A bead's end is red for some 2 s by the point source of `heat/behind_arc.py`.
        ("", "at once: the bead's end is red some 2 s (calculated), by 5 s it is only warm"),
        ('peen_within = "1 s"', "red until then by calculation"),
    ],
)
def test_when_to_peen_and_how_long_it_is_red_are_one_sentence(bead: str, words: str) -> None:
    """Five seconds to begin and two of red iron must not stand beside each other unexplained."""
    lines = lines_of(short.lines, job(bead=bead))
    found = [line for line in lines if isinstance(line, Entry) and "begin within" in line.value]
    assert len(found) == 1
    assert words in found[0].note
    assert found[0].note.endswith("too late: leave it")


@pytest.mark.parametrize(
    ("bead", "expected"),
    [
        ("", [("15 s, every run, begin within 5 s", "default")]),
        ('peen = "20 s"', [("20 s", "given"), ("every run, begin within 5 s", "default")]),
        (
            'peen_runs = "not root"',
            [("15 s, begin within 5 s", "default"), ("not the root run", "given")],
        ),
        (
            'peen = "20 s"\npeen_runs = "all"\npeen_within = "4 s"',
            [("20 s, every run, begin within 4 s", "given")],
        ),
    ],
)
def test_no_given_figure_of_peening_stands_under_default(
    bead: str, expected: list[tuple[str, str]]
) -> None:
    """Each value of the file under "given", those that the program put there apart from it."""
    lines = lines_of(short.lines, job(bead=bead))
    found = [line for line in lines if isinstance(line, Entry) and line.label == "peen"]
    assert [(line.value, line.origin) for line in found] == expected


@pytest.mark.parametrize("hollow", ["closed", "vented", "none", "unknown"])
def test_closed_hollows_stand_first(hollow: str) -> None:
    """29 CFR 1910.252(a)(3)(ii), seen in a secondary page: vented before any heat."""
    first = lines_of(short.lines, job(part=f'hollow = "{hollow}"'))[0]

    assert isinstance(first, Step) == (hollow == "closed")
    if isinstance(first, Step):
        assert first.mark == "decide"
        assert "vent them before any heat" in first.text
        assert "1910.252(a)(3)(ii)" in first.source


CLEAR = 'ring = "clear, long"\nchip = "long curl"'
"Two looks that aren't grey iron's (trade facts, section 9)."
HOTTER = 'ceiling = "330 degC"'


@pytest.mark.parametrize(
    ("metal", "tables", "words", "source"),
    [
        ("unknown", {}, ["Metal unknown"], ""),
        ("grey iron", {"tests": CLEAR}, ["shop tests contradict 'grey iron'"], ""),
        ("malleable iron", {}, ["braze it"], ""),
        ("ductile iron", {}, ["preheats of its own"], "nodular iron"),  # W05
        ("mild steel", {}, ["Mild steel: facts and defaults here are grey iron's"], ""),
        # W19: 316 degrees; S06: 550 degrees.
        ("grey iron", {"band": HOTTER}, ["too hot for nickel-iron"], "row W19"),
        (
            "grey iron",
            {"band": 'ceiling = "560 degC"', "filler": 'designation = "ENi-CI"'},
            ["too hot for iron"],
            "row S06",
        ),
        (
            "grey iron",
            {"cooldown": 'cover = "dry sand"\nvolume = "5 l"'},
            ["too small"],
            "common practice",
        ),
        (
            "grey iron",
            {"filler": 'process = "TIG"\ndesignation = "ENiFe-CI"'},
            ["don't go together"],
            "",
        ),
        ("grey iron", {}, [], ""),
    ],
)
def test_every_decision_that_changes_the_day_stands_first(
    metal: str, tables: dict[str, str], words: list[str], source: str
) -> None:
    """In few words; its line in full is among those to decide or mend first."""
    made = job("hot", metal, False, **tables)
    found = steps(lines_of(short.lines, made), "decide")

    assert len(found) == len(words)
    for word, step in zip(words, found, strict=True):
        assert word in step.text
        assert source in step.source
    whole_plan = {section.name: section for section in whole(plan(made), made, Shown())}
    assert len(words) <= len(whole_plan["decide"].lines)
    assert lines_of(short.lines, made)[: len(found)] == tuple(found)


def test_more_than_three_decisions_are_counted() -> None:
    """Hollows first, for they burst; the fourth and fifth are in the plan."""
    made = job(
        part='hollow = "closed"',
        tests=CLEAR,
        band=HOTTER,
        cooldown='cover = "dry sand"\nvolume = "5 l"',
        filler='process = "TIG"\ndesignation = "ENiFe-CI"',
    )
    found = [step.text for step in steps(lines_of(short.lines, made), "decide")]

    assert len(found) == 4
    assert found[0].startswith("Closed hollow spaces")
    assert "contradict" in found[1]
    assert found[3].startswith("And 2 more: see the plan")
