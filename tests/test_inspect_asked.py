"""The questions of `pacer inspect` on a terminal, and the offer when a session ends."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

import pytest
from terminal_answers import answering, at_a_terminal
from written import head_of, lines_of, welded, write_lines

from pacer.cli.inspection.asked import asked
from pacer.cli.inspection.command import offer
from pacer.cli.inspection.looks import LOOKS
from pacer.cli.inspection.members import contradiction
from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection, Look, Penetrant, Proof
from pacer.units import Shown, System


@pytest.fixture
def record(hot_job: Job, tmp_path: Path) -> Path:
    """A recording with one bead."""
    return write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), welded()))


def not_done(*looks: Look) -> list[str]:
    """Enter for every look but some."""
    return [""] * (len(LOOKS) - len(looks))


def looks_told(path: Path, shown: Shown | None = None) -> list[Inspection] | None:
    """Ask about a recording; return the looks told of."""
    told = asked(Recording(path), shown or Shown())
    return None if told is None else told.looks


def looks_of(path: Path) -> list[Inspection]:
    """Return what stands in the file."""
    return [event for event in Recording(path).events() if isinstance(event, Inspection)]


def test_a_look_that_was_not_done_is_one_enter(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Eight of them, and nothing is written nor asked about."""
    left = answering(monkeypatch, not_done())

    assert looks_told(record) is None
    assert left == []
    out = capsys.readouterr().out
    for look, row in LOOKS.items():
        assert look.upper() in out
        assert row.tells[:30] in " ".join(out.split())
    assert all(len(line) <= 80 for line in out.splitlines())


def test_a_penetrant_test_is_asked_step_by_step_and_the_dwell_is_told(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Too hot is told and asked again; at 10 °C twice 10 min (T.O. 33B-1-1, row N04)."""
    answers = ["", "1", "60 degC", "10 degC", "10 min", "no", "15 min", "20 min", "red", "", ""]
    left = answering(monkeypatch, [*answers, *not_done("visual", "penetrant"), "day shift", "y"])
    looks = looks_told(record)

    assert left == []
    assert looks == [
        Inspection(
            t_ms=0,
            look="penetrant",
            result="nothing found",
            penetrant=Penetrant(10.0, 900.0, 1200.0, 600.0, "red", False),
            by="day shift",
        )
    ]
    out = " ".join(capsys.readouterr().out.split())
    assert "no penetrant on a surface at 60 °C" in out
    told = out.index("the penetrant has to stand at least 20 min (")
    assert told < out.index("How long did the penetrant stand?")
    assert "counts from when its coat is dry" in out
    # Row N06; its clauses of ISO 3452-1 were not seen.
    assert (
        "look 10 to 30 min after it (ISO 3452-1, these clauses not seen; "
        "from memory, confidence high)"
    ) in out
    assert "look 10 to 60 min after it" in out
    assert "at least 20 min; it stood only 15 min" in out


def test_imperfections_are_asked_until_there_are_no_more(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The list on ?; words that several have are asked back; Enter: no more."""
    answers = ["imperfections found", "?", "crater crack bead 1", "1046 bead 1 2 mm", "stray arc"]
    left = answering(
        monkeypatch, [*answers, "601", "", "near the foot", "", *not_done("visual"), "", "y"]
    )
    looks = looks_told(record)

    assert left == []
    assert looks is not None
    assert looks[0].imperfections == (
        Imperfection(1046, "transverse crater crack", bead=1, size_m=0.002),
        Imperfection(601, "stray arc"),
    )
    assert looks[0].text == "near the foot"
    out = capsys.readouterr().out
    assert "  601  stray arc\n" in out
    assert '"601": kept already' in out
    assert "which of these? 104 crater crack; 1045" in " ".join(out.split())
    assert "  - 1046 transverse crater crack, at bead 1, 2 mm\n" in out


@pytest.mark.parametrize(
    ("look", "wrong", "right", "said"),
    [
        ("visual", ["2", ""], ["2", "601", ""], "none is named"),
        ("visual", ["2", ""], ["3"], "none is named"),
        ("ring", ["1", "dull"], ["3", "dull"], 'a dull ring is no "nothing found"'),
        ("back side", ["3", "no", "yes"], ["3", "yes", "yes"], "not opened from behind, so not"),
        ("back side", ["3", "", "yes"], ["3", "", ""], "opened is not said, so not welded there"),
    ],
)
def test_answers_that_do_not_go_together_are_asked_once_more(
    look: Look,
    wrong: list[str],
    right: list[str],
    said: str,
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Of that look only, before anything else of it; what was wrong is nowhere in the options."""
    at = list(LOOKS).index(look)
    later = len(LOOKS) - at - 1
    left = answering(
        monkeypatch, ["" for _ in range(at)] + [*wrong, *right] + [""] * (3 + later) + ["y"]
    )
    told = asked(Recording(record), Shown("metric"))

    assert left == []
    assert told is not None
    assert said in " ".join(capsys.readouterr().out.split())
    assert contradiction(told.looks[0]) is None
    assert len(told.options[0]) == 1 + len([answer for answer in right if answer])


def test_a_proof_load_shows_its_stress_before_it_is_written(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """2 kN · 0.2 m · 32 / (pi · 0.03³) = 150.9 MPa by hand; in the user's units."""
    answers = ["1", "2 kN", "200 mm", "30 mm", "5 min", "", "", "", "", "y"]
    left = answering(monkeypatch, [*not_done("proof load"), *answers])
    looks = looks_told(record, Shown("us"))

    assert left == []
    assert looks is not None
    assert looks[0].proof == Proof(2000.0, 0.2, diameter_m=0.03, held_s=300.0)
    out = " ".join(capsys.readouterr().out.split())
    assert "load 450 lbf, arm 7.87 in, round section 1.18 in" in out
    # 150.9 MPa / 6.894757 = 21.9 ksi.
    assert "nominal bending stress 21" in out
    assert out.index("nominal bending stress") < out.index("No rating")


@pytest.mark.parametrize(
    "end", [[], ["day shift"], ["day shift", "n"], ["", "no"]], ids=["at once", "by", "n", "no"]
)
def test_leaving_or_saying_no_shows_the_command_that_would_write_it(
    end: list[str],
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """After a look was answered; exit 1, the file as it was; the command then writes it."""
    at_a_terminal(monkeypatch)
    before = record.read_bytes()
    answering(monkeypatch, ["1", "near the foot", "", *not_done("visual"), *end])

    assert main(["inspect", str(record)]) == 1
    assert record.read_bytes() == before
    out = capsys.readouterr().out
    _, line = out[out.index("Not written.") :].splitlines()
    assert main(shlex.split(line)[1:]) == 0
    (look,) = looks_of(record)
    assert (look.look, look.result, look.text) == ("visual", "nothing found", "near the foot")


def test_enter_at_the_last_question_is_no_answer(
    record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Enter passes over all questions before it: one too many must not throw a look away."""
    at_a_terminal(monkeypatch)
    left = answering(monkeypatch, ["1", "", "", *not_done("visual"), "", "", "what", "Yes"])

    assert main(["inspect", str(record)]) == 0
    assert left == []
    assert [look.look for look in looks_of(record)] == ["visual"]


def test_half_a_look_is_printed_as_it_was_answered(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl+D in the middle of it: too little for a record, too much to be lost."""
    answering(monkeypatch, ["", "1", "20 degC", "10 min"])

    assert looks_told(record) is None
    _, line, last = capsys.readouterr().out.splitlines()[-3:]
    said = ["--look=penetrant", "--result=nothing found", "--surface=20 degC", "--maker=10 min"]
    assert shlex.split(line) == ["pacer", "inspect", str(record), *said]
    assert last == "nothing written"


@pytest.mark.parametrize(
    ("system", "typed", "arm_m"), [("metric", "40", 0.04), ("us", "1/2", 0.0127)]
)
def test_a_bare_number_is_taken_in_the_shop_s_unit_and_that_is_said(
    system: System,
    typed: str,
    arm_m: float,
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A load's is asked again: a force and a weight are both usual. An inch is 25.4 mm."""
    answers = ["1", "150", "150 kg", typed, f"{typed} x {typed}", "5", "", "", "", "", "y"]
    left = answering(monkeypatch, [*not_done("proof load"), *answers])
    looks = looks_told(record, Shown(system))

    assert left == []
    assert looks is not None
    proof = looks[0].proof
    assert proof is not None
    assert (proof.arm_m, proof.width_m, proof.height_m) == pytest.approx((arm_m,) * 3)
    assert proof.held_s == 300.0
    out = capsys.readouterr().out
    unit = "in" if system == "us" else "mm"
    assert f"  taken as {typed} {unit}\n" in out
    assert f"  taken as {typed} {unit} x {typed} {unit}\n" in out
    assert '"150": unit missing' in out


@pytest.mark.parametrize("leaves", [EOFError, KeyboardInterrupt])
def test_leaving_in_the_middle_of_a_look_keeps_those_before_it(
    leaves: type[BaseException], record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl+D or Ctrl+C in the second look; the first is shown, confirmed and written."""
    at_a_terminal(monkeypatch)
    typed = ["1", "", "", "1"]

    def answer(prompt: str = "") -> str:
        if "Write this into" in prompt:
            return "y"
        if not typed:
            typed.append("")
            raise leaves
        return typed.pop(0)

    monkeypatch.setattr("builtins.input", answer)

    assert main(["inspect", str(record)]) == 0
    assert [look.look for look in looks_of(record)] == ["visual"]


def test_at_the_end_of_a_session_it_is_offered_in_a_line(
    record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Enter: no, and nothing more is asked; yes: the same questions."""
    at_a_terminal(monkeypatch)
    before = record.read_bytes()
    for answers in ([], [""], ["n"]):
        left = answering(monkeypatch, answers)
        offer(record, Shown())
        assert left == []
        assert record.read_bytes() == before
    answering(monkeypatch, ["y", "1", "", "", *not_done("visual"), "", "y"])
    offer(record, Shown())

    assert [look.look for look in looks_of(record)] == ["visual"]


def test_where_nobody_sits_nothing_is_offered(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not a word: whoever reads the output is a program."""
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False, raising=False)
    answering(monkeypatch, ["y"])
    offer(record, Shown())

    assert capsys.readouterr() == ("", "")


def test_what_fails_then_is_a_line_and_the_session_stays_as_it_ended(
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The file is gone when the questions begin."""
    at_a_terminal(monkeypatch)
    record.unlink()
    answering(monkeypatch, ["y"])
    offer(record, Shown())

    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("pacer: ")
    assert "a.jsonl: cannot be opened" in line
