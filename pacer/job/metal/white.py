"""Whether shop tests say: do not weld, because it may be white iron (row W08).

An answer that fits other metals as well is no sign of it: no mark on paper fits steel. It
becomes one when something speaks against each of those. Every other answer for white iron
stops the weld until white iron is ruled out; how much that takes is in `standing.py`.
"""

from __future__ import annotations

from collections.abc import Mapping

from pacer.job.metal.standing import (
    WHITE,
    Standing,
    answers_told,
    left_of,
    weighing,
    white_signs,
)

RIM = ("fracture", "white rim, dark centre")
"Malleable iron's broken face, and that of any iron with a chilled skin."


def white_likely(found: tuple[Standing, ...]) -> bool:
    """Return whether white iron isn't ruled out and a sign speaks for it, or it alone is left."""
    left = left_of(found)
    return WHITE in left and (bool(white_signs(found)) or len(left) == 1)


def white_told(found: tuple[Standing, ...]) -> str:
    """Return the sentence about white iron, without its stop; empty where no sign speaks for it.

    A sign is told also where other answers rule white iron out: a casting can be white in
    places.
    """
    signs, left, against = white_signs(found), left_of(found), _too_little(found)
    if left == (WHITE,):
        signs = signs or next(one for one in found if one.metal == WHITE).for_
        by = f" ({answers_told(signs)})" if signs else ""
        return (
            f"white iron is all that the shop tests leave{by}: do not weld (row W08); corners and "
            f"skin of grey iron are white where they chilled, so test again away from them{against}"
        )
    if not signs:
        return ""
    speak = f"{answers_told(signs)} {'speak' if len(signs) > 1 else 'speaks'} for white iron"
    if WHITE in left:
        return f"{speak}, and it is not ruled out: do not weld before it is (row W08){against}"
    return (
        f"{speak}, which other tests rule out: a chilled skin is white, so test again below "
        "the skin where the weld will be"
    )


def rim_told(answers: Mapping[str, str]) -> str:
    """Return what a light rim on the broken face means for the weld; empty without one.

    A rim rules white iron neither in nor out, but a chilled one is white iron by itself.
    """
    if answers.get(RIM[0]) != RIM[1]:
        return ""
    return (
        "a white rim is malleable iron's, or a chilled skin (a foundry book of about 1900, seen): "
        "that is white iron and hard (row W08), so don't weld through it; grind it away where the "
        "weld goes and test below it"
    )


def _too_little(found: tuple[Standing, ...]) -> str:
    """Return what speaks against white iron and doesn't clear it; empty where nothing does."""
    white = next(one for one in found if one.metal == WHITE)
    against = weighing(white.against, WHITE)
    if not against:
        return ""
    seen = any(one.seen for one in against)
    why = "too little" if seen else "from memory only: sparks or another break could clear it"
    speak = "speaks" if len(against) == 1 else "speak"
    return f"; {answers_told(against)} {speak} against it, {why}"
