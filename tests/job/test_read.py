"""A job file to a `Job`: defaults with their origin, and every mistake in one line each."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.errors import UserInputError
from pacer.job.file.keys import keys
from pacer.job.file.read import job_from_text, read_job
from pacer.job.job import Job
from pacer.job.metal.doubts import contradicts

CONFIGS = Path(__file__).parents[2] / "configs"
EXAMPLE = (CONFIGS / "pump-foot-hot-sand.toml").read_text("utf-8")
LEAST = '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "3 kg"\n'
COLD = LEAST.replace("hot", "cold")


def complaint(text: str, name: str = "my.toml") -> str:
    """Return what is said about a job file that can't be used."""
    with pytest.raises(UserInputError) as caught:
        job_from_text(text, name)
    return str(caught.value)


def test_the_example_is_read_in_si_units() -> None:
    """Values as written in the file, converted by hand."""
    job = job_from_text(EXAMPLE, "example")

    assert (job.method, job.part.metal, job.part.mass_kg) == ("hot", "grey iron", 3.2)
    assert job.part.size_m == pytest.approx((0.26, 0.18, 0.04))
    assert (job.band.floor_c, job.band.preheat_c, job.band.ceiling_c) == (200.0, 260.0, 300.0)
    assert job.band.soak_s == 1200.0
    assert job.bead.travel_m_s == pytest.approx(0.002)
    assert job.cooldown.volume_m3 == pytest.approx(0.030)
    assert job.cooldown.max_rate_c_h is None
    assert job.filler.process == "111"


def test_the_least_file_gets_every_default_with_its_reason() -> None:
    """Only method, metal and mass are required (design notes)."""
    job = job_from_text(LEAST, "least")

    assert set(job.origin) == {name for name, key in keys().items() if not key.fact}
    assert job.facts == {}
    assert job.origin["part.mass"] == "given"
    for name, origin in job.origin.items():
        assert origin.startswith(("given", "default: ", "computed: ")), name
        assert len(origin) > 8 or origin == "given", name
    assert (job.band.floor_c, job.band.preheat_c, job.band.ceiling_c) == (200.0, 260.0, 300.0)
    assert (job.cooldown.cover, job.cooldown.until_c) == ("dry sand", 40.0)
    assert job.joint.depth_m + job.joint.root_face_m == pytest.approx(job.part.wall_m)


def test_a_job_survives_being_stored_in_a_recording() -> None:
    """The recording's head holds the whole job as JSON."""
    job = job_from_text(EXAMPLE, "example")
    assert msgspec.json.decode(msgspec.json.encode(job), type=Job) == job


def test_the_examples_show_each_kind_of_repair_and_both_methods() -> None:
    """A crack, a break, a patch from both sides, cold; what their shop tests say fits the metal."""
    jobs = [read_job(path) for path in sorted(CONFIGS.glob("*.toml"))]
    kinds = {(job.joint.repair, job.joint.access) for job in jobs}

    assert {("crack", "one side"), ("break", "both sides"), ("patch", "both sides")} <= kinds
    assert {job.method for job in jobs} == {"hot", "cold"}
    assert [line for job in jobs for line in contradicts(job)] == []
    assert any(name.startswith("tests.") for job in jobs for name in job.facts)


LOW = [
    # The default floor is 60 K below the target, the default target 40 K below the ceiling.
    ('ceiling = "100 degC"', "band.ceiling", "puts the floor at 0 degC, ", "140 degC, or give the"),
    ('preheat = "90 degC"', "band.preheat", "puts the floor at 30 degC, ", "100 degC, or give the"),
    ('preheat = "60 degC"\nceiling = "90 degC"', "band.preheat", "floor at 0 degC", "100 degC, or"),
    ('floor = "35 degC"', "band.floor", ": not above the 40 degC at which", "more than 40 degC"),
    ('ceiling = "15 degC"', "band.ceiling", "puts the floor at -85 degC, ", "140 degC, or give"),
    # His own end of the cool-down is no better than ours below the shop's temperature.
    ('ceiling = "100 degC"\n[cooldown]\nuntil = "30 degC"', "band.ceiling", "the 30 degC", "130 degC"),
]  # fmt: skip


@pytest.mark.parametrize(("band", "key", "what", "write"), LOW)
def test_a_band_too_low_is_told_at_the_key_that_was_given(
    band: str, key: str, what: str, write: str
) -> None:
    """One line that says what to write there; what it asks for is then taken."""
    said = complaint(f"{LEAST}[band]\n{band}\n")

    (line,) = said.splitlines()
    assert line.startswith(f"my.toml:7: {key} = ")
    assert what in line
    assert f"write more than {write}" in line if write.startswith("1") else write in line
    least_c = int(line.split("write more than ")[1].split(" ")[0])
    first, _, rest = band.partition("\n")
    mended = f'{first.split(" = ")[0]} = "{least_c + 1} degC"\n{rest if "until" in rest else ""}'
    job = job_from_text(f"{LEAST}[band]\n{mended}\n", "x")
    assert job.band.floor_c is not None
    assert job.band.floor_c > job.cooldown.until_c


def test_an_end_of_the_cool_down_above_the_floor_is_told_at_itself() -> None:
    """The band is as it was wanted."""
    said = complaint(f'{LEAST}[band]\nfloor = "50 degC"\n[cooldown]\nuntil = "60 degC"\n')
    assert said == (
        'my.toml:9: cooldown.until = "60 degC": not below the floor, so no cool-down; '
        "write less than 50 degC"
    )


def test_what_follows_from_other_keys_is_computed() -> None:
    """Depth from wall and root face; the band round a given target; mass from size and wall."""
    text = (
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nwall = "10 mm"\n'
        'size = ["200 mm", "100 mm", "50 mm"]\n[joint]\nroot_face = "3 mm"\n'
        '[band]\npreheat = "180 degC"\n'
    )
    job = job_from_text(text, "x")

    assert job.joint.depth_m == pytest.approx(0.007)
    assert job.origin["joint.depth"].startswith("computed: ")
    assert (job.band.floor_c, job.band.ceiling_c) == (120.0, 220.0)
    # Half the box's area is 20x10 + 20x5 + 10x5 = 350 cm²; 1 cm thick at 7.2 g/cm³: 2.52 kg.
    assert job.part.mass_kg == pytest.approx(2.52)
    assert job.origin["part.mass"].startswith("computed: ")


@pytest.mark.parametrize(("name", "number"), [("TIG", "141"), ("MMA", "111"), ("mag", "135")])
def test_processes_may_be_called_by_their_common_name(name: str, number: str) -> None:
    """ISO 4063 numbers; the common names are common practice."""
    assert job_from_text(f'{LEAST}[filler]\nprocess = "{name}"\n', "x").filler.process == number


WRONG = [
    ('[band]\nfloor = "600 F"', 'my.toml:7: band.floor = "600 F": F is farad, not a temperature; write "600 degF"'),
    ('[band]\nfloor = 200', 'my.toml:7: band.floor = 200: number without a unit; write "200 degC"'),
    ('[band]\nfloor = true', 'my.toml:7: band.floor = true: expected a temperature in quotes, such as "200 degC"'),
    ('[band]\nfloor = ["200 degC"]', 'my.toml:7: band.floor = ["200 degC"]: expected a temperature in quotes, such as "200 degC"'),
    ('[band]\nflor = "200 degC"', 'my.toml:7: band.flor = "200 degC": unknown key; did you mean floor?'),
    ('[bead]\nceiling = "300 degC"', 'my.toml:7: bead.ceiling = "300 degC": unknown key; did you mean band.ceiling?'),
    ('[bands]\nfloor = "200 degC"', "my.toml:6: bands: unknown table; did you mean [band]?"),
    ('[bead]\nlength = "25,4 mm"', 'my.toml:7: bead.length = "25,4 mm": decimal comma; write "25.4 mm"'),
    ('[bead]\nlength = "25 kg"', 'my.toml:7: bead.length = "25 kg": kg is for a mass; expected a length such as "25 mm"'),
    ('[bead]\nlength = "9 m"', 'my.toml:7: bead.length = "9 m": out of range; write 3 mm to 300 mm'),
    ('[filler]\nprocess = 111', 'my.toml:7: filler.process = 111: expected a text in quotes; write process = "111"'),
    ('[heating]\nwith = "gas gril"', 'my.toml:7: heating.with = "gas gril": unknown; write "gas grill"'),
    ('[heating]\npoints = "3"', 'my.toml:7: heating.points = "3": expected a whole number without quotes; write 1 to 12'),
    ('[band]\nfloor = "280 degC"\npreheat = "260 degC"', 'my.toml:7: band.floor = "280 degC": the floor must be below the preheat target; write less than 260 degC'),
    ('[band]\nceiling = "250 degC"\npreheat = "260 degC"', 'my.toml:7: band.ceiling = "250 degC": the ceiling must be above the preheat target; write more than 260 degC'),
    ('[postheat]\ntemperature = "350 degC"', 'my.toml:7: postheat.temperature = "350 degC": outside the band; write 200 to 300 degC'),
    ('[joint]\nangle = "30 deg"\npreparation = "square"', "my.toml:7: joint.angle = \"30 deg\": a square preparation has no angle; take the line out"),
    ('[cooldown]\nuntil = "20 degC"', 'my.toml:7: cooldown.until = "20 degC": never reached in a shop at 20 degC; write more than that'),
    ('[sensor]\nurl = "/dev/ttyUSB0"', 'my.toml:7: sensor.url = "/dev/ttyUSB0": no sensor address; write "serial:///dev/ttyUSB0?baud=115200", "hand:" or "practice:"'),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "words"), WRONG, ids=[row[0] for row in WRONG])
def test_a_mistake_is_told_with_its_line_what_was_found_and_what_to_write(
    lines: str, words: str
) -> None:
    """One line for one mistake, nothing else."""
    assert complaint(f"{LEAST}{lines}\n") == words


REASONS = [
    (LEAST + '[band]\nfloor = "258 degC"\npreheat = "260 degC"\nceiling = "262 degC"', "±2.5 K"),
    (LEAST + '[part2]\nx = 1', "unknown table"),
    (LEAST + 'wall = "4 mm"\n[bead]\nlength = "25 mm"', "at most 13 mm"),
    (LEAST + 'service = "lifting"', "ask a qualified welding engineer"),
    (LEAST.replace("grey", "white"), "generally held to be unweldable"),
    (LEAST + 'wall = "12 mm"\n[joint]\ndepth = "9 mm"\nroot_face = "2 mm"', "add up to the wall"),
    (LEAST + 'wall = "12 mm"\n[joint]\ndepth = "13 mm"', "deeper than the wall"),
    (LEAST + '[joint]\npreparation = "double-V"', "welded from both sides"),
    (LEAST + '[bead]\ntravel = "900 mm/min"', "not counted as a bead"),
    (LEAST + '[joint]\ncrack_length = "5 m"\n[bead]\nlength = "3 mm"\ntravel = "20 mm/min"', "beads"),
    (LEAST + '[cooldown]\ncover = "still air"\nvolume = "30 l"', "still air has no box"),
    (COLD + '[band]\nceiling = "28 degC"', "less than 10 K above the shop"),
    (COLD + '[band]\nfloor = "200 degC"', "the cold method has a ceiling only"),
    (COLD + '[band]\nsoak = "5 min"', "the cold method has a ceiling only"),
    (COLD + '[postheat]\nhold = "5 min"', "the cold method has a ceiling only"),
    ('[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\n', 'write mass = "3.2 kg"'),
    ("[band]\nfloor = 200 degC\n", 'write floor = "200 degC"'),
    ('[job]\nmethod = "hot"\nmethod = "cold"\n', "my.toml:3: not TOML"),
    ("[" * 5000, "not TOML"),
    ("x = " + "[" * 5000, "nested too deeply"),
    ("x = " + "9" * 5000, "not TOML"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), REASONS, ids=[row[1] for row in REASONS])
def test_what_the_trade_or_geometry_forbids_is_refused_with_its_reason(
    text: str, words: str
) -> None:
    """Procedure notes sections 4, 8 and 10; trade rows B03 and W08 (secondary pages)."""
    told = complaint(text)

    assert words in told
    assert len(told.splitlines()) <= 4


def test_all_mistakes_of_a_file_are_told_in_one_go_in_the_order_of_their_lines() -> None:
    """A welder mends a file once, not once for each mistake."""
    told = complaint(
        'titel = "x"\n[part]\nmetal = "gray iron"\nmass = 3.2\n[bead]\nlength = "600 F"\n'
    ).splitlines()

    assert [line.split(":")[1] for line in told[1:]] == ["1", "3", "4", "6"]
    assert "job.method: missing" in told[0]


def test_a_fault_that_only_follows_from_another_one_is_not_told() -> None:
    """With the floor unreadable nothing is said about floor and preheat together."""
    told = complaint(f'{LEAST}[band]\nfloor = "600 F"\npreheat = "150 degC"\n')
    assert len(told.splitlines()) == 1


def test_foreign_text_reaches_no_message_unclean() -> None:
    """Escape sequences in names, keys and values are made harmless (T-18)."""
    told = complaint('["\\u001b[2J"]\nx = 1\n[job]\n"\\u001b]0;t" = "\\u202e"\n', "a\x1b[31m.toml")
    assert all(line.isprintable() for line in told.splitlines())


def test_files_that_are_no_job_file_are_refused_in_one_line(tmp_path: Path) -> None:
    """Missing, a folder, a pipe, too large, not UTF-8: never a traceback, never a wait."""
    big, latin, pipe = tmp_path / "big.toml", tmp_path / "latin.toml", tmp_path / "pipe"
    big.write_bytes(b"# \n" * 400_000)
    latin.write_bytes(b'[job]\ntitle = "\xb0C"\n')
    os.mkfifo(pipe)
    cases = [
        (tmp_path / "none.toml", "no such file"),
        (tmp_path, "folder"),
        (big, "over 1000 kB"),
        (latin, "latin.toml:2: not UTF-8"),
        (pipe, "not a file"),
        (tmp_path / "a\0b", "can't be read"),
    ]
    for path, words in cases:
        with pytest.raises(UserInputError, match=words) as caught:
            read_job(path)
        assert len(str(caught.value).splitlines()) == 1


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    """Some editors write one (from memory); TOML itself knows none."""
    path = tmp_path / "bom.toml"
    path.write_bytes(b"\xef\xbb\xbf" + LEAST.encode())
    assert read_job(path).method == "hot"


@pytest.mark.slow
@given(st.integers(0, len(EXAMPLE) - 1), st.text(st.characters(), max_size=3))
def test_any_damage_to_a_file_gives_a_job_or_clean_lines(place: int, put: str) -> None:
    """T-20 in small: no exception but UserInputError, every line printable."""
    try:
        told = job_from_text(EXAMPLE[:place] + put + EXAMPLE[place + 1 :], "x").title
    except UserInputError as error:
        told = str(error)

    assert all(line.isprintable() for line in told.splitlines())


ANY_VALUE = st.one_of(
    st.sampled_from(['"1 mm"', '"5 degC"', '"700 degC"', '"2 l"', '"300 mm"', '"0.5 min"', '"U"']),
    st.sampled_from(
        ['"cold"', '"square"', '"fillet weld"', '"furnace"', '"both sides"', "1", "[]"]
    ),
    st.sampled_from(['"131"', '"18 mm/min"', '"1 delta_degC"', '"0 mm"', '"120 deg"', '"0.05 kg"']),
)


@pytest.mark.slow
@given(st.dictionaries(st.sampled_from(sorted(keys())), ANY_VALUE, max_size=8))
def test_any_mixture_of_keys_gives_a_job_or_clean_lines(rows: dict[str, str]) -> None:
    """Odd but well-formed values never break the defaults or the checks."""
    body = "".join(f"{name} = {value}\n" for name, value in rows.items())
    required = {"job.method": '"hot"', "part.metal": '"grey iron"', "part.mass": '"3 kg"'}
    body += "".join(f"{name} = {v}\n" for name, v in required.items() if name not in rows)
    try:
        assert job_from_text(body, "x").plan.beads >= 1
    except UserInputError as error:
        assert str(error).startswith("x")  # noqa: PT017


@pytest.mark.slow
def test_reading_a_job_loads_no_screen_and_no_port() -> None:
    """`pacer plan` must work where neither is wanted (design notes)."""
    code = (
        "import sys; from pacer.job.file.read import read_job; read_job(sys.argv[1]);"
        "sys.exit(len({'textual', 'serial'} & set(sys.modules)))"
    )
    path = str(CONFIGS / "pump-foot-hot-sand.toml")
    assert subprocess.run([sys.executable, "-c", code, path], check=False).returncode == 0
