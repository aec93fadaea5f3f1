"""The pedal's thread over `loop://`, fakes and a real terminal that has no such lines."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Mapping

import pytest
from port_fakes import DEADLINE_S, terminal

from pacer.sensor.plugs.outlet import FEEDS, Outlet, open_lines, pedal_url
from pacer.sensor.plugs.pedal import POLL_S, Pedal
from pacer.sensor.port.ports import BACK_OFF_S
from pacer.session.events import Act, AnyEvent, Trouble


class Script:
    """Time for a pedal: each poll is 5 ms later, and a doing is due at its poll."""

    def __init__(self, doings: Mapping[int, Callable[[], None]], polls: int) -> None:
        self._doings = doings
        self._polls = polls
        self.n = 0
        self.pauses: list[float] = []
        self.over = threading.Event()

    def now(self) -> float:
        """Return the time of this poll."""
        return self.n * POLL_S

    def wait(self, span_s: float) -> bool:
        """Let 5 ms pass, or a back-off; True at the end of the script."""
        if span_s != POLL_S:
            self.pauses.append(span_s)
        self.n += 1
        self._doings.get(self.n, lambda: None)()
        if self.n < self._polls:
            return False
        self.over.set()
        return True


class FakeLines:
    """A plug whose contact and health the test sets."""

    def __init__(self) -> None:
        self.closed_contact = False
        self.gone = False
        self.opened = 0
        self.given_back = 0

    def open(self, port: str, lines: Mapping[str, bool]) -> FakeLines:
        """Open it, if it is there."""
        if self.gone:
            raise OSError(2, "No such file or directory")
        self.opened += 1
        return self

    def line(self, name: str) -> bool:
        """Return the contact."""
        if self.gone:
            raise OSError(5, "Input/output error")
        return self.closed_contact

    def set_line(self, name: str, on: bool) -> None:
        """Nothing hangs there."""

    def close(self) -> None:
        """Count."""
        self.given_back += 1


def run(
    outlet: Outlet, url: str, doings: Mapping[int, Callable[[], None]], polls: int
) -> tuple[list[AnyEvent], Script, Pedal]:
    """Run a pedal through a script; return what it posted."""
    posted: queue.SimpleQueue[AnyEvent] = queue.SimpleQueue()
    script = Script(doings, polls)
    pedal = Pedal(outlet, pedal_url(url), posted.put, now=script.now, wait=script.wait)
    pedal.start()
    assert script.over.wait(DEADLINE_S)
    pedal.close()
    events = [posted.get_nowait() for _ in range(posted.qsize())]
    return events, script, pedal


@pytest.mark.parametrize("line", ["CTS", "DSR"])
def test_a_real_port_by_pyserial_presses_when_its_feed_comes_through(line: str) -> None:
    """`loop://` joins RTS to CTS and DTR to DSR: closed at the start is no press, then one is."""
    feed = FEEDS[line]
    outlet = Outlet("loop://", {feed: True})

    def contact(closed: bool) -> Callable[[], None]:
        return lambda: outlet.set_line(feed, closed)

    doings = {20: contact(False), 60: contact(True), 100: contact(False)}
    events, _, _ = run(outlet, f"loop://?line={line}", doings, 160)

    assert [(e.deed, e.by) for e in events if isinstance(e, Act)] == [("next", "contact")]


def test_hold_over_a_real_port() -> None:
    """Held from poll 60 to 260, 1 s: arc on with 0.4 s held, then arc off with 0.03 s open."""
    outlet = Outlet("loop://", {"RTS": False})
    doings = {60: lambda: outlet.set_line("RTS", True), 260: lambda: outlet.set_line("RTS", False)}
    events, _, _ = run(outlet, "loop://?line=CTS&mode=hold", doings, 320)

    assert [(e.deed, e.held_s) for e in events if isinstance(e, Act)] == [
        ("arc on", 0.4),
        ("arc off", 0.03),
    ]


def test_a_lost_port_is_told_once_and_so_is_its_return() -> None:
    """Tried again after 0.5, 1, 2, 5, 5 s; closed on its return is no press, the next is."""
    plug = FakeLines()

    def lose() -> None:
        plug.gone = True

    def mend() -> None:
        plug.gone = False

    def contact(closed: bool) -> Callable[[], None]:
        def do() -> None:
            plug.closed_contact = closed

        return do

    doings = {
        20: lose,
        24: contact(True),
        26: mend,
        40: contact(False),
        120: contact(True),
        140: contact(False),
        160: lose,
        162: mend,
    }
    events, script, pedal = run(Outlet("x", {}, plug.open), "serial://x?line=CTS", doings, 180)

    told = [
        f"{e.what}: {e.why}" if isinstance(e, Trouble) else e.deed
        for e in events
        if isinstance(e, Act | Trouble)
    ]
    assert told == [
        "pedal: x: gone: check the cable and the adapter",
        "pedal: x: not there: check the cable and the name",
        "pedal: back",
        "next",
        "pedal: x: gone: check the cable and the adapter",
        "pedal: x: not there: check the cable and the name",
        "pedal: back",
    ]
    assert len(events) == len(told)
    again = list(BACK_OFF_S[:2])
    assert script.pauses == [*BACK_OFF_S, BACK_OFF_S[-1], BACK_OFF_S[-1], *again]
    assert pedal.trouble == ""
    assert plug.given_back == plug.opened == 3


def test_a_port_that_is_not_there_at_the_start_is_known_at_once() -> None:
    """`trouble` is what the screen says; the thread goes on trying."""
    plug = FakeLines()
    plug.gone = True
    pedal = Pedal(
        Outlet("x", {}, plug.open),
        pedal_url("serial://x?line=CTS"),
        lambda _: None,
        wait=lambda _: True,
    )
    pedal.start()
    pedal.close()

    assert pedal.trouble == "x: not there: check the cable and the name"


def test_a_terminal_without_such_lines_is_told_once_not_at_every_try() -> None:
    """It opens, then has no CTS (errno 25): a pseudo-terminal, or a board's own USB."""
    with terminal() as (_, name):
        events, script, _ = run(Outlet(name, {"RTS": True}), f"serial://{name}?line=CTS", {}, 12)

    assert [e.why for e in events if isinstance(e, Trouble)] == [
        f"{name}: not a serial port: check the name"
    ]
    assert script.pauses[:4] == list(BACK_OFF_S)


def test_opened_lines_stand_as_they_were_set_before_the_port_was_open() -> None:
    """A lamp must not light up when its port is opened, and a feed must be on."""
    for lines in ({"RTS": False, "DTR": True}, {"RTS": True, "DTR": False}):
        port = open_lines("loop://", lines)
        seen = {"RTS": port.line("CTS"), "DTR": port.line("DSR")}
        port.close()
        assert seen == lines


def test_an_outlet_opened_again_remembers_its_lines() -> None:
    """The feed is back with the plug."""
    outlet = Outlet("loop://", {"RTS": False})
    outlet.open()
    outlet.set_line("RTS", True)
    outlet.drop()
    with pytest.raises(OSError, match="not open"):
        outlet.line("CTS")
    outlet.open()
    assert outlet.line("CTS")
    outlet.drop()
