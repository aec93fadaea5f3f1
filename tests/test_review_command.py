"""`pacer review`: of several recordings, by other limits, as a page; of one being written."""

from __future__ import annotations

import json
import os
from pathlib import Path

import msgspec
import pytest
from commands import here
from conftest import COLD, HOT
from fakes import QuietDisk
from written import head_of, lines_of, some_events, welded, write_lines

from pacer.cli.main import main
from pacer.cli.reviewing import reading
from pacer.job.job import Job
from pacer.recording.writing.writer import Log


@pytest.mark.parametrize("as_json", [(), ("--json",)])
def test_one_that_cannot_be_read_hides_no_other(
    as_json: tuple[str, ...], hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A and C in the order given, what is wrong with the others in a line each, exit 2."""
    for name in ("a", "c"):
        write_lines(tmp_path / f"{name}.jsonl", lines_of(head_of(hot_job), some_events()))
    (tmp_path / "bad.jsonl").write_bytes(b"t_s,temp_c\n0,20\n")
    names = ["a.jsonl", "bad.jsonl", "none.jsonl", "c.jsonl"]
    assert main(["review", *(str(tmp_path / name) for name in names), *as_json]) == 2
    said = capsys.readouterr()
    assert 0 <= said.out.index("a.jsonl") < said.out.index("c.jsonl")
    wrong = [line.removeprefix(f"pacer: {tmp_path}/") for line in said.err.splitlines()]
    assert wrong == [
        'pacer: bad.jsonl: line 1: found "t_s,temp_c", expected the head of a pacer recording',
        "none.jsonl: cannot be opened: No such file or directory",
    ]
    assert main(["review", *(str(tmp_path / name) for name in ("a.jsonl", "c.jsonl"))]) == 0


@pytest.mark.skipif(not Path("/proc/locks").exists(), reason="no list of locks here")
def test_one_that_is_being_written_is_not_called_interrupted(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Closed without an end it is; while somebody writes it, it says who, and disturbs nobody."""
    path = tmp_path / "a.jsonl"
    log = Log(path, head_of(hot_job), disk=QuietDisk())
    log.append_all(some_events()[:-1], 0.0)
    main(["review", str(path)])
    assert f"last phase prepare; being written (process {os.getpid()})\n" in capsys.readouterr().out
    log.close()
    main(["review", str(path)])
    assert "last phase prepare; interrupted, not closed\n" in capsys.readouterr().out


@pytest.fixture
def two(hot_job: Job, tmp_path: Path) -> tuple[Path, Path]:
    """A bead welded, and nothing but readings."""
    welded_ = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), welded()))
    return welded_, write_lines(tmp_path / "b.jsonl", lines_of(head_of(hot_job), some_events()))


def test_two_are_compared_and_the_page_of_one_is_its_own(two: tuple[Path, Path]) -> None:
    """As text the comparison alone; of one, and of the one that is left, its own page."""
    both = here("review", *two).fine()
    assert both.out.startswith("2 recordings side by side, aligned at the start\n")
    assert "phase        from" not in both.out
    own = here("review", two[0]).fine()
    assert "side by side" not in own.out
    left = here("review", two[0], two[0].with_name("none.jsonl"))
    assert (left.code, left.out) == (2, own.out)


def test_as_json_each_has_its_line_as_ever_and_the_comparison_is_the_last(
    two: tuple[Path, Path],
) -> None:
    """One object a recording, a line each, the very ones that they have alone."""
    lines = here("review", *two, "--json").fine().out.splitlines()
    assert len(lines) == 3
    assert lines[:2] == [here("review", path, "--json").fine().out.rstrip("\n") for path in two]
    (compared,) = json.loads(lines[2]).values()
    assert [of["recording"] for of in compared["recordings"]] == ["a.jsonl", "b.jsonl"]
    assert compared["measured"]["beads_laid"] == [1, 0]
    assert compared["beads"][0]["of"][0]["arc_s"] == 10.0


def test_by_shorter_beads_the_arc_was_too_long(two: tuple[Path, Path]) -> None:
    """10 s of arc are what 25 mm need at 150 mm/min, and 13 mm need 5.2 s."""
    page = here("review", two[0], "--set", "bead.length=13").fine().out
    assert "bead.length    25 mm" in page
    assert "findings that come" in page
    assert "bead too long: bead 1" in page.partition("findings that come")[2]
    whole = json.loads(here("review", two[0], "--json", "--set", "bead.length=13 mm").fine().out)
    assert "bead too long" in [finding["name"] for finding in whole["what_if"]["comes"]]
    alone = json.loads(here("review", two[0], "--json").fine().out)
    assert {name: whole[name] for name in alone} == alone


def test_another_job_file_judges_it_and_keeps_its_sensor(
    two: tuple[Path, Path], tmp_path: Path
) -> None:
    """What differs is listed; where the readings came from is the recording's business."""
    (tmp_path / "other.toml").write_text(
        HOT.replace('ceiling = "300 degC"', 'ceiling = "280 degC"')
        + '[sensor]\nurl = "practice:"\ndistance = "99 mm"\n'
    )
    found = here("review", two[0], "--json", "--with", tmp_path / "other.toml").fine().out
    limits = json.loads(found)["what_if"]["limits"]
    assert [(of["key"], of["then"], of["now"]) for of in limits] == [
        ("band.ceiling", "300 degC", "280 degC")
    ]


WRONG = [
    (("--set", "bead.length"), 'expected KEY=VALUE, such as --set bead.length="25 mm"'),
    (("--set", "band"), 'expected KEY=VALUE, such as --set bead.length="25 mm"'),
    (("--set", "cooldown.cover"), 'such as --set cooldown.cover="dry sand"'),
    (("--set", "bead.lenght=20 mm"), "unknown key; did you mean bead.length?"),
    (("--set", "bead.length=20 kg"), '--set "bead.length=20 kg": kg is for a mass'),
    (("--set", "bead.length=20 mm", "--set", "bead.length=21 mm"), "is given twice"),
    (("--set", "band.floor=290 degC"), "--set band.floor: the floor must be below the preheat"),
    (("--set", "job.method=cold"), "recorded by the hot method, and cannot be judged by the cold"),
    (("--with", "COLD"), "recorded by the hot method, and cannot be judged by the cold"),
    (("--with", "none.toml"), "none.toml: no such file"),
    (("--with", ""), '--with "": expected a job file'),
    (("OTHER", "--set", "band.floor=210 degC"), "--set: found 2 recordings, expected one"),
    (("--set", "band.floor=210 degC", "--html", "x.html"), "leave --set out"),
    (("--with", "none.toml", "--html", "x.html"), "leave --with out"),
    (("OTHER", "--tables"), "--tables: shows one recording by its own limits"),
    (("--set", "band.floor=210 degC", "--tables"), "--tables: shows one recording"),
    (("--html", "."), "a folder"),
    (("--html", ""), "expected a file to write"),
    (("--html", "mine.html"), "exists and is no page of a review"),
]


@pytest.mark.parametrize(("options", "said"), WRONG, ids=lambda given: ascii(given)[:40])
def test_a_mistake_is_one_line(
    options: tuple[str, ...],
    said: str,
    two: tuple[Path, Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Exit 2, nothing printed, nothing written."""
    monkeypatch.chdir(tmp_path)
    Path("cold.toml").write_text(COLD)
    Path("mine.html").write_text("<p>my own</p>")
    files = {"COLD": "cold.toml", "OTHER": str(two[1])}
    done = here("review", two[0], *(files.get(option, option) for option in options))
    assert (done.code, done.out) == (2, "")
    (line,) = done.err.splitlines()
    assert said in line
    assert Path("mine.html").read_text() == "<p>my own</p>"
    assert not Path("x.html").exists()


def test_a_recording_of_no_name_is_told_and_hides_no_other(two: tuple[Path, Path]) -> None:
    """Without a name there is no folder to speak of."""
    told = 'pacer: "": expected the name of a recording\n'
    for options in ((), ("--set", "bead.length=13"), ("--html", "-")):
        alone = here("review", "", *options)
        assert (alone.code, alone.out, alone.err) == (2, "", told)
    both = here("review", "", two[0])
    assert (both.code, both.out) == (2, here("review", two[0]).fine().out)


@pytest.mark.parametrize("option", [("--set", "foo=1"), ("--with", "none.toml")])
def test_a_wrong_limit_is_told_before_the_recording_is_folded(
    two: tuple[Path, Path], option: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """12 h of record take a quarter of a minute."""
    folded: list[object] = []
    monkeypatch.setattr(reading, "table", lambda *given: folded.append(given))
    assert here("review", two[0], *option).code == 2
    assert not folded


def test_the_page_of_a_job_that_no_plan_can_be_of_does_without_it(
    hot_job: Job, tmp_path: Path
) -> None:
    """A foreign head with a ceiling below the floor: the rest of the page is there."""
    foreign = msgspec.structs.replace(
        hot_job, band=msgspec.structs.replace(hot_job.band, ceiling_c=-100.0)
    )
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(foreign), some_events()))
    page = here("review", path, "--html", "-").fine().out
    assert "The plan can&#x27;t be worked out from this recording." in page
    assert page.index('id="findings"') < page.index("The plan can")
    sound = write_lines(tmp_path / "b.jsonl", lines_of(head_of(hot_job), some_events()))
    assert "worked out from this" not in here("review", sound, "--html", "-").fine().out


def test_a_page_goes_to_standard_output_or_over_an_older_page_of_ours(
    two: tuple[Path, Path], tmp_path: Path
) -> None:
    """The same page both ways, of one recording and of two."""
    for recordings in (two[:1], two):
        path = tmp_path / "page.html"
        printed = here("review", *recordings, "--html", "-").fine().out
        assert printed.startswith("<!DOCTYPE html>")
        for _ in range(2):
            said = here("review", *recordings, "--html", path).fine().out
            assert said == f"{path}: the review, to print\n"
        assert path.read_text(encoding="utf-8") == printed
