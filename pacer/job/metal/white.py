"""Whether shop tests say: do not weld, because it may be white iron (row W08).

An answer that fits other metals as well is no sign of it: no mark on paper fits steel. It
becomes one when something speaks against each of those. Every other answer for white iron
stops the weld until two tests have ruled white iron out.
"""

from __future__ import annotations

from collections.abc import Mapping

from pacer.job.job import Metal
from pacer.job.metal.shop_tests import shop_test
from pacer.job.metal.standing import Evidence, Standing, answers_told, left_of

WHITE: Metal = "white iron"
RIM = ("fracture", "white rim, dark centre")
"Malleable iron's broken face, and that of any iron with a chilled skin."


def white_likely(found: tuple[Standing, ...]) -> bool:
    """Return whether white iron isn't ruled out and a sign speaks for it, or it alone is left."""
    left = left_of(found)
    return WHITE in left and (bool(white_signs(found)) or len(left) == 1)


def white_signs(found: tuple[Standing, ...]) -> tuple[Evidence, ...]:
    """Return answers for white iron that fit no other metal which nothing speaks against.

    >>> from pacer.job.metal.standing import standings
    >>> white_signs(standings({"rub": "no mark"}))
    ()
    >>> [one.answer for one in white_signs(standings({"file": "slides"}))]
    ['slides']
    """
    others = {one.metal for one in found if one.state == "open" and one.metal != WHITE}
    white = next(one for one in found if one.metal == WHITE)
    return tuple(one for one in white.for_ if not others & set(_fits(one)))


def white_told(found: tuple[Standing, ...]) -> str:
    """Return the sentence about white iron, without its stop; empty where no sign speaks for it.

    A sign is told also where other answers rule white iron out: a casting can be white in
    places.
    """
    signs, left = white_signs(found), left_of(found)
    if left == (WHITE,):
        signs = signs or next(one for one in found if one.metal == WHITE).for_
        by = f" ({answers_told(signs)})" if signs else ""
        return (
            f"white iron is all that the shop tests leave{by}: do not weld (row W08); corners and "
            "skin of grey iron are white where they chilled, so test again away from them"
        )
    if not signs:
        return ""
    speak = f"{answers_told(signs)} {'speak' if len(signs) > 1 else 'speaks'} for white iron"
    if WHITE in left:
        return f"{speak}, and it is not ruled out: do not weld before it is (row W08)"
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


def _fits(one: Evidence) -> tuple[Metal, ...]:
    test = shop_test(one.test)
    answer = test.answer(one.answer) if test is not None else None
    return answer.fits if answer is not None else ()
