"""Readings out to CSV: numbers as sent, in a form every CSV program reads (contract; T-18)."""

from __future__ import annotations

import csv
import errno
import io
import os
from collections.abc import Iterable
from pathlib import Path
from typing import TextIO

import pytest
from commands import pacer
from hypothesis import given, settings
from hypothesis import strategies as st
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.exchange.readings import temperatures, write_csv
from pacer.session.events import AnyEvent, Channel, Reading, Resumed

SENT = st.decimals(-273, 2000, places=4).map(float)


def _exported(job: Job, events: list[AnyEvent], **fields: object) -> list[list[str]]:
    out = io.StringIO()
    write_csv(temperatures(head_of(job, **fields), events), out)
    return list(csv.reader(io.StringIO(out.getvalue())))


@given(values=st.lists(SENT, min_size=1, max_size=20))
@settings(max_examples=100, deadline=None)
def test_numbers_come_out_exactly_as_they_were_sent(hot_job: Job, values: list[float]) -> None:
    """Contract: in °C, before guard and correction; plain decimals."""
    events: list[AnyEvent] = [
        Reading(t_ms=250 * i, raw=(value,), status="ok") for i, value in enumerate(values)
    ]
    rows = _exported(hot_job, events)
    assert rows[0] == ["t_s", "channel", "temp_c"]
    assert [float(row[2]) for row in rows[1:]] == values
    assert [float(row[0]) for row in rows[1:]] == [0.25 * i for i in range(len(values))]
    assert not any("e" in row[2] for row in rows[1:])


def test_a_source_in_fahrenheit_comes_out_in_celsius(hot_job: Job) -> None:
    """32 °F = 0 °C and 212 °F = 100 °C (definition of the scale)."""
    fahrenheit = Channel(name="t1", unit="degF", scale=5 / 9, offset_c=-160 / 9)
    events: list[AnyEvent] = [
        Reading(t_ms=0, raw=(32.0,), status="ok"),
        Reading(t_ms=1000, raw=(212.0,), status="ok"),
    ]
    assert _exported(hot_job, events, channel=fahrenheit)[1:] == [
        ["0", "t1", "0"],
        ["1", "t1", "100"],
    ]


def test_a_sensor_changed_on_resuming_changes_the_conversion(hot_job: Job) -> None:
    """The resumption names the channel used from then on."""
    fahrenheit = Channel(name="t1", unit="degF", scale=5 / 9, offset_c=-160 / 9)
    events: list[AnyEvent] = [
        Reading(t_ms=0, raw=(212.0,), status="ok"),
        Resumed(t_ms=1000, channel=fahrenheit),
        Reading(t_ms=2000, raw=(212.0,), status="ok"),
    ]
    assert [row[2] for row in _exported(hot_job, events)[1:]] == ["212", "100"]


def test_each_channel_has_a_row_and_what_is_no_number_has_none(hot_job: Job) -> None:
    """Contract: one row a decoded number; none for open or garbled."""
    events: list[AnyEvent] = [
        Reading(t_ms=0, raw=(20.5, 21.5), status="ok", names=("front", "back")),
        Reading(t_ms=500, raw=("OPEN", 22.0), status=("open", "ok"), names=("front", "back")),
        Reading(t_ms=1000, raw=("3O0",), status="unparsable", why="garbled"),
        Reading(t_ms=1500, raw=(23.0, None), status=("ok", "open")),
    ]
    assert _exported(hot_job, events)[1:] == [
        ["0", "front", "20.5"],
        ["0", "back", "21.5"],
        ["0.5", "back", "22"],
        ["1.5", "t1", "23"],
    ]


@pytest.mark.parametrize("name", ["=1+1", "+A1", "-A1", "@SUM(A1)", "\t=1"])
def test_a_channel_name_is_never_a_formula(hot_job: Job, name: str) -> None:
    """T-18: cells that begin so are guarded (from memory: formula injection)."""
    events: list[AnyEvent] = [Reading(t_ms=0, raw=(20.0,), status="ok", names=(name,))]
    cell = _exported(hot_job, events)[1][1]
    assert cell.startswith("'")
    assert cell.isprintable()


def test_a_number_below_zero_is_a_number(hot_job: Job) -> None:
    """The guard is for text only."""
    events: list[AnyEvent] = [Reading(t_ms=0, raw=(-5.25,), status="ok")]
    assert _exported(hot_job, events)[1] == ["0", "t1", "-5.25"]


def test_the_file_is_as_rfc_4180_says(hot_job: Job, tmp_path: Path) -> None:
    """Lines end in CR LF, a cell with a separator is quoted, a quote is doubled; UTF-8."""
    path = tmp_path / "out.csv"
    events: list[AnyEvent] = [
        Reading(t_ms=0, raw=(20.0, 21.0), status="ok", names=('Fuß, "low"', "back"))
    ]
    with path.open("w", encoding="utf-8", newline="") as file:
        write_csv(temperatures(head_of(hot_job), events), file)
    told = 't_s,channel,temp_c\r\n0,"Fuß, ""low""",20\r\n0,back,21\r\n'
    assert path.read_bytes() == told.encode()


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
def test_a_file_and_standard_output_get_the_same_bytes(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, encoding: str
) -> None:
    """Whatever the terminal's encoding is; no line end is made into another."""
    monkeypatch.setenv("PYTHONIOENCODING", encoding)
    reading = Reading(t_ms=0, raw=(20.0,), status="ok", names=("Ωfuß",))
    recording = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), [reading]))
    pacer("export", recording, "--csv", tmp_path / "a.csv").fine()
    told = "t_s,channel,temp_c\r\n0,Ωfuß,20\r\n"
    assert (tmp_path / "a.csv").read_bytes() == told.encode()
    assert pacer("export", recording, "--csv", "-").fine().out == told


def test_nothing_is_left_of_a_file_that_cannot_be_finished(
    hot_job: Job,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A full disk: one line, and no half export under that name."""
    recording = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), some_events()))

    def full(rows: Iterable[object], file: TextIO) -> None:
        file.write("t_s,cha")
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("pacer.recording.exchange.readings.write_csv", full)
    out = tmp_path / "a.csv"
    assert main(["export", str(recording), "--csv", str(out)]) == 2
    assert capsys.readouterr().err == f"pacer: {out}: No space left on device\n"
    assert not out.exists()


def test_csv_is_of_one_recording(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`t_s,channel,temp_c` can't tell two sessions apart."""
    recording = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), some_events()))
    assert main(["export", str(recording), str(recording), "--csv", "-"]) == 2
    told = capsys.readouterr()
    assert told.err == (
        "pacer: --csv: 2 recordings, expected one; --parquet FOLDER takes several\n"
    )
    assert told.out == ""


def test_a_damaged_recording_is_exported_and_said_to_be_damaged(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is missing goes to stderr with its line, exit 0 (contract)."""
    lines = lines_of(head_of(hot_job), some_events(4))
    lines[2] = lines[2].replace(b"27.25", b"27.26")
    recording = write_lines(tmp_path / "a.jsonl", lines)
    assert main(["export", str(recording), "--csv", "-"]) == 0
    told = capsys.readouterr()
    assert told.out.splitlines() == ["t_s,channel,temp_c", "0,t1,20", "1,t1,34.5", "1.5,t1,41.75"]
    assert "line 3" in told.err
