"""`pacer plan` as a command: text, JSON, a page in a file, and jobs that have a stop."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from conftest import HOT

from pacer.cli.main import main

EXAMPLE = (Path(__file__).parents[1] / "configs" / "pump-foot-hot-sand.toml").read_text("utf-8")
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
    below = out.rpartition("\n\n")[2]
    assert below.startswith("  Only some of it: pacer plan JOB SECTION")
    assert '"at hand", cautions' in " ".join(below.split())


def headings(out: str) -> list[str]:
    """Return the headings of a printed plan: lines that aren't indented, but the title."""
    return [line for line in out.splitlines()[1:] if line and not line.startswith(" ")]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["joint"], ["The joint"]),
        (["beads", "JOINT"], ["The joint", "Beads"]),
        (["baeds"], ["Beads"]),
        (["at hand"], ["At hand before you begin"]),
        (["at-hand"], ["At hand before you begin"]),
        (["hand", "tacks"], ["The repair, tacks and clamps", "At hand before you begin"]),
        (["braze"], ["Weld, braze, stitch, bolt or replace?"]),
    ],
)
def test_only_some_sections_in_the_plan_s_order(
    words: list[str], found: list[str], job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By name, by a word of a heading, or by the nearest spelling; their sources behind them."""
    code, out, err = ran(capsys, job, *words)

    assert (code, err) == (0, "")
    assert [heading for heading in headings(out) if heading != "Sources"] == found


def test_the_sources_are_those_of_what_was_printed(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Numbered anew from 1; each number that stands in the text is in the list, and no other."""
    for words in ([], ["joint"], ["cautions", "filler"]):
        _, out, _ = ran(capsys, job, *words)
        text, _, listed = out.partition("\nSources\n")
        used = {int(n) for cited in re.findall(r"\[([\d,\s]+)\]", text) for n in cited.split(",")}

        numbers = [int(n) for n in re.findall(r"\[(\d+)\]", listed)]
        assert numbers == list(range(1, len(numbers) + 1))
        assert set(numbers) == used


def test_a_section_with_nothing_to_say_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An empty print would look like a fault."""
    path = tmp_path / "job.toml"
    path.write_text(EXAMPLE, encoding="utf-8")
    code, out, _ = ran(capsys, path, "decide", "joint")

    assert code == 0
    assert "To decide or mend first: nothing." in out.splitlines()


@pytest.mark.parametrize("word", ["frob", "", "x", "\u001b[2J"])
def test_an_unknown_section_is_one_line_with_the_names(
    word: str, job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before anything is printed; code 2."""
    code, out, err = ran(capsys, job, "joint", word)

    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    assert line.startswith('pacer: plan: section "')
    assert line.endswith(', "at hand", cautions, specification, record')
    assert "\x1b" not in line


def test_what_other_sections_say_again_is_printed_only_when_asked_for(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In the terminal only: the JSON has all, and the last line names them."""
    papers = ["Items of a welding procedure specification", "For the record only"]
    _, out, _ = ran(capsys, job)
    assert not set(papers) & set(headings(out))
    assert "specification and record are printed only so." in " ".join(out.split())

    _, out, _ = ran(capsys, job, "specification", "record")
    assert headings(out)[:2] == papers

    _, out, _ = ran(capsys, job, "--json")
    names = [section["name"] for section in json.loads(out)["page"]]
    assert names[-2:] == ["specification", "record"]


def test_sections_may_stand_behind_the_options(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Either order; a mistyped option is still one line."""
    printed = [
        ran(capsys, *args)
        for args in ((job, "joint", "beads", "--json"), (job, "--json", "joint", "beads"))
    ]
    assert printed[0] == printed[1]
    assert [section["name"] for section in json.loads(printed[0][1])["page"]] == ["joint", "beads"]

    for args in (("plan", job, "--josn", "joint"), ("run", job, job)):
        with pytest.raises(SystemExit):
            main(list(map(str, args)))
        (line,) = capsys.readouterr().err.splitlines()
        assert "unrecognized arguments" in line


def test_json_and_page_can_be_some_of_it_too(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The numbers of the plan stay; the page has no card that it wasn't asked for."""
    _, out, _ = ran(capsys, job, "joint", "--json")
    assert [section["name"] for section in json.loads(out)["page"]] == ["joint"]
    assert json.loads(out)["beads"] > 0

    _, html, _ = ran(capsys, job, "joint", "--html", "-")
    headings = [
        found.text for found in ElementTree.fromstring(html).iter() if found.tag[-2:] == "h2"
    ]
    assert headings == ["The joint", "Sources"]


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


@pytest.mark.parametrize("form", [(), ("--json",), ("--html", "-")])
def test_what_stops_a_plan_comes_before_what_is_wrong_with_the_file(
    form: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The first page, a line for each stop, then the other mistakes by their lines; code 2."""
    path = tmp_path / "bad.toml"
    path.write_text(STOPPED.replace('"3.2 kg"', '"3.2"'), encoding="utf-8")
    code, out, err = ran(capsys, path, *form)

    assert code == 2
    assert [line.split(": ")[2].split(" = ")[0] for line in err.splitlines()] == [
        "part.service",
        "part.iron",
        "part.mass",
    ]
    if form:
        assert out == ""
    else:
        assert out.splitlines()[:3] == [
            "Test bracket, hot",
            "",
            "Weld, braze, stitch, bolt or replace?",
        ]
        assert "  STOP: Hangs on it: lifting." in out
        assert "Forecasts" not in out


def test_a_file_that_new_left_at_its_stop_shows_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only what was answered stands in it: what is missing comes after the stop."""
    path = tmp_path / "left.toml"
    path.write_text('[job]\ntitle = "Boiler"\n[part]\nservice = "pressure"\n', encoding="utf-8")
    code, out, err = ran(capsys, path)

    assert code == 2
    assert "  STOP: Hangs on it: pressure." in out
    first, *rest = err.splitlines()
    assert first.startswith(f'pacer: {path}:4: part.service = "pressure": out of scope: ')
    assert ["missing" in line for line in rest] == [True] * 3


def test_white_iron_by_its_own_tests_stops_a_file_without_a_metal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Row W08; the tests say so, whatever else is missing."""
    path = tmp_path / "tests.toml"
    path.write_text('[part]\nmass = "3 kg"\n[tests]\nfile = "slides"\n', encoding="utf-8")
    code, out, err = ran(capsys, path)

    assert code == 2
    assert "  STOP: Metal:" in out
    first, *rest = err.splitlines()
    assert "part.metal: under [tests] " in first
    assert [line.split(": ")[2] for line in rest] == ["job.method", "part.metal"]


def test_without_a_stop_a_faulty_file_has_no_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Uneven heat stops the hot method only, and the method is not known here."""
    path = tmp_path / "bad.toml"
    path.write_text('[part]\nservice = "none"\n[heating]\neven = "no"\n', encoding="utf-8")
    code, out, err = ran(capsys, path)

    assert (code, out) == (2, "")
    assert all("missing" in line for line in err.splitlines())


def test_the_page_goes_into_a_file_again_and_again(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A changed job's page replaces the old one; nothing is left beside it."""
    page = tmp_path / "out" / "plan.html"
    page.parent.mkdir()
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


@pytest.mark.parametrize("kept", ["job.toml", "recording.jsonl", "empty", "index.html"])
def test_no_file_but_a_page_is_written_over(
    kept: str, job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither the job file nor a recording is lost by a slip of the hand."""
    path = tmp_path / kept
    texts = {
        "recording.jsonl": '{"q":0,"k":"head"}\n',
        "empty": "",
        "index.html": "<!DOCTYPE html>\n<html><head><title>Our shop</title></head></html>\n",
    }
    if kept in texts:
        path.write_text(texts[kept], encoding="utf-8")
    before = path.read_bytes()
    code, out, err = ran(capsys, job, "--html", path)

    assert (code, out) == (2, "")
    assert err == f"pacer: --html: {path}: exists and is no page of a plan; write another name\n"
    assert path.read_bytes() == before


def test_no_name_is_one_line(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As a shell gives a variable that was never set."""
    code, out, err = ran(capsys, job, "--html", "")

    assert (code, out) == (2, "")
    assert err == 'pacer: --html "": expected a file to write, or - for standard output\n'


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
