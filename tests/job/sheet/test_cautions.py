"""The cautions of a plan: those that the job calls for, no others, each with its source."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import msgspec
import pytest

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.records import Step
from pacer.job.sheet.sections.cautions import STAGES, Stage, calls, cautions, lines
from pacer.trade.rows import STATUSES, load, row
from pacer.units import Shown

ALWAYS = {found.id for found in load("cautions") if found.values["when"] == "always"}


def told(job: Job, shown: Shown | None = None) -> str:
    """Return all of the section's words."""
    steps = lines(plan(job), job, shown or Shown("metric"))
    return "\n".join(step.text for step in steps if isinstance(step, Step))


def ids(job: Job) -> set[str]:
    """Return which cautions apply."""
    return {found.id for found in cautions(job)}


def with_facts(job: Job, **facts: str) -> Job:
    """Return the job with facts; two underscores stand for the dot of a key."""
    return msgspec.structs.replace(
        job, facts={key.replace("__", "."): text for key, text in facts.items()}
    )


def of_process(process: str, designation: str, current_a: float = 90.0, url: str = "") -> Job:
    """Return a hot job of a process and a filler."""
    sensor = f'[sensor]\nurl = "{url}"' if url else ""
    return job_from_text(
        f'[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "3.2 kg"\n[filler]\nprocess = "{process}"\n'
        f'designation = "{designation}"\ncurrent = "{current_a:g} A"\n{sensor}',
        "job.toml",
    )


def test_every_caution_has_a_stage_and_some_job_calls_for_it(hot_job: Job, cold_job: Job) -> None:
    """No row lies dead: together these jobs call for all of them."""
    dirty = with_facts(hot_job, part__hollow="closed", part__coating="zinc")
    covers = [
        msgspec.structs.replace(
            hot_job, cooldown=msgspec.structs.replace(hot_job.cooldown, cover=cover)
        )
        for cover in ("vermiculite", "ceramic blanket")
    ]
    core = of_process("141", "ENiFe-CI", url="serial:///dev/ttyUSB0")
    stainless, oily = of_process("111", "E312-16"), with_facts(cold_job, part__oil="burns out")
    jobs = (hot_job, cold_job, dirty, core, stainless, oily, *covers)
    called = set().union(*(ids(job) for job in jobs))

    assert called == {found.id for found in load("cautions")}
    assert {found.values["stage"] for found in load("cautions")} == set(STAGES)
    assert set(STAGES) == set(get_args(Stage))


def test_each_caution_is_told_once_under_its_stage_with_its_source(hot_job: Job) -> None:
    """Stages stand in the order of the work; only a stage's heading has no source."""
    steps = lines(plan(hot_job), hot_job, Shown("metric"))
    headings = [step.text for step in steps if isinstance(step, Step) and not step.source]

    assert headings == [f"{words.upper()}:" for words in STAGES.values()]
    assert len(steps) - len(headings) == len(cautions(hot_job))
    for step in steps:
        assert isinstance(step, Step)
        if step.source:
            assert any(status in step.source for status in STATUSES)


@pytest.mark.parametrize("name", sorted(ALWAYS))
def test_some_cautions_hold_for_every_job(name: str, hot_job: Job, cold_job: Job) -> None:
    """Procedure notes section 12: solvent, burns, shade, ventilation, quenching, fire watch."""
    assert name in ids(hot_job) & ids(cold_job)


def test_a_cold_job_has_no_flame(cold_job: Job, hot_job: Job) -> None:
    """Carbon monoxide and the burner belong to gas heat; the default heat of a hot job is gas."""
    flame = {"monoxide", "monoxide limits", "burner"}

    assert not flame & ids(cold_job)
    assert flame <= ids(hot_job)


@pytest.mark.parametrize(
    ("source", "burns_gas"),
    [("gas grill", True), ("torch", True), ("oven", False), ("hot plate", False)],
)
def test_carbon_monoxide_goes_with_gas(source: str, burns_gas: bool, hot_job: Job) -> None:
    """Row X12, common practice; limits X08 and X09."""
    heating = msgspec.structs.replace(hot_job.heating, source=source)
    job = msgspec.structs.replace(hot_job, heating=heating)

    assert ("monoxide" in ids(job)) is burns_gas
    assert ("50 ppm" in told(job)) is burns_gas


@pytest.mark.parametrize(("source", "burns_gas"), [("gas grill", True), ("oven", False)])
def test_oil_is_burnt_out_with_heat_in_the_cold_method_too(
    source: str, burns_gas: bool, cold_job: Job
) -> None:
    """R01 (secondary page): about 450 °C; X12 (common practice): where gas burns, monoxide."""
    heating = msgspec.structs.replace(cold_job.heating, source=source)
    cold = msgspec.structs.replace(cold_job, heating=heating)
    oily = with_facts(cold, part__oil="burns out")
    gas = {"monoxide", "monoxide limits", "burner", "gas bottles"}

    assert not {"oil smoke", "wet glove", "damp casting", *gas} & ids(cold)
    assert {"oil smoke", "wet glove", "damp casting"} <= ids(oily)
    assert ids(oily) & gas == (gas if burns_gas else set())


@pytest.mark.parametrize("oil", ["none seen", "keeps coming"])
def test_oil_that_is_not_burnt_out_needs_no_flame(oil: str, cold_job: Job) -> None:
    """Oil that keeps coming stops the plan (procedure notes section 10): no heat for it."""
    assert ids(with_facts(cold_job, part__oil=oil)) == ids(cold_job)


@pytest.mark.parametrize(
    ("cover", "boxed"),
    [("dry sand", True), ("vermiculite", True), ("ceramic blanket", True),
     ("still air", False), ("furnace", False)],
)  # fmt: skip
def test_a_hot_box_is_told_of_where_there_is_one(
    cover: str, boxed: bool, hot_job: Job, cold_job: Job
) -> None:
    """Procedure notes section 12, common practice; what was never hot sets fire to nothing."""
    for job in (hot_job, cold_job):
        cooldown = msgspec.structs.replace(job.cooldown, cover=cover)
        covered = msgspec.structs.replace(job, cooldown=cooldown)
        assert ("hot box" in ids(covered)) is (boxed and job.method == "hot")


@pytest.mark.parametrize(
    ("hollow", "told_of"),
    [(None, True), ("unknown", True), ("closed", True), ("vented", True), ("none", False)],
)
def test_hollow_spaces_are_told_of_unless_there_are_none(
    hollow: str | None, told_of: bool, hot_job: Job
) -> None:
    """29 CFR 1910.252(a)(3)(ii), secondary; blind holes and penetrant in any case."""
    job = with_facts(hot_job, part__hollow=hollow) if hollow else hot_job

    assert ({"hollow", "fuel container", "container"} <= ids(job)) is told_of
    assert "trapped" in ids(job)


@pytest.mark.parametrize(
    ("coating", "expected"),
    [
        (None, {"coating", "paint"}),
        ("unknown", {"coating", "paint"}),
        ("lead", {"coating"}),
        ("zinc", {"coating"}),
        ("cadmium", {"coating"}),
        ("chromium", {"coating"}),
        ("paint", {"paint"}),
        ("none", set()),
    ],
)
def test_a_coating_nobody_spoke_of_counts_as_unknown(
    coating: str | None, expected: set[str], hot_job: Job
) -> None:
    """Procedure notes section 12; for the air Michigan R 325.62108 and WAC 296-24-71513."""
    job = with_facts(hot_job, part__coating=coating) if coating else hot_job

    assert ids(job) & {"coating", "paint"} == expected


@pytest.mark.parametrize(
    ("designation", "nickel"),
    [
        ("ENiFe-CI", True),
        ("E312-16", True),
        ("ENiCrFe-3", True),
        ("ESt", False),
        ("E7018", False),
        ("mystery 7", True),
    ],
)
def test_nickel_is_told_of_unless_the_filler_is_known_to_have_none(
    designation: str, nickel: bool
) -> None:
    """X01 (primary), X07 (secondary), skin and food: common practice; kinds: rows F10."""
    job = of_process("111", designation)

    assert ({"nickel fume", "nickel indoors", "nickel skin", "nickel food"} <= ids(job)) is nickel
    assert ("nickel" in told(job).casefold()) is nickel


@pytest.mark.parametrize(
    ("designation", "chromium"),
    [("E312-16", True), ("ENiCrFe-3", True), ("ENiFe-CI", False), ("ESt", False)],
)
def test_chromium_is_told_of_with_a_filler_that_holds_it(designation: str, chromium: bool) -> None:
    """E312-16: a seller's data sheet, 28-32 % (secondary); X18's limit is from memory."""
    job = of_process("111", designation)

    assert ("chromium fume" in ids(job)) is chromium
    assert ("0.005 mg/m³" in told(job)) is chromium


def test_that_a_fuel_container_is_not_welded_is_told_as_our_own_limit() -> None:
    """AWS F4.1's scope (seen in a catalogue) says that containers can be made safe for work."""
    own, standard = row("cautions", "fuel container"), row("cautions", "container")

    assert (own.source, own.status) == ("the program's own limit", "common practice")
    assert "AWS" not in own.told
    assert "how one is prepared for welding" in standard.about
    assert standard.status == "seen in a secondary page"


@pytest.mark.parametrize(
    ("process", "current_a", "said"),
    [
        ("111", 65.0, "at least 8 for MMA at 65 A"),
        ("111", 160.0, "at least 10 for MMA at 160 A"),
        ("141", 90.0, "at least 8 for TIG at 90 A"),
        ("135", 100.0, "at least 10 for MAG at 100 A"),
    ],
)
def test_the_shade_is_that_of_the_jobs_arc(process: str, current_a: float, said: str) -> None:
    """29 CFR 1910.133(a)(5), primary text; 160 A lies in two ranges: the darker."""
    designation = "ENiFe-CI" if process == "111" else "ERNi-1"

    assert said in told(of_process(process, designation, current_a))


def test_a_current_without_a_published_shade_makes_none_up(hot_job: Job) -> None:
    """TIG above 500 A is not in the regulation; the job file allows no such current anyway."""
    filler = msgspec.structs.replace(hot_job.filler, process="141", current_a=600.0)
    job = msgspec.structs.replace(hot_job, filler=filler)

    assert "no published shade for process 141 at 600 A; ask the helmet's maker" in told(job)


def test_ventilation_is_told_in_the_users_units(hot_job: Job) -> None:
    """X05 and X06: 29 CFR 1910.252(c), WAC 296-24-71505, primary text: figures as printed."""
    metric, us = told(hot_job), told(hot_job, Shown("us"))

    for figure in ("284 m³", "5 m of", "57 m³/min", "30 m/min", "4.2 m³/min", "43 °C"):
        assert figure in metric
        assert figure not in us
    for figure in ("10000 ft³", "16 ft", "2000 ft³/min", "100 ft/min", "150 ft³/min", "109 °F"):
        assert figure in us


def test_burns_are_told_with_contact_times_and_short_ones_by_both_sources(hot_job: Job) -> None:
    """T01-T03 (primary) and D12: the lower edge of the band (from memory) counts."""
    text = told(hot_job)

    assert "51 °C in 1 min, at 48 °C in 10 min, at 43 °C in 8 h" in text
    assert "65 to 70 °C in 1 s" in text
    assert "70 °C and 59 °C by another" in text


@pytest.mark.parametrize(
    ("process", "designation", "url", "expected"),
    [
        ("111", "ENiFe-CI", "hand:", set()),
        ("111", "ENiFe-CI", "serial:///dev/ttyUSB0", {"sensor circuit"}),
        ("111", "ENiFe-CI", "practice:", set()),
        ("141", "ERNi-1", "hand:", {"tungsten"}),
        (
            "141",
            "ERNi-1",
            "serial:///dev/ttyUSB0",
            {"tungsten", "sensor circuit", "high frequency"},
        ),
        ("141", "ENiFe-CI", "hand:", {"tungsten", "core coating"}),
    ],
)
def test_the_sensor_and_the_tungsten_have_theirs(
    process: str, designation: str, url: str, expected: set[str]
) -> None:
    """Procedure notes sections 11 and 13, from memory; a hand reading has no wire."""
    job = of_process(process, designation, url=url)

    kin = {"sensor circuit", "high frequency", "tungsten", "core coating"}
    assert ids(job) & kin == expected


@pytest.mark.parametrize(
    ("cover", "expected"),
    [
        ("dry sand", {"damp sand", "sand dust", "hot box"}),
        ("vermiculite", {"old vermiculite", "hot box"}),
        ("ceramic blanket", {"fibre dust", "hot box"}),
        ("still air", set()),
        ("furnace", set()),
    ],
)
def test_each_cover_has_its_own(cover: str, expected: set[str], hot_job: Job) -> None:
    """X13, X14 and procedure notes section 12."""
    cooldown = msgspec.structs.replace(hot_job.cooldown, cover=cover)
    job = msgspec.structs.replace(hot_job, cooldown=cooldown)

    kin = {"damp sand", "sand dust", "old vermiculite", "fibre dust", "hot box"}
    assert ids(job) & kin == expected


def test_no_peening_no_caution_for_it(hot_job: Job) -> None:
    """Eyes and ears are told of where something is peened."""
    quiet = msgspec.structs.replace(hot_job, bead=msgspec.structs.replace(hot_job.bead, peen_s=0.0))

    assert "peening" in calls(hot_job)
    assert "peening" not in calls(quiet)


def test_the_guide_holds_every_figure_of_the_cautions(root: Path) -> None:
    """guide/cautions.md is written by hand; the rows are what it must agree with."""
    guide = (root / "pacer" / "guide" / "cautions.md").read_text("utf-8")

    watch = row("cautions", "fire watch").values
    assert f"{watch['watch_s'] / 60:g} min" in guide
    assert f"{watch['longer_s'] / 60:g} min" in guide
    for name, unit in (("room_m3", "m³"), ("flow_m3_min", "m³/min"), ("hood_m_min", "m/min")):
        assert f"{row('cautions', 'ventilation').values[name]:g} {unit}" in guide
    for flow in row("cautions", "hood").values["flow_m3_min"]:
        assert f"{flow:g} m³/min" in guide
    for name, limit in row("cautions", "monoxide limits").values.items():
        assert not name.endswith("_ppm") or f"{limit:g} ppm" in guide
    assert f"{row('cautions', 'chromium fume').values['pel_mg_m3']:g} mg/m³" in guide
    for figures in (row("cautions", "burn limits").values, row("cautions", "short touch").values):
        assert all(f"{temp_c:g} °C" in guide for temp_c in figures["temp_c"])
    for rules in ("1910.252(a)(2)(iii)(B)", "1910.252(a)(3)(ii)", "1910.252(c)(2)-(3)"):
        assert rules in guide
    assert f"{row('cautions', 'nickel limits').values['pel_mg_m3']:g} mg/m³" in guide
    assert f"{row('cautions', 'nickel limits').values['rel_mg_m3']:g} mg/m³" in guide
    assert f"{row('cautions', 'nickel inhaled').values['tlv_mg_m3']:g} mg/m³" in guide
    assert "296-307-49503(2)" in guide
    assert "1910.133(a)(5)" in guide
