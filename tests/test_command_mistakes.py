"""What a user gets wrong: lines on stderr, exit 2, never a traceback (contract, exit codes)."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from commands import environment, pacer
from conftest import HOT
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.job.file.read import job_from_text


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in: a job, a wrong job, a recording, readings, a text, a FIFO."""
    monkeypatch.chdir(tmp_path)
    Path("job.toml").write_text(HOT)
    Path("wrong.toml").write_text(HOT.replace('mass = "3.2 kg"', 'mas = "3.2 stones"'))
    Path("text").write_text("not a recording \x1b[2J\n")
    Path("ok.csv").write_text("t_s,temp_c\n0,90\n10,89\n")
    Path("bad.csv").write_text("t_s,temp_c\n0,hot\n-5,89\n")
    write_lines(Path("a.jsonl"), lines_of(head_of(job_from_text(HOT, "x")), some_events()))
    os.mkfifo("fifo")
    return tmp_path


IMPORT = ("import", "ok.csv", "--job", "job.toml", "--phase", "cool-down", "--out", "new.jsonl")

WRONG: dict[tuple[str, ...], str] = {
    ("fly",): "invalid choice: 'fly'",
    ("--fast",): "unrecognized arguments: --fast",
    ("run",): "run: name a job file, or --resume and the recording to go on with",
    ("run", "none.toml", "--no-screen"): "none.toml: ",
    ("run", "wrong.toml", "--no-screen"): "part.mas",
    ("run", ".", "--no-screen"): ".: ",
    ("run", "a.jsonl", "--no-screen"): "a.jsonl:1: not TOML",
    ("run", "fifo", "--no-screen"): "fifo: ",
    ("run", "job.toml", "--no-screen", "--sensor", "seriel:///dev/x"): "expected serial:",
    ("run", "job.toml", "--no-screen", "--sensor", "serial:///dev/none"): "not there",
    ("run", "job.toml", "--no-screen", "--sensor", "socket://127.0.0.1:1"): "connection refused",
    ("run", "job.toml", "--no-screen", "--sensor", "file:none.txt"): "no such file",
    ("run", "job.toml", "--no-screen", "--sensor", "file:ok.csv?period=-1"): "period",
    ("run", "job.toml", "--no-screen", "--sensor", "file:ok.csv?tme=first"): "tme",
    ("run", "job.toml", "--no-screen", "--sensor", "file:ok.csv", "--out", "a.jsonl"): "exists",
    ("run", "job.toml", "--no-screen", "--sensor", "file:ok.csv", "--out", "text/x"): "cannot be",
    ("run", "job.toml", "--no-screen", "--sensor", "file:ok.csv", "--out", "x" * 300): "cannot be",
    ("run", "job.toml", "--no-screen", "--resume"): "--resume goes with --out",
    ("run", "job.toml", "--no-screen", "--resume", "--out", "none.jsonl"): "none.jsonl: cannot be",
    ("run", "job.toml", "--no-screen", "--resume", "--out", "text"): "expected the head",
    ("run", "job.toml", "--no-screen", "--resume", "--out", "fifo"): "not a regular file",
    ("practice", "--no-screen", "--speed", "fast"): '--speed "fast"',
    ("practice", "--no-screen", "--seed", "x"): "--seed",
    ("practice", "none.toml", "--no-screen"): "none.toml: ",
    ("cool", "none.jsonl", "--json"): "none.jsonl: cannot be opened",
    ("cool", "a.jsonl", "--json"): "no cool-down in this recording",
    ("cool", "a.jsonl", "--json", "--at", "soon"): '--at "soon"',
    ("cool", "a.jsonl", "--json", "--at", "20degC"): "--at",
    ("cool", "a.jsonl", "--json", "--until", "45"): "--until",
    ("cool", "a.jsonl", "--json", "--until", "-400degC"): "--until",
    ("forecast", "a.jsonl", "--at", "5 parsec"): "--at",
    ("forecast", "text", "--json"): "text: line 1: ",
    ("replay", "fifo", "--no-screen"): "not a regular file",
    ("replay", "/dev/zero", "--audit"): "not a regular file",
    ("replay", ".", "--no-screen"): ": not a regular file",
    ("replay", "a.jsonl", "--speed", "1e9"): '--speed "1e9"',
    ("replay", "a.jsonl", "--at", "1h40"): '--at "1h40": expected a session time such as',
    ("replay", "a.jsonl", "--at", "12"): '--at "12": expected a session time such as',
    ("replay", "a.jsonl", "--at", "1:75"): '--at "1:75": expected a session time such as',
    ("replay", "a.jsonl", "--at", "20 degC"): '--at "20 degC": degC is for a temp',
    ("review", "a.jsonl", "none.jsonl", "--json"): "none.jsonl: cannot be opened",
    ("plan", "wrong.toml", "--json"): "part.mas",
    ("plan", "/dev/null", "--json"): "/dev/null: ",
    ("export", "a.jsonl"): "--csv",
    ("export", "a.jsonl", "--csv", "ok.csv"): "ok.csv: exists already",
    ("export", "a.jsonl", "--csv", "no/out.csv"): "no/out.csv: ",
    ("export", "text", "--csv", "-"): "text: line 1: ",
    (*IMPORT[:1], "bad.csv", *IMPORT[2:]): 'bad.csv:2: temperature "hot"',
    (*IMPORT[:1], "none.csv", *IMPORT[2:]): "none.csv: no such file",
    (*IMPORT[:-1], "a.jsonl"): "a.jsonl: exists already",
    (*IMPORT, "--time-unit", "fortnight"): '--time-unit "fortnight"',
    (*IMPORT, "--temp-unit", "furlong"): '--temp-unit "furlong"',
    ("import", "ok.csv"): "required",
    ("recover", "text", "new.jsonl"): "text: line 1: ",
    ("recover", "a.jsonl", "text"): "text: exists already",
    ("recover", "a.jsonl", "no/new.jsonl"): "no/new.jsonl: ",
    ("guide", "weldin"): 'no topic "weldin"',
}


@pytest.mark.parametrize("args", WRONG, ids=lambda args: " ".join(args)[:60])
@pytest.mark.usefixtures("place")
def test_a_mistake_is_told_in_clean_lines(
    args: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2; each line names the program and what is wrong; stdout stays empty."""
    before = {path.name for path in Path().iterdir()}
    try:
        code: object = main(list(args))
    except SystemExit as stop:
        code = stop.code
    out, err = capsys.readouterr()
    assert code == 2, (out, err)
    lines = [line for line in err.splitlines() if not line.startswith("pacer: note: ")]
    assert WRONG[args] in "\n".join(lines)
    assert all(line.startswith("pacer") and line.isprintable() for line in lines)
    assert len(lines) <= 3
    if args[0] != "review":
        assert out == ""
    assert {path.name for path in Path().iterdir()} == before, "nothing is left behind"


@pytest.mark.slow
@pytest.mark.usefixtures("place")
@pytest.mark.parametrize(
    "args",
    [
        ("run", "none.toml", "--no-screen"),
        ("run", "job.toml", "--no-screen", "--sensor", "serial:///dev/none"),
        ("replay", "text", "--audit"),
    ],
)
def test_the_shell_sees_two_and_no_traceback(args: tuple[str, ...]) -> None:
    """The same through the real program."""
    done = pacer(*args)
    assert done.code == 2
    assert "Traceback" not in done.err
    assert done.err.startswith("pacer: ")


@pytest.mark.usefixtures("place")
def test_wrong_settings_are_told_by_key(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """File, key, what was found, what is expected."""
    monkeypatch.setenv("PACER_HOME", ".")
    Path("settings.toml").write_text('units = "imperial"\nunit = 3\n')
    assert main(["replay", "a.jsonl", "--no-screen"]) == 2
    err = capsys.readouterr().err
    assert 'units = "imperial": expected "metric" or "us"' in err
    assert 'unknown key "unit"; the nearest known key is "units"' in err


@pytest.mark.usefixtures("place")
def test_a_folder_without_permission_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """T-09: said before heating. Root may write anywhere, so only others are tested."""
    if os.geteuid() == 0:
        # The same answer by a way that root is refused too: a file where a folder must be.
        assert main(["run", "job.toml", "--no-screen", "--sensor", "file:ok.csv",
                     "--out", "ok.csv/new.jsonl"]) == 2  # fmt: skip
        assert "ok.csv: this folder cannot be made: " in capsys.readouterr().err
        return
    Path("locked").mkdir(mode=0o555)
    args = ["run", "job.toml", "--no-screen", "--sensor", "file:ok.csv", "--out", "locked/a.jsonl"]
    assert main(args) == 2
    assert "locked/a.jsonl: cannot be created: Permission denied" in capsys.readouterr().err


def _with_output(args: list[str], output: int, told: bytes = b"") -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "-m", "pacer", *args],
        input=told,
        stdout=output,
        stderr=subprocess.PIPE,
        env=environment(),
        timeout=60,
    )
    return done.returncode, done.stderr.decode()


def _full() -> int:
    return os.open("/dev/full", os.O_WRONLY)


def _gone() -> int:
    read, write = os.pipe()
    os.close(read)
    return write


@pytest.mark.slow
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full here")
@pytest.mark.usefixtures("place")
@pytest.mark.parametrize(("output", "code"), [(_full, 2), (_gone, 0)])
def test_an_output_that_fails_is_no_traceback(output: Callable[[], int], code: int) -> None:
    """A full disk is told; a reader that has gone (`| head`) is not."""
    fd = output()
    try:
        got, err = _with_output(["export", "a.jsonl", "--csv", "-"], fd)
    finally:
        os.close(fd)
    assert got == code
    assert err == ("" if code == 0 else "pacer: standard output: no space left there\n")


@pytest.mark.slow
@pytest.mark.usefixtures("place")
def test_a_session_outlives_whoever_reads_its_lines() -> None:
    """The log is critical, the printed lines are not: `pacer run … | head -0` records all."""
    fd = _gone()
    try:
        _, err = _with_output(
            ["run", "job.toml", "--sensor", "file:-?time=first", "--no-screen", "--out", "b.jsonl"],
            fd,
            b"0,20\n1,!next\n2,150\n",
        )
    finally:
        os.close(fd)
    assert "Traceback" not in err
    assert "recorded in b.jsonl" in err
    kinds = Path("b.jsonl").read_text()
    assert '"k":"end"' in kinds
    assert '"k":"trouble"' in kinds
    assert kinds.count('"k":"s"') == 2


def test_a_screen_without_a_terminal_is_refused(tmp_path: Path) -> None:
    """A pipe is no terminal: one line and exit 2, not a screen nobody sees."""
    done = pacer("practice", "--out", tmp_path / "a.jsonl")

    assert done.code == 2
    assert done.err == "pacer: no terminal for a screen here: use --no-screen\n"
