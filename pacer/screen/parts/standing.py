"""The sensor's states in the welder's words: under the number, beside the channel, on the page.

`session/guard/standing.py` says which state a sensor is in; here is only how that reads.
"""

from __future__ import annotations

from pacer.session.guard.standing import QUESTIONS, Stand, Standing

ABOUT: dict[Standing, str] = {
    Standing.HAND: "readings are typed (R)",
    Standing.WAITING: "nothing has come since the start: plugged in, switched on?",
    Standing.STARTING: "the port was just opened, a board may be starting: wait",
    Standing.CHECKING: "the first readings after an opening: shown grey",
    Standing.LIVE: "the number decides",
    Standing.NOISY: "many spikes, the median decides: see to plug and work clamp",
    Standing.ARC: "the arc shows in the reading: the number before it is held",
    Standing.STUCK: "did not move where it had to: measure by hand",
    Standing.UNIT: "may be °F or K taken for °C: measure by hand",
    Standing.PROBE: "fell as a probe that came off does: look at it",
    Standing.JUMPED: "a step that no part makes: look at the probe",
    Standing.REVERSED: "falls while heated: the probe's leads may be swapped",
    Standing.WIRE: "fits another thermocouple type: check the setting",
    Standing.APART: "the channels disagree: measure by hand which is right",
    Standing.OUTSIDE: "no part here can be so cold or hot: look at the wiring",
    Standing.OPEN: "a wire or the probe is broken or unplugged",
    Standing.SHORT: "two wires touch, or one touches the casting",
    Standing.GARBLED: "lines come that nobody can read: baud rate, line format",
    Standing.SILENT: "no line for longer than usual: plug, cable, battery",
    Standing.LOST: "the port is gone: plug it in again",
}
"""What each state means and what to do; at most 60 letters, so that 80 columns hold it."""

UNDER: dict[Standing, str] = {
    Standing.STUCK: "stuck: measure by hand",
    Standing.UNIT: "which unit? measure by hand",
    Standing.PROBE: "probe on? look at it",
    Standing.JUMPED: "jumped: look at the probe",
    Standing.REVERSED: "reversed: look at the leads",
    Standing.WIRE: "wire type: check the setting",
    Standing.APART: "apart: which one is right?",
}
"""What stands under the number of each question; at most 30 letters, so that a peen shows it."""

WORST_FIRST = (
    Standing.LOST,
    Standing.OPEN,
    Standing.SHORT,
    Standing.GARBLED,
    Standing.SILENT,
    Standing.OUTSIDE,
    *(state for state in Standing if state in QUESTIONS),
    Standing.ARC,
    Standing.WAITING,
    Standing.STARTING,
    Standing.NOISY,
    Standing.CHECKING,
    Standing.LIVE,
    Standing.HAND,
)
"""Without a number, then with one that doesn't decide, then with one that does."""


def worst_first(stand: Stand) -> int:
    """Return a key that sorts states, the worst first."""
    return WORST_FIRST.index(stand.state)
