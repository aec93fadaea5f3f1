"""What the tests of text lines share: one line in, one reading out."""

from __future__ import annotations

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.told import Told
from pacer.sensor.text.values import Span
from pacer.session.events import Reading


def one(line: bytes, decoder: Decoder | None = None) -> Reading:
    """Return the only reading of one line."""
    (reading,) = (decoder or Decoder()).feed(line + b"\n")
    return reading


def told(**said: object) -> Decoder:
    """Return a decoder whose URL says so much; `span` is the values' span."""
    span = said.pop("span", None)
    assert span is None or isinstance(span, Span)
    return Decoder(span, Told(**said))  # type: ignore[arg-type]


def numbers(reading: Reading) -> list[float]:
    """Return what of a reading is a number."""
    return [value for value in reading.raw if isinstance(value, float)]
