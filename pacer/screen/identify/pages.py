"""The pages beside the test at hand: all of a test, why, the list, the result, keys, the end."""

from __future__ import annotations

from collections.abc import Callable

from pacer.screen.identify.keys import KEEP, KEYS, WITHOUT
from pacer.screen.identify.metals import evidence_rows, metal_rows
from pacer.screen.identify.rows import (
    CONTRADICTION,
    MARK,
    NO_MARK,
    STOP_ROWS,
    across,
    button,
    heading,
    paragraph,
    stop_band,
)
from pacer.screen.identify.step import drawing_rows, how_rows
from pacer.screen.identify.view import IdentifyView
from pacer.screen.widgets.panel import ALERT, BADGE, PLAIN, QUIET, STRONG, Row, fitted


def how_page(view: IdentifyView, width: int) -> list[Row]:
    """Return the whole test: text, drawing, answers in full."""
    rows = [heading(view.test.title, width), *how_rows(view, width), []]
    if view.test.drawing:
        rows += [*drawing_rows(view, width), []]
    for answer in view.answers:
        rows += paragraph(f"{answer.word}: {answer.looks}", width, PLAIN, f" {answer.key} ")
    return rows


def why_page(view: IdentifyView, width: int) -> list[Row]:
    """Return the metals, and the evidence of the marked one."""
    return [*metal_rows(view, width, marked=True), [], *evidence_rows(view, width)]


def list_page(view: IdentifyView, width: int) -> list[Row]:
    """Return a row a test, with its answer."""
    wide = max(len(row.title) for row in view.tests)
    wide = min(wide, width // 2)
    rows: list[Row] = [
        [(" The shop tests", STRONG), (" (Enter goes to the marked one)", QUIET)],
        [],
    ]
    for row in view.tests:
        mark = MARK if row.marked else NO_MARK
        said = f"{row.said}{'  ← would tell most now' if row.suggested else ''}"
        look = BADGE if row.marked else PLAIN
        rows.append(
            [
                (f"{mark} ", STRONG),
                (f"{fitted(row.title, wide):<{wide}}", look),
                (f"  {fitted(said, width - wide - 5)}", STRONG if row.done else QUIET),
            ]
        )
    return rows


def result_page(view: IdentifyView, width: int) -> list[Row]:
    """Return what is left, what contradicts itself, how the metals stand, what to do."""
    rows: list[Row] = []
    if view.stop:
        rows += [*stop_band(view.stop, width, STOP_ROWS + 1), []]
    if view.contradictions:
        rows.append(across(CONTRADICTION, width, ALERT))
    for said in view.contradictions:
        rows += paragraph(said, width, PLAIN, " ▲ ")
    for line in view.told[:1]:
        rows += paragraph(line, width, STRONG)
    rows += [*metal_rows(view, width), []]
    for line in view.told[1:]:
        rows += paragraph(line, width)
    return rows


def keys_page(view: IdentifyView, width: int) -> list[Row]:
    """Return every key with what it does."""
    return [
        [(" The keys", STRONG), (" (Esc goes back)", QUIET)],
        *(
            [(f" {key.shown:>5} ", BADGE), (f" {fitted(key.about, width - 9)}", PLAIN)]
            for key in KEYS
        ),
    ]


def leave_page(view: IdentifyView, width: int) -> list[Row]:
    """Return the question at the end."""
    done = sum(row.done for row in view.tests)
    answers = "1 answer" if done == 1 else f"{done} answers"
    return [
        [],
        heading(f"Close the shop tests: keep {answers}?", width),
        [],
        button(KEEP.upper(), "keep them, and close"),
        button(WITHOUT.upper(), "close without them: they are gone"),
        button("Esc", "go on testing (any other key too)"),
    ]


PAGES: dict[str, Callable[[IdentifyView, int], list[Row]]] = {
    "how": how_page,
    "why": why_page,
    "list": list_page,
    "result": result_page,
    "keys": keys_page,
    "leave": leave_page,
}
"""All but the test at hand, which is composed for the height of the window."""
