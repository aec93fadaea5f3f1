"""Another logger's readings in: columns by name, errors by line, dates, bounded memory (T-17)."""

from __future__ import annotations

import itertools
import statistics
import time
import tracemalloc
from datetime import UTC
from pathlib import Path

import pytest
from commands import here, pacer
from conftest import HOT
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.cli.main import main
from pacer.errors import UserInputError
from pacer.recording.exchange.incoming import Imported, read
from pacer.recording.reader import Recording
from pacer.run.audit import audit
from pacer.session.events import Reading


def _same(value: float) -> float:
    return value


def _read(path: Path, text: str) -> Imported:
    path.write_text(text, encoding="utf-8")
    return read(path, _same, _same)


def _refusal(path: Path, text: str) -> list[str]:
    with pytest.raises(UserInputError) as caught:
        _read(path, text)
    lines = str(caught.value).splitlines()
    assert all(line.startswith(f"{path}:") and line.isprintable() for line in lines)
    return [line.removeprefix(f"{path}:") for line in lines]


def test_columns_are_found_by_name_and_blanks_are_open(tmp_path: Path) -> None:
    """Contract: `t_s,temp_c`; a blank is an open sensor; BOM and CRLF are taken (T-17)."""
    found = _read(
        tmp_path / "a.csv", "\ufefftemp_c,x,t_s\r\n200.5,a,10\r\n,b,12\r\n\r\n199,c,14.5\r\n"
    )
    assert tuple(found.rows()) == ((10.0, 200.5), (12.0, None), (14.5, 199.0))
    # Median of 2 and 2.5.
    assert found.period_s == 2.25


def test_the_files_own_zero_is_kept(tmp_path: Path) -> None:
    """Contract."""
    found = _read(tmp_path / "a.csv", "t_s,temp_c\n3600,90\n3610,89\n")
    assert next(found.rows()) == (3600.0, 90.0)
    assert found.start is None


def test_time_and_temp_are_converted_by_what_was_asked(tmp_path: Path) -> None:
    """Contract: `time,temp` with units; minutes to s, °F to °C."""
    path = tmp_path / "a.csv"
    path.write_text("time,temp\n0,212\n1.5,32\n")
    found = read(path, lambda t: 60 * t, lambda t: (t - 32) * 5 / 9)
    assert tuple(found.rows()) == ((0.0, 100.0), (90.0, 0.0))
    assert found.period_s == 90.0


def test_columns_that_carry_their_unit_are_not_converted(tmp_path: Path) -> None:
    """`t_s,temp_c` says s and °C."""
    path = tmp_path / "a.csv"
    path.write_text("t_s,temp_c\n7,50\n")
    found = read(path, lambda t: 60 * t, lambda t: -t)
    assert tuple(found.rows()) == ((7.0, 50.0),)


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
        (
            "t_s,temp_c\n1," + "9" * 200_000,
            "2: longer than 65536 characters, expected a row of numbers",
        ),
        ('t_s,temp_c\n1,"' + "9\n" * 70_000, "2: not CSV: a quote that is never closed"),
        ('t_s,temp_c\n0,20\n1,"21\n2,22\n', "3: not CSV: a quote that is never closed"),
        ('t_s,temp_c\n0,"20"1\n', "2: not CSV: ',' expected after '\"'"),
        ("t_s,temp_c,temp_c\n0,20,30\n", '1: column "temp_c" comes twice'),
        ("t_s,t_s,temp_c\n0,20,30\n", '1: column "t_s" comes twice'),
        ("t_s,temp_c\n0,20,\n1,20,5\n", "3: 3 column(s), expected 2 as in the header"),
    ],
)
def test_a_file_without_readings_is_refused(tmp_path: Path, text: str, told: str) -> None:
    """One line, file first."""
    assert _refusal(tmp_path / "a.csv", text) == [told]


def test_what_is_no_csv_at_all_is_refused_in_one_line(tmp_path: Path) -> None:
    """Random bytes, UTF-16, a folder, a device, nothing there."""
    path = tmp_path / "a.csv"
    for content in (bytes(range(256)), "t_s,temp_c\n0,1\n".encode("utf-16"), b"\x00" * 9):
        path.write_bytes(content)
        with pytest.raises(UserInputError) as caught:
            read(path, _same, _same)
        assert str(caught.value).isprintable()
    for wrong, told in (
        (tmp_path / "none.csv", "no such file of readings"),
        (tmp_path, "not a regular file, expected readings"),
        (Path("/dev/zero"), "not a regular file, expected readings"),
    ):
        with pytest.raises(UserInputError) as caught:
            read(wrong, _same, _same)
        assert str(caught.value) == f"{wrong}: {told}"


def test_a_line_is_counted_as_an_editor_counts_it(tmp_path: Path) -> None:
    """RFC 4180: a quoted cell may hold line ends; the number told is where the row begins."""
    told = _refusal(tmp_path / "a.csv", 'x,t_s,temp_c\n"one\ntwo",0,20\n,1,hot\n')
    assert told == ['4: temperature "hot", expected a number, or nothing for none']


def test_dates_count_from_the_first_row(tmp_path: Path) -> None:
    """ISO 8601 with Z, with an offset, with a comma: 08:00Z and 10:00+02:00 are one moment."""
    found = _read(
        tmp_path / "a.csv",
        "time,temp\n2026-01-31T23:59:59.5Z,300\n2026-02-01 00:00:00Z,299\n"
        '"2026-02-01T02:00:30,250+02:00",298\n2026-02-01T00:01Z,\n',
    )
    assert tuple(found.rows()) == ((0.0, 300.0), (0.5, 299.0), (30.75, 298.0), (60.5, None))
    assert found.start is not None
    assert found.start.isoformat() == "2026-01-31T23:59:59.500000+00:00"


@pytest.mark.parametrize(
    ("tz", "utc"),
    [
        ("America/New_York", "2026-01-01T13:00:00+00:00"),
        ("Asia/Tokyo", "2025-12-31T23:00:00+00:00"),
    ],
)
def test_dates_without_an_offset_are_this_places_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, tz: str, utc: str
) -> None:
    """In January New York is 5 h behind UTC, Tokyo 9 h ahead (IANA time zone database)."""
    monkeypatch.setenv("TZ", tz)
    time.tzset()
    try:
        found = _read(
            tmp_path / "a.csv", "time,temp\n2026-01-01T08:00:00,90\n2026-01-01T09:00,80\n"
        )
    finally:
        monkeypatch.undo()
        time.tzset()
    assert tuple(found.rows()) == ((0.0, 90.0), (3600.0, 80.0))
    assert found.start is not None
    assert found.start.astimezone(UTC).isoformat() == utc


def test_dates_that_are_wrong_are_told_with_their_line(tmp_path: Path) -> None:
    """All rows or none, an offset in all or in none, in order, and a moment that exists."""
    told = _refusal(
        tmp_path / "a.csv",
        "time,temp\n2026-01-01T08:00:00Z,90\n60,89\n2026-01-01T08:01:00,88\n"
        "2026-01-01T07:59:00Z,87\n2026-02-30T08:00:00Z,86\n0026-01-01T08:00:00Z,85\n"
        "2026-01-01T08:02:00Z,84\n2026-12-01T08:00:00Z,83\n",
    )
    assert told == [
        '3: time "60", expected a date and time like those before',
        '4: time "2026-01-01T08:01:00", expected an offset from UTC in every row or in none',
        "5: time 2026-01-01T07:59:00Z goes back, expected times in order",
        '6: time "2026-02-30T08:00:00Z": no such moment (day is out of range for month)',
        '7: time "0026-01-01T08:00:00Z", expected a year from 1971 to 2199',
        "9: time 2026-12-01T08:00:00Z, expected at most 10000000 s after the first",
    ]


def test_a_date_among_numbers_or_under_seconds_is_refused(tmp_path: Path) -> None:
    """`t_s` says that it holds seconds; a column holds one kind."""
    assert _refusal(tmp_path / "a.csv", "time,temp\n0,90\n2026-01-01T08:00:00Z,89\n") == [
        '3: time "2026-01-01T08:00:00Z", expected a number like those before'
    ]
    assert _refusal(tmp_path / "a.csv", "t_s,temp_c\n2026-01-01T08:00:00Z,89\n") == [
        '2: time "2026-01-01T08:00:00Z", expected a number'
    ]


def test_two_channels_in_one_column_are_not_taken_for_one_probe(tmp_path: Path) -> None:
    """Our own export has a row a channel; read as one they would jump at every line."""
    rows = "t_s,channel,temp_c\n0,front,90\n0,back,60\n1,front,89\n"
    assert _refusal(tmp_path / "a.csv", rows) == [
        '3: channel "back", expected "front" in every row: import one at a time'
    ]
    one = _read(tmp_path / "a.csv", "t_s,channel,temp_c\n0,front,90\n1,front,89\n")
    assert tuple(one.rows()) == ((0.0, 90.0), (1.0, 89.0))


@given(gaps_ms=st.lists(st.integers(0, 5000), min_size=1, max_size=40))
@settings(max_examples=50, deadline=None)
def test_the_period_is_the_median_spacing(
    gaps_ms: list[int], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Against the standard library's median, to the millisecond of the head."""
    at_ms = list(itertools.accumulate(gaps_ms, initial=0))
    path = tmp_path_factory.getbasetemp() / "gaps.csv"
    found = _read(path, "t_s,temp_c\n" + "".join(f"{t / 1000:.3f},20\n" for t in at_ms))
    assert found.period_s == pytest.approx(statistics.median(gaps_ms) / 1000, abs=5.1e-4)
    assert found.count == len(at_ms)


@pytest.mark.parametrize(
    "rows",
    [
        # Dates to the minute, a row every 10 s: the median spacing is nothing.
        [f"2026-01-01T08:{i // 6:02d},{250 - i}" for i in range(30)],
        [f"{1_200_000 * i},{250 - i}" for i in range(5)],
        ["0,250"],
    ],
    ids=["to the minute", "weeks apart", "one row"],
)
def test_whatever_the_spacing_what_is_imported_can_be_read(tmp_path: Path, rows: list[str]) -> None:
    """Exit 0 means a recording that pacer takes again, cues as they are told today."""
    (tmp_path / "job.toml").write_text(HOT)
    (tmp_path / "a.csv").write_text("time,temp\n" + "\n".join(rows) + "\n")
    out = tmp_path / "a.jsonl"
    job = ["--job", str(tmp_path / "job.toml"), "--phase", "cool-down", "--out", str(out)]
    assert main(["import", str(tmp_path / "a.csv"), *job]) == 0
    recording = Recording(out)
    readings = [event for event in recording.events() if isinstance(event, Reading)]
    assert recording.damage.told("a") == []
    assert recording.head.period_s is None
    assert [reading.raw for reading in readings] == [(250.0 - i,) for i in range(len(rows))]
    assert audit(recording).differences == ()


@pytest.mark.slow
def test_a_long_file_is_never_held(tmp_path: Path) -> None:
    """Ten times the rows, no more memory: both passes are streams."""
    peaks = []
    for count in (2_000, 20_000):
        path = tmp_path / f"{count}.csv"
        path.write_text("t_s,temp_c\n" + "".join(f"{i / 4},{i % 700 / 2}\n" for i in range(count)))
        tracemalloc.start()
        found = read(path, _same, _same)
        assert sum(1 for _ in found.rows()) == count
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < peaks[0] + 50_000


def test_a_file_that_changed_between_the_passes_is_told(tmp_path: Path) -> None:
    """What the second pass reads is judged as well."""
    found = _read(tmp_path / "a.csv", "t_s,temp_c\n0,90\n10,89\n")
    (tmp_path / "a.csv").write_text("t_s,temp_c\n0,90\n10,hot\n")
    with pytest.raises(UserInputError, match=r"a\.csv:3: changed while it was read"):
        list(found.rows())


@pytest.mark.slow
def test_a_dated_import_is_a_recording_of_that_day(tmp_path: Path) -> None:
    """The head's wall time is the first row's, its zone the file's own."""
    (tmp_path / "job.toml").write_text(HOT)
    rows = "".join(
        f"2026-01-01T{8 + i // 60:02d}:{i % 60:02d}:00+02:00,{250 - i}\n" for i in range(90)
    )
    (tmp_path / "a.csv").write_text("time,temp\n" + rows)
    out = tmp_path / "a.jsonl"
    pacer(
        *("import", tmp_path / "a.csv", "--job", tmp_path / "job.toml"),
        *("--phase", "cool-down", "--out", out),
    ).fine()
    recording = Recording(out)
    assert (recording.head.wall[:19], recording.head.tz) == ("2026-01-01T06:00:00", "+02:00")
    assert recording.head.period_s == 60.0
    exported = here("export", out, "--csv", "-").fine().out.splitlines()
    assert exported[1:] == [f"{60 * i},t1,{250 - i}" for i in range(90)]
