"""Answers typed at a terminal's questions, in turn."""

from __future__ import annotations

import sys

import pytest


def at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody sits there; called in the test, when its streams are in place."""
    for stream in (sys.stdin, sys.stdout):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)


def answering(monkeypatch: pytest.MonkeyPatch, answers: list[str]) -> list[str]:
    """Answer the questions in turn; return what is left over."""
    left = list(answers)

    def answer(_: str = "") -> str:
        if not left:
            raise EOFError
        return left.pop(0)

    monkeypatch.setattr("builtins.input", answer)
    return left
