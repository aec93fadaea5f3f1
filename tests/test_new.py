"""`pacer new`: a job file by questions on a terminal, or by options without one."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from commands import environment

from pacer.cli import main as command
from pacer.cli.new import slug
from pacer.cli.new_questions import GATE as GATE_QUESTIONS
from pacer.cli.new_questions import QUESTIONS
from pacer.job.file.keys import keys
from pacer.job.file.read import read_job
from pacer.job.file.typed import typed
from pacer.settings import home

Told = tuple[int, str, str]
Run = Callable[..., Told]

GATE = ["sound", "none seen", "none", "will be changed", "yes", "none"]
"What lets the plan go on, in the order it is asked."
HOT = ["Pump foot", *GATE, "1", "hot", "3.2", "12 mm", "crack", "120 mm", "1", "1"]
HOT += ["MMA", "no", "", "", "", "", "", ""]
"A hot job to its end; the last Enter writes it."


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Run `pacer new` in a folder of its own, on a terminal that answers if there are answers."""
    monkeypatch.chdir(tmp_path)

    def ran(*args: str, answers: list[str] | None = None) -> Told:
        left = list(answers or ())

        def answer(prompt: str = "") -> str:
            print(prompt, end="")
            if not left:
                raise EOFError
            return left.pop(0)

        for stream in (sys.stdin, sys.stdout):
            monkeypatch.setattr(stream, "isatty", lambda: answers is not None, raising=False)
        monkeypatch.setattr("builtins.input", answer)
        code = command.main(["new", *args])
        out, err = capsys.readouterr()
        assert not left, f"not asked for: {left}"
        return code, out, err

    return ran


def given(path: str) -> dict[str, dict[str, Any]]:
    """Return what a file gives, by TOML's own reader; tables of comments only left out."""
    return {name: table for name, table in tomllib.loads(Path(path).read_text()).items() if table}


def test_the_questions_write_a_job_that_reads_back_as_typed(run: Run) -> None:
    """A number or a word answers; Enter leaves the default, which is then not given."""
    code, out, err = run(answers=HOT)

    assert (code, err) == (0, "")
    assert given("pump-foot.toml") == {
        "job": {"title": "Pump foot", "method": "hot"},
        "part": {"metal": "grey iron", "mass": "3.2 kg", "wall": "12 mm", "service": "none",
                 "iron": "sound", "oil": "none seen", "hollow": "none"},
        "history": {"load": "will be changed"},
        "joint": {"repair": "crack", "crack_length": "120 mm", "ends": "both in the wall",
                  "access": "one side"},
        "filler": {"process": "MMA", "machined_after": "no"},
        "heating": {"even": "yes"},
    }  # fmt: skip
    job = read_job("pump-foot.toml")
    assert job.origin["filler.diameter"].startswith("default: ")
    assert "  taken as 3.2 kg\n" in out
    assert "(Enter: 2.5 mm; common practice, no source)" in out
    assert out.index("pacer plan pump-foot.toml") < out.index("pacer run pump-foot.toml")
    assert all(len(line) <= 80 for line in out.splitlines()[:-3])


def test_there_are_few_questions(run: Run) -> None:
    """The gate counts as one; a hot crack of known mass gets all but the size."""
    assert len(HOT) - 1 == len(QUESTIONS) - 1
    assert len(QUESTIONS) - len(GATE) <= 17


def test_the_gate_fits_a_screenful(run: Run) -> None:
    """24 lines with every answer known; what stops a plan is seen together."""
    _, out, _ = run(answers=HOT)
    lines = out.splitlines()
    first = next(n for n, line in enumerate(lines) if line.startswith("Weld, braze"))
    last = next(n for n, line in enumerate(lines) if line.startswith("Which metal?"))
    assert last - first <= 24


def test_us_settings_take_a_bare_number_in_inches_and_pounds(run: Run) -> None:
    """Fractions too; defaults are shown in the same units, and what has a unit keeps it."""
    home().mkdir(parents=True, exist_ok=True)
    (home() / "settings.toml").write_text('units = "us"\n')
    answers = list(HOT)
    answers[9:11] = ["7", "1/2"]
    code, out, _ = run("my.toml", answers=answers)

    assert code == 0
    assert given("my.toml")["part"]["mass"] == "7 lb"
    assert given("my.toml")["part"]["wall"] == "1/2 in"
    assert given("my.toml")["joint"]["crack_length"] == "120 mm"
    assert "(Enter: 0.4724 in; our choice, an ordinary machine casting)" in out
    assert '# preheat = "500 degF"' in Path("my.toml").read_text()
    # 7 lb are 3.175 kg, half an inch 12.7 mm, by the definitions of pound and inch.
    job = read_job("my.toml")
    assert job.part.mass_kg == pytest.approx(3.175, abs=1e-3)
    assert job.part.wall_m == pytest.approx(0.0127)


def test_a_wrong_answer_is_told_in_a_line_and_asked_again(run: Run) -> None:
    """Spelling, unit, range; what is needed can't be left with Enter."""
    wrong = {
        3: [""],
        7: ["", "gray iron", "8"],
        9: ["heavy"],
        10: ["12,5 mm", "400"],
        21: ["/dev/x"],
    }
    answers = [one for n, answer in enumerate(HOT) for one in (*wrong.get(n, ()), answer)]
    code, out, _ = run(answers=answers)

    assert code == 0, out
    assert out.count("> this one is needed; Ctrl+D leaves".replace(">", ">  ")) == 2
    for words in (
        '"gray iron": unknown; write "grey iron"',
        '"8": unknown; write one of: grey iron',
        '"heavy": expected a mass such as "3.2 kg"',
        '"12,5 mm": decimal comma; write "12.5 mm"',
        '"400": out of range; write 1 mm to 300 mm',
        '"/dev/x": no sensor address',
    ):
        assert out.count(f"  {words}") == 1, words


@pytest.mark.parametrize("count", [0, 1, 4, len(HOT) - 1])
def test_leaving_at_any_question_writes_nothing(count: int, run: Run) -> None:
    """Ctrl+D, at the last one too."""
    code, out, _ = run(answers=HOT[:count])
    assert code == 1
    assert out.endswith("nothing written\n")
    assert not os.listdir()


def test_what_was_answered_before_leaving_is_shown_as_a_job_file_has_it(run: Run) -> None:
    """Put into a file it is completed from where it was left."""
    _, out, _ = run(answers=HOT[:-3])
    lines = out[out.index("Not written.") :].splitlines()[1:-1]
    Path("my.toml").write_text("\n".join(lines))
    code, out, err = run("my.toml", answers=[""] * 6)

    assert code == 0, out + err
    assert read_job("my.toml").part.mass_kg == 3.2
    assert given("my.toml")["job"]["title"] == "Pump foot"


@pytest.mark.parametrize(
    ("at", "typed", "kept"),
    [
        (1, "no", "sound"),
        (3, "n", "none"),
        (4, "No", "will be changed"),
        (6, "no", "none"),
    ],
)
def test_no_is_an_answer_where_it_says_one_thing(at: int, typed: str, kept: str, run: Run) -> None:
    """What it was taken for is said, and stands in the file."""
    code, out, _ = run(answers=[*HOT[:at], typed, *HOT[at + 1 :]])

    assert code == 0
    assert f"  taken as {kept}\n" in out


@pytest.mark.parametrize(("at", "kept"), [(2, "keeps coming"), (4, "will return")])
def test_yes_stops_where_it_says_what_stops(at: int, kept: str, run: Run) -> None:
    """It stands in the file as the word, never as yes: there only the key stands beside it."""
    code, out, _ = run(answers=[*HOT[:at], "yes", ""])

    assert code == 1
    assert f"  taken as {kept}\n" in out
    assert f'"{kept}"' in Path("pump-foot.toml").read_text()


@pytest.mark.parametrize(("at", "typed"), [(1, "yes"), (2, "no"), (3, "yes"), (6, "yes")])
def test_yes_or_no_that_could_say_several_things_is_asked_again(
    at: int, typed: str, run: Run
) -> None:
    """No oil that keeps coming may be oil that burns out; the words are shown."""
    code, out, _ = run(answers=[*HOT[:at], typed, *HOT[at:]])

    assert code == 0
    assert f'"{typed}": says too little here; write one of: ' in out


STOPS = [
    (1, "burnt", "part.iron"),
    (2, "keeps coming", "part.oil"),
    (3, "lifting", "part.service"),
    (4, "will return", "history.load"),
    (7, "white iron", "part.metal"),
]


@pytest.mark.parametrize(("at", "answer", "key"), STOPS, ids=[row[1] for row in STOPS])
def test_a_stop_is_told_at_once_and_the_file_is_kept(
    at: int, answer: str, key: str, run: Run
) -> None:
    """Procedure notes, section 10. Exit 1; nothing more is asked; who to ask is said."""
    code, out, _ = run(answers=[*HOT[:at], answer, ""])

    assert code == 1
    section, word = key.split(".")
    assert given("pump-foot.toml")[section][word] == answer
    assert f'stop: {key} = "{answer}"' in out
    assert "ask " in out
    assert "pacer run" not in out


SAME = [
    ("Steam", "pressure"),
    ("gas", "fuel"),
    ("brakes", "brake or steering"),
    ("steering", "brake or steering"),
    ("speed", "at speed"),
    ("over people's heads", "overhead"),
]


@pytest.mark.parametrize(("word", "kept"), SAME)
def test_every_word_of_the_question_is_an_answer(word: str, kept: str, run: Run) -> None:
    """What is kept is said, and stops; by option and in a file it is the same."""
    code, out, _ = run(answers=[*HOT[:3], word, ""])

    assert code == 1
    assert f"  taken as {kept}\n" in out
    assert f'stop: part.service = "{kept}"' in out
    assert given("pump-foot.toml")["part"]["service"] == kept
    code, out, err = run("my.toml", f"--set=part.service={word}", "--set=job.method=hot",
                         "--set=part.metal=grey iron", "--set=part.mass=3 kg")  # fmt: skip
    assert code == 1
    assert f"part.service: taken as {kept}\n" in out
    assert f'part.service = "{kept}"' in err
    text = Path("my.toml").read_text()
    Path("my.toml").write_text(text.replace(f'service = "{kept}"', f'service = "{word}"'))
    assert read_job("my.toml", stops=False).part.service == kept


def test_every_word_that_the_question_asks_about_is_taken() -> None:
    """None is asked about and then refused."""
    (question,) = [one for one in GATE_QUESTIONS if one.key == "part.service"]
    key = keys()["part.service"]
    asked = re.split(r",? or |, ", question.text.rstrip("?").casefold())

    assert len(asked) > 6
    assert all(typed(key, word).value in key.choices for word in asked)


def test_closed_hollow_spaces_are_asked_with_what_stops_a_plan(run: Run) -> None:
    """They stop none; what was said stands in the file and the plan cautions by it."""
    code, out, _ = run(answers=[*HOT[:6], "closed", *HOT[7:]])

    assert code == 0
    assert out.index("Hollow spaces: ") < out.index("Which metal?")
    assert "before any heat: vent every closed hollow space" in out
    assert read_job("pump-foot.toml").facts["part.hollow"] == "closed"


def test_uneven_heat_stops_the_hot_method_only_and_a_stop_can_be_answered_again(run: Run) -> None:
    """ "no" is no stop until the method is hot; another method is taken then."""
    answers = [
        *HOT[:5],
        "no",
        "none",
        "grey iron",
        "hot",
        "cold",
        "3.2",
        "4 mm",
        "",
        "60 mm",
        "2",
        "1",
    ]
    answers += ["TIG", "", "", "1.6", "", "", ""]
    code, out, _ = run(answers=answers)

    assert code == 0, out
    assert given("pump-foot.toml")["job"]["method"] == "cold"
    assert 'stop: heating.even = "no"' in out
    assert "What heats the part?" not in out


def test_values_that_do_not_fit_together_lead_back_to_their_questions(run: Run) -> None:
    """A wall thicker than the part: wall and size are asked again, an earlier answer is kept."""
    answers = ["", *GATE, "grey iron", "hot", "", "260 x 180 x 10", "12 mm", *HOT[11:-1]]
    code, out, _ = run("my.toml", answers=[*answers, "260 x 180 x 40 mm", "", ""])

    assert code == 0, out
    told = out.split("thicker than the part")[1]
    assert "Overall length, width and height?" in told
    assert "(Enter: 12 mm, as before)" in told
    assert given("my.toml")["part"]["size"] == ["260 mm", "180 mm", "40 mm"]
    assert given("my.toml")["part"]["wall"] == "12 mm"


def test_any_answer_can_be_changed_before_the_file_is_written(run: Run) -> None:
    """By its number; a cold job then asks no heat source, a break no ends."""
    code, out, _ = run(answers=[*HOT[:-1], "12", "break", "9", "cold", "99", ""])

    assert code == 0, out
    assert "expected Enter or 1 to" in out
    found = given("pump-foot.toml")
    assert found["job"]["method"] == "cold"
    assert found["joint"] == {"repair": "break", "crack_length": "120 mm", "access": "one side"}


BEGUN = """\
# Begun by the shop tests.
[part]
metal = "grey iron"
[tests]
spark = "few, dull red"  # seen twice
"""


def test_a_file_that_identify_began_is_completed_and_its_lines_stay(run: Run) -> None:
    """The metal isn't asked; comments and evidence stay."""
    Path("my.toml").write_text(BEGUN)
    code, out, _ = run("my.toml", answers=HOT[:7] + HOT[8:])

    assert code == 0
    assert "Which metal?" not in out
    assert "my.toml exists: what it gives stays" in out
    lines = iter(Path("my.toml").read_text().splitlines())
    assert all(line in lines for line in BEGUN.splitlines())
    assert read_job("my.toml").facts["tests.spark"] == "few, dull red"


def test_what_another_wrote_meanwhile_is_kept(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file got a mass while the questions were asked: that mass stays."""
    Path("my.toml").write_text(BEGUN)
    texts = iter([BEGUN, BEGUN.replace("[tests]", 'mass = "9 kg"\n[tests]')])
    monkeypatch.setattr("pacer.cli.new.read_text", lambda path: next(texts))
    code, _, _ = run("my.toml", answers=HOT[:7] + HOT[8:])

    assert code == 0
    assert given("my.toml")["part"]["mass"] == "9 kg"


def test_a_file_with_mistakes_or_stops_is_not_completed(run: Run) -> None:
    """Mistakes: exit 2 with their lines, before any question. A stop: told, exit 1."""
    Path("bad.toml").write_text('[part]\nmetal = "gray iron"\n')
    Path("stop.toml").write_text('[part]\nservice = "lifting"\n')

    assert run("bad.toml", answers=[])[::2] == (
        2,
        'pacer: bad.toml:2: part.metal = "gray iron": unknown; write "grey iron"\n',
    )
    code, out, _ = run("stop.toml", answers=[])
    assert code == 1
    assert 'stop.toml:2: part.service = "lifting"' in out
    assert "change the line in the file by hand" in out


def test_without_a_terminal_every_key_can_be_set(run: Run) -> None:
    """Nothing is asked; a bare number is taken in the settings' unit, and that is said."""
    sets = {
        "job.method": "hot",
        "part.metal": "Grey Iron",
        "part.size": "14 x 10 x 1 in",
        "part.wall": "12",
        "heating.points": "4",
        "filler.gas_flow": "8 l/min",
        "tests.spark": "few, dull red",
    }
    code, out, err = run("my.toml", *(f"--set={name}={value}" for name, value in sets.items()))

    assert (code, err) == (0, "")
    assert "part.wall: taken as 12 mm\n" in out
    found = given("my.toml")
    assert found["part"] == {
        "metal": "grey iron", "size": ["14 in", "10 in", "1 in"], "wall": "12 mm"
    }  # fmt: skip
    assert found["heating"]["points"] == 4
    assert read_job("my.toml").heating.points == 4


def test_without_a_terminal_what_is_missing_is_a_line_each(run: Run) -> None:
    """Exit 2; nothing is written."""
    code, out, err = run("my.toml")

    assert (code, out) == (2, "")
    assert [line.split(": ")[2] for line in err.splitlines()] == [
        "job.method", "part.metal", "part.mass"
    ]  # fmt: skip
    assert 'give --set job.method="hot" or "cold"' in err
    assert not os.listdir()


WRONG = {
    "band.flor=200 degC": "unknown key; did you mean band.floor?",
    "job.method": "expected KEY=VALUE, such as --set job.method=hot",
    "job.method=tepid": "unknown; write one of: hot, cold",
    "part.wall=12 kg": "kg is for a mass",
    "part.metal=": "unknown; write one of: grey iron",
    "job.title=": "empty",
    "part.size=260 mm": "expected three lengths",
    "part.mass=4 kg": "part.mass is given twice",
    "part.wall=299 mm": "must add up",
    "job.title=\x1b[2J": None,
}


@pytest.mark.parametrize("option", WRONG, ids=ascii)
def test_a_wrong_option_is_one_line_that_names_it(option: str, run: Run) -> None:
    """Found and expected; nothing written, nothing raw on the screen."""
    least = ["job.method=hot", "part.metal=grey iron", "part.mass=3 kg", "joint.depth=10 mm"]
    name = option.partition("=")[0]
    least = [one for one in least if name == "part.mass" or not one.startswith(f"{name}=")]
    least += ["joint.root_face=2 mm"]
    code, out, err = run("my.toml", *(f"--set={one}" for one in [*least, option]))

    words = WRONG[option]
    assert all(line.isprintable() for line in (out + err).splitlines())
    if words is None:
        assert code == 0
        return
    assert code == 2
    lines = err.splitlines()
    assert any("--set" in line and words in line for line in lines), err
    assert not Path("my.toml").exists()


def test_a_stop_by_option_is_kept_too(run: Run) -> None:
    """The file is written, the line says why, exit 1."""
    least = ["job.method=hot", "part.metal=white iron", "part.mass=3 kg"]
    code, _, err = run("my.toml", *(f"--set={one}" for one in least))

    assert code == 1
    assert err.startswith('pacer: part.metal = "white iron": ')
    assert given("my.toml")["part"]["metal"] == "white iron"


def test_a_file_that_exists_is_never_written_over(run: Run) -> None:
    """Without a terminal, or with options: one line, exit 2, every byte as before."""
    Path("my.toml").write_text(BEGUN)
    for args in (("my.toml",), ("my.toml", "--set=job.method=hot")):
        code, _, err = run(*args)
        assert code == 2
        assert err == (
            "pacer: my.toml: exists already; without --set, on a terminal, it is completed\n"
        )
    assert Path("my.toml").read_text() == BEGUN
    # A name made from the title goes round one that is there.
    Path("pump-foot.toml").write_text("mine")
    run(answers=HOT)
    assert Path("pump-foot.toml").read_text() == "mine"
    assert given("pump-foot-2.toml")["job"]["title"] == "Pump foot"


@pytest.mark.parametrize("name", ["none/my.toml", ".", "pump-foot.toml/x", "-", ""])
def test_a_place_that_cannot_be_written_is_told_before_any_question(name: str, run: Run) -> None:
    """No folder, a folder, a file for a folder, no name: one line, exit 2."""
    Path("pump-foot.toml").touch()
    code, _, err = run(name, answers=[])
    assert code == 2
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Pump casing, cracked foot", "pump-casing-cracked-foot"),
        ("../../etc/passwd", "etc-passwd"),
        ("Getriebegehäuse №5", "getriebegehause-no5"),
        ("насос", "насос"),
        ("\x1b]0;t\x07", "0-t"),
        ("", "job"),
        ("CON", "job-con"),
        ("-" * 300, "job"),
        ("x" * 300, "x" * 50),
    ],
)
def test_a_title_makes_a_harmless_name(title: str, name: str) -> None:
    """Letters and digits only: no folder, no option, no device (T-19)."""
    assert slug(title) == name


@pytest.mark.slow
def test_on_a_real_terminal_and_told_what_comes_next(tmp_path: Path) -> None:
    """Answers typed into the real program; the file is there and plans."""
    ours, theirs = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-m", "pacer", "new", "my.toml"],
        stdin=theirs, stdout=theirs, stderr=theirs, cwd=tmp_path, env=environment(),
    )  # fmt: skip
    os.close(theirs)
    os.write(ours, "".join(f"{answer}\n" for answer in HOT).encode())
    said = b""
    try:
        while piece := os.read(ours, 4096):
            said += piece
    except OSError:
        # The other end is closed: the program has ended.
        pass
    finally:
        os.close(ours)
    assert child.wait(timeout=60) == 0, said
    assert b"next: pacer plan my.toml" in said
    assert read_job(tmp_path / "my.toml").title == "Pump foot"
