"""Answers typed at a terminal's questions, in turn."""

from __future__ import annotations

import pytest


def answering(monkeypatch: pytest.MonkeyPatch, answers: list[str]) -> list[str]:
    """Answer the questions in turn; return what is left over."""
    left = list(answers)

    def answer(_: str = "") -> str:
        if not left:
            raise EOFError
        return left.pop(0)

    monkeypatch.setattr("builtins.input", answer)
    return left
