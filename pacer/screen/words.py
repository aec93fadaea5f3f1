"""A cue in words, in the user's units; shared by the screen, the headless run and reports.

The table of words is `session/cues.py`; here only values become text.
"""

from __future__ import annotations

from pacer.session.cues import EVIDENCE, Cue
from pacer.session.filled import filled
from pacer.text import clean
from pacer.units import Shown


def words(cue: Cue, shown: Shown) -> str:
    """Return the cue's one line, filled in and cleaned.

    A value the cue doesn't carry is shown as "?": words never fail for want of a number.
    """
    return clean(filled(cue.words, cue.values, shown, because=because(cue, shown)))


def because(cue: Cue, shown: Shown) -> str:
    """Return the cue's evidence, its own fields filled in."""
    # Foreign words, such as a system's error, may hold braces: they are left alone.
    if cue.kind not in EVIDENCE:
        return cue.because
    return filled(cue.because, cue.values, shown)


def cue_line(cue: Cue, shown: Shown) -> str:
    """Return the headless run's line: time, kind, words, with tabs between.

    Nothing else that the program prints has two tabs.
    """
    return f"{cue.t_s:.3f}\t{cue.kind}\t{words(cue, shown)}"
