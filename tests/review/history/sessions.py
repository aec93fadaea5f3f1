"""Sessions for tests of the history: a repair with times written by hand, and bare summaries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from pacer.review.became import Became
from pacer.review.history.summary import Summary
from pacer.session.events import Act, AnyEvent, Deed, Ended, Found, Reading
from pacer.session.finding import Finding

PRESSES: tuple[tuple[float, Deed], ...] = (
    (1.0, "next"),  # preheat; 260 °C is reached at 9 s, the soak begins 2 s later and lasts 60 s
    *((73.5, "next"), (83.5, "next"), (97.5, "next")),  # a bead of 10 s, its peen
    *((113.5, "next"), (123.5, "next"), (133.5, "next")),
    (140.0, "finish"),  # post-heat, 120 s
    (270.0, "next"),  # covered
    (2670.0, "uncovered"),  # long before its time
)

COVERED_S, FALL_C_S = 270.0, 0.05


def repair(
    presses: Iterable[tuple[float, Deed]] = PRESSES, until_s: int = 2700, *more: AnyEvent
) -> list[AnyEvent]:
    """Return a repair of two beads, 262 °C until it is covered, then 0.05 K/s less; invented."""
    events: list[AnyEvent] = [
        Act(t_ms=round(1000 * t_s), deed=deed, by="script") for t_s, deed in presses
    ]
    for t_s in (*range(min(300, until_s)), *range(300, until_s, 2)):
        warm_c = 150.0 if t_s < 9 else 262.0
        temp_c = warm_c - FALL_C_S * max(0.0, t_s - COVERED_S)
        events.append(Reading(t_ms=1000 * t_s, raw=(temp_c,), status="ok"))
    events.append(Ended(t_ms=1000 * until_s, why="the source ended"))
    return [*sorted(events, key=lambda event: event.t_ms), *more]


def summary(
    number: int = 0,
    found: Found | None = None,
    findings: Iterable[str] = (),
    day: str = "2026-01-01",
    invented: str = "",
    notes: Iterable[str] = (),
    cover: str = "dry sand",
    numbers: Mapping[str, float] = MappingProxyType({}),
) -> Summary:
    """Return a summary; invented."""
    names = [(name, "finding") for name in findings] + [(name, "note") for name in notes]
    return Summary(
        sid=f"{number:016x}",
        opened=f"{day}T08:00:00.000+00:00",
        day=day,
        title=f"Bracket {number}",
        invented=invented,
        groups={
            "method": "hot",
            "metal": "grey iron",
            "cover": cover,
            "heat": "oven",
            "filler": "NiFe",
        },
        numbers={"beads_n": 2.0, "planned_beads_n": 12.0, **numbers},
        phase="done",
        closed=True,
        sound=True,
        findings=tuple(
            Finding(name, 1.0, "words", weight="note" if weight == "note" else "finding")
            for name, weight in names
        ),
        became=Became(found, "outcome" if found else ""),
    )
