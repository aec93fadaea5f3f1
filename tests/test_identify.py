"""`pacer identify`: answers in, a page or JSON out, a job file written only where agreed."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from commands import environment
from conftest import HOT

from pacer.cli.main import main

GREY = """\
fracture = "dark grey, porous"
chip = "small, crumbling"
file = "cuts easily"
ring = "dull thud"
rub = "dark mark"
torch = "no sparks"
"""
WHITE = 'file = "slides"\nfracture = "silvery white, silky"\nrub = "no mark"\n'

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command in a folder of its own; code, output and errors."""
    monkeypatch.chdir(tmp_path)

    def command(*args: str) -> tuple[int, str, str]:
        code = main(["identify", *args])
        told = capsys.readouterr()
        return code, told.out, told.err

    return command


def _terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal on both sides; its screen is not opened."""
    for stream in (sys.stdin, sys.stdout):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)


def test_json_holds_every_metal_with_its_evidence(run: Run) -> None:
    """The keys of the guide's page, nothing else on standard output."""
    Path("a.toml").write_text(GREY)
    code, out, err = run("--answers", "a.toml", "--json")
    told = json.loads(out)

    assert (code, err) == (0, "")
    assert list(told) == [
        "answers",
        "left",
        "metal",
        "standings",
        "contradictions",
        "do_not_weld",
        "next_test",
    ]
    assert told["answers"]["ring"] == "dull thud"
    assert told["left"] == ["grey iron"]
    assert told["do_not_weld"] is False
    assert told["next_test"] is None
    ductile = told["standings"][1]
    assert (ductile["metal"], ductile["state"]) == ("ductile iron", "ruled out")
    assert [one["test"] for one in ductile["against"]] == ["chip", "ring"]
    assert set(ductile["against"][0]) == {"test", "answer", "look", "source", "status"}
    assert "foundry trade page" in ductile["against"][0]["source"]


def test_white_iron_answers_no(run: Run) -> None:
    """Row W08: exit code 1, the first line says not to weld."""
    Path("a.toml").write_text(WHITE)
    code, out, _ = run("--answers", "a.toml")

    assert code == 1
    assert out.splitlines()[0].startswith("DO NOT WELD: white iron")
    assert "W08" in out
    assert json.loads(run("--answers", "a.toml", "--json")[1])["do_not_weld"] is True


def test_the_page_fits_a_narrow_terminal_and_names_each_source(run: Run) -> None:
    """80 columns, evidence with source and status, no verdict on a repair."""
    Path("a.toml").write_text(GREY)
    _, out, _ = run("--answers", "a.toml")

    assert max(len(line) for line in out.splitlines()) <= 80
    assert "One metal is left: grey iron." in out
    assert "a foundry trade page" in out
    assert "seen in a secondary page" in out
    assert "from memory, confidence" in out
    assert "laboratory" in out


def test_contradictory_answers_are_shown_as_such(run: Run) -> None:
    """No metal is left, so none is named and none is written."""
    mixed = ["ring=dull thud", "rub=dark mark", "chip=long curl", "torch=sparks, sets at once"]
    mixed += ["file_after_tack=hard everywhere"]
    code, out, _ = run("j.toml", *(f"--set={one}" for one in mixed), "--yes")

    assert code == 0
    assert "These answers leave no metal: they contradict each other." in out
    assert 'metal = "unknown"' in Path("j.toml").read_text()


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--answers", "none.toml"), "none.toml: no such file"),
        (("--set", "ring"), '--set "ring": expected TEST=ANSWER'),
        (("--set", "ring=bell"), '--set ring="bell": expected one of "dull thud"'),
        (("--metal", "tin"), '--metal "tin": expected one of grey iron'),
        ((".",), ".: a folder; expected a job file"),
        (("bad.toml",), 'bad.toml:2: tests.ring = "bell": expected one of'),
        (("j.toml\0", "--set", "file=slides", "--yes"), "can't be written: embedded null"),
        (("no.toml/j.toml", "--set", "file=slides", "--yes"), "no.toml/j.toml: can't be written: "),
    ],
)
def test_a_mistake_is_one_line_and_exit_2(run: Run, args: tuple[str, ...], said: str) -> None:
    """Contract, exit codes; nothing is written."""
    Path("bad.toml").write_text('[tests]\nring = "bell"\n')
    Path("no.toml").write_text("")
    code, out, err = run(*args)

    assert code == 2
    assert said in err
    assert len(err.splitlines()) == 1
    assert "Traceback" not in out + err
    assert Path("bad.toml").read_text() == '[tests]\nring = "bell"\n'


def test_without_a_terminal_a_job_is_written_only_with_yes(run: Run) -> None:
    """And read as answers again by the next call, which adds to them."""
    Path("j.toml").write_text(HOT)
    code, out, _ = run("j.toml", "--set", "ring=dull thud")
    assert (code, Path("j.toml").read_text()) == (0, HOT)
    assert "nothing written; --yes" in out

    run("j.toml", "--set", "ring=dull thud", "--yes")
    run("j.toml", "--set", "chip=small, crumbling", "--yes")
    told = json.loads(run("j.toml", "--json")[1])
    assert told["answers"] == {"chip": "small, crumbling", "ring": "dull thud"}


def test_json_writes_only_with_yes_and_talks_on_the_other_channel(run: Run) -> None:
    """Standard output stays JSON."""
    code, out, err = run("j.toml", "--set", "ring=dull thud", "--json")
    assert (code, Path("j.toml").exists()) == (0, False)
    assert json.loads(out)
    assert "nothing written" in err

    _, out, err = run("j.toml", "--set", "ring=dull thud", "--json", "--yes")
    assert json.loads(out)
    assert "written under [tests]" in err
    assert "pacer new j.toml" in err


def test_a_metal_of_the_job_stays_unless_one_is_chosen(run: Run) -> None:
    """Never silently changed; white iron chosen is a no."""
    Path("j.toml").write_text(HOT.replace("grey iron", "ductile iron"))
    Path("a.toml").write_text(GREY)
    _, out, _ = run("j.toml", "--answers", "a.toml", "--yes")
    assert 'part.metal stays "ductile iron"; shop tests leave: grey iron.' in out
    assert 'metal = "ductile iron"' in Path("j.toml").read_text()

    code, out, _ = run("j.toml", "--answers", "a.toml", "--yes", "--metal", "grey iron")
    assert code == 0
    assert 'metal = "grey iron"' in Path("j.toml").read_text()
    assert run("j.toml", "--answers", "a.toml", "--metal", "white iron")[0] == 1


@pytest.mark.parametrize(("typed", "writes"), [("y", True), ("", False), (None, False)])
def test_after_the_screen_it_is_asked_before_the_job_is_written(
    run: Run, monkeypatch: pytest.MonkeyPatch, typed: str | None, writes: bool
) -> None:
    """Enter is no, Ctrl+D too; the screen is given what the file had."""
    seen = []

    def screen(answers: dict[str, str], title: str, _settings: object) -> dict[str, str]:
        seen.append((dict(answers), title))
        return answers | {"chip": "small, crumbling"}

    def typing(_question: str) -> str:
        if typed is None:
            raise EOFError
        return typed

    before = f'{HOT}[tests]\nring = "dull thud"\n'
    Path("j.toml").write_text(before)
    monkeypatch.setattr("pacer.screen.identify.app.run_identify", screen)
    monkeypatch.setattr("builtins.input", typing)
    _terminal(monkeypatch)
    code, out, _ = run("j.toml")

    assert code == 0
    assert seen == [({"ring": "dull thud"}, "j.toml")]
    assert "ductile iron: ruled out" in out
    after = Path("j.toml").read_text()
    assert (after != before) is writes
    assert ('chip = "small, crumbling"' in after) is writes


def test_a_screen_left_without_keeping_changes_nothing(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not even what was answered before."""
    Path("j.toml").write_text(HOT)
    monkeypatch.setattr("pacer.screen.identify.app.run_identify", lambda *_: None)
    _terminal(monkeypatch)
    code, out, _ = run("j.toml", "--yes")

    assert (code, out) == (0, "left without keeping the answers; nothing written\n")
    assert Path("j.toml").read_text() == HOT


@pytest.mark.slow
def test_a_program_loads_no_screen(tmp_path: Path) -> None:
    """As another program runs it: JSON alone, and neither textual nor serial for it."""
    (tmp_path / "a.toml").write_text(GREY)
    watched = ["-X", "importtime", "-m", "pacer", "identify", "--answers", "a.toml", "--json"]
    done = subprocess.run(
        [sys.executable, *watched],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    loaded = {line.rpartition("|")[2].strip().partition(".")[0] for line in done.stderr.split("\n")}

    assert json.loads(done.stdout)["metal"] == "grey iron"
    assert "pacer" in loaded
    assert not loaded & {"textual", "rich", "serial", "asyncio", "pint", "numpy"}
