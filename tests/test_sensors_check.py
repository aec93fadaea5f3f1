"""`pacer sensors URL --check`: ice, boiling water, the correction stored, used and forgotten.

The readings come from files with times of their own, so that nobody waits; data invented.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pacer.cli.main import main
from pacer.cli.sensors.water import by_answer
from pacer.errors import UserInputError
from pacer.settings import SensorCorrection, read_settings

BOILS_AT_987_C = 99.24
"Saturation temperature at 987 hPa: between 95 °C at 846.1 and 100 °C at 1014.2 hPa of a printed table."


def two_baths(ice: float, boil: float, *, fmt: str = "{:.2f}", spread: float = 0.1) -> str:
    """Half a minute in the hand and in ice, a minute to boiling water, 2 lines a second."""
    lines = []
    for at in range(240):
        t_s = at / 2
        if t_s < 10:
            value = 30.0 + (ice - 30.0) * t_s / 10
        elif t_s < 45:
            value = ice
        elif t_s < 75:
            value = ice + (boil - ice) * (t_s - 45) / 30
        else:
            value = boil
        lines.append(f"{t_s:.1f}," + fmt.format(value + (spread if at % 2 else -spread)))
    return "\n".join(lines) + "\n"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder of the test's own."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    return tmp_path


Check = Callable[..., tuple[int, str]]


@pytest.fixture
def check(home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Check:
    """Run the check over readings; returns the exit code and all that was printed."""

    def run(readings: str, *args: str, query: str = "", told: str = "") -> tuple[int, str]:
        (home / "in.txt").write_text(readings)
        monkeypatch.setattr(sys, "stdin", io.StringIO(told))
        code = main(["sensors", f"file:{home}/in.txt?time=first{query}", "--check", *args])
        caught = capsys.readouterr()
        return code, caught.out + caught.err

    return run


def the_correction() -> SensorCorrection:
    """Return the only one that is stored."""
    (made,) = read_settings().corrections
    return made


def test_a_check_without_questions_stores_the_line_through_both_points(
    check: Check, home: Path
) -> None:
    """Ice 1 °C, boiling 101 °C: 99.24 K of 100 K."""
    code, out = check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    assert code == 0
    made = the_correction()
    assert made.scale == pytest.approx(BOILS_AT_987_C / 100.0, abs=2e-4)
    assert made.offset_dc == pytest.approx(-BOILS_AT_987_C / 100.0, abs=5e-3)
    assert (made.channel, made.sensor, made.usb) == ("t1", f"file:{home}/in.txt", "")
    assert (made.ice_c, made.boil_c) == pytest.approx((1.0, 101.0), abs=0.11)
    assert made.boils_at_c == pytest.approx(BOILS_AT_987_C, abs=0.01)
    assert "of 99.2 °C (at 987hPa)" in made.how
    assert "   extrapolated" in out
    assert "scald" in out
    assert "Both points are within 2.5 K" in out


def test_it_shows_the_correction_where_it_matters_and_what_it_is_worth(check: Check) -> None:
    """At 0, 100 and 260 °C; outside the points it may be off by more."""
    _, out = check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    rows = [line.split() for line in out.splitlines() if line.startswith("  ") and " K" in line]
    assert [row[0] for row in rows] == ["0", "100", "260"]
    by_hand = [BOILS_AT_987_C / 100.0 * (at_c - 1.0) for at_c in (0.0, 100.0, 260.0)]
    assert [float(row[2]) for row in rows] == pytest.approx(by_hand, abs=0.07)
    off_dc = [float(row[4]) for row in rows]
    assert off_dc[0] < off_dc[1] < off_dc[2]
    assert [row[6:] for row in rows] == [[], [], ["extrapolated"]]


def test_questions_are_answered_by_lines(check: Check) -> None:
    """Where it is, Enter twice, store it."""
    code, out = check(two_baths(1.0, 101.0), told="430 m\n\n\ny\n")
    assert code == 0
    assert "Water boils at 98.5 °C here (430 m above sea level, any weather)" in out
    assert the_correction().boils_at_c == pytest.approx(98.55, abs=0.05)


def test_a_slip_is_asked_again_and_no_is_no(check: Check) -> None:
    """Nothing is stored without a yes; the check itself was done."""
    code, out = check(two_baths(1.0, 101.0), told="987 hpa\n987 hPa\n\n\nno\n")
    assert code == 0
    assert 'unknown unit hpa; write "987 hPa"' in out
    assert out.rstrip().endswith("Not stored.")
    assert read_settings().corrections == ()


def test_standard_input_that_ends_stores_nothing(check: Check) -> None:
    """One line, exit 1."""
    code, out = check(two_baths(1.0, 101.0), "--pressure", "987hPa", told="\n")
    assert code == 1
    assert "Not checked, nothing stored: sensors --check: standard input ended" in out
    assert read_settings().corrections == ()


@pytest.mark.parametrize(
    ("readings", "query", "words"),
    [
        (two_baths(33.0, 210.0), "", "put unit=degF into the sensor's URL"),
        (two_baths(273.0, 372.0), "", "put unit=K into the sensor's URL"),
        (two_baths(0.5, 99.0), "&unit=degF", "put unit=degC into the sensor's URL"),
        (two_baths(0.5, -58.0), "", "leads look swapped"),
        (two_baths(0.5, 121.0), "", "the wire may be type J"),
        (two_baths(0.5, 85.0), "", "only in the steam"),
        (two_baths(15.0, 99.0), "", "not among the ice"),
        (two_baths(0.5, 99.0, spread=3.0), "", "spread over 6.0 K"),
        ("0,OPEN\n1,OPEN\n2,OPEN\n", "", "did not stand still: nothing came; open"),
    ],
)
def test_what_is_no_sensor_to_correct_stores_nothing_and_says_why(
    check: Check, readings: str, query: str, words: str
) -> None:
    """Exit 1: the answer is no."""
    code, out = check(readings, "--pressure", "987hPa", query=query, told="\n\ny\n")
    assert code == 1
    assert "Not checked, nothing stored: " in out
    assert words in out
    assert read_settings().corrections == ()


def test_the_second_channel_is_checked_if_the_url_names_it(check: Check) -> None:
    """And the other says nothing about it."""
    code, _ = check(
        two_baths(1.0, 101.0, fmt="20.5,{:.2f}"),
        "--yes",
        "--pressure",
        "987hPa",
        query="&channel=t2",
    )
    assert (code, the_correction().channel) == (0, "t2")


def test_comments_stay_and_the_new_takes_the_place_of_the_old(check: Check, home: Path) -> None:
    """The file is the shop's own."""
    path = home / "settings.toml"
    path.write_text(
        '# my shop\nunits = "us"   # as the customers\n\n'
        '[[corrections]]   # the old probe\nsensor = "serial://COM9"\nscale = 1.01\n'
        'offset_dc = 0.5   # by hand\nmade = "2025-05-01"\n'
    )
    check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    check(two_baths(2.0, 101.0), "--yes", "--pressure", "987hPa")
    text = path.read_text()
    assert text.startswith('# my shop\nunits = "us"   # as the customers\n')
    assert "offset_dc = 0.5   # by hand" in text
    found = read_settings()
    assert [made.sensor for made in found.corrections] == ["serial://COM9", f"file:{home}/in.txt"]
    assert found.corrections[1].ice_c == pytest.approx(2.0, abs=0.11)
    assert found.units == "us"


def test_corrections_written_in_one_line_are_understood(check: Check, home: Path) -> None:
    """TOML has two ways for tables; the other stays what it is."""
    (home / "settings.toml").write_text(
        'corrections = [{sensor = "serial://COM9", scale = 1.01, offset_dc = 0.5, made = 2025-05-01}]'
        '\nunits = "us"\n'
    )
    check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    found = read_settings()
    assert found.units == "us"
    assert (found.corrections[0].sensor, found.corrections[0].made) == (
        "serial://COM9",
        "2025-05-01",
    )
    assert found.corrections[1].channel == "t1"


def test_a_correction_is_forgotten(
    check: Check, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 0; a second time there is none, exit 1; the others stay."""
    path = home / "settings.toml"
    path.write_text(
        '[[corrections]]\nsensor = "serial://COM9"\nscale = 1\noffset_dc = 0\nmade = "2025-05-01"\n'
    )
    check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    url = f"file:{home}/in.txt?time=first"
    assert main(["sensors", url, "--forget"]) == 0
    assert [made.sensor for made in read_settings().corrections] == ["serial://COM9"]
    capsys.readouterr()
    before = path.read_text()
    assert main(["sensors", url, "--forget"]) == 1
    assert capsys.readouterr().out.startswith("no correction is stored for file:")
    assert path.read_text() == before


def test_live_values_show_what_the_correction_makes_of_them(
    check: Check, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As sent, and corrected beside it."""
    check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    (home / "in.txt").write_text("0,101\n")
    capsys.readouterr()
    assert main(["sensors", f"file:{home}/in.txt?time=first"]) == 0
    assert capsys.readouterr().out == "     0.0 s  t1 101.0 °C (101.0 degC) corrected 99.2 °C\n"


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--yes",), "expected --pressure 987hPa or --altitude 430m"),
        (("--pressure", "98hPa"), '--pressure: found "98hPa", expected the air pressure'),
        (("--pressure", "987"), '--pressure: "987": unit missing; write "987 hPa"'),
        (("--altitude", "9000m"), '--altitude: found "9000m", expected -450 to 5000 m'),
        (("--altitude", "430m", "--pressure", "987hPa"), "expected one"),
        (("--forget",), "expected one of them"),
    ],
)
def test_options_that_cannot_be_meant_are_one_line(
    check: Check, args: tuple[str, ...], words: str
) -> None:
    """Exit 2, before anything is opened."""
    code, out = check("0,1\n", *args)
    assert code == 2
    assert words in out
    assert out.count("\n") == 1


@pytest.mark.parametrize("url", ["practice:", "hand:", "file:-"])
def test_what_is_no_sensor_is_not_checked(url: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2."""
    assert main(["sensors", url, "--check", "--pressure", "987hPa"]) == 2
    assert capsys.readouterr().err.startswith("pacer: sensor ")


def test_a_settings_file_that_cannot_be_written_is_one_line(
    check: Check, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit 2, and the old file stands; a full disk by an injected error."""
    import os

    (home / "settings.toml").write_text('units = "us"\n')

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    code, out = check(two_baths(1.0, 101.0), "--yes", "--pressure", "987hPa")
    assert code == 2
    assert "settings.toml: cannot be written: No space left on device" in out
    assert [path.name for path in home.iterdir() if "settings" in path.name] == ["settings.toml"]
    assert (home / "settings.toml").read_text() == 'units = "us"\n'


def test_a_bare_number_may_be_a_pressure_or_a_height() -> None:
    """430 alone: neither unit is put into the user's mouth."""
    with pytest.raises(
        UserInputError, match=r'"430": unit missing; write it, as in 987 hPa or 430 m'
    ):
        by_answer("430")
