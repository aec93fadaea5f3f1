"""Recordings as Parquet tables: read back by pyarrow, compared with the CSV; readings in from Parquet."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from conftest import HOT
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.recording.exchange import parquet
from pacer.recording.exchange.incoming import read
from pacer.recording.exchange.parquet import Folder
from pacer.recording.exchange.tables import TABLES, Value
from pacer.recording.reader import Recording
from pacer.session.events import Act, AnyEvent, Channel, Inspection, Outcome, Reading, Resumed
from pacer.session.inspection import Imperfection, Penetrant, Proof

Rows = list[dict[str, Any]]


def _exported(folder: Path, *recordings: Path) -> dict[str, Rows]:
    """Export, and return every table's rows."""
    assert main(["export", *map(str, recordings), "--parquet", str(folder)]) == 0
    return {table: _rows(folder / f"{table}.parquet") for table in TABLES}


def _rows(path: Path) -> Rows:
    return list(pq.read_table(path).to_pylist())


def _recording(path: Path, job: Job, events: Iterable[AnyEvent], sid: str = "a" * 16) -> Path:
    return write_lines(path, lines_of(head_of(job, sid=sid), events))


@pytest.fixture(scope="module")
def kept(root: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Rows]]:
    """The kept recordings of 1.0 and 1.2, and their tables."""
    folder = tmp_path_factory.mktemp("tables")
    data = root / "tests/data/recordings"
    return folder, _exported(folder, data / "1.0.jsonl", data / "1.2.jsonl")


@pytest.mark.slow
def test_the_readings_are_those_of_the_csv(kept: tuple[Path, dict[str, Rows]], root: Path) -> None:
    """Same numbers, same channels, same times; a row without a number is left out there."""
    sessions = {row["format"]: row["session"] for row in kept[1]["sessions"]}
    for version, session in sessions.items():
        text = (root / f"tests/data/recordings/{version}.csv").read_text()
        expected = [
            (float(row["t_s"]), row["channel"], float(row["temp_c"]))
            for row in csv.DictReader(io.StringIO(text))
        ]
        found = [
            (row["t_s"], row["channel"], row["temp_c"])
            for row in kept[1]["readings"]
            if row["session"] == session and row["temp_c"] is not None
        ]
        assert found == expected
    # The script has one line OPEN and one that no meter sends, without a number each.
    assert sorted(row["status"] for row in kept[1]["readings"] if row["temp_c"] is None) == [
        "open",
        "open",
        "unparsable",
        "unparsable",
    ]


@pytest.mark.slow
def test_cues_and_acts_are_as_recorded(kept: tuple[Path, dict[str, Rows]], root: Path) -> None:
    """As an ordinary JSON parser reads the same file; the cue lines as they were printed then."""
    for version in ("1.0", "1.2"):
        data = root / "tests/data/recordings"
        lines = [json.loads(line) for line in (data / f"{version}.jsonl").read_bytes().splitlines()]
        session = lines[0]["sid"]
        cues = [row for row in kept[1]["cues"] if row["session"] == session]
        printed = [f"{row['t_s']:.3f}\t{row['kind']}\t{row['words']}" for row in cues]
        assert printed == (data / f"{version}.cues.txt").read_text().splitlines()
        assert [dict(row["values"]) for row in cues] == [
            line["values"] for line in lines if line["k"] == "cue"
        ]
        acts = [row for row in kept[1]["acts"] if row["session"] == session]
        assert [(row["t_s"], row["deed"], row["text"], row["temp_c"]) for row in acts] == [
            (line["b"] / 1000, line["e"], line.get("text"), line.get("temp_c"))
            for line in lines
            if line["k"] == "ev"
        ]


@pytest.mark.slow
def test_beads_and_sessions_say_what_the_script_did(kept: tuple[Path, dict[str, Rows]]) -> None:
    """freeze.py: two beads of 10 s struck at 200.5 and 240.5 s, said to be 24 mm; uncovered cold."""
    for session in kept[1]["sessions"]:
        beads = [row for row in kept[1]["beads"] if row["session"] == session["session"]]
        assert [(row["bead"], row["from_s"], row["arc_s"]) for row in beads] == [
            (1, 200.5, 10.0),
            (2, 240.5, 10.0),
        ]
        assert [row["length_m"] for row in beads] == [0.024, 0.024]
        assert (session["phase"], session["closed"], session["sound"]) == ("done", True, True)
        assert session["ceiling_c"] == 300.0
        assert session["lasted_s"] == 52_000.0
        assert json.loads(session["job"])["band"]["ceiling_c"] == 300.0


@pytest.mark.slow
def test_every_column_says_its_meaning_and_its_unit(kept: tuple[Path, dict[str, Rows]]) -> None:
    """In the file itself, where an engine shows it; a number's name ends in its unit."""
    units = {"_s": "s", "_c": "°C", "_m": "m", "_kg": "kg", "_n": "N"}
    for table, columns in TABLES.items():
        schema = pq.read_schema(kept[0] / f"{table}.parquet")
        assert schema.names == [column.name for column in columns]
        for field in schema:
            about = {key.decode(): value.decode() for key, value in field.metadata.items()}
            assert about["doc"]
            if pa.types.is_floating(field.type):
                assert about["unit"] == units["_" + field.name.rpartition("_")[2]], field.name


def test_wall_time_follows_what_the_records_say(hot_job: Job, tmp_path: Path) -> None:
    """The head's until a later record says its own, as after a night between."""
    events: list[AnyEvent] = [
        Reading(t_ms=1500, raw=(20.0,), status="ok"),
        Resumed(t_ms=60_000, wall="2026-01-02T08:00:00.000+00:00"),
        Reading(t_ms=61_000, raw=(21.0,), status="ok"),
    ]
    recording = _recording(tmp_path / "a.jsonl", hot_job, events)
    times = [row["time"] for row in _exported(tmp_path / "out", recording)["readings"]]
    assert times == [
        datetime(2026, 1, 1, 8, 0, 1, 500_000, tzinfo=UTC),
        datetime(2026, 1, 2, 8, 0, 1, tzinfo=UTC),
    ]


def test_a_sensor_changed_on_resuming_changes_the_conversion(hot_job: Job, tmp_path: Path) -> None:
    """As in the CSV: 212 °F is 100 °C by definition."""
    fahrenheit = Channel(name="t1", unit="degF", scale=5 / 9, offset_c=-160 / 9)
    events: list[AnyEvent] = [
        Reading(t_ms=0, raw=(212.0,), status="ok"),
        Resumed(t_ms=1000, channel=fahrenheit),
        Reading(t_ms=2000, raw=(212.0,), status="ok"),
    ]
    rows = _exported(tmp_path / "out", _recording(tmp_path / "a.jsonl", hot_job, events))
    assert [row["temp_c"] for row in rows["readings"]] == [212.0, pytest.approx(100.0)]


def test_outcomes_are_all_there_also_those_after_the_end(hot_job: Job, tmp_path: Path) -> None:
    """Several may follow each other; each is a row."""
    sound = Outcome(t_ms=7000, found="no crack found", when="at uncovering")
    later = Outcome(
        t_ms=8000, found="crack", when="in service", service_s=3.6e6, where="boundary", bead=2
    )
    recording = _recording(tmp_path / "a.jsonl", hot_job, [*some_events(), sound, later])
    rows = _exported(tmp_path / "out", recording)["outcomes"]
    assert [(row["found"], row["when"], row["where"], row["bead"]) for row in rows] == [
        ("no crack found", "at uncovering", None, None),
        ("crack", "in service", "boundary", 2),
    ]
    assert rows[1]["service_s"] == 3.6e6


def test_looks_are_rows_and_what_they_found_are_rows_of_their_own(
    hot_job: Job, tmp_path: Path
) -> None:
    """Joined by the number of the look; each figure in its own column."""
    looks = [
        Inspection(
            t_ms=7000,
            look="penetrant",
            result="imperfections found",
            imperfections=(
                Imperfection(1046, "transverse crater crack", bead=3, size_m=0.002),
                Imperfection(601, "stray arc", place="left end"),
            ),
            penetrant=Penetrant(18.0, 600.0, 900.0, 590.0, "red", True),
        ),
        Inspection(
            t_ms=7000,
            look="proof load",
            result="nothing found",
            proof=Proof(1500.0, 0.2, 0.04, 0.02, 0.03, 300.0, "GJL-250"),
        ),
    ]
    recording = _recording(tmp_path / "a.jsonl", hot_job, [*some_events(), *looks])
    rows = _exported(tmp_path / "out", recording)
    tested, loaded = rows["inspections"]
    assert (tested["inspection"], loaded["inspection"]) == (1, 2)
    assert (tested["surface_c"], tested["dwell_s"], tested["developer_s"]) == (18.0, 600.0, 900.0)
    assert (tested["maker_s"], tested["product"], tested["from_service"]) == (590.0, "red", True)
    assert (tested["load_n"], tested["grade"], loaded["surface_c"]) == (None, None, None)
    figures = ("load_n", "arm_m", "width_m", "height_m", "diameter_m", "held_s", "grade")
    assert [loaded[name] for name in figures] == [1500.0, 0.2, 0.04, 0.02, 0.03, 300.0, "GJL-250"]
    found = [list(row.values())[1:] for row in rows["imperfections"]]
    assert found == [
        [1, 1046, "transverse crater crack", 3, None, 0.002],
        [1, 601, "stray arc", None, "left end", None],
    ]


def test_foreign_text_is_cleaned_and_a_wall_time_that_is_none_is_none(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-18: nothing in a table obeys a terminal."""
    job = msgspec.structs.replace(hot_job, title="\x1b]0;x\x07", facts={"a": "\x1b[2J"})
    events: list[AnyEvent] = [
        Act(t_ms=0, deed="note", text="\x1b[2J\x9b6n", wall="2026-01-01T08:00:00Z"),
        Reading(t_ms=0, raw=(20.0,), status="ok", names=("\x1bc",)),
    ]
    rows = _exported(tmp_path / "out", _recording(tmp_path / "a.jsonl", job, events))
    for table in rows.values():
        for row in table:
            assert all(value.isprintable() for value in row.values() if isinstance(value, str))


def test_rows_go_to_the_file_in_batches(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Memory is that of a batch, however much is exported: no group of rows is larger."""
    monkeypatch.setattr(parquet, "BATCH", 50)
    paths = [
        _recording(tmp_path / f"{i}.jsonl", hot_job, some_events(70), f"{i:016x}") for i in range(3)
    ]
    out = tmp_path / "out"
    assert len(_exported(out, *paths)["readings"]) == 210
    with pq.ParquetFile(out / "readings.parquet") as file:
        groups = [file.metadata.row_group(i).num_rows for i in range(file.num_row_groups)]
    assert groups == [50, 50, 50, 50, 10]


def test_tables_that_are_there_are_never_written_over(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line, exit 2, every file as it was."""
    recording = _recording(tmp_path / "a.jsonl", hot_job, some_events())
    out = tmp_path / "out"
    _exported(out, recording)
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert sorted(before) == sorted(f"{table}.parquet" for table in TABLES)
    capsys.readouterr()
    assert main(["export", str(recording), "--parquet", str(out)]) == 2
    assert capsys.readouterr().err == f"pacer: {out}: sessions.parquet is there already\n"
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_nothing_half_made_is_left_behind(hot_job: Job, tmp_path: Path) -> None:
    """Whatever stops an export, no table has its name yet, and no scratch stays."""
    out = tmp_path / "out"

    def stopped() -> Iterator[tuple[str, tuple[Value, ...]]]:
        yield "beads", ("a", *[None] * (len(TABLES["beads"]) - 1))
        raise KeyboardInterrupt

    with Folder(out) as folder:
        assert len(list(out.iterdir())) == 1
        with pytest.raises(KeyboardInterrupt):
            folder.add_all(stopped())
    assert list(out.iterdir()) == []


def test_every_file_that_cannot_be_exported_is_told_before_anything_is_written(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two foreign files among them: a line each, no folder."""
    recording = _recording(tmp_path / "a.jsonl", hot_job, some_events())
    foreign = [tmp_path / "c.jsonl", tmp_path / "d.jsonl"]
    for path in foreign:
        path.write_text("{}\n")
    out = tmp_path / "out"
    paths = [str(path) for path in (foreign[0], recording, foreign[1])]
    assert main(["export", *paths, "--parquet", str(out)]) == 2
    assert capsys.readouterr().err.splitlines() == [
        f'pacer: {path.name}: line 1: found "{{}}", expected the head of a pacer recording'
        for path in foreign
    ]
    assert not out.exists()


def test_of_several_files_of_a_session_the_longest_is_exported(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """After a move the old file holds a part, whose bytes the new one begins with."""
    part = _recording(tmp_path / "a.jsonl", hot_job, some_events(4))
    whole = _recording(tmp_path / "a-2.jsonl", hot_job, some_events())
    other = _recording(tmp_path / "b.jsonl", hot_job, some_events(6), sid="b" * 16)
    rows = _exported(tmp_path / "out", part, whole, other)
    assert [row["recording"] for row in rows["sessions"]] == ["a-2.jsonl", "b.jsonl"]
    assert capsys.readouterr().err == (
        f"pacer: note: {part}: left out: the same session as {whole}, which is no shorter\n"
    )


def test_a_file_where_the_folder_should_be_is_told(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line with the cause."""
    recording = _recording(tmp_path / "a.jsonl", hot_job, some_events())
    assert main(["export", str(recording), "--parquet", str(recording)]) == 2
    assert capsys.readouterr().err == f"pacer: --parquet: {recording}: not a folder\n"


def test_without_pyarrow_it_says_what_to_install(
    hot_job: Job,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The extra is named; CSV needs none."""
    for module in ("pyarrow", "pyarrow.parquet"):
        monkeypatch.setitem(sys.modules, module, None)
    recording = _recording(tmp_path / "a.jsonl", hot_job, some_events())
    assert main(["export", str(recording), "--parquet", str(tmp_path / "out")]) == 2
    assert capsys.readouterr().err == (
        "pacer: Parquet needs the package pyarrow: pip install 'pacer[parquet]'\n"
    )
    assert main(["export", str(recording), "--csv", "-"]) == 0


# --- readings in -------------------------------------------------------------------


def _same(value: float) -> float:
    return value


def _table(path: Path, **columns: object) -> Path:
    pq.write_table(pa.table(columns), path)
    return path


def test_a_parquet_file_comes_in_as_the_same_csv_would(tmp_path: Path) -> None:
    """Columns by name, others not looked at; null is an open sensor."""
    path = _table(
        tmp_path / "a.parquet",
        temp_c=pa.array([200.5, None, 199.0]),
        note=["a", "b", "c"],
        t_s=pa.array([10, 12, 14]),
    )
    found = read(path, _same, _same)
    assert tuple(found.rows()) == ((10.0, 200.5), (12.0, None), (14.0, 199.0))
    assert (found.count, found.period_s) == (3, 2.0)


def test_timestamps_come_in_as_dates(tmp_path: Path) -> None:
    """An engine's timestamp with a zone is a moment; the first is zero."""
    moments = [datetime(2026, 1, 1, 8, 0, second, tzinfo=UTC) for second in (0, 2, 5)]
    path = _table(tmp_path / "a.parquet", time=pa.array(moments), temp=pa.array([90, 80, 70]))
    found = read(path, _same, _same)
    assert tuple(found.rows()) == ((0.0, 90.0), (2.0, 80.0), (5.0, 70.0))
    assert found.start == moments[0]


def test_timestamps_to_the_minute_make_a_recording_that_can_be_read(tmp_path: Path) -> None:
    """A row every 10 s: the median spacing is nothing, and no head may say that."""
    (tmp_path / "job.toml").write_text(HOT)
    moments = [datetime(2026, 1, 1, 8, i // 6, tzinfo=UTC) for i in range(30)]
    temps = [250.0 - i for i in range(30)]
    path = _table(tmp_path / "a.parquet", time=pa.array(moments), temp=pa.array(temps))
    out = tmp_path / "a.jsonl"
    job = ["--job", str(tmp_path / "job.toml"), "--phase", "cool-down", "--out", str(out)]
    assert main(["import", str(path), *job]) == 0
    recording = Recording(out)
    readings = [event.raw for event in recording.events() if isinstance(event, Reading)]
    assert readings == [(temp_c,) for temp_c in temps]
    assert (recording.head.period_s, recording.damage.told("a")) == (None, [])


def test_what_is_wrong_in_parquet_is_told_by_its_row(tmp_path: Path) -> None:
    """Rows have no line numbers; everything else is as for CSV."""
    nan = float("nan")
    path = _table(tmp_path / "a.parquet", t_s=[0.0, 1.0, 0.5, 9.0], temp_c=[nan, 90.0, 89.0, 3e3])
    with pytest.raises(UserInputError) as caught:
        read(path, _same, _same)
    assert str(caught.value).splitlines() == [
        f'{path}: row 1: temperature "nan", expected a number, or nothing for none',
        f"{path}: row 3: time 0.5 goes back, expected times in order",
        f"{path}: row 4: temperature 3000.0, expected -273.15 to 2000 degC, or nothing for none",
    ]


def test_other_columns_and_damaged_files_are_told_in_one_line(tmp_path: Path) -> None:
    """Names that are no times; a file cut anywhere; only the first four bytes."""
    path = _table(tmp_path / "a.parquet", seconds=[0.0], degrees=[20.0])
    with pytest.raises(UserInputError, match='columns "seconds,degrees", expected "t_s,temp_c"'):
        read(path, _same, _same)
    whole = _table(tmp_path / "b.parquet", t_s=[0.0], temp_c=[20.0]).read_bytes()
    for cut in range(4, len(whole), 40):
        path.write_bytes(whole[:cut])
        with pytest.raises(UserInputError) as caught:
            read(path, _same, _same)
        assert str(caught.value).startswith(f"{path}: not Parquet: ")
        assert str(caught.value).isprintable()


@pytest.mark.slow
def test_an_exported_cool_down_can_be_imported_again(hot_job: Job, tmp_path: Path) -> None:
    """readings.parquet has the columns an import looks for."""
    (tmp_path / "job.toml").write_text(HOT)
    events: list[AnyEvent] = [
        Reading(t_ms=60_000 * i, raw=(250.0 - i,), status="ok") for i in range(30)
    ]
    _exported(tmp_path / "out", _recording(tmp_path / "a.jsonl", hot_job, events))
    out = tmp_path / "b.jsonl"
    arguments = ["--job", str(tmp_path / "job.toml"), "--phase", "cool-down", "--out", str(out)]
    assert main(["import", str(tmp_path / "out/readings.parquet"), *arguments]) == 0
    again = [event for event in Recording(out).events() if isinstance(event, Reading)]
    assert [(event.t_ms, event.raw) for event in again] == [
        (event.t_ms, event.raw) for event in events if isinstance(event, Reading)
    ]
