"""The hold after the last bead: by its temperature what it is called, wherever a plan speaks of it.

Rows S01 (DTIC AD0620556, primary text): very slow below 538 °C; S06 (a foundry's page, secondary):
500 to 550 °C for 2 to 8 h in a furnace; S05 (a foundry lexicon) and W07 (a welding institute's page),
both secondary, for ductile iron.
"""

from __future__ import annotations

import pytest
from words import job, lines_of, said, steps, text_of

from pacer.job.job import Job
from pacer.job.sheet.records import Entry
from pacer.job.sheet.sections import afterwards, short, specification
from pacer.job.sheet.sections.hold import Hold, kind_of_hold


def held(at_c: float, metal: str = "grey iron", time: str = "3 h", cover: str = "furnace") -> Job:
    """Return a hot job with this hold, its band around it."""
    return job(
        metal=metal,
        band=f'floor = "{at_c - 30:g} degC"\nceiling = "{at_c + 30:g} degC"',
        postheat=f'temperature = "{at_c:g} degC"\nhold = "{time}"',
        cooldown=f'cover = "{cover}"',
    )


KINDS: list[tuple[float, str, Hold]] = [
    (260, "grey iron", "equalising"),
    (499, "grey iron", "equalising"),
    (500, "grey iron", "disputed"),
    (537, "grey iron", "disputed"),
    (538, "grey iron", "stress relief"),
    (545, "unknown", "stress relief"),
    (490, "ductile iron", "equalising"),
    (545, "ductile iron", "disputed"),
    (610, "ductile iron", "stress relief"),
    (545, "malleable iron", "unknown"),
    (545, "mild steel", "unknown"),
    (260, "mild steel", "equalising"),
]


@pytest.mark.parametrize(("at_c", "metal", "kind"), KINDS)
def test_the_hold_is_what_its_temperature_makes_it(at_c: float, metal: str, kind: Hold) -> None:
    """By the metal's own rows; a hold of no length is none."""
    assert kind_of_hold(held(at_c, metal)) == kind
    assert kind_of_hold(held(at_c, metal, "0 s")) == "none"


def test_a_furnace_s_hold_at_545_is_nowhere_called_no_stress_relief() -> None:
    """Afterwards, the short list and the specification agree, and none claims a result."""
    made = held(545)
    text = "\n".join(said(part.lines, made) for part in (afterwards, short, specification))

    assert "no stress relief" not in text
    assert "stress-relief hold 545 °C" in text
    assert "post-weld heat treatment 545 °C for 3 h" in text
    assert "in the range of stress relief" in text
    assert "What it took out is not measured" in text


def test_a_hold_at_the_preheat_target_is_no_heat_treatment() -> None:
    """Row S01: 260 °C lies below what relieves nothing."""
    made = job()
    text = said(specification.lines, made)

    assert "post-weld heat treatment not applicable 260 °C for 20 min relieves no stress" in text
    assert "it is no stress relief" in said(afterwards.lines, made)
    assert "no stress relief" in said(short.lines, made)


@pytest.mark.from_memory
@pytest.mark.parametrize("made", [job(), held(545), job("cold")], ids=["260", "545", "cold"])
def test_post_heating_is_the_standard_s_word_for_hydrogen(made: Job) -> None:
    """Row Q05 (from memory): never the equalising hold, never the heat treatment."""
    (item,) = [
        line
        for line in lines_of(specification.lines, made)
        if isinstance(line, Entry) and line.label == "post-heating"
    ]

    assert item.value == "not applicable"
    assert "hydrogen" in item.note
    assert [source.row for source in item.sources] == ["Q05"]


def test_between_the_sources_the_choice_is_left_open() -> None:
    """At 520 °C S06 relieves and S01 hardly: both are named, nothing is put in the middle."""
    (step,) = [
        step
        for step in steps(lines_of(afterwards.lines, held(520)), "decide")
        if "differ" in step.text
    ]

    assert {"S01", "S06"} <= {source.row for source in step.sources}


@pytest.mark.parametrize(
    ("time", "cover", "words"),
    [
        ("30 min", "furnace", ["30 min is shorter than a foundry's 2 h"]),
        ("3 h", "dry sand", ["cool in dry sand: that is faster than in a furnace"]),
        ("3 h", "furnace", []),
    ],
)
def test_what_a_furnace_would_do_otherwise_is_to_be_decided(
    time: str, cover: str, words: list[str]
) -> None:
    """S06: 2 to 8 h; S01: cooling in the furnace leaves less stress."""
    decide = text_of(steps(lines_of(afterwards.lines, held(545, time=time, cover=cover)), "decide"))

    for one in ("shorter than a foundry", "faster than in a furnace"):
        assert (one in decide) == any(one in wanted for wanted in words), one
    assert all(one in decide for one in words)
