"""Text to quantity and back.

Factors are exact by definition (inch 25.4 mm, pound 0.45359237 kg, US gallon
3.785411784 l, °F = 1.8 °C + 32); from memory, the defining documents were not opened.
"""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.units import Kind, QuantityError, Shown, affine, example, parse, spellings

KINDS: tuple[Kind, ...] = (
    "temperature",
    "temperature_difference",
    "rate_c_h",
    "length",
    "mass",
    "time",
    "volume",
    "speed",
    "current",
    "voltage",
    "angle",
    "pressure",
    "gas_flow",
    "force",
)

READ: tuple[tuple[str, Kind, float], ...] = (
    ("200 degC", "temperature", 200.0),
    ("500 degF", "temperature", 260.0),
    ("500°F", "temperature", 260.0),
    ("45degC", "temperature", 45.0),
    ("45 °C", "temperature", 45.0),
    ("300 K", "temperature", 26.85),
    ("-40 degF", "temperature", -40.0),
    ("50 K", "temperature_difference", 50.0),
    ("90 delta_degF", "temperature_difference", 50.0),
    ("40 delta_degC/hour", "rate_c_h", 40.0),
    ("40 K/hour", "rate_c_h", 40.0),
    ("72 delta_degF/hour", "rate_c_h", 40.0),
    ("2 K/min", "rate_c_h", 120.0),
    ("25.4 mm", "length", 0.0254),
    ("1/2 in", "length", 0.0127),
    ("1-1/2 in", "length", 0.0381),
    ("1 1/2 in", "length", 0.0381),
    ('7/8"', "length", 0.022225),
    (".5 m", "length", 0.5),
    ("1e2 mm", "length", 0.1),
    ("2 lb", "mass", 0.90718474),
    ("2 kN", "force", 2000.0),
    # A weight hung from the arm: 9.80665 m/s², exact by definition (ISO 80000-3, from memory).
    ("100 kg", "force", 980.665),
    ("100 lb", "force", 444.8221615260),
    ("3.2kg", "mass", 3.2),
    ("20min", "time", 1200.0),
    ("2 h", "time", 7200.0),
    ("30 l", "volume", 0.03),
    ("1 gal", "volume", 0.003785411784),
    ("120 mm/min", "speed", 0.002),
    ("6 in / min", "speed", 0.00254),
    ("65 A", "current", 65.0),
    ("22V", "voltage", 22.0),
    ("60 deg", "angle", 60.0),
    ("987 hPa", "pressure", 98700.0),
    ("1013.25mbar", "pressure", 101325.0),
    ("98.7 kPa", "pressure", 98700.0),
    # The inch of mercury is 3386.389 Pa by convention (NIST SP 811, from memory).
    ("1 inHg", "pressure", 3386.3886403410),
)


@pytest.mark.parametrize(("text", "kind", "expected"), READ, ids=[row[0] for row in READ])
def test_shop_spellings_are_read_in_si_units(text: str, kind: Kind, expected: float) -> None:
    """Spaces are optional, fractions are allowed; factors by definition."""
    assert parse(text, kind) == pytest.approx(expected, rel=1e-12)


REFUSED: tuple[tuple[str, Kind, str], ...] = (
    ("600 F", "temperature", '"600 F": F is farad, not a temperature; write "600 degF"'),
    ("300 C", "temperature", '"300 C": C is coulomb, not a temperature; write "300 degC"'),
    (
        "50 C",
        "temperature_difference",
        '"50 C": C is coulomb, not a temperature difference; write "50 delta_degC"',
    ),
    ("25,4 mm", "length", '"25,4 mm": decimal comma; write "25.4 mm"'),
    ("1,200 mm", "length", '"1,200 mm": decimal comma; write "1.200 mm" or "1200 mm"'),
    ("25", "mass", '"25": unit missing; write "25 kg"'),
    ("200", "temperature", '"200": unit missing; write "200 degC" or "200 degF"'),
    ("50 psi", "temperature", '"50 psi": expected a temperature such as "200 degC"'),
    (
        "50 mm",
        "temperature",
        '"50 mm": mm is for a length; expected a temperature such as "200 degC"',
    ),
    ("987 hpa", "pressure", '"987 hpa": unknown unit hpa; write "987 hPa"'),
    ("987", "pressure", '"987": unit missing; write "987 hPa"'),
    ("25 MM", "length", '"25 MM": unknown unit MM; write "25 mm"'),
    (
        "40 degC",
        "temperature_difference",
        '"40 degC": a temperature, not a difference; write "40 delta_degC"',
    ),
    (
        "40 degF/hour",
        "rate_c_h",
        '"40 degF/hour": a temperature, not a difference; write "40 delta_degF/hour"',
    ),
    (
        "-300 degC",
        "temperature",
        '"-300 degC": below absolute zero; write a temperature such as "200 degC"',
    ),
    ("1e400 mm", "length", '"1e400 mm": the number is too large; write a length such as "25 mm"'),
    ("1/0 in", "length", '"1/0 in": division by zero; write a length such as "25 mm"'),
    ("12 mm mm", "length", '"12 mm mm": expected a length such as "25 mm"'),
    ("nan mm", "length", '"nan mm": expected a length such as "25 mm"'),
    ("inf s", "time", '"inf s": expected a time such as "20 min"'),
    ("", "time", '"": expected a time such as "20 min"'),
    ("٣ mm", "length", '"٣ mm": expected a length such as "25 mm"'),
)


@pytest.mark.parametrize(("text", "kind", "words"), REFUSED, ids=[row[0] for row in REFUSED])
def test_text_that_could_be_misread_is_refused_with_a_spelling_that_works(
    text: str, kind: Kind, words: str
) -> None:
    """The cases are those a units library was found to misread (ecosystem notes, measured)."""
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)

    assert words == str(caught.value)


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_and_every_spelling_offered_is_accepted(kind: Kind) -> None:
    """What an error tells the user to write must itself be read."""
    parse(example(kind)[1], kind)
    for unit in spellings(kind):
        parse(f"300 {unit}", kind)


@pytest.mark.slow
@given(text=st.text(max_size=30), kind=st.sampled_from(KINDS))
def test_any_text_is_read_or_refused_in_one_clean_line(text: str, kind: Kind) -> None:
    """No other exception, no control character and no line break in the answer."""
    try:
        answer = repr(parse(text, kind))
    except QuantityError as error:
        answer = str(error)

    assert answer.isprintable()
    assert answer not in ("nan", "inf", "-inf")


@given(st.floats(-1e6, 1e6, allow_subnormal=False), st.sampled_from(["mm", "in", "ft", "m"]))
def test_a_length_read_is_the_number_times_its_unit(number: float, unit: str) -> None:
    """Any plain or exponent spelling of Python is understood; factors by definition."""
    factor = {"mm": 0.001, "in": 0.0254, "ft": 0.3048, "m": 1.0}[unit]
    assert parse(f"{number!r} {unit}", "length") == pytest.approx(number * factor, rel=1e-12)


@pytest.mark.parametrize(
    ("source", "target", "raw", "expected"),
    [
        ("degF", "degC", 212.0, 100.0),
        ("K", "degC", 273.15, 0.0),
        ("degC", "degC", 231.5, 231.5),
        ("degC", "degF", 260.0, 500.0),
    ],
)
def test_a_sensors_unit_becomes_scale_and_offset(
    source: str, target: str, raw: float, expected: float
) -> None:
    """°F = 1.8 °C + 32 and 0 °C = 273.15 K, by definition."""
    scale, offset = affine(source, target)
    assert scale * raw + offset == pytest.approx(expected, abs=1e-9)


def test_an_unknown_source_unit_names_the_known_ones() -> None:
    """Units a sensor may send are degC, degF and K."""
    with pytest.raises(QuantityError, match="write degC or degF or K"):
        affine("celcius", "degC")


@pytest.mark.parametrize(
    ("seconds_s", "words"),
    [
        (15, "15 s"),
        (119.4, "119 s"),
        (119.6, "2 min"),
        (180, "3 min"),
        (3599, "1 h"),
        (7800, "2 h 10 min"),
        (-5, "-5 s"),
        (float("inf"), "unknown"),
    ],
)
def test_durations_are_short(seconds_s: float, words: str) -> None:
    """Seconds below two minutes, minutes below an hour, then hours and minutes."""
    assert Shown().duration(seconds_s) == words


def test_both_systems_show_the_same_temperature() -> None:
    """260 °C is 500 °F; a difference of 5 K is 9 °F (by definition)."""
    metric, us = Shown("metric"), Shown("us")

    assert [
        metric.temp_c(260.0),
        metric.temp_dc(5.0),
        metric.rate_c_h(40.0),
    ] == ["260 °C", "5 K", "40 K/h"]
    assert [
        us.temp_c(260.0),
        us.temp_dc(5.0),
        us.rate_c_h(40.0),
    ] == ["500 °F", "9 °F", "72 °F/h"]


def test_both_systems_show_the_same_sizes() -> None:
    """Inch, pound and US gallon by definition, three digits shown."""
    metric, us = Shown("metric"), Shown("us")

    assert [
        metric.length_m(0.0254),
        metric.length_m(1.5),
        metric.mass_kg(3.2),
        metric.volume_m3(0.03),
        metric.speed_m_s(0.002),
    ] == ["25.4 mm", "1.5 m", "3.2 kg", "30 l", "120 mm/min"]
    assert [
        us.length_m(0.0254),
        us.mass_kg(3.2),
        us.volume_m3(0.03),
        us.speed_m_s(0.002),
    ] == ["1 in", "7.05 lb", "7.93 gal", "4.72 in/min"]


def test_showing_metric_values_loads_no_units_library() -> None:
    """Import and metric display stay cheap: pint costs 0.2 s (ecosystem notes, measured)."""
    code = (
        "import sys; from pacer.units import Shown; Shown('metric').temp_c(20.0);"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("size_mm", "shown"),
    [(2.4, "3/32 in"), (3.2, "1/8 in"), (4.0, "5/32 in"), (12.7, "1/2 in"), (2.5, "0.0984 in"),
     (1.0, "0.0394 in"), (25.4, "1 in"), (38.1, "1.5 in")],
)  # fmt: skip
def test_a_rod_is_called_as_it_is_sold_in_inches(size_mm: float, shown: str) -> None:
    """2.4, 3.2 and 4.0 mm are 3/32, 1/8 and 5/32 in (ISO 2560 and AWS A5.1 sizes, from memory)."""
    assert Shown("us").stock_m(size_mm / 1000.0) == shown
    assert Shown("metric").stock_m(size_mm / 1000.0) == Shown("metric").length_m(size_mm / 1000.0)
