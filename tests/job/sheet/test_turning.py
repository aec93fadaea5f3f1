"""When a part welded from both sides is turned over, and how its places lie then."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from test_page import card_of, page_of, text_of
from words import job, said

from pacer.job.sheet.sections import beads
from pacer.job.sheet.turning import mirrored, turning

BOTH = 'access = "both sides"\n'


def test_a_double_v_is_turned_where_the_listed_layers_change_sides() -> None:
    """The same runs as the section of the beads lists, layer by layer."""
    made = job(joint=f'{BOTH}preparation = "double-V"\n', part='wall = "25 mm"')
    sides = re.findall(r"side (\d) runs? (?:\d+ to )?(\d+)", said(beads.lines, made))
    last = [run for (side, run), (after, _) in pairwise(sides) if side != after]

    assert len(last) > 2
    assert turning(made) == f"Turn over after runs {', '.join(last)}."


def test_without_layers_on_the_back_it_is_turned_once() -> None:
    """Row R11; from one side never."""
    assert turning(job(joint=f'{BOTH}preparation = "single-V"')) == "Turn over after the root."
    assert turning(job()) == ""


@pytest.mark.parametrize(
    ("joint", "words"),
    [('repair = "patch"\n', "counter-clockwise"), ('repair = "crack"\n', "left stays left.")],
)
def test_a_ring_is_mirrored_otherwise_than_a_row(joint: str, words: str) -> None:
    """Geometry: seen from behind a ring runs the other way round; on the card and in the plan."""
    made = job(joint=BOTH + joint)

    assert words in mirrored(made)
    assert mirrored(made) in said(beads.lines, made)
    card = text_of(card_of(page_of(made)))
    assert f"{turning(made)} {mirrored(made)}" in card
    assert "Turn over" not in text_of(card_of(page_of(job(joint=joint))))
