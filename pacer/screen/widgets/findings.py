"""The findings of a replayed recording: the list, and below it what stands behind the chosen one."""

from __future__ import annotations

from pacer.screen.parts.findings import FindingList
from pacer.screen.parts.findings import Row as Found
from pacer.screen.view import View, session_time
from pacer.screen.widgets.panel import PLAIN, QUIET, STRONG, Panel, Row, fitted, wrapped

_HEAD = "what was measured and done, no verdict"
_DETAIL = 6
"Rows below the list for the chosen one, at the least."
_LEAST_LIST = 3
_LABEL = 9


class Findings(Panel):
    """The list and the chosen one."""

    DEFAULT_CSS = "Findings { height: 6; }"

    def part(self, view: View) -> object:
        """The list, and the moment: the nearest finding is marked."""
        return view.findings

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint head, list and what stands behind the chosen one."""
        listed = view.findings
        if listed is None or not listed.rows:
            return []
        count = len(listed.rows)
        room = min(count, max(_LEAST_LIST, height - 1 - _DETAIL))
        first = min(max(0, listed.at - room // 2), count - room)
        notes = sum(row.note for row in listed.rows)
        at = f"FINDINGS {_counted(count - notes, notes)}, {listed.at + 1} of {count}"
        head: Row = [(f" {at}", STRONG), (fitted(f"  {_HEAD}", width - len(at) - 1), QUIET)]
        rows = [head, *(_line(listed, at, width) for at in range(first, first + room))]
        return [*rows, *_behind(listed.rows[listed.at], width, height - len(rows))][:height]


def _counted(findings: int, notes: int) -> str:
    if not notes:
        return f"{findings}"
    return f"{findings} and {notes} note{'s' if notes > 1 else ''}"


def _line(listed: FindingList, at: int, width: int) -> Row:
    row, chosen = listed.rows[at], at == listed.at
    name = f"{'note: ' if row.note else ''}{row.name}"
    head = f" {'▸' if chosen else ' '} {row.number:>3} {session_time(row.t_s)}  {name}"
    look = STRONG if chosen else PLAIN
    return [(head, look), (fitted(f"  {row.evidence}", width - len(head) - 1), QUIET)]


def _behind(row: Found, width: int, height: int) -> list[Row]:
    """Return the evidence, the limit, what it leads to and what speaks against it, wrapped."""
    rows: list[Row] = []
    for label, text in (("", row.evidence), *row.more):
        for at, line in enumerate(wrapped(text, width - _LABEL - 4, 3)):
            said = label if at == 0 else ""
            rows.append([(f"   {said:<{_LABEL}}", QUIET), (line, PLAIN)])
    if len(rows) > height > 0:
        head, (last, _) = rows[height - 1]
        rows[height - 1] = [head, (fitted(f"{last} …", width - _LABEL - 4), PLAIN)]
    return rows[: max(0, height)]
