"""Facts of a job, without a default: written, checked, kept, shown, and without effect on the pacing."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest
from written import head_of, lines_of

from pacer.errors import UserInputError
from pacer.job.columns import WIDTH
from pacer.job.file.guide import job_file_guide
from pacer.job.file.keys import keys
from pacer.job.file.read import job_from_text
from pacer.job.plan import plan, plan_json
from pacer.job.sheet.forms.text import text_lines
from pacer.job.sheet.whole import whole
from pacer.recording.codec import MAX_LINE, decode_head
from pacer.units import Kind, Shown

LEAST = """
[job]
method = "hot"
[part]
metal = "grey iron"
mass = "3 kg"
"""

LEAST_WITH_SHOP = LEAST.replace("[part]", 'shop = "the village forge"\n[part]')
FACTS = """
[history]
cause = "frost"
earlier_repair = "brazed once, all of it ground out"
oil = "smoked, wiped, heated again"
load = "will be changed"
[tests]
marking = "none found"
surface = "rough"
fracture = "dark grey"
spark = "short, dull red"
chip = "breaks off"
file = "cuts"
file_after_tack = "slides"
ring = "dull"
rub = "black mark"
torch = "melts slowly"
magnet = "holds"
left = "grey iron"
[joint]
stop_holes = "4 mm, both ends"
position = "vertical up"
clamps = "two, loosened before the cover"
tack_places = "three, 10 mm, along the left half"
penetrant = "30 min"
[filler]
batch = "B 1234"
drying = "as its packet says"
polarity = "dc+"
gas = "none"
gas_flow = "8  L/min"
tungsten = "none"
machined_after = "yes"
joined_to_steel = "no"
colour_matters = "unknown"
[heating]
flame = "under the flange"
even = "yes"
[cooldown]
draught = "doors shut"
medium = "Warm"
[sensor]
place = "beside the joint"
face = "opposite face"
fixing = "clamp"
"""
"Invented; every fact there is a key for but those of [part], which follow the least file."

PART = """iron = "sound"
oil = "burns out"
hollow = "vented"
coating = "paint"
grade = "EN-GJL-200"
phosphorus = "unknown"
"""
"Belong under [part]."


def refused(text: str) -> str:
    """Return the one line about a job file that can't be used."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(LEAST + text, "my.toml")
    (line,) = str(caught.value).splitlines()
    return line


def test_every_fact_of_the_list_is_kept_as_text() -> None:
    """Choices in their own spelling, a flow as it was written, no key left without an example."""
    facts = job_from_text(LEAST_WITH_SHOP + PART + FACTS, "my.toml").facts

    assert set(facts) == {name for name, key in keys().items() if key.fact}
    assert facts["history.oil"] == "smoked, wiped, heated again"
    assert facts["filler.polarity"] == "DC+"
    assert facts["filler.gas_flow"] == "8  L/min"
    assert facts["joint.penetrant"] == "30 min"
    assert facts["cooldown.medium"] == "warm"
    assert facts["joint.position"] == "vertical up"
    assert facts["job.shop"] == "the village forge"


def test_what_was_not_said_is_absent() -> None:
    """No default: a fact nobody gave must not look like one."""
    assert job_from_text(LEAST, "my.toml").facts == {}


def test_facts_change_nothing_that_paces() -> None:
    """The job without its facts is the job of a file without them; so are all forecasts."""
    with_facts, without = (
        job_from_text(text, "my.toml") for text in (LEAST_WITH_SHOP + PART + FACTS, LEAST)
    )

    assert msgspec.structs.replace(with_facts, facts={}) == without
    assert plan_json(plan(with_facts)) == plan_json(plan(without))


def test_mistakes_in_facts_are_one_line_with_what_to_write() -> None:
    """A flow needs its unit, a choice its words, an unknown key the nearest one."""
    assert refused('[filler]\ngas_flow = "8"') == (
        'my.toml:8: filler.gas_flow = "8": unit missing; write "8 l/min"'
    )
    # 800 cubic feet an hour are 378 l/min.
    assert "out of range; write 0.5 l/min to 60 l/min" in refused('[filler]\ngas_flow = "800 cfh"')
    assert "unknown; write one of: DC+, DC-, AC" in refused('[filler]\npolarity = "reverse"')
    assert "unknown; write one of: cold, warm" in refused('[cooldown]\nmedium = "lukewarmish"')
    assert "did you mean cause?" in refused('[history]\ncuase = "frost"')
    assert "empty; leave the line out if it is not known" in refused('[history]\noil = " "')
    assert "expected a text in quotes" in refused("[history]\noil = true")
    # Row N01 (ISO 3452-1 clause 8.4.2, seen in the primary text).
    assert "out of range; write 5 min to 60 min" in refused('[joint]\npenetrant = "2 h"')
    assert "did you mean file_after_tack?" in refused('[tests]\nfile_after_tak = "slides"')


def test_a_fact_is_cleaned_and_short() -> None:
    """Foreign text: no escape sequence gets into a head, none of the longest is too long for it."""
    hostile = '[history]\ncause = "a\\u001b]0;title\\u0007b"'
    assert job_from_text(LEAST + hostile, "my.toml").facts["history.cause"].isprintable()

    free = [key for key in keys().values() if key.fact and key.kind == "text"]
    longest = "".join(
        # The least file ends in [part]; [job] has its own line there.
        ("" if section == "part" else f"[{section}]\n")
        + "".join(f'{key.word} = "{"é" * 999}"\n' for key in free if key.section == section)
        for section in dict.fromkeys(key.section for key in free if key.section != "job")
    )
    shop = LEAST_WITH_SHOP.replace("the village forge", "é" * 999)
    head = head_of(job_from_text(shop + longest, "my.toml"))
    (line,) = lines_of(head, ())
    assert len(line) < MAX_LINE
    assert decode_head(line, "a").job.facts == head.job.facts


@pytest.mark.slow
def test_the_plan_shows_what_was_said_and_what_was_not() -> None:
    """Lines of a terminal; the keys' words."""
    job = job_from_text(LEAST + '[history]\nearlier_repair = "' + "long " * 30 + '"', "my.toml")
    lines = text_lines(whole(plan(job), job, Shown()))
    at = lines.index("For the record only")

    assert lines[at + 1].startswith("  earlier repair       long long")
    assert "not said: cause, oil, stop holes" in " ".join(lines[at:])
    assert all(len(line) <= WIDTH for line in lines[at:])


def test_the_guide_says_which_keys_have_no_default() -> None:
    """Made from the table of keys."""
    about = [line for line in job_file_guide().splitlines() if line.startswith("- **stop_holes**")]

    assert len(about) == 1
    assert about[0].endswith("No default; the pacing does not go by it.")


STOPS = [
    'iron = "burnt"',
    'iron = "grown"',
    'oil = "keeps coming"',
    '[history]\nload = "will return"',
    '[heating]\neven = "no"',
]


@pytest.mark.parametrize("line", STOPS)
def test_facts_that_stop_a_plan_refuse_the_job_and_are_still_read_for_its_page(line: str) -> None:
    """Procedure notes, section 10; uneven heat stops the hot method only."""
    assert "ask " in refused(line)
    assert job_from_text(LEAST + line, "my.toml", stops=False).facts
    if "even" in line:
        assert job_from_text(LEAST.replace("hot", "cold") + line, "my.toml").method == "cold"


def test_every_fact_with_a_unit_has_a_range_and_every_choice_its_words() -> None:
    """A fact is checked like any other key; nobody else would notice a mistyped kind."""
    for key in keys().values():
        assert key.kind in units_and_words(), key.name
        assert (key.kind == "choice") == bool(key.choices), key.name
        if key.kind not in ("text", "choice", "process", "url"):
            assert key.range, key.name
        if key.fact:
            assert key.default is None, key.name
            assert not key.required, key.name


def units_and_words() -> set[str]:
    """Return every kind of value there is."""
    return {*get_args(Kind), "text", "choice", "count", "sizes", "process", "url"}
