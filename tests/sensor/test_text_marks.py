"""Units that a line marks: recorded, never converted here, never guessed."""

from __future__ import annotations

import pytest
from lines_in import numbers, one, told

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.values import Span
from pacer.session.celsius import degrees
from pacer.session.events import Channel

VOLTS = Span(1.0, 0.0, "", volts=True, cj="t2")


@pytest.mark.parametrize(
    ("line", "raw", "unit"),
    [
        (b"300.5 C", 300.5, "degC"),
        (b"300.5C", 300.5, "degC"),
        (b"572 F", 572.0, "degF"),
        (b"572.0F", 572.0, "degF"),
        (b"300.5 degC", 300.5, "degC"),
        (b"572degF", 572.0, "degF"),
        (b"572 deg. F", 572.0, "degF"),
        (b"300.5 degrees Celsius", 300.5, "degC"),
        (b"572 Fahrenheit", 572.0, "degF"),
        (b"573.6 K", 573.6, "K"),
        (b"300.5 *C", 300.5, "degC"),
        (b"572 \xc2\xb0F", 572.0, "degF"),
        (b"572\xb0F", 572.0, "degF"),
        (b"572 \xf8F", 572.0, "degF"),
        (b"300.5 \xb0 C", 300.5, "degC"),
        ("300.5 ℃".encode(), 300.5, "degC"),
        ("572 ℉".encode(), 572.0, "degF"),
        (b"T1=300.5C", 300.5, "degC"),
        (b"Temp: 572 F", 572.0, "degF"),
        (b"300.5,C", 300.5, "degC"),
        (b"572;F", 572.0, "degF"),
        (b'{"t": "572 F"}', 572.0, "degF"),
        (b"T1=572;unit=F", 572.0, "degF"),
        (b'{"temp": 572, "unit": "degF"}', 572.0, "degF"),
        (b'{"foot": {"value": 572, "u": "F"}}', 572.0, "degF"),
        (b'{"temp_degF": 572}', 572.0, "degF"),
        (b'{"temp (\\u00b0F)": 572}', 572.0, "degF"),
        (b"temp_f=572", 572.0, "degF"),
    ],
)
def test_the_unit_a_line_marks_is_recorded_and_its_value_stays_as_sent(
    line: bytes, raw: float, unit: str
) -> None:
    """Spellings: common practice, no source."""
    reading = one(line)

    assert reading.raw == (raw,)
    assert reading.units == (unit,)


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1", "cp1252", "cp437"])
def test_a_degree_sign_is_known_in_the_usual_encodings(encoding: str) -> None:
    """The bytes are those of Python's codecs, made from the Unicode Consortium's tables."""
    for line in ("572 °F", "T1=572°F", '{"t1": "572 °F"}'):
        assert one(line.encode(encoding)).units == ("degF",)


def test_a_marked_line_becomes_the_right_temperature() -> None:
    """572 °F = 300 °C and 573.15 K = 300 °C by definition, whatever the source's own unit is."""
    for line in (b"572 F", b"573.15 K", b"300 C"):
        (value,) = degrees(Channel("", "degC"), one(line))
        assert value.temp_c == pytest.approx(300.0)


@pytest.mark.parametrize("line", [b"300F", b"12C", b"300K", b"T1=300F", b'{"t": "12C"}'])
def test_a_whole_number_with_a_glued_letter_may_be_hexadecimal(line: bytes) -> None:
    """reliability.md T-25 lists 300F as refused."""
    reading = one(line)

    assert numbers(reading) == []
    assert "hexadecimal" in str(reading.why)


def test_a_glued_letter_is_believed_where_the_url_says_the_same() -> None:
    """`unit=degF` leaves one meaning only."""
    assert one(b"300F", told(unit="degF")).units == ("degF",)
    assert numbers(one(b"300C", told(unit="degF"))) == []


def test_a_glued_letter_is_believed_once_a_line_in_no_doubt_has_marked_it() -> None:
    """Memory of what the source has shown; another letter stays in doubt."""
    decoder = Decoder()
    one(b"300.5F", decoder)

    assert one(b"300F", decoder).raw == (300.0,)
    assert numbers(one(b"300C", decoder)) == []


def test_a_degree_sign_anywhere_else_is_no_text() -> None:
    """Only right before C, F or K; B0 alone is a byte of noise."""
    for line in (b"300.5\xb0", b"\xb0300.5", b"300\xf8.5 C", b"300.5\xb0Cx", b"300.5 \xb2C"):
        assert numbers(one(line)) == [], line


def test_a_line_that_marks_another_unit_than_the_url_is_refused() -> None:
    """One of the two is wrong; which, is the user's to say."""
    reading = one(b"300.5 F", told(unit="degC"))

    assert reading.status == "unparsable"
    assert reading.why == "marks °F, but the sensor's URL says unit=degC"


def test_one_flipped_bit_does_not_make_kelvins_of_degrees() -> None:
    """C is 43, K is 4B: one bit. A change is believed the third time in a row."""
    decoder = Decoder()
    wire = b"300.5 C\n300.5 K\n300.5 C\n" + 3 * b"573.6 K\n"
    heard = [numbers(reading) for reading in decoder.feed(wire)]

    assert heard == [[300.5], [], [300.5], [], [], [573.6]]


def test_a_line_cut_before_its_unit_is_not_read_in_another() -> None:
    """572.5 without its F would be 272 °C too much: never believed."""
    decoder = Decoder()
    decoder.feed(3 * b"572.5 F\n")

    for _ in range(5):
        assert one(b"572.5", decoder).why == (
            "no unit, expected °F as before, or unit= in the sensor's URL"
        )


def test_one_line_in_fahrenheit_is_enough_never_to_read_a_bare_one_in_celsius() -> None:
    """The guide: a meter that has said °F and falls silent about it is refused."""
    decoder = Decoder()
    decoder.feed(b"572.5 F\n")

    assert [one(b"572.5", decoder).status for _ in range(5)] == ["unparsable"] * 5


def test_the_ordinal_sign_of_some_keyboards_is_a_degree_sign() -> None:
    """U+00BA looks like U+00B0, and is one key away."""
    assert one("300.5 ºC".encode()).units == ("degC",)


def test_a_thermocouples_voltage_is_refused_beside_its_cold_junction() -> None:
    """Left out, the cold junction would decide."""
    assert "unit=, type= and cj=" in str(one(b"9.642 mV, 24.1 C").why)
    assert one(b"Vcc=3300 mV, T1=24.1 C").names == ("T1",)


def test_each_channel_has_its_own_unit() -> None:
    """A meter may show its own case in °F and the probe in °C."""
    reading = one(b"T1=300.5 C;case=75.2 F")

    assert reading.units == ("degC", "degF")
    assert reading.raw == (300.5, 75.2)


def test_a_value_without_a_unit_beside_one_in_fahrenheit_is_not_guessed() -> None:
    """°C by default, or °F like its neighbour: only the user knows; `unit=` tells."""
    for line in (b"T1=572.5 F;T2=500", b"T2=500;T1=572.5 F", b"572.5 F;500.0"):
        assert "no unit for" in str(one(line).why), line
        assert len(numbers(one(line, told(unit="degF")))) == 2
    assert one(b"T1=300.5 C;T2=290").status == "ok"


def test_a_channel_that_comes_later_may_not_leave_the_unit_out() -> None:
    """A header with °F is lost when the columns change: the numbers are °F all the same."""
    decoder = Decoder()
    decoder.feed(b"T1 (F),T2 (F)\n572.5,554.0\n")

    assert [numbers(reading) for reading in decoder.feed(5 * b"572.5\n")] == [[]] * 5


def test_names_that_are_units_are_the_units() -> None:
    """F first: the first channel decides, and 572.9 must not be °C."""
    assert one(b"F = 572.9 C = 300.5").units == ("degF", "degC")
    assert one(b'{"f": 572.9}').units == ("degF",)
    assert one(b"e=1.5 f=2.5").units is None


def test_any_number_of_names_is_borne() -> None:
    """A hostile source names a new channel a line; the memory of units is bounded."""
    decoder = Decoder()
    heard = [one(b"n%d=20.5" % i, decoder) for i in range(300)]

    assert {reading.raw for reading in heard} == {(20.5,)}
    assert len(decoder._judge._units._seen) == 64


def test_a_value_that_marks_another_unit_than_its_column_is_refused() -> None:
    """`T1 (°C)` and `572.5 F` below it: one of them is wrong."""
    decoder = Decoder()
    (reading,) = decoder.feed(b"T1 (C),T2 (C)\n572.5 F,300.5\n")

    assert reading.why == 'found "572.5 F", expected °C as T1 has it'


def test_the_span_is_that_of_the_marked_unit() -> None:
    """3632 °F is 2000 °C and -459.67 °F is 0 K, by definition."""
    assert one(b"3632.0 F").status == "ok"
    assert one(b"3632.5 F").why == "3632.5 °F is above 2000 °C"
    assert one(b"-459.7 F").why == "-459.7 °F is below absolute zero"


def test_a_fault_word_keeps_its_meaning_beside_a_unit() -> None:
    """A meter without a probe goes on showing its unit."""
    for line in (b"---- C", b"OL F", b"--.- \xb0C", b"9.9E37 C", b"-9999 F"):
        assert one(line).status == "open", line


@pytest.mark.parametrize("unit", ["mV", "uV", "V"])
def test_a_voltage_is_no_temperature_unless_the_url_says_so(unit: str) -> None:
    """12.209 mV of type K is a number in every span: only its unit tells."""
    line = f"12.209 {unit}".encode()

    assert numbers(one(line)) == []
    assert "unit=, type= and cj=" in str(one(line).why)
    assert one(line, told(unit=unit, span=Span(1e-4, volts=True))).units == (unit,)


def test_a_voltage_source_has_its_cold_junction_in_degrees() -> None:
    """The span of a voltage is in mV, the cold junction's in °C."""
    decoder = told(unit="mV", asked=frozenset({"t2"}), span=VOLTS)

    assert one(b"12.209;23.1", decoder).raw == (12.209, 23.1)
    assert one(b"150.0;200.0", decoder).statuses() == ("unparsable", "ok")
    assert one(b"12.209 mV;23.1 C", decoder).units == ("mV", "degC")
    assert one("12209.0 µV;23.1".encode(), told(unit="uV", span=VOLTS)).units == ("uV", "")


def test_a_value_in_another_unit_is_left_out_and_keeps_its_place() -> None:
    """65.2 A is no channel of heat; the one behind it stays t3."""
    reading = one(b"300.5 C;65.2 A;20.5 C")

    assert reading.raw == (300.5, 20.5)
    assert reading.names == ("t1", "t3")
    assert numbers(one(b"65.2 A")) == []
    assert one(b"T1=300.5;RH=45 %;batt=3.7V").names == ("T1",)


def test_the_arcs_channel_may_have_its_own_unit() -> None:
    """`arc=t2` is a current."""
    reading = one(b"300.5 C;65.2 A", told(asked=frozenset({"t2"}), span=Span(free="t2")))

    assert reading.raw == (300.5, 65.2)
    assert reading.units == ("degC", "")
