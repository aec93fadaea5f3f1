"""A cue in words, in the user's units; shared by the screen, the headless run and reports.

The table of words is `session/cues.py`; here only values become text.
"""

from __future__ import annotations

from pacer.session.cues import EVIDENCE, Cue
from pacer.text import clean
from pacer.units import Shown

_COUNTS = frozenset({"bead", "place", "planned", "run"})


def words(cue: Cue, shown: Shown) -> str:
    """Return the cue's one line, filled in and cleaned.

    A value the cue doesn't carry is shown as "?": words never fail for want of a number.
    """
    filled = _filled(cue, shown)
    filled["because"] = because(cue, shown)
    return clean(cue.words.format_map(filled))


def because(cue: Cue, shown: Shown) -> str:
    """Return the cue's evidence, its own fields filled in."""
    # Foreign words, such as a system's error, may hold braces: they are left alone.
    if cue.kind not in EVIDENCE:
        return cue.because
    return cue.because.format_map(_filled(cue, shown))


def _filled(cue: Cue, shown: Shown) -> _Filled:
    return _Filled({name: _value(name, value, shown) for name, value in cue.values.items()})


class _Filled(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "?"


def _value(name: str, value: float, shown: Shown) -> str:
    if name in _COUNTS:
        return f"{value:.0f}"
    if name.endswith("_c"):
        return shown.temp_c(value)
    if name.endswith("_dc"):
        return shown.temp_dc(value)
    if name.endswith("_s"):
        return shown.duration(value)
    return f"{value:g}"


def cue_line(cue: Cue, shown: Shown) -> str:
    """Return the headless run's line: time, kind, words, with tabs between.

    Nothing else that the program prints has two tabs.
    """
    return f"{cue.t_s:.3f}\t{cue.kind}\t{words(cue, shown)}"
