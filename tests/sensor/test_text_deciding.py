"""What must never become the channel that decides, and numbers that their own status denies."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from lines_in import one, told

from pacer.sensor.text.lines import Decoder


@pytest.mark.parametrize(
    ("line", "status"),
    [
        (b"T1=300.5 STATUS=OPEN", ("open", "open")),
        (b"T1=300.5;T1_status=SHORT;T2=290.5", ("short", "short", "ok")),
        (b'{"a":{"t":300.5,"status":"OPEN"},"b":{"t":290.5}}', ("open", "open", "ok")),
    ],
)
def test_no_number_is_sound_beside_its_own_status_of_a_fault(
    line: bytes, status: tuple[str, ...]
) -> None:
    """It would stand in the band for as long as the board repeats it."""
    assert one(line).statuses() == status


@pytest.mark.parametrize(
    "line",
    [
        b"SP=260.0 PV=25.5",
        b"PV=25.5;SV=260.0",
        b"Setpoint: 260.0, PV: 25.5",
        b'{"target_temp": 260, "PV": 25.5}',
        b"min:0,max:300,PV:25.5",
        b"CJ: 24.1 PV: 25.5",
        b"Internal: 24.1 C, PV: 25.5 C",
        b"ambient_temp=24.1 PV=25.5",
        b'{"adc": 412, "PV": 25.5}',
        b"T_set=260.0 PV=25.5",
    ],
)
def test_what_is_set_and_what_the_instrument_reads_of_itself_never_decide(line: bytes) -> None:
    """At 260 °C set, a part of 25 °C would be READY."""
    reading = one(line)
    assert reading.names == ("PV",)
    assert reading.raw == (25.5,)


def test_a_set_value_in_a_header_is_left_out_unless_the_url_asks_for_it() -> None:
    """`cj=CJ` is such a wish."""
    assert [r.names for r in Decoder().feed(b"SP,PV\n260.0,25.5\n")] == [("PV",)]
    (reading,) = told(asked=frozenset({"CJ"})).feed(b"CJ=24.5 TC=9.6\n")
    assert reading.names == ("CJ", "TC")


def test_a_line_about_something_else_is_no_record_once_temperatures_came() -> None:
    """Boards print humidity between two temperatures; half of all lines refused would be noise."""
    decoder = Decoder()
    wire = b"Humidity: 45.5 %\n" + 2 * b"Temperature: 300.5 C\nHumidity: 45.5 %\n"
    refused, *sound = decoder.feed(wire)

    assert refused.why == 'found only "Humidity", expected a temperature such as T1=300.5'
    assert [reading.raw for reading in sound] == [(300.5,), (300.5,)]


def test_a_first_column_that_rises_like_seconds_is_refused() -> None:
    """`seconds,temperature` without a header: seconds would be READY after four minutes."""
    decoder = Decoder()
    wire = b"".join(b"%.2f,25.%d\n" % (0.1 * i, i % 3) for i in range(20))
    heard = decoder.feed(wire)

    assert [reading.status for reading in heard] == ["ok"] * 8 + ["unparsable"] * 12
    assert "rises like a time" in str(heard[-1].why)
    whole = Decoder().feed(b"".join(b"%d;25\n" % i for i in range(12)))
    assert [reading.status for reading in whole] == ["ok"] * 8 + ["unparsable"] * 4
    # The board starts again.
    assert [reading.status for reading in decoder.feed(wire)] == ["ok"] * 8 + ["unparsable"] * 12


@pytest.mark.parametrize(
    "line",
    [
        lambda i: b"%.1f,%.1f\n" % (20 + i, 21 + i),  # both heated alike
        lambda i: b"%.1f,25.5\n" % (20 + max(0, i - 1)),  # cold at first
        lambda i: b"%d;25\n" % (20 + max(0, i - 1)),
        lambda i: b"%.1f C,25.%d C\n" % (20 + i, i % 3),  # a unit says what it is
    ],
)
def test_a_temperature_that_rises_evenly_is_no_time(line: Callable[[int], bytes]) -> None:
    """A meter of whole degrees on a part that is heated."""
    heard = Decoder().feed(b"".join(map(line, range(40))))

    assert {reading.status for reading in heard} == {"ok"}


def test_who_names_the_second_column_knows_the_first() -> None:
    """`unit=mV&type=K&cj=t2`: a voltage that rises evenly is no time either."""
    wire = b"".join(b"%.2f,24.5\n" % (0.5 + i / 25) for i in range(40))

    assert {reading.status for reading in told(asked=frozenset({"t2"})).feed(wire)} == {"ok"}


def test_a_step_unlike_the_others_ends_the_suspicion() -> None:
    """After a plug came back in the middle of a heating."""
    decoder = Decoder()
    rising = b"".join(b"%.1f,25.5\n" % (100 + i) for i in range(12))
    assert decoder.feed(rising)[-1].status == "unparsable"

    again = decoder.feed(b"113.5,25.5\n114.5,25.5\n115.5,25.5\n")

    assert [reading.status for reading in again] == ["ok"] * 3
