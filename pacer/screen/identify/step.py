"""The page of one test: what to do, what to look for, its answers, and how the metals stand.

Below the answers in a narrow window, beside them in a wide one. Where rows are few, what
the test can't do gives way first, then the ends of steps, then the drawing; all of it has a
page of its own. A line of caution, what to look for, answers and metals stay.
"""

from __future__ import annotations

from rich.cells import cell_len

from pacer.screen.identify.metals import evidence_rows, metal_rows
from pacer.screen.identify.rows import (
    CONTRADICTION,
    MARK,
    NO_MARK,
    STOP_ROWS,
    across,
    paragraph,
    stop_band,
)
from pacer.screen.identify.view import AnswerRow, IdentifyView
from pacer.screen.widgets.panel import ALERT, BADGE, PLAIN, QUIET, STRONG, Row, beside, fitted

WIDE = 100
"""Columns from which the metals stand beside the test."""

LEFT_LEAST = 62
"""Columns of the test there: a drawing has up to 60."""

GAP = 2
TEXT_LEAST = 3
INDENT = 5
"""Columns of mark and key before an answer's word."""
MORE = "P: all of this test"
WITH_DRAWING = "P: all, with its drawing"


def step_page(view: IdentifyView, width: int, height: int) -> list[Row]:
    """Return all rows of the page."""
    if width < WIDE:
        return _narrow(view, width, height)
    left = max(LEFT_LEAST, (width * 3) // 5)
    right = width - left - GAP
    top = _top(view, width, height, height - _least(view, left))
    below = height - len(top)
    side = [*metal_rows(view, right, marked=True), [], *evidence_rows(view, right)]
    test = _test(view, left, below)
    return [*top, *beside(test, _cut(side, below, right, "W: all of it"), left + GAP)]


def _narrow(view: IdentifyView, width: int, height: int) -> list[Row]:
    metals = metal_rows(view, width)
    room = height - len(metals)
    top = _top(view, width, height, room - _least(view, width))
    test = _test(view, width, room - len(top))
    return [*top, *test, *[[]] * (room - len(top) - len(test)), *metals]


def _least(view: IdentifyView, width: int) -> int:
    """Return the rows below which the test itself can't be read."""
    return 1 + TEXT_LEAST + len(_answers(view, width))


def _top(view: IdentifyView, width: int, height: int, spare: int) -> list[Row]:
    """Return the bands over everything: they take what the test can spare, never nothing."""
    rows: list[Row] = []
    if view.contradictions:
        rows.append(across(f"{CONTRADICTION} (R tells more)", width, ALERT))
    if view.stop:
        fits = spare - len(rows) > STOP_ROWS
        rows = [*stop_band(view.stop, width, STOP_ROWS + 1 if fits else 1), *rows]
    return rows[:height]


def _test(view: IdentifyView, width: int, height: int) -> list[Row]:
    """Return the test in at most so many rows: the most of it that they hold."""
    drawing = drawing_rows(view, width)
    whole, short = _answers_whole(view, width), _answers(view, width)
    text = how_rows(view, width)
    without_note = how_rows(view, width, note=False)
    brief = [*_cautions(view, width), *_steps_brief(view, width), *_look_for(view, width)]
    for parts in (
        (text, drawing, whole),
        (text, drawing, short),
        (without_note, drawing, short),
        (brief, drawing, short),
        (text, whole),
        (text, short),
        (without_note, short),
    ):
        if sum(map(len, parts)) < height:
            all_of_it = text in parts and drawing in parts
            more = MORE if drawing in parts else WITH_DRAWING
            head = _head(view, width, "" if all_of_it else more)
            return [head, *_spaced(parts, height - 1)]
    text = _cut_text(view, width, height - 1 - len(short))
    return [_head(view, width, WITH_DRAWING), *text, *short][:height]


def _spaced(parts: tuple[list[Row], ...], height: int) -> list[Row]:
    """Return the parts one below the other, with a row between them where there is room."""
    between = sum(map(len, parts)) + len(parts) - 1 <= height
    rows: list[Row] = []
    for part in parts:
        if rows and between:
            rows.append([])
        rows += part
    return rows


def _head(view: IdentifyView, width: int, more: str = "") -> Row:
    """Return the test's title, and what matters about it now."""
    said = "would tell most" if view.suggested else ""
    if view.given:
        said = f"your answer: {view.given}"
    elif not view.moves:
        said = "moves nothing, whatever it says"
    room = width - cell_len(view.test.title) - cell_len(more) - 8
    row: Row = [(f" {fitted(view.test.title, width - 4)} ", BADGE)]
    if said and room > 0:
        row.append((f"  {fitted(said, room)}", STRONG))
    return [*row, ("  ", PLAIN), (f" {more} ", ALERT)] if more else row


def how_rows(view: IdentifyView, width: int, *, note: bool = True) -> list[Row]:
    """Return the cautions, which hold before the first step, what to do, what to look for."""
    test = view.test
    rows = _look_for(view, width)
    if note and test.note:
        rows += paragraph(test.note, width, QUIET)
    return [*_cautions(view, width), *_steps(view, width), *rows]


def _cut_text(view: IdentifyView, width: int, height: int) -> list[Row]:
    """Return what to beware of and to look for, and between them as many steps as fit."""
    cautions = " ".join(view.cautions)
    caution: list[Row] = [[(f" ! {fitted(cautions, width - 4)}", STRONG)]] if cautions else []
    look = _look_for(view, width)
    room = max(0, height - len(caution) - len(look))
    steps = _steps(view, width)
    if len(steps) > room:
        steps = _steps_brief(view, width)[:room]
    return [*caution, *steps, *look][: max(0, height)]


def _cautions(view: IdentifyView, width: int) -> list[Row]:
    return [row for caution in view.cautions for row in paragraph(caution, width, STRONG, " ! ")]


def _steps(view: IdentifyView, width: int) -> list[Row]:
    numbered = enumerate(view.test.do, 1)
    return [row for at, step in numbered for row in paragraph(step, width, PLAIN, f" {at}. ")]


def _steps_brief(view: IdentifyView, width: int) -> list[Row]:
    """Return a row a step; the mark at its end says that there is more of it."""
    numbered = enumerate(view.test.do, 1)
    return [[(f" {at}. {fitted(step, width - 5)}", PLAIN)] for at, step in numbered]


def _look_for(view: IdentifyView, width: int) -> list[Row]:
    return paragraph(f"Look for: {view.test.look_for}", width)


def drawing_rows(view: IdentifyView, width: int) -> list[Row]:
    """Return the drawing, never wrapped."""
    return [[(f" {line[: width - 1]}", STRONG)] for line in view.test.drawing]


def _answers_whole(view: IdentifyView, width: int) -> list[Row]:
    """Return every answer with what it looks like below it, in full."""
    rows: list[Row] = []
    for answer in view.answers:
        rows.append(_word(answer, cell_len(answer.word)))
        rows += paragraph(answer.looks, width, QUIET, " " * INDENT)
    return rows


def _answers(view: IdentifyView, width: int) -> list[Row]:
    """Return a row an answer, then what the marked one looks like where a row has no room."""
    wide = min(max(cell_len(answer.word) for answer in view.answers), width - INDENT - 1)
    room = width - wide - INDENT - 2
    rows: list[Row] = [
        [*_word(answer, wide), ("  ", PLAIN), (fitted(answer.looks, room), QUIET)]
        for answer in view.answers
    ]
    if all(cell_len(answer.looks) <= room for answer in view.answers):
        return rows
    # As many rows as the longest needs: nothing moves when the mark does.
    looks = {
        answer.key: paragraph(answer.looks, width, PLAIN, f" {MARK} ") for answer in view.answers
    }
    longest = max(map(len, looks.values()))
    marked = next((looks[answer.key] for answer in view.answers if answer.marked), [])
    return [*rows, *marked, *[[]] * (longest - len(marked))]


def _word(answer: AnswerRow, wide: int) -> Row:
    """Return mark, key and word; an answer given is inverse, and the head says it in words."""
    word = fitted(answer.word, wide)
    return [
        (MARK if answer.marked else NO_MARK, STRONG),
        (f" {answer.key} ", BADGE),
        (" ", PLAIN),
        (word, BADGE if answer.given else STRONG),
        (" " * (wide - cell_len(word)), PLAIN),
    ]


def _cut(rows: list[Row], height: int, width: int, more: str) -> list[Row]:
    """Return the rows; where they are too many, the last one says where the rest is."""
    if len(rows) <= height or height < 1:
        return rows[: max(0, height)]
    return [*rows[: height - 1], [(f" … {fitted(more, width - 4)}", ALERT)]]
