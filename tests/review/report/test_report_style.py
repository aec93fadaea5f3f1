"""How the report looks: paper is white, letters stand out, nothing is told by a colour alone."""

from __future__ import annotations

import re

import pytest

from pacer.review.report import style


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.1, from memory: 4.5 for text)."""

    def light(colour: str) -> float:
        parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((light(one), light(other)))
    return (high + 0.05) / (low + 0.05)


def test_paper_is_white_whatever_the_screen_prefers() -> None:
    """Of two rules that both hold the later one wins: the printer's stands last."""
    dark, paper = (style.STYLE.index(rule) for rule in ("(prefers-color-scheme: dark)", "print {"))
    assert dark < paper
    assert "--paper: #ffffff" in style.STYLE[paper : paper + 400]


@pytest.mark.parametrize("theme", [style._LIGHT, style._DARK, style._PAPER])
def test_letters_and_lines_stand_out_in_every_theme(theme: str) -> None:
    """Text 4.5 to 1 on what it stands on, lines 3 to 1."""
    colours = dict(re.findall(r"--(\w+): (#\w{6})", theme))

    for ink in ("ink", "soft"):
        assert contrast(colours[ink], colours["paper"]) >= 4.5
        assert contrast(colours[ink], colours["card"]) >= 4.5
    for line in ("curve", "low", "high", "warn"):
        assert contrast(colours[line], colours["paper"]) >= 3.0
        assert contrast(colours[line], colours["band"]) >= 3.0
    for word, on in (("onheat", "heat"), ("onweld", "weld"), ("onpeen", "peen")):
        assert contrast(colours[word], colours[on]) >= 4.5
    assert contrast(colours["ink"], colours["cool"]) >= 4.5
    assert contrast(colours["ink"], colours["still"]) >= 4.5


def test_nothing_on_a_chart_is_told_by_a_colour_alone() -> None:
    """Curves of several recordings, other channels and forecasts each have dashes of their own."""
    rules = dict(re.findall(r"\.(\w+) \{\s*([^}]*)\}", style.STYLE))
    for names in (
        [f"many{n}" for n in range(1, 6)],
        [f"forecast{n}" for n in range(6)],
        ["beside1", "beside2", "beside3"],
    ):
        dashes = [re.search(r"stroke-dasharray: ([\d. ]+)", rules[name]) for name in names]
        assert all(dashes), names
        assert len({found[1] for found in dashes if found}) == len(names)
