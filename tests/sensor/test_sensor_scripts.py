"""Scripts: what a line means, its time, and its number when it is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.sensor.text.deeds import DeedError, parse_deed
from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.script import Item, Script, Timing
from pacer.session.events import DEEDS, Act, Reading


def items(text: str, timing: Timing) -> list[Item]:
    """Return what a whole script says."""
    script = Script(Decoder(), timing)
    return script.feed(text.encode()) + script.finish()


def whys(text: str, timing: Timing) -> list[tuple[float, str]]:
    """Return time and reason of what was refused."""
    return [
        (t_s, event.why)
        for t_s, event in items(text, timing)
        if isinstance(event, Reading) and event.why
    ]


@pytest.mark.parametrize(
    ("text", "act"),
    [
        ("!next", Act(t_ms=0, deed="next", by="script")),
        ("! Next ", Act(t_ms=0, deed="next", by="script")),
        ("!arc on", Act(t_ms=0, deed="arc on", by="script")),
        ("!arc  off", Act(t_ms=0, deed="arc off", by="script")),
        ("!bead 14 mm", Act(t_ms=0, deed="bead", by="script", length_m=0.014)),
        ("!bead 14mm", Act(t_ms=0, deed="bead", by="script", length_m=0.014)),
        ("!reading 231 degC", Act(t_ms=0, deed="reading", by="script", temp_c=231.0)),
        (
            "!reading at least 500 degF",
            Act(t_ms=0, deed="reading", by="script", temp_c=260.0, side=1),
        ),
        ("!reading <200 degC", Act(t_ms=0, deed="reading", by="script", temp_c=200.0, side=-1)),
        ("!reading 212 degF", Act(t_ms=0, deed="reading", by="script", temp_c=100.0)),
        ("!note rod 2 \x1b[2Jdamp", Act(t_ms=0, deed="note", by="script", text="rod 2 �[2Jdamp")),
        ("!tink", Act(t_ms=0, deed="tink", by="script")),
        ("!crack at bead 3", Act(t_ms=0, deed="crack", by="script", text="at bead 3")),
    ],
)
def test_a_word_after_an_exclamation_mark_is_the_welders_doing(text: str, act: Act) -> None:
    """Scripts, design.md; 212 °F is 100 °C by definition."""
    assert act == parse_deed(text)


@pytest.mark.parametrize("deed", DEEDS)
def test_every_deed_can_be_written_in_a_script(deed: str) -> None:
    """events.py: the same words a script writes after `!`."""
    more = {"bead": " 14 mm", "reading": " 231 degC", "note": " words"}

    assert deed == parse_deed(f"!{deed}{more.get(deed, '')}").deed


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("!fnish", "expected !finish"),
        ("!arc", "expected !arc o"),
        ("!", "expected one of"),
        ("!next please", 'found "please" after !next, expected nothing'),
        ("!bead", "!bead 14 mm"),
        ("!bead 14", "unit missing"),
        ("!bead 14 degC", "!bead 14 mm"),
        ("!bead -3 mm", "above 0 mm"),
        ("!bead 90 m", "at most 10 m"),
        ("!reading 231", "unit missing"),
        ("!reading 2047.75 degC", "at most 2000 degC"),
        ("!note", "expected words"),
    ],
)
def test_a_word_that_cannot_be_taken_says_what_is_expected(text: str, why: str) -> None:
    """Found, expected, nearest known (style.md 5.4)."""
    with pytest.raises(DeedError) as caught:
        parse_deed(text)

    assert why in str(caught.value)


def test_with_a_period_every_line_takes_its_slot_but_blank_ones_do_not() -> None:
    """Scripts, design.md: `!` lines and garbage take a slot too, the first at 0 s."""
    found = items("20.0\n\n!next\r\ngarbage\n   \n21.5\n22.0", Timing(period_s=0.5))

    assert [item.t_s for item in found] == [0.0, 0.5, 1.0, 1.5, 2.0]
    assert Act(t_ms=0, deed="next", by="script") == found[1].event
    assert whys("20.0\n\n!next\r\ngarbage\n", Timing(period_s=0.5)) == [
        (1.0, 'line 4: found "garbage", expected a number such as 300.5')
    ]


def test_a_slot_is_counted_and_not_added_up() -> None:
    """0.1 s ten times is 1.0 s, whatever floats do when added."""
    found = items("20.0\n" * 11, Timing(period_s=0.1))

    assert found[-1].t_s == 1.0


@pytest.mark.parametrize("gap", [",", ";", "\t", " ", ", ", " ; ", "   "])
def test_the_first_column_is_the_time(gap: str) -> None:
    """`?time=first`, design.md: comma, semicolon, tab or space."""
    found = items(f"0{gap}20.5\n812.25{gap}!arc on\n900{gap}T1=300.5;T2=290\n", Timing(None, True))

    assert [item.t_s for item in found] == [0.0, 812.25, 900.0]
    assert getattr(found[0].event, "raw", None) == (20.5,)
    assert Act(t_ms=0, deed="arc on", by="script") == found[1].event
    assert getattr(found[2].event, "raw", None) == (300.5, 290.0)


def test_a_time_that_goes_back_is_recorded_at_the_time_reached_with_its_line_number() -> None:
    """Scripts, design.md."""
    assert whys("0,20.0\n10,21.0\n9,22.0\n10,23.0\n", Timing(None, True)) == [
        (10.0, "line 3: time 9 s goes back from 10 s")
    ]


@pytest.mark.parametrize("time", ["x", "nan", "-1", "1e999", "1_0", "99999999", ""])
def test_a_time_that_is_none_is_recorded_at_the_time_reached(time: str) -> None:
    """Only finite s from 0 are times; no `float()` on foreign text."""
    ((t_s, why),) = whys(f"5,20.0\n{time},21.0\n", Timing(None, True))

    assert t_s == 5.0
    assert why.startswith("line 2: found time")


def test_a_time_without_a_value_is_refused_at_its_own_time() -> None:
    """Nothing after the time is garbage, not a blank line."""
    assert whys("5 20.0\n7\n", Timing(None, True)) == [(7.0, "line 2: no value after the time")]


def test_a_press_without_a_time_happens_at_the_time_reached() -> None:
    """A line that begins with `!` has no time of its own."""
    found = items("5,20.0\n!next\n", Timing(None, True))

    assert Item(5.0, Act(t_ms=0, deed="next", by="script")) == found[1]


def test_a_header_line_names_the_channels_after_the_time() -> None:
    """`time,foot,flange` is no record; only the first line can be one."""
    found = items("time,foot,flange\n0,231,240\n", Timing(None, True))

    assert [
        Item(0.0, Reading(t_ms=0, raw=(231.0, 240.0), status="ok", names=("foot", "flange")))
    ] == (found)


def test_a_byte_order_mark_and_a_missing_last_line_end_are_accepted() -> None:
    """reliability.md T-17: BOM and CRLF accepted on read."""
    assert [
        getattr(item.event, "raw", (None,))[0]
        for item in items("\N{ZERO WIDTH NO-BREAK SPACE}20.0\r\n21.0", Timing(period_s=1.0))
    ] == [20.0, 21.0]


def test_an_unknown_word_is_recorded_with_its_line_number() -> None:
    """Scripts, design.md."""
    ((_, why),) = whys("20.0\n!fnish\n", Timing(period_s=1.0))

    assert why == 'line 2: found "!fnish", expected !finish'


def test_a_line_of_megabytes_is_never_held() -> None:
    """reliability.md T-16: bounded reads; it takes its slot and is recorded once."""
    script = Script(Decoder(), Timing(period_s=1.0))
    found = []
    for _ in range(300):
        found += script.feed(b"!" + b"x" * 9999)
        assert script.held <= 1000
    found += script.feed(b"\n20.0\n")

    assert [getattr(item.event, "status", None) for item in found] == ["unparsable", "ok"]
    assert found[-1].t_s == 1.0


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(
    script=st.lists(
        st.one_of(
            st.sampled_from([b"0,20", b"5 21.5", b"3,1", b"!next", b"!reading 5", b"\r", b"\n"]),
            st.binary(max_size=10),
        ),
        max_size=30,
    ).map(b"\n".join),
    cut=st.integers(0, 300),
    timing=st.sampled_from([Timing(), Timing(0.5), Timing(None, True)]),
)
def test_no_script_raises_or_goes_back_in_time_however_it_is_cut(
    script: bytes, cut: int, timing: Timing
) -> None:
    """Any bytes, any chunking: same items, times never fall, refusals name their line."""
    whole = Script(Decoder(), timing)
    first = whole.feed(script) + whole.finish()
    cut_up = Script(Decoder(), timing)
    second = cut_up.feed(script[:cut]) + cut_up.feed(script[cut:]) + cut_up.finish()
    times = [item.t_s for item in first]

    assert first == second
    assert sorted(times) == times
    for _, event in first:
        assert not isinstance(event, Reading) or not event.why or event.why.startswith("line ")
