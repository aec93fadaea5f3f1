"""The crack map: a box a place, runs laid in it; ▸ the next with its direction, ▹ the one after."""

from __future__ import annotations

from pacer.screen.parts.joint import CrackMap
from pacer.screen.view import View
from pacer.screen.widgets.panel import BADGE, PLAIN, QUIET, STRONG, Panel, Row, fitted

_FILL = " ▁▂▃▄▅▆▇█"


class Joint(Panel):
    """The joint from left to right, and what is laid."""

    def part(self, view: View) -> object:
        """The map."""
        return view.joint

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint boxes, then words; with more rows, fill levels over the boxes."""
        joint = view.joint
        draw = f", draw it {joint.arrow}" if joint.arrow else ""
        then = f", then place {joint.after + 1}" if joint.after is not None else ""
        words: list[Row] = [
            [(fitted(joint.words, width), STRONG if joint.running else PLAIN)],
            [(fitted(joint.count + draw + then, width), QUIET)],
        ]
        first, last = window(joint, width)
        rows = [_boxes(joint, first, last)]
        if height >= 5:
            rows.insert(0, _levels(joint, first, last))
        return [*rows, *words][:height]


def window(joint: CrackMap, width: int) -> tuple[int, int]:
    """Return which places fit, as a half-open range around the next one."""
    room = max(1, (width - 3) // (_wide(joint) + 1))
    count = len(joint.laid)
    if count <= room:
        return 0, count
    middle = joint.place if joint.place is not None else 0
    first = min(max(0, middle - room // 2), count - room)
    return first, first + room


def _wide(joint: CrackMap) -> int:
    return 2 + max(len(str(runs)) for runs in (joint.runs, *joint.laid))


def _boxes(joint: CrackMap, first: int, last: int) -> Row:
    digits = _wide(joint) - 2
    row: Row = [("…" if first else "├", PLAIN)]
    for place in range(first, last):
        laid = f"{joint.laid[place]:>{digits}}"
        if place == joint.place:
            sign = "*" if joint.running else "▸"
            row.append((f"{sign}{laid}{joint.arrow or ' '}", BADGE))
        else:
            row.append((f"{'▹' if place == joint.after else ' '}{laid} ", PLAIN))
        row.append(
            (
                "…"
                if place == last - 1 and last < len(joint.laid)
                else "┤"
                if place == last - 1
                else "│",
                PLAIN,
            )
        )
    return row


def _levels(joint: CrackMap, first: int, last: int) -> Row:
    wide = _wide(joint)
    row: Row = [(" ", PLAIN)]
    for place in range(first, last):
        share = min(1.0, joint.laid[place] / max(1, joint.runs))
        row.append((f"{_FILL[round(share * 8)] * wide} ", STRONG))
    return row
