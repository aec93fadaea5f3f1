"""A recorded job with other values for some keys: only what follows from them is worked out anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec
import pytest
from conftest import COLD, HOT

from pacer.job.file.build import build
from pacer.job.file.changed import ORIGIN, Unfit, changed
from pacer.job.file.fill import fill
from pacer.job.file.keys import keys
from pacer.job.file.read import job_from_text
from pacer.job.file.values_of import values_of
from pacer.job.job import Job
from pacer.recording.reader import Recording

OLD = sorted((Path(__file__).parent.parent / "data" / "recordings").glob("*.jsonl"))


@pytest.mark.parametrize("cold", [False, True])
def test_every_key_of_a_job_is_found_again(cold: bool, hot_job: Job, cold_job: Job) -> None:
    """Built from the values it gives, the job is the same; no key of the guide is forgotten."""
    job = cold_job if cold else hot_job
    values = values_of(job)
    assert set(values) == {key.name for key in keys().values() if not key.fact}
    given = {name: v for name, v in values.items() if job.origin[name] == "given"}
    assert build(fill(given)) == job


def test_a_fact_is_found_as_it_was_written() -> None:
    """Only those that were said."""
    said = HOT.replace("[filler]", "") + '[filler]\nbatch = "7 of May"\n'
    assert values_of(job_from_text(said, "a.toml"))["filler.batch"] == "7 of May"


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.name)
def test_an_old_recordings_job_with_nothing_changed_is_that_job(path: Path) -> None:
    """Whatever the defaults are today, and of formats that lacked some of the keys."""
    job = Recording(path).head.job
    assert changed(job, {}) == job


def test_a_default_of_its_day_stays_what_it_was(hot_job: Job) -> None:
    """The look was 0 s before format 1.1 and 3 s later; another bead changes neither."""
    before = msgspec.structs.replace(hot_job.bead, look_s=0.0)
    job = changed(msgspec.structs.replace(hot_job, bead=before), {"bead.length": 0.020})
    assert job.bead.look_s == 0.0
    assert job.bead.length_m == 0.020


def test_what_follows_from_a_changed_key_is_worked_out_anew(hot_job: Job) -> None:
    """75 mm in beads of 25 mm are 3 places, of 20 mm 4; who said it is kept apart."""
    assert hot_job.plan.places == 3
    job = changed(hot_job, {"bead.length": 0.020})
    assert job.plan.places == 4
    assert job.origin["bead.length"] == ORIGIN
    assert job.origin["band.floor"] == "given"


def test_a_floor_moves_the_preheat_and_the_ceiling_only_where_they_would_not_fit() -> None:
    """A band that nobody gave: 230 °C stays below 260, 270 °C doesn't; then 60 K above the floor,
    and 40 K above that, as the job file says (pacer guide job-file)."""
    lines = ('preheat = "260 degC"\n', 'ceiling = "300 degC"\n', 'temperature = "260 degC"\n')
    text = HOT
    for line in lines:
        text = text.replace(line, "")
    recorded = job_from_text(text, "a.toml")
    kept = changed(recorded, {"band.floor": 230.0})
    assert (kept.band.preheat_c, kept.band.ceiling_c) == (260.0, 300.0)
    assert kept.origin["band.preheat"] == recorded.origin["band.preheat"]
    job = changed(recorded, {"band.floor": 270.0})
    assert (job.band.preheat_c, job.band.ceiling_c) == (330.0, 370.0)
    given = changed(job_from_text(HOT, "a.toml"), {"band.floor": 230.0})
    assert (given.band.preheat_c, given.band.ceiling_c) == (260.0, 300.0)


@pytest.mark.parametrize(
    ("text", "values", "line"),
    [
        (HOT, {"band.floor": 280.0}, "band.floor: the floor must be below the preheat target"),
        (HOT, {"bead.length": 0.1}, "bead.length: longer than the joint"),
        (HOT, {"joint.crack_length": 0.02}, "joint.crack_length: bead.length (given) doesn't fit"),
        (COLD, {"band.soak": 60.0}, "band.soak: the cold method has a ceiling only"),
    ],
)
def test_values_that_do_not_fit_are_told_at_the_key_that_was_changed(
    text: str, values: dict[str, Any], line: str
) -> None:
    """One line, with what to write."""
    with pytest.raises(Unfit) as told:
        changed(job_from_text(text, "a.toml"), values)
    assert len(told.value.lines) == 1
    assert told.value.lines[0].startswith(line)


def test_a_recorded_job_that_is_wrong_in_itself_is_not_rebuilt(hot_job: Job) -> None:
    """A record is foreign: its job need not have come from a file that was read."""
    wide = msgspec.structs.replace(hot_job.band, deadband_dc=90.0)
    origin = {**hot_job.origin, "band.deadband": "given"}
    with pytest.raises(Unfit, match=r"^band.deadband: too wide for this band"):
        changed(msgspec.structs.replace(hot_job, band=wide, origin=origin), {"bead.peen": 10.0})
    strange = msgspec.structs.replace(hot_job.filler, process="x")
    origin = {**hot_job.origin, "filler.process": "given"}
    still = msgspec.structs.replace(hot_job.bead, travel_m_s=0.0)
    for job in (
        msgspec.structs.replace(hot_job, filler=strange, origin=origin),
        msgspec.structs.replace(hot_job, bead=still),
    ):
        with pytest.raises(Unfit, match="holds what no job file can"):
            changed(job, {"bead.peen": 10.0})
