"""The decoder in noise: random bytes, arc starts, a line without an end."""

from __future__ import annotations

import numpy as np
import pytest

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.split import MAX_LINE
from pacer.session.events import Reading


def one(line: bytes, decoder: Decoder) -> Reading:
    """Return the only reading of one line."""
    (reading,) = decoder.feed(line + b"\n")
    return reading


def test_a_lone_digit_after_noise_is_no_reading() -> None:
    """Our rule (lines.py): one short value after noise is refused, the next is believed."""
    decoder = Decoder()
    one(b"\x80\x01", decoder)

    assert [one(line, decoder).status for line in (b"7", b"300", b"301")] == [
        "unparsable",
        "ok",
        "ok",
    ]


def test_a_reading_with_a_decimal_point_after_noise_is_believed() -> None:
    """An arc start costs the lines it spoils and no more."""
    decoder = Decoder()
    one(b"\x80\x01", decoder)

    assert one(b"300.5", decoder).raw == (300.5,)


@pytest.mark.parametrize("line", [b"a=5", b"[7]", b"7 C", b'{"t":7}', b"a,b", b"1;2"])
def test_no_dialect_makes_a_reading_of_an_accident_after_noise(line: bytes) -> None:
    """The same rule for all: each new form is a new way for noise to look like a line."""
    decoder = Decoder()
    one(b"\x80\x01", decoder)

    assert one(line, decoder).status == "unparsable"
    assert decoder.headers == 0
    assert one(b"300.5", decoder).raw == (300.5,)


def bits_of(text: bytes) -> list[int]:
    """Return the line's levels, one a bit time: idle, then start bit, eight data bits, stop bit."""
    frames = [[0, *(byte >> place & 1 for place in range(8)), 1] for byte in text]
    return [1] * 20 + [bit for frame in frames for bit in frame] + [1] * 20


def heard_at(levels: list[int], ratio: float) -> bytes:
    """Return what a receiver makes of them whose speed is `ratio` times the sender's.

    It waits for the line to fall and takes each bit in its middle; a missing stop bit is
    passed on as a byte, as most adapters do.
    """
    heard, at = bytearray(), 0.0
    while True:
        while int(at) < len(levels) and levels[int(at)]:
            at = int(at) + 1.0
        places = [int(at + (1.5 + place) / ratio) for place in range(8)]
        if places[-1] >= len(levels):
            return bytes(heard)
        heard.append(sum(levels[place] << i for i, place in enumerate(places)))
        at += 9.5 / ratio


FORMS = (b"%.1f\r\n", b"%.1f C\r\n", b"T1=%.1f\r\n", b'{"t":%.1f}\n')


@pytest.mark.parametrize("form", FORMS)
def test_a_wrong_baud_rate_gives_no_reading_and_the_right_one_all(form: bytes) -> None:
    """Frames of 8N1 sampled at another speed; three per cent off still reads (common practice)."""
    sent = b"".join(form % (20.0 + 0.7 * i) for i in range(40))
    levels = bits_of(sent)

    assert heard_at(levels, 1.0) == sent
    assert {"ok"} == {r.status for r in Decoder().feed(heard_at(levels, 1.03))}
    for ratio in (1 / 12, 1 / 6, 1 / 4, 1 / 2, 2 / 3, 4 / 3, 1.5, 2.0, 4.0, 6.0, 12.0):
        wrong = Decoder().feed(heard_at(levels, ratio))
        assert [r for r in wrong if any(isinstance(value, float) for value in r.raw)] == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_a_minute_of_random_bytes_holds_no_reading(seed: int) -> None:
    """reliability.md T-22: 100 kB/s for 60 s, 0 accepted values."""
    wire = np.random.default_rng(seed).bytes(6_000_000)
    decoder = Decoder()
    heard = [r for i in range(0, len(wire), 4096) for r in decoder.feed(wire[i : i + 4096])]

    assert len(heard) > 10_000
    assert [r for r in heard if any(isinstance(value, float) for value in r.raw)] == []


def test_a_megabyte_without_a_line_end_is_one_record_and_the_next_line_is_read() -> None:
    """reliability.md T-23: a bounded buffer, at most 4 KiB; one count a line."""
    decoder = Decoder()
    readings: list[Reading] = []
    for _ in range(1024):
        readings += decoder.feed(b"7" * 1024)
        assert decoder.held <= MAX_LINE
    readings += decoder.feed(b"\n300.5\n")

    assert [reading.status for reading in readings] == ["unparsable", "ok"]
    assert decoder.too_long == 1
