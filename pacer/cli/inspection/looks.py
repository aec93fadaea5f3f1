"""Ways of looking at a finished repair: what each can tell and can't, and what belongs to it.

What they can tell is common practice, no source, but where a row of the trade's facts is named.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.session.inspection import Look


class LookRow(NamedTuple):
    """One way of looking."""

    tells: str
    "What it can tell, and what it can't; one sentence."
    options: tuple[str, ...] = ()
    "Options, and questions, that go with no other."


LOOKS: dict[Look, LookRow] = {
    "visual": LookRow(
        "brushed clean, in bright light, by eye: open cracks, pores, undercut; "
        "nothing that is closed or lies below"
    ),
    "penetrant": LookRow(
        "cracks and pores that are open to the surface, fine ones too; nothing that lies below it",
        ("surface", "maker", "from_service", "dwell", "developer", "product"),
    ),
    "ring": LookRow(
        "hung free and struck, clear or dull: a large crack; a short one may ring clear, "
        "and how it hangs may make it dull",
        ("heard",),
    ),
    "leak": LookRow(
        "a liquid such as kerosene on one side (row N13): a way through the wall; "
        "nothing that does not go through",
        ("liquid", "leak"),
    ),
    "grinding": LookRow(
        "ground and looked at again: what the surface hid; only as deep as it was ground"
    ),
    "pinholes": LookRow(
        "counted and measured, and judged by whoever looks: those at the surface; "
        "not what lies below"
    ),
    "back side": LookRow(
        "ground open to sound metal from behind: whether the root was reached; "
        "only where it was opened",
        ("opened", "welded"),
    ),
    "proof load": LookRow(
        "that it bore this load, this once; nothing of a blow, "
        "of frost, or of a load that comes again and again",
        ("load", "arm", "section", "held", "grade"),
    ),
}

GOES_WITH: dict[str, Look] = {option: look for look, row in LOOKS.items() for option in row.options}
"Option -> the only look it goes with."
