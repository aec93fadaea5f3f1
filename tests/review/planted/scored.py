"""Whether a planted fault was found: at its bead, in its time, and nothing else beside it."""

from __future__ import annotations

from dataclasses import dataclass

from kinds import AT, NEAR, Kind
from planted_repair import Reviewed, review

from pacer.session.finding import Finding


@dataclass(frozen=True)
class Score:
    """What the review made of two repairs, one with a fault and one that came near it."""

    name: str
    seed: int
    found: bool
    near_reported: bool
    "The fault's name, in the repair that only came near."
    false: tuple[Finding, ...]
    "Above a note and not true, of both repairs."
    hours: float
    "Of both repairs."

    @property
    def right(self) -> bool:
        """True where all was found, and nothing else."""
        return self.found and not self.near_reported and not self.false


def score(kind: Kind, seed: int) -> Score:
    """Plant a fault of a kind, and its near miss, and score what was found."""
    far, near = (review(kind.job, seed, *kind.fault(size)) for size in (AT, NEAR))
    for repair in (far, near):
        assert repair.done, f"{kind.name}, seed {seed}: the repair came to no end"
    assert kind.name in far.made, f"{kind.name}, seed {seed}: the fault was never made"
    hits = [f for f in far.of(kind.name) if _is_hit(f, kind, far)]
    extra = [f for f in far.above_note if f not in hits and f.name not in kind.entails]
    beside = [f for f in near.above_note if f.name != kind.name and f.name not in kind.near_entails]
    return Score(
        name=kind.name,
        seed=seed,
        found=any(f.weight == kind.weight for f in hits),
        near_reported=any(f.weight == kind.weight for f in near.of(kind.name)),
        false=(*extra, *beside),
        hours=far.hours + near.hours,
    )


def _is_hit(found: Finding, kind: Kind, repair: Reviewed) -> bool:
    from_s, to_s = repair.made[kind.name]
    ended_s = found.t_s if found.to_s is None else found.to_s
    in_time = ended_s >= from_s - kind.late_s and found.t_s <= to_s + kind.late_s
    return in_time and kind.bead in {None, found.bead}
