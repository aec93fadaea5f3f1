"""Lamp, pedal and sounds as a session puts them together; real ports are `loop://`."""

from __future__ import annotations

import argparse
import itertools
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from commands import pacer, run_script
from conftest import HOT
from fakes import FakeClock, FakeSource

from pacer.cli.hands import Hands, at_the_table, check_hands, chosen, open_hands
from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.recording.reader import Recording
from pacer.sensor.open import open_source
from pacer.sensor.plugs.outlet import Outlet
from pacer.sensor.port.ports import PortSource
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.source import Source
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, CueTold, Ended
from pacer.settings import Settings

DEADLINE_S = 10.0
"Only a hung test waits so long."

OTHER = "serial://COM9"


def shop(lamp: str = "", pedal: str = "") -> Settings:
    """Return settings with these plugs."""
    return Settings(recordings=Path("x"), lamp=lamp, pedal=pedal)


@pytest.fixture
def source() -> Source:
    """A live source that is on no port."""
    fake = FakeSource(FakeClock(), [])
    fake.url = "hand:"
    return fake


@pytest.fixture
def opened() -> Iterator[list[Hands]]:
    """Hands that are given back after the test."""
    all_: list[Hands] = []
    yield all_
    for hands in all_:
        hands.give_up()


REFUSED = {
    ("serial://COM5?line=RTS", "", "serial://COM5?baud=9600"): "resets many boards; shared=yes",
    ("loop://?line=RTS", "", "loop://"): "lamp loop://?line=RTS: found the sensor's own port",
    ("", "serial://COM5?line=CTS", "serial://COM5"): "pedal serial://COM5?line=CTS: found the",
    ("", "serial://COM5?line=CTS", "modbus://COM5"): "found the sensor's own port",
    ("serial://COM5?line=RTS", "serial://COM5?line=CTS", OTHER): (
        "found line=RTS, expected line=DTR or another port: RTS feeds the pedal's contact on CTS"
    ),
    ("serial://COM5?line=DTR", "serial://COM5?line=DSR", OTHER): (
        "found line=DTR, expected line=RTS or another port: DTR feeds the pedal's contact on DSR"
    ),
    ("serial://COM5?line=CTS", "", OTHER): "expected line=RTS or line=DTR",
}


@pytest.mark.parametrize("plugs", REFUSED)
def test_plugs_that_cannot_go_together_are_one_clear_line(plugs: tuple[str, str, str]) -> None:
    """Told before anything is opened or heated."""
    lamp, pedal, sensor = plugs
    with pytest.raises(UserInputError) as told:
        check_hands(shop(lamp, pedal), sensor)
    (line,) = str(told.value).splitlines()
    assert REFUSED[plugs] in line


ALLOWED = [
    ("serial://COM5?line=RTS&shared=yes", "", "serial://COM5"),
    ("serial://COM5?line=RTS", "serial://COM5?line=DSR", OTHER),
    ("serial://COM5?line=DTR", "serial://COM5?line=CTS", OTHER),
    ("serial://COM5?line=RTS", "serial://COM6?line=CTS", OTHER),
    ("serial://COM5?line=RTS", "", "file:COM5"),
    ("", "", OTHER),
]


@pytest.mark.parametrize("plugs", ALLOWED)
def test_other_plugs_go_together(plugs: tuple[str, str, str]) -> None:
    """Two pairs of lines on one port, or two ports."""
    lamp, pedal, sensor = plugs
    found_lamp, found_pedal = check_hands(shop(lamp, pedal), sensor)
    assert (found_lamp is not None, found_pedal is not None) == (bool(lamp), bool(pedal))


def test_lamp_and_pedal_on_one_port_share_it(source: Source, opened: list[Hands]) -> None:
    """DTR lights, RTS feeds CTS; the port is opened once, the lamp dark."""
    settings = shop("loop://?line=DTR", "loop://?line=CTS")
    opened.append(hands := open_hands(settings, source, screen=False))
    (outlet,) = hands.outlets
    assert outlet.line("CTS")
    assert not outlet.line("DSR")
    assert [sink.name for sink in hands.sinks] == ["lamp"]
    assert hands.off() == []


def test_a_port_is_opened_with_its_feed_on_and_its_lamp_dark(
    source: Source, opened: list[Hands], monkeypatch: pytest.MonkeyPatch
) -> None:
    """From its first opening: no blink, and a contact that can be read at once."""
    asked: list[tuple[str, dict[str, bool]]] = []

    def outlet(port: str, lines: dict[str, bool]) -> Outlet:
        asked.append((port, dict(lines)))
        return Outlet("loop://", lines)

    monkeypatch.setattr("pacer.cli.hands.Outlet", outlet)
    for settings in (
        shop("serial://x?line=DTR", "serial://x?line=CTS"),
        shop("serial://x?line=RTS", "serial://y?line=DSR"),
    ):
        opened.append(open_hands(settings, source, screen=False))
    assert asked == [
        ("x", {"RTS": True, "DTR": False}),
        ("y", {"DTR": True}),
        ("x", {"RTS": False}),
    ]


def test_a_shared_lamp_uses_the_sensor_s_line(opened: list[Hands]) -> None:
    """RTS of the sensor's own `loop://` is read back as CTS."""
    sensor = open_source("loop://", BootClock(), fail_fast=True)
    assert isinstance(sensor, PortSource)
    with closing(sensor):
        lit = threading.Event()
        set_line = sensor.set_line

        def watched(name: str, on: bool) -> None:
            set_line(name, on)
            if on:
                wire = sensor._wire
                assert isinstance(wire, SerialWire)
                assert wire.port.cts
                lit.set()

        sensor.set_line = watched  # type: ignore[method-assign]
        settings = shop("loop://?line=RTS&shared=yes")
        opened.append(hands := open_hands(settings, sensor, screen=False))
        assert hands.outlets == []
        hands.sinks[0].play(Cue(kind=CueKind.READY, t_s=0.0))
        assert lit.wait(DEADLINE_S)
        hands.give_up()


def test_what_cannot_be_opened_is_named_and_the_rest_goes_on(
    source: Source, opened: list[Hands]
) -> None:
    """A lamp and a pedal whose plugs are not there are not critical."""
    none = "/dev/ttyNotHere7"
    settings = shop(f"serial://{none}?line=RTS", f"serial://{none}2?line=CTS")
    opened.append(hands := open_hands(settings, source, screen=False))
    assert hands.sinks == []
    assert hands.off() == [
        f"lamp is off: {none}: not there: check the cable and the name",
        f"pedal is off: {none}2: not there: check the cable and the name",
    ]


def test_the_pedal_posts_into_the_session_s_source(opened: list[Hands]) -> None:
    """From its own thread, over the real poll: closed, open, closed again is one press."""
    heard = threading.Event()
    acts: list[Act] = []

    class Listening(FakeSource):
        """A source that tells when a press comes."""

        url = "hand:"

        def post(self, event: object) -> None:
            """Keep it."""
            if isinstance(event, Act):
                acts.append(event)
                heard.set()

    source = Listening(FakeClock(), [])
    opened.append(hands := open_hands(shop(pedal="loop://?line=CTS"), source, screen=False))
    (outlet,) = hands.outlets
    asked, line = itertools.count(), outlet.line
    seen = threading.Event()

    def watched(name: str) -> bool:
        closed = line(name)
        # Twenty polls of 5 ms with the contact open are more than the debounce time.
        if not closed and next(asked) == 20:
            seen.set()
        return closed

    outlet.line = watched  # type: ignore[method-assign]
    outlet.set_line("RTS", False)
    assert seen.wait(DEADLINE_S)
    outlet.set_line("RTS", True)
    assert heard.wait(DEADLINE_S)
    assert [(act.deed, act.by) for act in acts] == [("next", "contact")]


def _args(**given: str | bool | None) -> argparse.Namespace:
    return argparse.Namespace(**given)


def test_the_command_line_goes_before_the_file() -> None:
    """What isn't said there stays as the file says; commands without these options too."""
    file = shop("loop://?line=RTS", "loop://?line=DSR")
    said = _args(lamp="loop://?line=DTR", pedal=None, theme="mono", sound="off")
    found = chosen(said, file)
    assert (found.lamp, found.pedal) == ("loop://?line=DTR", "loop://?line=DSR")
    assert (found.theme, found.sound) == ("mono", "off")
    assert chosen(_args(), file) == file


def test_nobody_is_at_the_table_of_a_script(source: FakeSource) -> None:
    """Without a screen a script opens only what its command line names."""
    file = shop("loop://?line=RTS", "loop://?line=DSR")
    assert at_the_table(_args(no_screen=True), file, source) == file
    source.clk = "source"
    assert at_the_table(_args(no_screen=False), file, source) == file
    assert at_the_table(_args(no_screen=True), file, source) == shop()
    named = _args(no_screen=True, lamp="loop://?line=RTS", pedal=None)
    assert at_the_table(named, file, source) == shop("loop://?line=RTS")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A hot job."""
    path = tmp_path / "job.toml"
    path.write_text(HOT)
    return path


@pytest.mark.slow
def test_a_whole_session_with_a_lamp_and_a_pedal_that_is_not_there(
    job: Path, tmp_path: Path
) -> None:
    """The lamp's port is real (`loop://`); the pedal is told on stderr and in the record."""
    out = tmp_path / "a.jsonl"
    plugs = ("--lamp", "loop://?line=RTS", "--pedal", f"serial://{tmp_path}/x?line=CTS")
    done = run_script(job, out, "0,20.0\n1,!next\n2,21.0\n", *plugs).fine()
    assert f"pacer: note: pedal is off: {tmp_path}/x: not there" in done.err
    recording = Recording(out)
    events = list(recording.events())
    assert recording.head.settings["lamp"] == "loop://?line=RTS"
    assert [e.kind for e in events if isinstance(e, CueTold)] == ["PREPARE", "PREHEAT"]
    assert isinstance(events[-1], Ended)


@pytest.mark.slow
def test_wrong_plugs_end_the_command_before_a_recording_is_begun(job: Path, tmp_path: Path) -> None:
    """Exit 2, one line, no file."""
    out = tmp_path / "a.jsonl"
    done = pacer(
        "run", job, "--sensor", "loop://", "--no-screen", "--out", out, "--lamp", "loop://?line=RTS"
    )
    assert (done.code, done.out) == (2, "")
    (line,) = done.err.splitlines()
    assert line.startswith("pacer: lamp loop://?line=RTS: found the sensor's own port")
    assert not out.exists()
