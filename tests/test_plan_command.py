"""`pacer plan` as a command: text, JSON, a page in a file, and jobs that have a stop."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from conftest import HOT

from pacer.cli.main import main

STOPPED = HOT.replace('wall = "12 mm"', 'wall = "12 mm"\nservice = "lifting"\niron = "burnt"')


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job file of the tests."""
    path = tmp_path / "job.toml"
    path.write_text(HOT, encoding="utf-8")
    return path


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """A job file with two stops."""
    path = tmp_path / "stopped.toml"
    path.write_text(STOPPED, encoding="utf-8")
    return path


def ran(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    """Run the command; return its code, output and errors."""
    code = main(["plan", *map(str, args)])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_text_begins_with_the_title_and_whether_to_weld_at_all(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Then the whole plan."""
    code, out, err = ran(capsys, job)

    lines = out.splitlines()
    assert (code, err) == (0, "")
    assert lines[:3] == [
        "Test bracket, hot: hot method, grey iron",
        "",
        "Weld, braze, stitch, bolt or replace?",
    ]
    assert "Forecasts" in lines


def test_json_has_the_old_keys_and_the_page(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One object on one line; the page is a list of sections."""
    code, out, _ = ran(capsys, job, "--json")
    (line,) = out.splitlines()
    answer = json.loads(line)

    assert code == 0
    assert answer["beads"] > 0
    names = [section["name"] for section in answer["page"]]
    assert names[0] == "gate"
    assert {"part", "temperatures", "specification", "cautions"} <= set(names)
    assert {line["kind"] for section in answer["page"] for line in section["lines"]} == {
        "entry",
        "step",
        "drawing",
    }


@pytest.mark.parametrize("form", [(), ("--json",), ("--html", "-"), ("--html", "out.html")])
def test_a_job_with_stops_has_its_first_page_and_no_plan(
    form: tuple[str, ...],
    stopped: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The page tells whom to ask; each stop is one line on standard error; code 2."""
    monkeypatch.chdir(tmp_path)
    code, out, err = ran(capsys, stopped, *form)

    assert code == 2
    lines = err.splitlines()
    assert len(lines) == 2
    assert 'part.service = "lifting"' in err
    assert 'part.iron = "burnt"' in err
    assert all("; ask " in line and "instead: " in line for line in lines)
    assert not (tmp_path / "out.html").exists()
    if form:
        assert out == ""
    else:
        told = [line for line in out.splitlines() if line.startswith("  STOP: ")]
        assert any("burnt" in line for line in told)
        assert any("lifting" in line for line in told)
        assert "Weld, braze, stitch, bolt or replace?" in out
        assert "Forecasts" not in out


def test_other_mistakes_are_told_before_any_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A job that can't be read has no first page either."""
    path = tmp_path / "bad.toml"
    path.write_text(STOPPED.replace('"3.2 kg"', '"3.2"'), encoding="utf-8")
    code, out, err = ran(capsys, path)

    assert (code, out) == (2, "")
    assert 'part.mass = "3.2"' in err


def test_the_page_goes_into_a_file_again_and_again(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A changed job's page replaces the old one; nothing is left beside it."""
    page = tmp_path / "out" / "plan.html"
    assert ran(capsys, job, "--html", page) == (0, f"{page}: the plan, to print\n", "")
    first = page.read_text(encoding="utf-8")
    job.write_text(HOT.replace("Test bracket", "Another bracket"), encoding="utf-8")
    assert ran(capsys, job, "--html", page)[0] == 0

    assert "Test bracket" in first
    assert "Another bracket" in page.read_text(encoding="utf-8")
    assert list(page.parent.iterdir()) == [page]


def test_the_page_goes_to_standard_output(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing but the page."""
    code, out, _ = ran(capsys, job, "--html", "-")

    assert code == 0
    assert ElementTree.fromstring(out).tag.endswith("html")


@pytest.mark.parametrize("kept", ["job.toml", "recording.jsonl", "empty"])
def test_no_file_but_a_page_is_written_over(
    kept: str, job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither the job file nor a recording is lost by a slip of the hand."""
    path = tmp_path / kept
    if kept != "job.toml":
        path.write_text("" if kept == "empty" else '{"q":0,"k":"head"}\n', encoding="utf-8")
    before = path.read_bytes()
    code, out, err = ran(capsys, job, "--html", path)

    assert (code, out) == (2, "")
    assert err == f"pacer: --html: {path}: exists and is no page of a plan; write another name\n"
    assert path.read_bytes() == before


def test_a_folder_is_no_file(job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line with what to write."""
    code, out, err = ran(capsys, job, "--html", tmp_path)

    assert (code, out) == (2, "")
    assert err == f'pacer: --html: {tmp_path}: a folder; write "{tmp_path}/plan.html"\n'


def test_a_place_that_can_t_be_written_is_one_line(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file taken for a folder; no traceback."""
    code, out, err = ran(capsys, job, "--html", job / "plan.html")

    assert (code, out) == (2, "")
    assert err.startswith(f"pacer: --html: {job}/plan.html: ")
    assert len(err.splitlines()) == 1
