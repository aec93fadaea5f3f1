"""Short questions on a terminal: what a number means, and what is noted of the answers."""

from __future__ import annotations

import pytest
from terminal_answers import answering

from pacer.cli.asking import agreed, ask, noted
from pacer.cli.repair_answers import one_of

CHOICES = ("heard", "at grinding", "in service")


@pytest.mark.parametrize("typed", ["0", "4", "-1", "00", "99999999999999999999", "1.0", "²"])
def test_a_number_that_is_no_choice_is_asked_again(
    typed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither the last one nor none of them is taken for it."""
    left = answering(monkeypatch, [typed, "3"])
    found = ask("When?", lambda answer: one_of(answer, CHOICES, "found"), choices=CHOICES)

    assert (found, left) == ("in service", [])
    assert f'found "{typed}": expected one of heard, at grinding' in capsys.readouterr().out


def test_each_number_is_its_own_choice(monkeypatch: pytest.MonkeyPatch) -> None:
    """From 1 up, as shown."""
    answering(monkeypatch, ["1", "2", "3"])

    assert [ask("When?", str, choices=CHOICES) for _ in CHOICES] == list(CHOICES)


def test_only_what_was_accepted_is_noted(monkeypatch: pytest.MonkeyPatch) -> None:
    """The word that a number stands for, under the option's name; Enter is nothing."""
    options: list[str] = []
    answering(monkeypatch, ["9", "2", ""])
    for _ in range(2):
        take = noted("in_when", options, lambda answer: one_of(answer, CHOICES, "found"))
        ask("When?", take, choices=CHOICES)

    assert options == ["--in-when=at grinding"]


def test_ctrl_c_leaves_as_ctrl_d_does(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither throws away what was answered without a word (`test_inspect_asked.py`)."""

    def interrupted(_: str = "") -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("builtins.input", interrupted)
    with pytest.raises(EOFError):
        ask("When?", str)
    with pytest.raises(EOFError):
        agreed("Write it?")
