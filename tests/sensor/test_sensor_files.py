"""`file:` sources: live, timed, their clocks and their ends."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from pacer.clock import BootClock
from pacer.errors import SensorError, UserInputError
from pacer.sensor.open import open_source
from pacer.sensor.source import Heard, Source
from pacer.session.events import Act, Reading, SensorChanged

DEADLINE_S = 10.0
"Only a hung test waits so long."


def opened(path: object, query: str = "") -> Source:
    """Return a file's source."""
    return open_source(f"file:{path}{query}", BootClock(), fail_fast=True)


def drain(source: Source) -> list[Heard]:
    """Read until the source has finished."""
    heard: list[Heard] = []
    while not source.finished:
        heard += source.read(None)
    return heard


def script(folder: Path, text: str) -> Path:
    """Write a script."""
    path = folder / "script.txt"
    path.write_text(text)
    return path


def test_a_live_file_is_stamped_on_arrival_and_wakes_the_reader_at_its_end(tmp_path: Path) -> None:
    """Without parameters; the end must wake `read(None)`."""
    source = opened(script(tmp_path, "20.0\n!next\n"))
    heard = drain(source)
    source.close()

    assert [Reading(t_ms=0, raw=(20.0,), status="ok"), Act(t_ms=0, deed="next", by="script")] == [
        item.event for item in heard
    ]
    assert 0.0 < heard[0].t_s <= heard[1].t_s <= source.clock()
    assert source.period_s is None
    assert source.clk in {"boottime", "monotonic"}


def test_an_empty_file_finishes_with_nothing(tmp_path: Path) -> None:
    """Both kinds of source."""
    path = script(tmp_path, "")

    assert drain(opened(path)) == []
    assert drain(opened(path, "?period=0.5")) == []


def test_a_live_pipe_hands_over_each_line_as_it_comes(tmp_path: Path) -> None:
    """Never held back (design.md, Recording): the line is there before the pipe ends."""
    path = tmp_path / "pipe"
    os.mkfifo(path)
    source = opened(path)
    with open(path, "wb", buffering=0) as pipe:
        pipe.write(b"20.0\n21")
        first = source.read(source.clock() + DEADLINE_S)
        pipe.write(b".5\n")
        second = source.read(source.clock() + DEADLINE_S)

    assert [getattr(h.event, "raw", None) for h in first + second] == [(20.0,), (21.5,)]
    assert drain(source) == []


def test_a_post_wakes_a_live_file(tmp_path: Path) -> None:
    """Presses come in beside the lines."""
    path = tmp_path / "pipe"
    os.mkfifo(path)
    source = opened(path)
    act = Act(t_ms=0, deed="next")
    threading.Timer(0.0, source.post, [act]).start()

    assert [act] == [item.event for item in source.read(None)]

    with open(path, "wb"):
        pass
    drain(source)


def test_a_timed_file_has_its_own_clock(tmp_path: Path) -> None:
    """The clock is the time of the last line delivered, and stays there at the end."""
    source = opened(script(tmp_path, "20.0\n21.0\n22.0\n"), "?period=0.5")

    assert (source.period_s, source.clk, source.clock()) == (0.5, "source", 0.0)
    assert [item.t_s for item in source.read(0.5)] == [0.0, 0.5]
    assert source.clock() == 0.5
    assert source.read(0.75) == []
    assert source.clock() == 0.75
    assert [item.t_s for item in source.read(5.0)] == [1.0]
    assert source.read(60.0) == []
    assert source.finished
    assert source.clock() == 1.0


def test_a_timer_wait_moves_the_clock_only_if_a_later_line_is_known(tmp_path: Path) -> None:
    """No timer after the last stamp fires (design.md, Headless)."""
    source = opened(script(tmp_path, "0,20.0\n100,21.0\n"), "?time=first")

    assert len(source.read(10.0)) == 1
    assert source.read(60.0) == []
    assert source.clock() == 60.0
    assert [item.t_s for item in source.read(None)] == [100.0]
    assert source.read(130.0) == []
    assert source.clock() == 100.0


def test_a_timed_file_is_delivered_in_order_and_a_few_hundred_at_once(tmp_path: Path) -> None:
    """20,000 lines, all of them, none twice."""
    source = opened(script(tmp_path, "".join(f"{i % 900}.5\n" for i in range(20_000))), "?period=1")
    calls = []
    while not source.finished:
        calls.append(source.read(None))
    heard = [item for call in calls for item in call]

    assert [float(i) for i in range(20_000)] == [item.t_s for item in heard]
    assert [i % 900 + 0.5 for i in range(20_000)] == [
        item.event.raw[0] for item in heard if isinstance(item.event, Reading)
    ]
    assert max(map(len, calls)) <= 300


def test_a_post_to_a_timed_file_comes_at_the_current_time(tmp_path: Path) -> None:
    """source.py, post."""
    source = opened(script(tmp_path, "20.0\n21.0\n"), "?period=10")
    source.read(5.0)
    source.read(7.0)
    source.post(Act(t_ms=0, deed="next"))

    assert [Heard(7.0, Act(t_ms=0, deed="next"))] == source.read(8.0)
    assert [item.t_s for item in source.read(None)] == [10.0]


def test_a_bad_time_after_the_clock_moved_does_not_go_back(tmp_path: Path) -> None:
    """Nothing is delivered earlier than the source's own clock says."""
    source = opened(script(tmp_path, "0,20.0\n100,21.0\nx,22.0\n"), "?time=first")
    source.read(0.0)
    source.read(50.0)

    assert [item.t_s for item in drain(source)] == [100.0, 100.0]


def test_a_conversion_is_in_the_channel_and_the_reading_stays_raw(tmp_path: Path) -> None:
    """212 °F is 100 °C by definition."""
    source = opened(script(tmp_path, "212.0\n"), "?unit=degF&channel=foot&period=1")
    (heard,) = source.read(None)
    channel = source.channel

    assert (channel.name, channel.unit) == ("foot", "degF")
    assert isinstance(heard.event, Reading)
    assert heard.event.raw == (212.0,)
    assert pytest.approx(100.0, abs=1e-9) == channel.scale * 212.0 + channel.offset_c


@pytest.mark.parametrize(
    ("url", "kind", "words"),
    [
        ("file:{0}/none.csv", SensorError, "cannot be read: no such file or directory"),
        ("file:{0}", SensorError, "cannot be read: is a directory"),
        ("file:", UserInputError, "expected file:PATH"),
        ("file:{0}/script.txt?perod=1", UserInputError, "found perod=…, expected period=…"),
        ("file:{0}/script.txt?period=0", UserInputError, "a number from 0.001"),
        ("file:{0}/script.txt?period=nan", UserInputError, "a number from 0.001"),
        ("file:{0}/script.txt?time=last", UserInputError, "expected time=first"),
        ("file:{0}/script.txt?time=first&period=1", UserInputError, "expected one of them"),
        ("file:{0}/script.txt?period=1&period=2", UserInputError, "period=… twice"),
        ("file:{0}/script.txt?unit=C", UserInputError, "degC or degF or K"),
        ("file:{0}/script.txt?dialect=tsv", UserInputError, "expected auto or csv"),
        ("file:{0}/script.txt?channel=%1b", UserInputError, "a channel's name"),
    ],
)
def test_a_wrong_file_url_is_one_line(
    tmp_path: Path, url: str, kind: type[Exception], words: str
) -> None:
    """Where, found, expected (style.md 5.4); a missing file is the sensor's, a typo the user's."""
    script(tmp_path, "20.0\n")
    with pytest.raises(kind) as caught:
        open_source(url.format(tmp_path), BootClock(), fail_fast=True)

    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_file_that_cannot_be_read_on_is_lost_and_finishes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One lost later is survived (design.md, Headless)."""

    def broken(fd: int, size: int) -> bytes:
        raise OSError(5, "Input/output error")

    path = script(tmp_path, "20.0\n")
    timed = opened(path, "?period=1")
    monkeypatch.setattr("pacer.sensor.file.os.read", broken)
    heard = drain(timed) + drain(opened(path))

    assert [item.event.state for item in heard if isinstance(item.event, SensorChanged)] == [
        "lost",
        "lost",
    ]


@pytest.mark.slow
def test_standard_input_is_read_by_both_kinds_of_source_and_the_program_ends() -> None:
    """`file:-`; a reader thread that still waits must not keep the program."""
    program = (
        "from pacer.clock import BootClock\n"
        "from pacer.sensor.open import open_source\n"
        "source = open_source('file:-{0}', BootClock(), fail_fast=True)\n"
        "print([h.event.raw for h in source.read(source.clock() + 10)])\n"
        "source.close()\n"
    )
    for query in ("", "?period=1"):
        with subprocess.Popen(
            [sys.executable, "-W", "error", "-c", program.format(query)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        ) as child:
            assert child.stdin is not None
            assert child.stdout is not None
            child.stdin.write(b"20.0\n")
            child.stdin.flush()  # and not closed: the input goes on

            assert child.stdout.read() == b"[(20.0,)]\n"
            assert child.wait(DEADLINE_S) == 0
