"""The contact's state machine, fed with samples every 5 ms; the times are written by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.sensor.plugs.contact import Contact
from pacer.sensor.plugs.outlet import Mode

STEP_MS = 5

Spans = list[tuple[int, int]]
"When it is closed: from and to, ms."


def told(
    closed_ms: Spans, to_ms: int, mode: Mode = "press", debounce_s: float = 0.03
) -> list[tuple[int, str, float | None]]:
    """Feed a contact; return (ms, deed, held_s) of what it told."""
    contact = Contact(mode, debounce_s)
    return feed(contact, closed_ms, 0, to_ms)


def feed(
    contact: Contact, closed_ms: Spans, from_ms: int, to_ms: int
) -> list[tuple[int, str, float | None]]:
    """Feed more samples to a contact."""
    out: list[tuple[int, str, float | None]] = []
    for t_ms in range(from_ms, to_ms, STEP_MS):
        closed = any(start <= t_ms < end for start, end in closed_ms)
        for act in contact.feed(t_ms / 1000, closed):
            assert act.by == "contact"
            out.append((t_ms, act.deed, act.held_s))
    return out


def test_closing_is_one_press_30_ms_later_however_long_it_is_held() -> None:
    """T-37, a held pedal: one press, one action."""
    assert told([(100, 20_000)], 21_000) == [(130, "next", None)]


def test_a_bounce_shorter_than_the_debounce_is_nothing() -> None:
    """25 ms closed is not 30."""
    assert told([(100, 125), (200, 225)], 1000) == []


def test_a_bouncing_contact_presses_once() -> None:
    """Closed for good at 120: believed at 150; it bounces on opening too."""
    bouncing = [(100, 105), (110, 115), (120, 500), (505, 515), (520, 525)]
    assert told(bouncing, 1500) == [(150, "next", None)]


@pytest.mark.parametrize(("second_ms", "presses"), [(200, 1), (395, 1), (400, 2), (600, 2)])
def test_a_second_closing_counts_from_300_ms_on(second_ms: int, presses: int) -> None:
    """T-37: a repeat within 300 ms of the one that counted is ignored."""
    assert len(told([(100, 150), (second_ms, second_ms + 100)], 2000)) == presses


def test_ignored_closings_do_not_push_the_guard_on() -> None:
    """Someone ending a bead in a hurry is heard after 300 ms, whatever he hammered meanwhile."""
    hammered = [(100 + 90 * i, 150 + 90 * i) for i in range(5)]
    assert [t_ms for t_ms, _, _ in told(hammered, 2000)] == [130, 490]


@pytest.mark.parametrize("mode", ["press", "hold"])
def test_a_contact_found_closed_says_nothing_until_it_was_open(mode: Mode) -> None:
    """A box set down on the pedal at the start is no press."""
    acts = told([(0, 3000), (4000, 4200)], 5000, mode)
    assert [deed for _, deed, _ in acts] == ["next"]
    assert acts[0][0] >= 4030


def test_held_for_400_ms_the_arc_burns_and_let_go_it_is_out() -> None:
    """`held_s` dates both ends back to when the contact moved: 1.0 s and 11.0 s."""
    assert told([(1000, 11_000)], 12_000, "hold") == [
        (1400, "arc on", 0.4),
        (11_030, "arc off", 0.03),
    ]


def test_a_shorter_tap_is_one_press_when_it_ends() -> None:
    """Only then is it known to be a tap."""
    assert told([(1000, 1390)], 2000, "hold") == [(1420, "next", None)]


def test_letting_go_just_before_400_ms_is_a_tap_though_it_is_believed_later() -> None:
    """The contact is open at 400 ms, the opening just not believed yet."""
    assert told([(1000, 1395)], 2000, "hold") == [(1425, "next", None)]


def test_a_tap_right_after_letting_go_is_a_bounce_of_the_foot() -> None:
    """It would end the peen: 300 ms from the opening as it was told (at 2030)."""
    held = (1000, 2000)
    assert len(told([held, (2100, 2200)], 3000, "hold")) == 2
    assert told([held, (2330, 2430)], 3000, "hold")[-1] == (2460, "next", None)


def test_a_hold_begun_within_the_guard_is_still_an_arc() -> None:
    """A fact is not ignored: only a tap can be a bump."""
    deeds = [deed for _, deed, _ in told([(1000, 2000), (2100, 4000)], 5000, "hold")]
    assert deeds == ["arc on", "arc off", "arc on", "arc off"]


def test_a_lost_port_makes_no_press_and_a_told_hold_ends_when_seen_open() -> None:
    """What happened meanwhile nobody knows: nothing is made up."""
    contact = Contact("hold")
    assert feed(contact, [(100, 9000)], 0, 1000) == [(500, "arc on", 0.4)]
    contact.forget()
    assert feed(contact, [(5000, 6000)], 5000, 6000) == []
    assert feed(contact, [], 6000, 7000) == [(6030, "arc off", 0.03)]


def test_a_port_lost_while_closed_is_no_second_press_on_its_return() -> None:
    """Mode press: held over the loss, then let go and pressed again."""
    contact = Contact("press")
    assert len(feed(contact, [(100, 900)], 0, 500)) == 1
    contact.forget()
    assert feed(contact, [(2000, 3000)], 2000, 3500) == []
    assert len(feed(contact, [(4000, 4100)], 3500, 5000)) == 1


@pytest.mark.parametrize("mode", ["press", "hold"])
def test_open_when_the_port_was_lost_and_closed_on_its_return_is_no_press(mode: Mode) -> None:
    """Rule 3 holds after every opening of the port."""
    contact = Contact(mode)
    assert feed(contact, [], 0, 500) == []
    contact.forget()
    assert feed(contact, [(2000, 3000)], 2000, 3500) == []


def test_two_quick_taps_count_from_closing_to_closing() -> None:
    """Closed at 1000 and 1310, 310 ms apart, though only 110 ms open."""
    taps = [(1000, 1200), (1310, 1400)]
    assert [t_ms for t_ms, _, _ in told(taps, 2000, "hold")] == [1230, 1430]


def test_another_debounce_time_is_kept() -> None:
    """Worn bars bounce longer."""
    assert told([(100, 160)], 1000, debounce_s=0.08) == []
    assert told([(100, 200)], 1000, debounce_s=0.08) == [(180, "next", None)]


# Polled each 10 ms a shorter pulse may go unseen and join its neighbours to one of 50 ms, which
# is a foot's: short ones come within one debounce time in all.
BOUNCES = st.one_of(
    st.lists(st.integers(10, 25), max_size=12), st.lists(st.integers(1, 9), max_size=3)
)


@given(closing=BOUNCES, opening=BOUNCES, held_ms=st.integers(60, 5000))
def test_any_bouncing_is_one_press(closing: list[int], opening: list[int], held_ms: int) -> None:
    """Bounces of 1-25 ms on both edges: one closing by a foot, one press."""
    spans: Spans = []
    t_ms = 500
    for i, length_ms in enumerate(closing):
        if i % 2 == 0:
            spans.append((t_ms, t_ms + length_ms))
        t_ms += length_ms
    spans.append((t_ms, t_ms + held_ms))
    t_ms += held_ms
    for i, length_ms in enumerate(opening):
        if i % 2:
            spans.append((t_ms, t_ms + length_ms))
        t_ms += length_ms
    assert [deed for _, deed, _ in told(spans, t_ms + 1000)] == ["next"]
