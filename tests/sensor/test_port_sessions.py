"""Whole sessions on real pseudo-terminals: the port, the driver, the record, the cues."""

from __future__ import annotations

import os
from pathlib import Path

from fakes import FakeClock
from port_driver import driver_of
from port_fakes import DEADLINE_S, Pauses, plug_in

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.sensor.port.ports import open_port
from pacer.sensor.url import parse_url
from pacer.session.events import AnyEvent, CueTold, Reading, SensorChanged
from pacer.session.guard.standing import Standing, standing


class Bench:
    """A session on a real port, its time set by the test."""

    def __init__(self, folder: Path, job: Job) -> None:
        self._link = folder / "ttyUSB0"
        self._path = folder / "a.jsonl"
        self._instrument = plug_in(self._link)
        self._clock = FakeClock()
        self._pauses = Pauses()
        url = parse_url(f"serial://{self._link}?settle=0")
        self._source = open_port(url, self._clock, fail_fast=True, wait=self._pauses, listing=list)
        self.driver, self._log = driver_of(self._path, job, self._source, self._clock)
        self._take()

    def _take(self) -> list[AnyEvent]:
        heard = self._source.read(self._clock.now_s() + DEADLINE_S)
        assert heard, "nothing came from the port"
        for item in heard:
            self.driver._take(item)
        return [item.event for item in heard]

    def says(self, line: bytes, from_s: int, to_s: int) -> None:
        """Let the instrument say a line each second from `from_s` up to, not including, `to_s`."""
        for t_s in range(from_s, to_s):
            self.passes_to(t_s)
            os.write(self._instrument, line)
            assert any(isinstance(event, Reading) for event in self._take())

    def passes_to(self, t_s: float) -> None:
        """Let time pass: what is due is told."""
        self._clock.to(t_s)
        self.driver._advance(t_s)

    def presses(self, t_s: float) -> None:
        """Let the welder press once."""
        self.passes_to(t_s)
        self.driver.press("next")
        self._take()

    def pull(self, t_s: float) -> list[AnyEvent]:
        """Pull the plug out in the middle of a line."""
        self.passes_to(t_s)
        os.write(self._instrument, b"26")
        os.close(self._instrument)
        news = self._take()
        self._pauses.asked.get(timeout=DEADLINE_S)
        return news

    def plug(self, t_s: float) -> None:
        """Plug it in again."""
        self.passes_to(t_s)
        self._instrument = plug_in(self._link)
        self._pauses.end_unasked()
        self._take()
        os.write(self._instrument, b"2.5\n")  # the rest of a line: not a reading

    def standing(self) -> Standing:
        """Return the sensor's state now."""
        return standing(self.driver.snapshot().state, self._clock.now_s()).state

    def told(self) -> list[tuple[float, str]]:
        """Return the cues on disk that were told for the first time."""
        events = Recording(self._path).events()
        return [(e.t_s, e.kind) for e in events if isinstance(e, CueTold) and not e.again]

    def end(self) -> None:
        """Close everything."""
        os.close(self._instrument)
        self._take()
        self._pauses.end_one(closing=True)
        self._source.close()
        self._log.close()


def test_a_plug_pulled_in_mid_line_is_told_once_and_the_session_goes_on(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-30, away for 2 h: the number is gone at once; NO READING once; no burst of prompts on its return."""
    bench = Bench(tmp_path, hot_job)
    bench.says(b"\n20.5\n", 0, 1)
    bench.presses(1)
    bench.says(b"150.5\n", 2, 9)
    bench.says(b"262.5\n", 9, 80)
    before = bench.told()
    assert before[-1][1] == "READY"
    assert bench.standing() is Standing.LIVE

    (lost,) = bench.pull(80.2)
    assert isinstance(lost, SensorChanged)
    assert "check the cable" in lost.why
    assert bench.standing() is Standing.LOST
    bench.passes_to(7380)
    away = bench.told()[len(before) :]

    bench.plug(7380)
    bench.says(b"262.5\n", 7381, 7400)
    back = bench.told()[len(before) + len(away) :]
    assert bench.standing() is Standing.LIVE
    bench.end()

    assert [kind for _, kind in away] == ["NO_READING"]
    assert len(back) <= 2
    assert "READY" in {kind for _, kind in back}
    readings = [e.raw for e in Recording(tmp_path / "a.jsonl").events() if isinstance(e, Reading)]
    assert (26.0,) not in readings
    assert (2.5,) not in readings
    assert readings[-1] == (262.5,)


def test_an_adapter_that_comes_and_goes_every_five_seconds_keeps_the_session_alive(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-30: each time found again; the readings between count; few cues, not one a loss."""
    bench = Bench(tmp_path, hot_job)
    bench.says(b"\n20.5\n", 0, 1)
    bench.presses(1)
    bench.says(b"150.5\n", 2, 5)
    before = len(bench.told())
    for start_s in range(5, 125, 5):
        bench.pull(start_s + 0.2)
        bench.plug(start_s + 0.7)
        bench.says(b"150.5\n", start_s + 1, start_s + 5)
    told = bench.told()[before:]
    bench.end()
    news = [
        e.state for e in Recording(tmp_path / "a.jsonl").events() if isinstance(e, SensorChanged)
    ]

    assert news.count("lost") == news.count("opened") == 25
    assert len(told) <= 2
