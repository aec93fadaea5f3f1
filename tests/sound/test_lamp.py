"""The lamp: safe flashes for every cue, the rhythm on a real line, and who ends it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import closing
from itertools import pairwise

import pytest

from pacer.sensor.plugs.outlet import Outlet
from pacer.session.cues import CUES, DOUBTS, Cue, CueKind, Urgency
from pacer.sound.lamp import FLASH_S, Blinker, Lamp, Show, safe, show_of
from pacer.sound.patterns import PATTERNS, rhythm

DEADLINE_S = 10.0
"Only a hung test waits so long."


class Table:
    """A fake time in which a line is switched; after `news_at_s` there is news."""

    def __init__(self, news_at_s: float = float("inf")) -> None:
        self.now_s = 0.0
        self.news_at_s = news_at_s
        self.changes: list[tuple[float, bool]] = []
        self.blinker = Blinker(self.set_line, lambda: self.now_s, self.wait)

    def set_line(self, on: bool) -> None:
        """Write the change down."""
        if not self.changes or self.changes[-1][1] is not on:
            self.changes.append((round(self.now_s, 6), on))

    def wait(self, span_s: float) -> bool:
        """Let time pass until the span or the news is over."""
        ends_s = self.now_s + span_s
        self.now_s = min(ends_s, max(self.now_s, self.news_at_s))
        return self.now_s >= self.news_at_s


def most_flashes_a_second(changes: list[tuple[float, bool]]) -> int:
    """Return the most pairs of opposing changes that begin in any one second."""
    lit = [t_s for t_s, on in changes if on]
    dark = [t_s for t_s, on in changes if not on]
    return max(
        sum(1 for t_s in times if start <= t_s <= start + 1.0)
        for times in (lit, dark)
        for start in times
    )


@pytest.mark.parametrize("kind", list(CueKind))
def test_no_cue_flashes_more_than_three_times_a_second(kind: CueKind) -> None:
    """T-36, WCAG 2.3.1; three rounds, so the seam between rounds is in it."""
    table = Table()
    table.blinker.play(Show(show_of(kind, CUES[kind].urgency).beats, 3))
    assert most_flashes_a_second(table.changes) <= 3
    assert table.changes[-1][1] is False


@pytest.mark.parametrize("every_s", [0.09, 0.2, 0.3])
def test_quick_cues_one_after_the_other_are_safe_too(every_s: float) -> None:
    """News while it is lit, and while it is dark: it lights no sooner than 0.35 s after it lit."""
    table = Table()
    for _ in range(40):
        table.news_at_s = table.now_s + every_s
        table.blinker.play(show_of(CueKind.STOP, Urgency.STEP))
    assert len(table.changes) > 10
    assert most_flashes_a_second(table.changes) <= 3


@pytest.mark.parametrize("name", PATTERNS)
def test_a_slowed_rhythm_stays_itself(name: str) -> None:
    """All spans by the same factor, and only as far as it must be."""
    beats = tuple((beat.on_s, beat.off_s) for beat in PATTERNS[name].beats)
    slowed = safe(beats)
    factors = {
        round(new / old, 2)
        for one, other in zip(beats, slowed, strict=True)
        for old, new in zip(one, other, strict=True)
        if old
    }
    assert len(factors) == 1
    spans = [a[0] + a[1] for a in slowed[:-1]] + [a[1] + b[0] for a, b in pairwise(slowed)]
    assert factors == {1.0} or min(spans) == pytest.approx(FLASH_S, abs=1e-3)


def test_the_slowest_finish_is_over_before_its_stop() -> None:
    """FINISH comes 3.5 s before STOP: its rhythm must be whole by then."""
    beats = show_of(CueKind.FINISH, Urgency.STEP).beats
    assert sum(on_s + off_s for on_s, off_s in beats) - beats[-1][1] < 3.5


WAITING = {
    CueKind.READY,
    CueKind.ALL_LAID,
    CueKind.REHEAT,
    CueKind.PUT_BACK,
    CueKind.POST_HEAT,
    CueKind.BURY,
    CueKind.UNCOVER,
    CueKind.TYPE_A_READING,
    CueKind.LOOK_FOR_CRACKS,
    CueKind.GAP,
    CueKind.UNTIMED_GAP,
    CueKind.TOO_HOT,
    CueKind.TOO_COLD,
    CueKind.NO_READING,
} | DOUBTS


def test_what_waits_for_an_answer_goes_on_and_the_rest_ends_by_itself() -> None:
    """STOP goes on until the next cue; a covered part must not blink for hours."""
    endless = {kind for kind in CueKind if show_of(kind, CUES[kind].urgency).rounds is None}
    assert endless == WAITING | {CueKind.STOP}


def test_a_more_urgent_cue_comes_round_more_often_not_brighter() -> None:
    """The dark between rounds: the same beats, less of a pause."""
    gaps = [show_of(CueKind.GAP, urgency).beats[-1][1] for urgency in Urgency]
    assert gaps == sorted(gaps, reverse=True)
    assert len(set(gaps)) == 3


def test_the_rhythm_of_a_cue_can_be_read_back_on_a_real_port() -> None:
    """`loop://` gives RTS back as CTS: FINISH, 0.15 s on, 0.55 s off, 0.15 s on."""
    outlet = Outlet("loop://", {"RTS": False})
    outlet.open()
    seen: list[tuple[bool, float]] = []
    over = threading.Event()

    def wait(span_s: float) -> bool:
        seen.append((outlet.line("CTS"), span_s))
        if len(seen) == 4:
            over.set()
        return False

    with closing(Lamp(lambda on: outlet.set_line("RTS", on), now=_far_apart(), wait=wait)) as lamp:
        lamp.play(Cue(kind=CueKind.FINISH, t_s=0.0))
        assert over.wait(DEADLINE_S)
    lit = outlet.line("CTS")
    outlet.drop()

    (on_s, off_s), (again_s, _) = rhythm(CueKind.FINISH)
    assert seen[:3] == [(True, on_s), (False, off_s), (True, again_s)]
    assert seen[3][0] is False
    assert not lit


def _far_apart() -> Callable[[], float]:
    """A clock that moves a second each time it is asked: no rest is needed."""
    ticks = iter(range(10**6))
    return lambda: float(next(ticks))


class Line:
    """An output line that tells when it changes, and can fail."""

    def __init__(self) -> None:
        self.lit = threading.Event()
        self.dark = threading.Event()
        self.broken = False
        self.failed = threading.Event()

    def __call__(self, on: bool) -> None:
        """Switch."""
        if self.broken:
            self.failed.set()
            raise OSError("COM5: gone: check the cable and the adapter")
        (self.dark if on else self.lit).clear()
        (self.lit if on else self.dark).set()


@pytest.mark.parametrize("end", [Lamp.hush, Lamp.close])
def test_hush_and_close_leave_it_dark(end: Callable[[Lamp], None]) -> None:
    """The real thread and its real waits: lit by READY, dark at once when answered or over."""
    line = Line()
    lamp = Lamp(line)
    lamp.play(Cue(kind=CueKind.READY, t_s=0.0))
    assert line.lit.wait(DEADLINE_S)
    end(lamp)
    assert line.dark.wait(DEADLINE_S)
    lamp.close()
    assert line.dark.is_set()
    assert not lamp._thread.is_alive()


def test_the_newest_cue_has_the_lamp_and_a_repeat_does_not_start_again() -> None:
    """READY blinks; told again it goes on as it was; WAIT takes its place."""
    spans: list[float] = []
    seen = threading.Semaphore(0)
    let_go = threading.Semaphore(0)
    lamp: Lamp

    def wait(span_s: float) -> bool:
        spans.append(span_s)
        seen.release()
        assert let_go.acquire(timeout=DEADLINE_S)
        return lamp._news.is_set()

    lamp = Lamp(lambda _: None, now=_far_apart(), wait=wait)
    ready = show_of(CueKind.READY, Urgency.STEP).beats
    lamp.play(Cue(kind=CueKind.READY, t_s=0.0))
    assert seen.acquire(timeout=DEADLINE_S)
    lamp.play(Cue(kind=CueKind.READY, t_s=10.0, again=1))
    let_go.release()
    assert seen.acquire(timeout=DEADLINE_S)
    assert spans == list(ready[0])
    lamp.play(Cue(kind=CueKind.WAIT, t_s=11.0))
    let_go.release()
    assert seen.acquire(timeout=DEADLINE_S)
    assert spans[2] == rhythm(CueKind.WAIT)[0][0]
    let_go.release(100)
    lamp.close()


def test_a_line_that_fails_is_told_at_the_next_cue() -> None:
    """T-38: the driver then drops the lamp, records why and goes on."""
    line = Line()
    with closing(Lamp(line)) as lamp:
        assert line.dark.wait(DEADLINE_S)
        line.broken = True
        lamp.play(Cue(kind=CueKind.READY, t_s=0.0))
        assert line.failed.wait(DEADLINE_S)
        lamp._thread.join(DEADLINE_S)
        with pytest.raises(OSError, match="COM5: gone"):
            lamp.play(Cue(kind=CueKind.FINISH, t_s=1.0))
