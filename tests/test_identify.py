"""`pacer identify`: answers in, a page or JSON out, a job file written only where agreed."""

from __future__ import annotations

import json
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from commands import environment
from conftest import HOT
from terminal_answers import answering, at_a_terminal

from pacer.cli.main import main
from pacer.job.metal.answers import answer_given
from pacer.settings import home

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


def test_the_page_has_the_users_units_and_json_keeps_the_tables(run: Run) -> None:
    """Row W05: 250 °C is 250 x 1.8 + 32 = 482 °F; programs read °C whatever the settings."""
    ductile = ["ring=clear, long", "chip=chips and strips", "fracture=fine, black-grey"]
    ductile += ["surface=very dull grey, sandy"]
    answers = [f"--set={one}" for one in ductile]
    metric, as_json = run(*answers)[1], run(*answers, "--json")[1]
    (home() / "settings.toml").write_text('units = "us"\n')
    us = run(*answers)[1]

    assert "at least 250 °C" in metric
    assert "at least 482 °F" in us
    assert "°C" not in us
    assert run(*answers, "--json")[1] == as_json


def test_contradictory_answers_are_shown_as_such(run: Run) -> None:
    """No metal is left, so none is named and none is written."""
    mixed = ["ring=dull thud", "rub=dark mark", "chip=long curl", "torch=sparks, sets at once"]
    mixed += ["surface=rolling or forging marks"]
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
        (("--metal", "grey iron"), '--metal "grey iron": no job file to write it into; expected'),
        (("--answers", ""), '--answers "": expected the name of a file'),
        (("", "--set", "file=slides", "--yes"), 'JOB "": expected the name of a file'),
        (("--answers", "twice.toml"), 'twice.toml:1: ring = "dull thud": given twice, here and'),
        (("--answers", "above.toml"), 'above.toml:1: chip = "long curl": expected under [tests]'),
        (("date.toml",), "date.toml:2: tests.ring = 1979-05-27: expected one of"),
        (("long.toml",), "long.toml:2: not TOML: a number of far too many digits"),
        (("hex.toml",), "hex.toml:2: tests.ring = a very long number: expected one of"),
        ((".",), ".: a folder; expected a job file"),
        (("bad.toml",), 'bad.toml:2: tests.ring = "bell": expected one of'),
        (("j.toml\0", "--set", "file=slides", "--yes"), "can't be written: embedded null"),
        (
            ("no.toml/j.toml", "--set", "file=slides", "--yes"),
            "no.toml/j.toml: no such folder; make it first",
        ),
    ],
)
def test_a_mistake_is_one_line_and_exit_2(run: Run, args: tuple[str, ...], said: str) -> None:
    """Contract, exit codes; nothing is written."""
    Path("bad.toml").write_text('[tests]\nring = "bell"\n')
    Path("no.toml").write_text("")
    Path("twice.toml").write_text('ring = "dull thud"\n[tests]\nring = "clear, long"\n')
    Path("above.toml").write_text('chip = "long curl"\n[tests]\nring = "clear, long"\n')
    Path("date.toml").write_text("[tests]\nring = 1979-05-27\n")
    Path("long.toml").write_text(f"[tests]\nring = {'9' * 10_000}\n")
    Path("hex.toml").write_text(f"[tests]\nring = 0x{'f' * 10_000}\n")
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

    code, out, err = run("j.toml", "--answers", "a.toml", "--yes", "--metal", "grey iron")
    assert "stays" not in out + err
    assert code == 0
    assert 'metal = "grey iron"' in Path("j.toml").read_text()
    assert run("j.toml", "--answers", "a.toml", "--metal", "white iron")[0] == 1


def test_a_metal_that_the_tests_no_longer_settle_is_unknown_again(run: Run) -> None:
    """Told in a line; as is a metal of the welder's that stays."""
    Path("a.toml").write_text(GREY)
    run("j.toml", "--answers", "a.toml", "--yes")
    assert 'metal = "grey iron"' in Path("j.toml").read_text()

    undone = [f"--set={name}=can't tell" for name in ("chip", "ring", "torch", "fracture")]
    code, out, _ = run("j.toml", *undone, "--yes")
    assert code == 0
    assert 'j.toml: part.metal: "unknown", no more "grey iron" as by earlier tests' in out
    assert 'metal = "unknown"' in Path("j.toml").read_text()


def test_answers_taken_back_on_the_screen_are_taken_out_of_the_file(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All of them: nothing is left of what they said."""
    Path("j.toml").write_text(f'{HOT}[tests]\nring = "dull thud"\n')
    monkeypatch.setattr("pacer.screen.identify.app.run_identify", lambda *_: {})
    at_a_terminal(monkeypatch)
    run("j.toml", "--yes")

    assert "ring" not in Path("j.toml").read_text()


def test_a_file_of_another_system_stays_one(run: Run) -> None:
    """Its byte order mark and its line ends."""
    Path("j.toml").write_bytes(b"\xef\xbb\xbf" + HOT.replace("\n", "\r\n").encode())
    run("j.toml", "--set", "ring=dull thud", "--yes")
    made = Path("j.toml").read_bytes()

    assert made.startswith(b"\xef\xbb\xbf")
    assert made.count(b"\xef\xbb\xbf") == 1
    assert made.count(b"\n") == made.count(b"\r\n") > HOT.count("\n")


def test_what_comes_next_can_be_typed_as_it_stands(run: Run) -> None:
    """A name with a blank, quoted for a shell."""
    _, out, _ = run("my job.toml", "--set", "ring=dull thud", "--yes")

    assert "next: pacer new 'my job.toml'   asks" in out


def test_answers_kept_on_the_screen_are_written_without_another_question(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To keep them was the press; the screen is given what the file had."""
    seen = []

    def screen(answers: dict[str, str], title: str, _settings: object) -> dict[str, str]:
        seen.append((dict(answers), title))
        return answers | {"chip": "small, crumbling"}

    Path("j.toml").write_text(f'{HOT}[tests]\nring = "dull thud"\n')
    monkeypatch.setattr("pacer.screen.identify.app.run_identify", screen)
    left = answering(monkeypatch, [""])
    at_a_terminal(monkeypatch)
    code, out, _ = run("j.toml")

    assert code == 0
    assert left == [""]
    assert seen == [({"ring": "dull thud"}, "j.toml")]
    assert "ductile iron: ruled out" in out
    assert 'chip = "small, crumbling"' in Path("j.toml").read_text()


@pytest.mark.parametrize(("typed", "writes"), [(["y"], True), ([""], False), ([], False)])
def test_answers_by_option_are_asked_about_before_the_job_is_written(
    run: Run, monkeypatch: pytest.MonkeyPatch, typed: list[str], writes: bool
) -> None:
    """Enter is no, Ctrl+D too: the command that gave them stands in the shell."""
    Path("j.toml").write_text(HOT)
    answering(monkeypatch, typed)
    at_a_terminal(monkeypatch)
    code, _, _ = run("j.toml", "--set", "ring=dull thud")

    assert code == 0
    assert ('ring = "dull thud"' in Path("j.toml").read_text()) is writes


def test_what_the_screen_kept_and_no_file_takes_is_printed_as_a_command(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a job file, and with one that was spoilt meanwhile; the command reads back."""
    kept = {"ring": "dull thud", "chip": "small, crumbling"}

    def screen(_answers: object, title: str, _settings: object) -> dict[str, str]:
        if title:
            Path(title).write_text("= nothing\n")
        return kept

    monkeypatch.setattr("pacer.screen.identify.app.run_identify", screen)
    at_a_terminal(monkeypatch)
    Path("j.toml").write_text(HOT)
    for job, named, exit_code in ((), "JOB", 0), (("j.toml",), "j.toml", 2):
        code, out, _ = run(*job)
        _, line = out[out.index("Not written.") :].splitlines()

        assert code == exit_code
        words = shlex.split(line)
        assert words[:3] == ["pacer", "identify", named]
        assert dict(answer_given(word.removeprefix("--set=")) for word in words[4:]) == kept


def test_a_screen_left_without_keeping_changes_nothing(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not even what was answered before."""
    Path("j.toml").write_text(HOT)
    monkeypatch.setattr("pacer.screen.identify.app.run_identify", lambda *_: None)
    at_a_terminal(monkeypatch)
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
