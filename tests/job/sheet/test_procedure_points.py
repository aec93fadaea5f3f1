"""The procedure's sections, point by point, as a suitable job's whole sheet has them.

Each row: the point of the procedure notes, the job, the section of the sheet, and the words that must
stand there. What is said where is these words' business; how far each source was seen, its section's
own tests'.
"""

from __future__ import annotations

import functools

import pytest
from words import job, text_of

from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.whole import whole
from pacer.units import Shown

JOBS = {
    "hot": lambda: job(part='wall = "12 mm"'),
    "cold": lambda: job("cold", part='wall = "12 mm"'),
    "thin": lambda: job("cold", part='wall = "4 mm"', filler='process = "TIG"\ngas = "argon"'),
    "break": lambda: job(
        part='wall = "16 mm"\noil = "burns out"\nhollow = "closed"\ncoating = "zinc"',
        joint='repair = "break"\naccess = "both sides"\npreparation = "double-V"\nclamps = "bars"',
        heating='with = "torch"',
        history='cause = "frost"\nload = "will be changed"',
    ),
    "patch": lambda: job(joint='repair = "patch"', cooldown='cover = "vermiculite"'),
    "edge": lambda: job(joint='ends = "one at an edge"'),
    "malleable": lambda: job(metal="malleable iron"),
    "furnace": lambda: job(cooldown='cover = "furnace"'),
    "fibre": lambda: job(cooldown='cover = "ceramic blanket"'),
    "rod": lambda: job(
        filler='process = "TIG"\ndesignation = "ENiFe-CI"',
        sensor='url = "serial:///dev/ttyUSB0?baud=9600"\nfixing = "two magnets"',
    ),
}  # fmt: skip

POINTS = [
    ("1a", "break", "preparation", "What broke it: frost. The load that broke it: will be changed"),
    ("1b", "hot", "preparation", "Mark how it bolts down and aligns"),
    ("1c", "hot", "preparation", "Degrease, then brush"),
    ("1d", "hot", "preparation", "Find the crack's true ends with penetrant"),
    ("1d", "hot", "preparation", "Clean all of the penetrant off again"),
    ("1e", "hot", "preparation", "Before any heat: a crack runs on when it is heated"),
    ("1f", "hot", "preparation", "Groove to sound metal"),
    ("1f", "hot", "preparation", "No sharp root"),
    ("1g", "hot", "preparation", "20 mm to 25 mm on each side of the joint, front and back"),
    ("1h", "break", "preparation", "cool, wipe, and again. A separate heat, not the preheat"),
    ("1h", "break", "preparation", "about 450 °C for about 15 min"),
    ("1h", "break", "preparation", "Silt in castings"),
    ("1i", "hot", "preparation", "Lay a trial bead and grind it back, again until it comes out clean"),
    ("1", "hot", "preparation", "Earlier braze, solder or glue comes out completely"),
    ("1", "hot", "preparation", "A grinder smears graphite"),
    ("2", "hot", "repair", "A crack that doesn't separate needs no tacks"),
    ("2", "break", "repair", "Cold tacks are small and may crack"),
    ("2", "break", "repair", "After the preheat: look at the tacks. Cracked ones are ground out"),
    ("2", "break", "repair", "Loosen the clamps before the cool-down"),
    ("3", "hot", "temperatures", "The soak starts when the coldest known place is at the floor"),
    ("3", "hot", "temperatures", "Measure the thickest place, the farthest and the back"),
    ("3", "break", "temperatures", "200 K"),
    ("3", "hot", "temperatures", "wait before reading 58 s"),  # 2 min for 25 mm: 57.6 s for 12 mm
    ("3", "hot", "temperatures", "Wrapping or unwrapping it changes its losses"),
    ("3", "hot", "temperatures", "No limit is set to the heating rate"),
    ("3", "hot", "method", "Way clear, gloves, tongs and a place ready"),
    ("4", "hot", "temperatures", "common practice without a source"),
    ("4", "hot", "temperatures", "not between 66 and 260 °C"),
    ("4", "hot", "temperatures", "250 to 300 °C"),
    ("4", "hot", "temperatures", "at most 316 °C"),
    ("5", "hot", "beads", "likely"),
    ("5", "hot", "beads", "root run 1"),
    ("5", "hot", "beads", "Runs of one layer lie offset from those below; each stop is covered"),
    ("5", "hot", "beads", "Weld each end of a crack first, then toward the middle"),
    ("5", "edge", "beads", "rom the blind end to the edge"),
    ("5", "patch", "repair", "from opposite sides in turn"),
    ("5", "hot", "beads", "Back-step: each bead is drawn toward the start"),
    ("5", "hot", "beads", "fill the crater, or run back 5 mm to 10 mm"),
    ("5", "break", "repair", "turn the part over after the root and after each pair of layers"),
    ("5", "break", "repair", "fix the sensor anew"),
    ("5", "break", "repair", "Grind the back to sound metal"),
    ("5", "break", "repair", "penetrant can't be used hot"),
    ("6", "hot", "beads", "many light, overlapping blows with a rounded tool, on the weld metal only"),
    ("6", "hot", "beads", "never made up cold"),
    ("6", "hot", "beads", "root and last run are not peened"),
    ("7", "hot", "method", "A short stop: keep it warm"),
    ("7", "hot", "method", "A long stop: bury it at once. A half-filled crack is never left"),
    ("7", "hot", "method", "the full preheat and soak once more, and a look for new cracks"),
    ("7", "cold", "method", "check the preparation again, a look for new cracks"),
    ("8", "cold", "method", "one page says 38 °C"),
    ("8", "cold", "method", "said in shops 65 °C"),
    ("8", "cold", "method", "25 mm from the joint"),
    ("8", "cold", "method", "the smallest rod, the least current"),
    ("8", "cold", "method", "on a cool place far from the last one; peen each at once"),
    ("8", "cold", "method", "Never a fan, never water"),
    ("8", "cold", "preparation", "dry and not below 15 °C to 20 °C"),
    ("8", "cold", "method", "No preheat, no floor, no reheat"),
    ("8", "cold", "method", "waiting"),
    ("8", "cold", "method", "No change half-way without a new plan"),
    ("8", "cold", "method", "No touch test above 43 °C"),
    ("9", "hot", "afterwards", "it is no stress relief"),
    ("9", "hot", "afterwards", "where they agree 538 °C to 550 °C"),
    ("9", "hot", "afterwards", "2 h to 8 h"),
    ("9", "hot", "afterwards", "20 K/h to 40 K/h, down to 150 °C to 200 °C"),
    ("9", "hot", "afterwards", "A furnace's 20 K/h to 40 K/h is no limit here"),
    ("9", "patch", "afterwards", "A furnace's 20 K/h to 40 K/h is no limit here"),
    ("9", "furnace", "afterwards", "checked above 150 °C, on half-hour means"),
    ("9", "hot", "afterwards", "places may differ 50 K"),
    ("9", "hot", "afterwards", "Have the hole ready before the last bead"),
    ("9", "hot", "afterwards", "Warm the medium if you can"),
    ("9", "hot", "afterwards", "Probe in before the part is covered, at the thickest place"),
    ("9", "hot", "afterwards", "stays buried until 40 °C"),
    ("9", "hot", "afterwards", "bare hands below 43 °C"),
    ("9", "hot", "afterwards", "at the probe. Cover and thick parts can be hotter"),
    ("9", "hot", "afterwards", "card: HOT, with the time the cool-down ends"),
    ("9", "hot", "afterwards", "Look again for cracks after a day"),
    ("10", "hot", "gate", "Is the iron burnt or grown?"),
    ("10", "hot", "gate", "Does oil keep coming?"),
    ("10", "hot", "gate", "Will the load that broke it return?"),
    ("10", "hot", "gate", "Can the whole part be heated evenly?"),
    ("10", "hot", "gate", "lifting, brakes, steering, speed, or over people's heads"),
    ("10", "malleable", "gate", "turns back to white iron: braze it"),
    ("10", "hot", "gate", "thin or dirty, must stay soft, or the colour doesn't matter"),
    ("10", "hot", "gate", "can't follow nickel, nor nickel follow braze"),
    ("11", "hot", "filler", "To be machined?"),
    ("11", "hot", "filler", "Rich in phosphorus?"),
    ("11", "hot", "filler", "Joined to steel?"),
    ("11", "hot", "filler", "Colour matters?"),
    ("11", "thin", "filler", "wall 4 mm: speaks for nickel"),
    ("11", "hot", "filler", "wall 12 mm: speaks for nickel-iron"),
    ("11", "hot", "filler", "The hard line of a weld on iron is the iron's own edge"),
    ("11", "rod", "filler", "knocked off while it is kept wet"),
    ("11", "rod", "decide", "is a covered filler, TIG needs a bare one"),
    ("11", "hot", "filler", "Polarity not said"),
    ("11", "thin", "filler", "Gas flow not said"),
    ("11", "thin", "filler", "Tungsten not said"),
    ("11", "hot", "filler", "Dried not said"),
    ("12", "hot", "cautions", "phosgene"),
    ("12", "break", "cautions", "vented before heating"),
    ("12", "hot", "cautions", "silica dust"),
    ("12", "fibre", "cautions", "Ceramic fibre"),
    ("12", "hot", "cautions", "Never quench"),
    ("12", "hot", "cautions", "Nickel fume"),
    ("12", "hot", "cautions", "does not touch food"),
    ("12", "hot", "cautions", "wet glove"),
    ("12", "hot", "cautions", "stand aside when opening"),
    ("12", "break", "preparation", "The coating is zinc: all of it off before any heat"),
    ("12", "hot", "afterwards", "fire watch 30 min or more"),
    ("12", "hot", "afterwards", "some codes ask for longer"),
    ("13", "rod", "temperatures", "The sensor is part of the welding circuit"),
    ("13", "rod", "temperatures", "insulated junction or isolated converter"),
    ("13", "rod", "temperatures", "work clamp near the joint"),
    ("13", "rod", "temperatures", "high-frequency start off where possible"),
    ("13", "rod", "cautions", "crosses the torch lead at right angles and is never coiled with it"),
    ("13", "rod", "cautions", "laptop on its battery"),
    ("13", "rod", "temperatures", '"arc in the reading" and no temperature'),
    ("13", "rod", "temperatures", "more than 20 K within 10 s of peening"),
    ("13", "rod", "temperatures", "Magnets hold badly hot and where it is peened"),
    ("13", "rod", "temperatures", "measure at 48 mm"),
    ("13", "rod", "temperatures", "a bead shows at 25 mm to 35 mm"),
]  # fmt: skip


@functools.cache
def sheet(name: str) -> dict[str, str]:
    """Return a job's whole sheet: section -> all it says."""
    made: Job = JOBS[name]()
    return {section.name: text_of(section.lines) for section in whole(plan(made), made, Shown())}


@pytest.mark.parametrize(
    ("point", "name", "section", "words"),
    POINTS,
    ids=[f"{row[0]}-{row[1]}-{row[3][:30]}" for row in POINTS],
)
def test_the_point_is_in_the_sheet(point: str, name: str, section: str, words: str) -> None:
    """Procedure notes, the section named first; the words are ours."""
    assert words in sheet(name)[section]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_on_a_sheet_promises_that_a_repair_holds_or_a_part_is_safe(name: str) -> None:
    """The words a promise would need, outside of the sentence that denies it."""
    text = "\n".join(sheet(name).values()).lower()
    text = text.replace("that is no promise that the repair holds", "")
    text = text.replace("none is taken for clean or safe", "")

    for promise in ("repair holds", "will hold", "is safe", "or safe", "as strong as", "permanent"):
        assert promise not in text, promise
