"""A stored correction in a session: which sensor it belongs to, what it changes and what not."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from commands import pacer, run_script
from conftest import HOT

from pacer.cli.sensors.matching import corrections_for, known_as, notes
from pacer.recording.reader import Recording
from pacer.sensor.port.identity import Port, Usb
from pacer.sensor.url import parse_url
from pacer.session.events import Correction, Reading, Resumed
from pacer.settings import SensorCorrection, Settings

ADAPTER = Usb(0x0403, 0x6001, "A1B2", "1-1.4")
OTHER = Usb(0x10C4, 0xEA60, "C3", "1-1.2")

STORED = """
[[corrections]]
sensor = "file:-"
channel = "t1"
scale = 1.01
offset_dc = -2.0
made = "{made}"
how = "ice 2.0 °C, boiling water 100.4 °C of 99.4 °C"
"""


def settings_with(**fields: object) -> Settings:
    """Return settings that hold one correction."""
    made = {"sensor": "serial:///dev/none7", "scale": 1.01, "offset_dc": -2.0, "made": "2026-01-01"}
    return Settings(recordings=Path(), corrections=(SensorCorrection(**{**made, **fields}),))  # type: ignore[arg-type]


def plugged(**ports: Usb | None) -> list[Port]:
    """Return ports of the test's own."""
    return [Port(f"/dev/{name}", usb) for name, usb in ports.items()]


@pytest.mark.parametrize(
    ("stored", "url", "ports", "belongs"),
    [
        # The same URL; what only says how it is read does not matter.
        ({}, "serial:///dev/none7?baud=9600&channel=t1&unit=degF", {}, True),
        ({}, "serial:///dev/none8", {}, False),
        ({}, "socket://none7:1", {}, False),
        # The same adapter under another name, and another adapter under the same name.
        ({"usb": "0403:6001:A1B2"}, "serial:///dev/none9", {"none9": ADAPTER}, True),
        ({"usb": "0403:6001:a1b2"}, "serial:///dev/none9", {"none9": ADAPTER}, True),
        ({"usb": "0403:6001:A1B2"}, "serial:///dev/none7", {"none7": OTHER}, False),
        ({"usb": "0403:6001:A1B2"}, "serial://?usb=0403:6001:A1B2&baud=9600", {}, True),
        # Without a serial number the name decides, if the make is the same.
        ({"usb": "0403:6001"}, "serial:///dev/none7", {"none7": ADAPTER}, True),
        ({"usb": "0403:6001"}, "serial:///dev/none7", {"none7": OTHER}, False),
        ({"usb": "0403:6001"}, "serial:///dev/none9", {"none9": ADAPTER}, False),
        # Voltages read as another wire are other readings, other registers another probe.
        ({}, "serial:///dev/none7?unit=mV&type=K&cj=t2", {}, False),
        (
            {"sensor": "modbus:///dev/none7?unit=1&register=0"},
            "modbus:///dev/none7?register=0&unit=1&baud=19200",
            {},
            True,
        ),
        (
            {"sensor": "modbus:///dev/none7?unit=1&register=0"},
            "modbus:///dev/none7?unit=2&register=0",
            {},
            False,
        ),
    ],
)
def test_a_correction_belongs_to_its_sensor_only(
    stored: dict[str, str], url: str, ports: dict[str, Usb], belongs: bool
) -> None:
    """By the adapter's serial number where there is one, else by the URL."""
    found = corrections_for(url, settings_with(**stored), lambda: plugged(**ports))
    assert bool(found) is belongs


def test_two_names_of_one_port_are_one_sensor(tmp_path: Path) -> None:
    """A link, as the system keeps them by the adapter's name."""
    link = tmp_path / "by-id"
    link.symlink_to("/dev/none7")
    assert corrections_for(f"serial://{link}", settings_with(), list)


def test_without_corrections_no_port_is_listed() -> None:
    """A session of the usual kind asks the system nothing."""

    def never() -> list[Port]:
        raise AssertionError("listed")

    assert corrections_for("serial:///dev/none7", Settings(recordings=Path()), never) == ()


def test_a_sensor_is_known_by_its_url_without_what_does_not_matter() -> None:
    """It is what the settings keep."""
    known = known_as(parse_url("serial:///dev/none7?baud=9600&channel=t2&settle=0"), list)
    assert (known.sensor, known.usb) == ("serial:///dev/none7", None)
    assert known_as(parse_url("file:a?b.csv?time=first")).sensor == "file:a?b.csv"


def test_an_old_check_is_told_at_the_start() -> None:
    """After a year."""
    made = Correction(scale=1.01, offset_dc=-2.0, made="2025-01-01", how="by hand", channel="t1")
    fresh = notes([made], date(2025, 12, 31))
    assert fresh == [
        "corrected by its field check: t1: 1.0100 x °C -2.00 K, made 2025-01-01 (by hand)"
    ]
    old = notes([made], date(2026, 1, 3))
    assert old[1] == ("the field check of t1 is over a year old: repeat it (pacer guide checking)")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job file."""
    path = tmp_path / "job.toml"
    path.write_text(HOT)
    return path


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder of the test's own."""
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.setenv("PACER_HOME", str(folder))
    return folder


WARM = "0,20\n1,!next\n" + "".join(f"{t_s},258.7\n" for t_s in range(2, 12))


@pytest.mark.slow
def test_a_session_decides_by_corrected_values_and_records_raw_ones(
    job: Path, home: Path, tmp_path: Path
) -> None:
    """Told at the start, kept in the head, exported as sent; resumed with it again."""
    (home / "settings.toml").write_text(STORED.format(made="2026-01-01"))
    out = tmp_path / "a.jsonl"
    done = run_script(job, out, WARM).fine()
    assert "pacer: note: corrected by its field check: t1: 1.0100 x °C -2.00 K" in done.err
    recording = Recording(out)
    (made,) = recording.head.channel.corrections
    assert (made.scale, made.offset_dc, made.channel) == (1.01, -2.0, "t1")
    assert recording.head.settings["corrections"].startswith("t1: 1.0100 x °C -2.00 K, made 2026")
    sent = {event.raw[0] for event in recording.events() if isinstance(event, Reading)}
    assert sent == {20.0, 258.7}
    rows = csv.DictReader(io.StringIO(pacer("export", out, "--csv", "-").fine().out))
    assert {float(row["temp_c"]) for row in rows} == {20.0, 258.7}

    run_script(job, out, "0,150\n1,150\n", "--resume").fine()
    resumed = [event for event in Recording(out).events() if isinstance(event, Resumed)]
    assert resumed[0].channel is not None
    assert resumed[0].channel.corrections == (made,)
    assert pacer("replay", out, "--audit").code == 0


@pytest.mark.slow
def test_the_correction_moves_what_is_told(job: Path, home: Path, tmp_path: Path) -> None:
    """259.0 °C as read is below the preheat of 260 °C; times 1.01 it is 261.6 °C."""
    script = "0,20\n1,!next\n" + "".join(f"{t_s},259.0\n" for t_s in range(2, 40))
    without = run_script(job, tmp_path / "a.jsonl", script).fine()
    (home / "settings.toml").write_text(STORED.format(made="2026-01-01").replace("-2.0\n", "0.0\n"))
    corrected = run_script(job, tmp_path / "b.jsonl", script).fine()
    kinds = [[line.split("\t")[1] for line in done.cues] for done in (without, corrected)]
    assert "SOAK" not in kinds[0]
    assert "SOAK" in kinds[1]


@pytest.mark.slow
def test_another_sensor_is_not_corrected(job: Path, home: Path, tmp_path: Path) -> None:
    """Nothing told, nothing in the head."""
    (home / "settings.toml").write_text(
        STORED.format(made="2026-01-01").replace("file:-", "serial://COM9")
    )
    done = run_script(job, tmp_path / "a.jsonl", WARM).fine()
    assert "corrected" not in done.err
    head = Recording(tmp_path / "a.jsonl").head
    assert head.channel.corrections == ()
    assert "corrections" not in head.settings
