"""Hostile lines in every dialect: reliability.md T-25, T-26, T-31, and whatever fuzzing found."""

from __future__ import annotations

import itertools
import unicodedata

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lines_in import numbers, one

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.script import Script, Timing
from pacer.sensor.text.split import MAX_LINE
from pacer.sensor.text.told import Told
from pacer.sensor.text.values import Span
from pacer.session.celsius import MARKS, VOLTS
from pacer.session.events import Reading

DIALECTS = [
    b"%b",
    b"%b C",
    b"T1=%b",
    b"Temp: %b",
    b"20.5;%b",
    b"T1=20.5 T2=%b",
    b'{"t":"%b"}',
    b'"%b"',
]
"A value in every form a line may have; all but its own number, 20.5, must be refused or a code."

NOT_NUMBERS = {
    b"nan": "open",
    b"inf": "unparsable",
    b"1e999": "unparsable",
    b"1_000": "unparsable",
    "٣٠٠".encode(): "unparsable",
    b"3,5": "unparsable",
    b"300F": "unparsable",
    "−9999".encode(): "unparsable",
    b"-9999": "open",
    b"9.9E37": "open",
    b"9.91E+37": "open",
    b"2047.75": "unparsable",
    b"OPEN": "open",
    b"OPEN CIRCUIT": "open",
    b"OC": "open",
    b"OL": "open",
    b"O.L.": "open",
    b"OVER": "open",
    b"BURNOUT": "open",
    b"NC": "open",
    b"N/C": "open",
    b"----": "open",
    b"---.-": "open",
    b"SHORT": "short",
    b"SHORT CIRCUIT": "short",
    b"SC": "short",
    b"SHORT TO GND": "short",
    b"short to vcc": "short",
    b"ERR": "unparsable",
    b"Error": "unparsable",
    b"FAULT": "unparsable",
}
"reliability.md T-25, and the fault words of values.py; the first minus is U+2212."


@pytest.mark.parametrize("word", NOT_NUMBERS)
@pytest.mark.parametrize("dialect", DIALECTS)
def test_no_hostile_value_becomes_a_number_in_any_dialect(dialect: bytes, word: bytes) -> None:
    """T-25: none reaches the filter."""
    reading = one(dialect % word)

    assert set(numbers(reading)) <= {20.5}
    if dialect in (b"%b", b"T1=%b", b"20.5;%b", b"T1=20.5 T2=%b"):
        assert reading.statuses()[-1] == NOT_NUMBERS[word]


def test_an_error_word_says_that_it_is_one() -> None:
    """An open circuit would be a guess."""
    assert one(b"T1=300.5;T2=ERROR").why == "the meter reports an error"


@pytest.mark.parametrize("line", [b"T1=;T2=20.5", b";20.5", b'{"t":null,"u2":20.5}', b'"",20.5'])
def test_an_empty_field_is_an_open_sensor(line: bytes) -> None:
    """T-25, the last of its list; a blank line is nothing."""
    assert one(line).statuses() == ("open", "ok")


def test_an_exact_zero_is_a_number_that_the_fold_judges() -> None:
    """T-25: 0.00 of a floating input can't be told from ice water by its look (values.py)."""
    assert one(b"0.00").raw == (0.0,)


ESCAPES = [
    b"\x1b[31m", b"\x1b[2J", b"\x1b[6n", b"\x1b]0;title\x07", b"\x1b]52;c;QUJD\x07", b"\x1b[?25l",
    b"\x1b]8;;x\x1b\\", b"\x1bM", b"\x1b[0;1;38;5;9m",
]  # fmt: skip
SOUND = {
    b"%b300.5%b": (300.5,),
    b"%b300.5 C%b": (300.5,),
    b"%bT1=300.5;T2=290%b": (300.5, 290.0),
    b"T1=300.5;%bT2=290%b": (300.5, 290.0),
    b"%b300.5,290.5%b": (300.5, 290.5),
    b"300.5;%b290.5%b": (300.5, 290.5),
    b'%b{"t":300.5}%b': (300.5,),
}


@pytest.mark.parametrize("escape", ESCAPES)
@pytest.mark.parametrize("form", SOUND)
def test_escape_sequences_around_values_change_nothing(form: bytes, escape: bytes) -> None:
    """T-26: the value is read, the text is clean."""
    assert one(form % (escape, escape)).raw == SOUND[form]


@pytest.mark.parametrize("escape", [*ESCAPES, b"\x9b31m", b"\x00", b"\x1b[", b"\x1b]0;t", b"\x07"])
def test_a_number_with_an_escape_inside_is_no_number(escape: bytes) -> None:
    """T-26: never joined, never half; the raw view holds no control character."""
    for form in (b"30%b0.5", b"T1=30%b0.5", b'{"t":30%b0.5}', b"300.5 %bC x"):
        reading = one(form % escape)
        assert numbers(reading) == []
        assert_clean(reading)


LINES = b"300.5 C\nT1=300.5;T2=290\n"


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r", b"\n\r"])
@pytest.mark.parametrize("width", [1, 2, 3, 64])
def test_line_ends_and_cuts_of_any_kind_give_the_right_values(end: bytes, width: int) -> None:
    """T-31: single-byte reads, CR only, LFCR."""
    wire = LINES.replace(b"\n", end)
    decoder = Decoder()
    heard = [r for i in range(0, len(wire), width) for r in decoder.feed(wire[i : i + width])]

    assert [reading.raw for reading in heard] == [(300.5,), (300.5, 290.0)]


@pytest.mark.parametrize(
    ("form", "seen"),
    [
        (b"300.5 C", b"300.5 C"),
        (b'{"t1":300.5,"t2":290.5}', b'{"t1":300.5,"t2":290.5}'),
        (b"T1=300.5 C;T2=290.5 C", b"T1=300.5 C;T2=290.5 C"),
        (b"T1=300.5;T2=290.5", b"T1=300.5;T2="),
        (b"300.5;290.5", b"300.5;"),
    ],
)
def test_a_cut_line_after_whole_ones_gives_the_right_values_or_none(
    form: bytes, seen: bytes
) -> None:
    """T-31: half lines. `seen` is the part in which a cut can be seen.

    A cut inside a line's last number, with no unit or bracket behind it, nobody can see:
    the median of the track is for that.
    """
    for at in range(1, len(seen)):
        decoder = Decoder()
        decoder.feed(3 * (form + b"\n"))
        (reading,) = decoder.feed(form[:at] + b"\n")
        assert set(numbers(reading)) <= {300.5, 290.5}, form[:at]
        assert numbers(one(form, decoder))[0] == 300.5


def test_a_source_that_really_sends_less_is_believed_the_third_time() -> None:
    """No unit any more, or fewer names: two such lines may be damage."""
    for before, after in ((b"300.5 C\n", b"301.5\n"), (b"T1=300.5;T2=290.5\n", b"T1=301.5\n")):
        decoder = Decoder()
        decoder.feed(3 * before)
        assert [numbers(r) for r in decoder.feed(3 * after)] == [[], [], [301.5]]


def test_the_first_part_of_a_line_after_opening_and_boot_text_are_no_readings() -> None:
    """T-31: `0.5 C` may be the end of `300.5 C`; a board greets."""
    decoder = Decoder()
    decoder.restart()
    wire = b"0.5 C\r\nrst:0x1 (POWERON),boot:0x13\r\nfw: v2.1\r\nready\r\n300.5 C\r\n"

    assert [n for reading in decoder.feed(wire) for n in numbers(reading)] == [300.5]


FOUND = [
    b'{"t": 30085, "state": "OPEN"}',
    b"\x1b[2J",
]
"Lines that once raised, or made a record that couldn't be written."


@pytest.mark.parametrize("line", FOUND)
def test_what_fuzzing_found_stays_mended(line: bytes) -> None:
    """reliability.md T-20: each find becomes a stored line."""
    reading = one(line)

    assert reading == msgspec.json.decode(msgspec.json.encode(reading), type=Reading)


TOLD = [
    (Span(), Told()),
    (Span(), Told(dialect="csv")),
    (Span(), Told(comma=True)),
    (Span(5 / 9, -160 / 9), Told(unit="degF")),
    (Span(free="t1"), Told(asked=frozenset({"t1", "t2"}), decides="t2")),
    (Span(volts=True, cj="t2"), Told(unit="mV", asked=frozenset({"t2"}))),
]
"Everything a URL can say."

PIECES = st.sampled_from(
    [
        b"300.5", b"T1=300.5;T2=290", b"3,5", b"300.5,290", b"a,b", b"OPEN", b"\x1b[2J", b"\x00",
        b"\r", b"\n", b"\r\n", b"\n\r", b" ", b";", b"=", b":", b"\t", b",", b'"', b"{", b"}", b"[", b"]",
        b"7" * 1100, b"\xe2\x80\xae", b"1e999", b"1e400", b"nan", b"inf", b"-", b".", b"C", b"F", b"K",
        b"\xb0C", b"\xf8F", b"\xc2\xb0C", b"degF", b"mV", b"300F", b"300.5F", b'"t":', b'{"t":300.5}',
        b'{"t":"OPEN","u":"F"}', b"null", b"true", b"unit=F", b"time,T1 (C)", b"2026-11-25T10:00:00",
        b"10:00:00", b"!next", b"\xef\xbb\xbf", b"[" * 1000,
        b"SP=260.0", b"STATUS=OPEN", b"fault=0", b"OC=1", b"\xc2\xbaC", b"PM", b"0.5,", b"1.0,",
        b'{"a":' * 200, b"\\ud800",
    ]
)  # fmt: skip
WIRE = st.lists(st.one_of(PIECES, st.binary(max_size=12)), max_size=30).map(b"".join)


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(wire=WIRE, said=st.sampled_from(TOLD), data=st.data())
def test_the_readings_depend_on_the_bytes_and_not_on_how_they_were_cut(
    wire: bytes, said: tuple[Span, Told], data: st.DataObject
) -> None:
    """Property (c) of style.md section 6: any chunking gives the same readings."""
    whole = Decoder(*said).feed(wire)
    edges = [0, *sorted(data.draw(st.lists(st.integers(0, len(wire)), max_size=8))), len(wire)]
    cut, single = Decoder(*said), Decoder(*said)
    pieces = [r for start, end in itertools.pairwise(edges) for r in cut.feed(wire[start:end])]

    assert whole == pieces
    assert whole == [r for i in range(len(wire)) for r in single.feed(wire[i : i + 1])]
    assert single.held <= MAX_LINE


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(wire=WIRE, said=st.sampled_from(TOLD))
def test_no_bytes_raise_or_leave_a_control_character_in_a_record(
    wire: bytes, said: tuple[Span, Told]
) -> None:
    """T-18, T-20: every record is clean, within its bounds, and can be written."""
    for reading in Decoder(*said).feed(wire + b"\n"):
        assert_clean(reading)
        assert len(reading.statuses()) == len(reading.raw) == len(set(reading.channel_names()))
        assert len(reading.raw) <= 16
        assert set(reading.units or ()) <= {"", *MARKS, *VOLTS}
        assert reading.units is None or len(reading.units) == len(reading.raw)
        assert ("unparsable" in reading.statuses()) == bool(reading.why)
        for value, status in zip(reading.raw, reading.statuses(), strict=True):
            assert isinstance(value, float) == (status == "ok")
        assert reading == msgspec.json.decode(msgspec.json.encode(reading), type=Reading)


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(lead=WIRE, said=st.sampled_from(TOLD[:2]))
def test_a_source_recovers_from_anything_within_three_lines(
    lead: bytes, said: tuple[Span, Told]
) -> None:
    """What the bytes before have shown can be untrue; it is believed for two lines at most."""
    decoder = Decoder(*said)
    decoder.feed(lead + b"\n")
    heard = decoder.feed(6 * b"21.25 C\n")

    assert numbers(heard[-1]) == [21.25]


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(wire=WIRE, first=st.booleans(), said=st.sampled_from(TOLD))
def test_no_script_raises_in_any_dialect(wire: bytes, first: bool, said: tuple[Span, Told]) -> None:
    """A file's lines meet the same decoder; times never fall."""
    script = Script(Decoder(*said), Timing(None, True) if first else Timing(0.5))
    items = script.feed(wire) + script.finish()

    assert [item.t_s for item in items] == sorted(item.t_s for item in items)


def assert_clean(reading: Reading) -> None:
    """Fail where a record holds what could steer a terminal (T-18)."""
    texts = [value for value in reading.raw if isinstance(value, str)]
    for text in [*texts, *reading.channel_names(), reading.why or ""]:
        assert len(text) <= 1000
        assert not {"Cc", "Cf", "Cs", "Co", "Cn"} & {unicodedata.category(ch) for ch in text}
