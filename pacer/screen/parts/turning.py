"""Turning the part over between two beads: told by the quiet line and the caution, never called.

No cue asks for it: whether and when it is turned is the welder's; G tells that it was.
"""

from __future__ import annotations

from pacer.job.layers import Layer, layers
from pacer.session.state import State
from pacer.session.work import Phase

_BETWEEN = frozenset(
    {
        *(Phase.LOOK, Phase.READY, Phase.WAIT, Phase.REHEAT),
        *(Phase.PREHEAT, Phase.SOAK, Phase.HOLD, Phase.INSPECT),
    }
)
"Not the peen: it comes first, on the side where the bead is."


def to_turn(state: State) -> str:
    """Return what is done first where the next bead lies on the other side; else nothing.

    Fits the narrowest line. What is in it is common practice, no source.
    """
    bead, job = state.work.bead, state.job
    # Only a double V is planned on both sides; the layers of others need not be worked out.
    if state.phase not in _BETWEEN or bead is None or job.joint.preparation != "double-V":
        return ""
    if state.work.finished or state.work.laid >= job.plan.beads:
        return ""
    if state.turned_s is not None and state.turned_s >= (bead.ended_s or bead.started_s):
        return ""
    made = layers(job)
    last = _layer(made, job.plan.run_of(bead.number))
    following = _layer(made, job.plan.run_of(state.work.laid + 1))
    if last.side == following.side:
        return ""
    grind = "grind to sound metal, " if last.name == "root" else ""
    sensor = "" if state.sensor.hand else "fix sensor anew, "
    return f"Turn over first: stand ready, {grind}{sensor}then G"


def _layer(made: tuple[Layer, ...], run: int) -> Layer:
    """Return the layer of a run; one beyond the plan lies on the last."""
    return next((layer for layer in made if run <= layer.last), made[-1])
