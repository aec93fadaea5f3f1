"""Readings out to CSV and in from CSV: numbers as sent, errors by line (contract; T-17, T-18)."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from written import head_of

from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.recording.exchange import Imported, read_csv, temperatures, write_csv
from pacer.session.events import AnyEvent, Channel, Reading, Resumed

SENT = st.decimals(-273, 2000, places=4).map(float)


def _exported(job: Job, events: list[AnyEvent], **fields: object) -> list[list[str]]:
    out = io.StringIO()
    write_csv(temperatures(head_of(job, **fields), events), out)
    return list(csv.reader(io.StringIO(out.getvalue())))


def _same(value: float) -> float:
    return value


def _read(path: Path, text: str) -> Imported:
    path.write_text(text, encoding="utf-8")
    return read_csv(path, _same, _same)


def _refusal(path: Path, text: str) -> list[str]:
    with pytest.raises(UserInputError) as caught:
        _read(path, text)
    lines = str(caught.value).splitlines()
    assert all(line.startswith(f"{path}:") and line.isprintable() for line in lines)
    return [line.removeprefix(f"{path}:") for line in lines]


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


def test_columns_are_found_by_name_and_blanks_are_open(tmp_path: Path) -> None:
    """Contract: `t_s,temp_c`; a blank is an open sensor; BOM and CRLF are taken (T-17)."""
    found = _read(
        tmp_path / "a.csv", "\ufefftemp_c,x,t_s\r\n200.5,a,10\r\n,b,12\r\n\r\n199,c,14.5\r\n"
    )
    assert found.rows == ((10.0, 200.5), (12.0, None), (14.5, 199.0))
    # Median of 2 and 2.5.
    assert found.period_s == 2.25


def test_the_files_own_zero_is_kept(tmp_path: Path) -> None:
    """Contract."""
    assert _read(tmp_path / "a.csv", "t_s,temp_c\n3600,90\n3610,89\n").rows[0] == (3600.0, 90.0)


def test_time_and_temp_are_converted_by_what_was_asked(tmp_path: Path) -> None:
    """Contract: `time,temp` with units; minutes to s, °F to °C."""
    path = tmp_path / "a.csv"
    path.write_text("time,temp\n0,212\n1.5,32\n")
    found = read_csv(path, lambda t: 60 * t, lambda t: (t - 32) * 5 / 9)
    assert found.rows == ((0.0, 100.0), (90.0, 0.0))
    assert found.period_s == 90.0


def test_columns_that_carry_their_unit_are_not_converted(tmp_path: Path) -> None:
    """`t_s,temp_c` says s and °C."""
    path = tmp_path / "a.csv"
    path.write_text("t_s,temp_c\n7,50\n")
    assert read_csv(path, lambda t: 60 * t, lambda t: -t).rows == ((7.0, 50.0),)


def test_every_wrong_line_is_told_with_its_number(tmp_path: Path) -> None:
    """Bad input: file, line, what was found, what is expected."""
    told = _refusal(
        tmp_path / "a.csv",
        "t_s,temp_c\n0,200\nten,199\n20,hot\n10,198\n5,197\n30\n-1,20\n40,nan\n50,1e999\n60,300١\n",
    )
    assert told == [
        '3: time "ten", expected a number',
        '4: temperature "hot", expected a number, or nothing for none',
        "6: time 5 goes back, expected times in order",
        "7: 1 column(s), expected at least 2",
        "8: time -1, expected s from 0 to 10000000",
        '9: temperature "nan", expected a number, or nothing for none',
        '10: temperature "1e999", expected a number, or nothing for none',
        '11: temperature "300١", expected a number, or nothing for none',
    ]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("1e99,20", "2: time 1e99, expected s from 0 to 10000000"),
        ("0,1e99", "2: temperature 1e99, expected -273.15 to 2000 degC, or nothing for none"),
        ("0,-300", "2: temperature -300, expected -273.15 to 2000 degC, or nothing for none"),
    ],
)
def test_numbers_that_no_logger_means_are_refused(tmp_path: Path, row: str, told: str) -> None:
    """T-17: 1e308 and below absolute zero are told, not recorded."""
    assert _refusal(tmp_path / "a.csv", f"t_s,temp_c\n{row}\n") == [told]


def test_more_than_ten_wrong_lines_are_counted(tmp_path: Path) -> None:
    """The screen is not flooded."""
    told = _refusal(tmp_path / "a.csv", "t_s,temp_c\n" + "x,1\n" * 25)
    assert len(told) == 11
    assert told[-1] == " and 15 more"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", '1: columns "", expected "t_s,temp_c" or "time,temp"'),
        ("1,2\n3,4\n", '1: columns "1,2", expected "t_s,temp_c" or "time,temp"'),
        ("t_s,temp_c\n", " no readings after the header"),
        ("t_s,temp_c\n1," + "9" * 200_000, " not CSV: field larger than field limit (131072)"),
    ],
)
def test_a_file_without_readings_is_refused(tmp_path: Path, text: str, told: str) -> None:
    """One line, file first."""
    assert _refusal(tmp_path / "a.csv", text) == [told]


def test_what_is_no_csv_at_all_is_refused_in_one_line(tmp_path: Path) -> None:
    """Random bytes, UTF-16, a folder, nothing there."""
    path = tmp_path / "a.csv"
    for content in (bytes(range(256)), "t_s,temp_c\n0,1\n".encode("utf-16"), b"\x00" * 9):
        path.write_bytes(content)
        with pytest.raises(UserInputError) as caught:
            read_csv(path, _same, _same)
        assert str(caught.value).isprintable()
    for wrong in (tmp_path, tmp_path / "none.csv"):
        with pytest.raises(UserInputError, match="no such file of readings"):
            read_csv(wrong, _same, _same)
