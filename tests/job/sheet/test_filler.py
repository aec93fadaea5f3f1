"""The filler: what each answer speaks for, a form that doesn't fit, current beside its range."""

from __future__ import annotations

import pytest
from words import job, lines_of, said, steps, text_of, value

from pacer.job.sheet.records import Drawing, Entry, Step
from pacer.job.sheet.sections import arc, filler, specification
from pacer.units import Shown

QUESTIONS = [
    # Row F01 (an electrode maker's page, secondary) for all but the last two (from memory).
    ('machined_after = "yes"', "", "To be machined?", "nickel"),
    ("", 'wall = "4 mm"', "Thin?", "nickel"),
    ("", 'wall = "12 mm"', "Thin?", "nickel-iron"),
    ("", 'phosphorus = "yes"', "Rich in phosphorus?", "nickel-iron"),
    ('joined_to_steel = "yes"', "", "Joined to steel?", "nickel-iron"),
    ('colour_matters = "yes"', "", "Colour matters?", ""),
]


@pytest.mark.parametrize(("lines", "part", "question", "speaks"), QUESTIONS)
def test_each_answer_speaks_for_the_filler_its_source_names(
    lines: str, part: str, question: str, speaks: str
) -> None:
    """Procedure notes section 11."""
    answers = filler.answers(job(filler=lines, part=part), Shown())
    (found,) = [one for one in answers if one.question == question]

    assert found.speaks_for == speaks
    assert not found.asked


def test_what_was_not_said_is_asked() -> None:
    """Four of the six have no answer in a job that says nothing."""
    asked = text_of(steps(lines_of(filler.lines, job()), "decide"))

    for key in (
        "filler.machined_after",
        "part.phosphorus",
        "filler.joined_to_steel",
        "filler.colour_matters",
        "filler.polarity",
        "filler.drying",
        "filler.batch",
    ):
        assert f"({key}" in asked or f"{key})" in asked, key
    # Gas, flow and tungsten are no questions of a covered electrode.
    assert "filler.gas" not in asked
    assert "filler.tungsten" not in asked


def test_tig_asks_for_gas_flow_and_tungsten_instead_of_drying() -> None:
    """Procedure notes section 11."""
    tig = job(filler='process = "TIG"')
    asked = text_of(steps(lines_of(filler.lines, tig), "decide"))

    for key in ("filler.gas)", "filler.gas_flow)", "filler.tungsten)"):
        assert key in asked
    assert "filler.drying" not in asked
    told = said(filler.lines, job(filler='process = "TIG"\ngas = "argon"\ngas_flow = "8 l/min"'))
    assert "gas argon" in told
    assert "gas flow 8 l/min" in told


def test_answers_against_the_choice_are_shown_and_the_choice_left_open() -> None:
    """Machining speaks for nickel, thick walls and runs for nickel-iron: no middle is made."""
    made = job(filler='designation = "ENiFe-CI"\nmachined_after = "yes"', part='wall = "12 mm"')
    decide = text_of(steps(lines_of(filler.lines, made), "decide"))

    assert "ENiFe-CI is nickel-iron; for nickel speaks: To be machined? yes." in decide
    assert "The choice is yours." in decide


def test_the_chosen_kind_is_told_with_its_source() -> None:
    """Row F01b (secondary page) and F04b (from memory) for the default."""
    steps_told = lines_of(filler.lines, job())
    sources = [
        step.source
        for step in steps(steps_told, "say")
        if "nominal 55 %" in step.text or "45 to 60 %" in step.text
    ]

    assert len(sources) == 2
    assert "seen in a secondary page" in sources[0]
    assert "from memory" in sources[1]


@pytest.mark.parametrize(
    ("process", "designation", "words"),
    [
        ("TIG", "ENiFe-CI", "ENiFe-CI is a covered filler, TIG needs a bare one."),
        ("MMA", "ERNi-1", "ERNi-1 is a bare filler, MMA needs a covered one."),
    ],
)
def test_a_designation_that_does_not_fit_its_process_is_to_be_decided(
    process: str, designation: str, words: str
) -> None:
    """Procedure notes section 11; for a bare rod both ways out are told."""
    made = job(filler=f'process = "{process}"\ndesignation = "{designation}"')
    decide = text_of(steps(lines_of(filler.lines, made), "decide"))

    assert words in decide
    assert ("knocked off while it is kept wet" in decide) == (process == "TIG")


def test_the_current_stands_beside_its_usual_range() -> None:
    """Row F06 (common practice) for 2.5 and 3.2 mm; F07 (secondary page) lies above it."""
    thin = lines_of(filler.lines, job(filler='current = "65 A"'))
    thick = lines_of(filler.lines, job(filler='diameter = "3.2 mm"\ncurrent = "115 A"'))

    assert value(thin, "usual current") == "50 to 80 A"
    assert "one shop, AC" not in text_of(thin)
    assert value(thick, "usual current") == "70 to 110 A"
    assert value(thick, "one shop, AC") == "110 to 120 A"
    assert "115 A is outside the usual 70 to 110 A" in text_of(steps(thick, "decide"))


def test_no_range_is_invented_for_other_processes_or_diameters() -> None:
    """Row F06 has three diameters of covered electrodes only."""
    for lines in ('process = "TIG"', 'diameter = "6 mm"'):
        text = said(filler.lines, job(filler=lines))
        assert "usual current" not in text
        assert "No usual range is known here" in text


def test_the_hard_line_is_said_to_be_the_iron_s_own_edge() -> None:
    """Procedure notes section 11."""
    assert "hard line of a weld on iron is the iron's own edge" in said(filler.lines, job())


def test_an_unknown_designation_is_not_guessed_at() -> None:
    """Nothing is claimed of a filler that none of the rows is about."""
    strange = said(filler.lines, job(filler='designation = "mystery 7"'))

    assert "mystery 7 is none of the fillers known here" in strange
    assert "nominal" not in strange


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("designation", "kind", "figure"),
    [
        # Rows F10 (from memory); row F04e: 35 to 45 %, never nickel-iron's nominal 55 %.
        ("ENiFeMn-CI", "nickel-iron-manganese", "35 to 45 % nickel"),
        ("AWS A5.11 ENiCrFe-3", "nickel-chromium", ""),
        ("ERCuNi", "copper-nickel", ""),
        ("E312-16", "stainless steel", ""),
        ("ENiCu-B", "nickel-copper", "60 to 70 % nickel"),
        ("ESt", "steel", "can't be machined"),
    ],
)
def test_a_filler_is_described_by_its_own_kind_and_figures_only(
    designation: str, kind: str, figure: str
) -> None:
    """Another kind's figures would be false of it, however alike the letters."""
    lines = lines_of(filler.lines, job(filler=f'designation = "{designation}"'))
    about = [
        step.text
        for step in lines
        if isinstance(step, Step) and any(one.row.startswith("F") for one in step.sources)
    ]
    own = [text for text in about if f"is a {kind} filler" in text]

    assert len(own) == 1
    assert figure in text_of(lines)
    for other in ("nominal 55 %", "nominal 99 %", "45 to 60 % nickel"):
        assert other not in text_of(lines)


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("process", "gas", "row"),
    [
        # Rows F11, all from memory.
        ("TIG", "argon, or as", "F11a"),
        ("135", "argon with CO2", "F11b"),
        ("131", "argon, or argon with helium", "F11c"),
    ],
)
def test_a_gas_nobody_named_is_asked_for_by_process(process: str, gas: str, row: str) -> None:
    """Argon is TIG's; the specification says the same."""
    made = job(filler=f'process = "{process}"')
    (asked,) = [
        step
        for step in steps(lines_of(filler.lines, made), "decide")
        if "(filler.gas)" in step.text
    ]
    entry = next(
        line
        for line in lines_of(specification.lines, made)
        if isinstance(line, Entry) and line.label == "shielding gas"
    )

    assert gas in asked.text
    assert asked.sources[0].row == row
    assert entry.sources == asked.sources


def test_both_sides_about_a_nickel_weld_s_colour_are_shown() -> None:
    """Row F12, an electrode maker's page (secondary): iron's colour; as remembered, lighter."""
    for said_so in ('colour_matters = "yes"', ""):
        (found,) = [
            one
            for one in filler.answers(job(filler=said_so), Shown())
            if one.question == "Colour matters?"
        ]
        statuses = [source.status for source in found.sources]

        assert "stays lighter" in found.why
        assert "has iron's colour" in found.why
        assert [status.partition(",")[0] for status in statuses] == [
            "from memory",
            "seen in a secondary page",
        ]


@pytest.mark.parametrize(
    ("process", "row"), [("111", "H03"), ("135", "H03"), ("TIG", "H03"), ("131", "H03b")]
)
def test_the_heat_input_cites_the_row_that_has_the_process_s_factor(process: str, row: str) -> None:
    """H03, a steel maker's page (secondary), has no MIG; H03b, from memory, has."""
    lines = lines_of(arc.lines, job(filler=f'process = "{process}"'))
    (entry,) = [line for line in lines if isinstance(line, Entry) and line.label == "heat input"]

    assert [source.row for source in entry.sources] == [row]
    cited = {
        source.row for line in lines if not isinstance(line, Drawing) for source in line.sources
    }
    assert {"D09, H03", "D09"} & cited
    assert any(name.startswith("D10") for name in cited)
