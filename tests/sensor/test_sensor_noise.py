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
    """reliability.md T-23: buffer at most 256 B, one count a line."""
    decoder = Decoder()
    readings: list[Reading] = []
    for _ in range(1024):
        readings += decoder.feed(b"7" * 1024)
        assert decoder.held <= MAX_LINE
    readings += decoder.feed(b"\n300.5\n")

    assert [reading.status for reading in readings] == ["unparsable", "ok"]
    assert decoder.too_long == 1
