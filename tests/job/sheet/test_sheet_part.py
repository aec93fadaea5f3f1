"""The part: its metal with what the shop tests say, and what nobody has said of it."""

from __future__ import annotations

from pacer.job.file.read import job_from_text
from pacer.job.plan import plan
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections.part import lines
from pacer.units import Shown

LEAST = '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "3 kg"\n'


def part(text: str) -> tuple[Line, ...]:
    """Return the section of a job file."""
    job = job_from_text(LEAST + text, "x")
    return lines(plan(job), job, Shown())


def entry(found: tuple[Line, ...], label: str) -> Entry:
    """Return the one line of that label."""
    (line,) = [line for line in found if isinstance(line, Entry) and line.label == label]
    return line


def test_each_answer_says_what_it_speaks_for_and_who_says_so() -> None:
    """A dull ring: no steel (a US Army text's advice in a secondary page, trade.md section 9)."""
    found = part('[tests]\nring = "dull thud"\nchip = "small, crumbling"\n')

    ring = entry(found, "test: ring")
    assert (ring.value, ring.origin, ring.key) == ("dull thud", "given", "tests.ring")
    assert "for grey iron" in ring.why
    assert "against" in ring.why
    assert "seen in" in ring.why
    left = entry(found, "not ruled out")
    assert "grey iron" in left.value
    assert "two tests must speak against a metal" in left.why


def test_an_answer_of_nobody_s_is_shown_as_it_was_typed() -> None:
    """A foreign word neither counts nor disappears."""
    found = part('[tests]\nring = "like a bell, sort of"\n')

    assert entry(found, "test: ring").value == "like a bell, sort of"
    assert entry(found, "test: ring").why == "no answer of pacer identify"


def test_without_a_test_the_metal_is_only_what_the_file_says() -> None:
    """Said, with where to find out; nothing of the part is invented."""
    told = " ".join(line.text for line in part("") if isinstance(line, Step))

    assert "No shop test stands in the job file" in told
    assert "Not said of the part: iron, oil, hollow, coating, grade, phosphorus." in told


def test_what_is_said_of_the_part_is_no_longer_missed() -> None:
    """Facts of its condition, in the file's words."""
    found = part('iron = "sound"\ncoating = "lead"\n')

    assert entry(found, "iron").value == "sound"
    assert entry(found, "coating").value == "lead"
    assert "Not said of the part: oil, hollow, grade, phosphorus." in [
        line.text for line in found if isinstance(line, Step)
    ]
