"""Words with {fields}: filled from SI and °C values, in the user's units, where they are shown."""

from __future__ import annotations

from collections.abc import Mapping

from pacer.units import Shown

_COUNTS = frozenset({"bead", "place", "planned", "run"})


def filled(words: str, values: Mapping[str, float], shown: Shown, **texts: str) -> str:
    """Return the words with each {name} as text; a value that isn't there is shown as "?".

    Words never fail for want of a number. `texts` are filled in as they are.

    >>> filled("bead {bead} at {start_c}, {of_n} of {all_n}", {"bead": 3, "start_c": 212.4}, Shown())
    'bead 3 at 212 °C, ? of ?'
    """
    known = {name: told(name, values[name], shown) for name in values}
    return words.format_map(_Filled({**known, **texts}))


def as_is(text: str) -> str:
    """Return foreign text so that `filled` leaves its braces alone.

    >>> filled(as_is("the {jig} slipped"), {}, Shown())
    'the {jig} slipped'
    """
    return text.replace("{", "{{").replace("}", "}}")


class _Filled(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "?"


def told(name: str, value: float, shown: Shown) -> str:
    """Return a value as text by the unit its name ends with.

    >>> told("lasted_s", 72.0, Shown()), told("length_m", 0.025, Shown())
    ('72 s', '25 mm')
    """
    if name in _COUNTS or name.endswith("_n"):
        return f"{value:.0f}"
    if name.endswith("_c_h"):
        return shown.rate_c_h(value)
    if name.endswith("_dc"):
        return shown.temp_dc(value)
    if name.endswith("_c"):
        return shown.temp_c(value)
    if name.endswith("arc_s"):
        return f"{value:.1f} s"
    if name.endswith("_s"):
        return shown.duration(value)
    if name.endswith("_m"):
        return shown.length_m(value)
    return f"{value:g}"
