"""Hypothesis strategies for sessions: any mixture of readings, deeds, port news and gaps."""

from __future__ import annotations

from typing import get_args

import msgspec
from hypothesis import strategies as st

from pacer.session.events import (
    DEEDS,
    Act,
    AnyEvent,
    ArcSignal,
    Channel,
    ClockGap,
    CueTold,
    Ended,
    Found,
    GapBy,
    Inspection,
    Mark,
    Outcome,
    Reading,
    Recovered,
    Resumed,
    SensorChanged,
    Trouble,
    WallStepped,
)
from pacer.session.inspection import Imperfection, Look, Looked, Penetrant, Proof, RingHeard

_WORD = st.text(max_size=20)
_SIZES_M = st.one_of(st.none(), st.floats(0.001, 10.0))
_TIMES_S = st.one_of(st.none(), st.floats(0.0, 1e6))
INSPECTIONS = st.builds(
    Inspection,
    t_ms=st.just(0),
    look=st.sampled_from(get_args(Look)),
    result=st.sampled_from(get_args(Looked)),
    imperfections=st.lists(
        st.builds(
            Imperfection,
            number=st.integers(100, 9999),
            name=_WORD,
            bead=st.one_of(st.none(), st.integers(1, 99)),
            place=_WORD,
            size_m=_SIZES_M,
        ),
        max_size=3,
    ).map(tuple),
    penetrant=st.one_of(
        st.none(),
        st.builds(
            Penetrant,
            surface_c=st.one_of(st.none(), st.floats(-50.0, 300.0)),
            dwell_s=_TIMES_S,
            developer_s=_TIMES_S,
            maker_s=_TIMES_S,
            product=_WORD,
            from_service=st.sampled_from([None, True, False]),
        ),
    ),
    ring=st.sampled_from([None, *get_args(RingHeard)]),
    leak_s=_TIMES_S,
    liquid=_WORD,
    opened=st.sampled_from([None, True, False]),
    welded=st.sampled_from([None, True, False]),
    proof=st.one_of(
        st.none(),
        st.builds(
            Proof,
            load_n=st.one_of(st.none(), st.floats(0.0, 1e6)),
            arm_m=_SIZES_M,
            width_m=_SIZES_M,
            height_m=_SIZES_M,
            diameter_m=_SIZES_M,
            held_s=_TIMES_S,
            grade=_WORD,
        ),
    ),
    text=_WORD,
    by=_WORD,
    photo=_WORD,
    photo_sha=_WORD,
)
"""A look at a finished repair, with any of its members, also those of another look."""

TEMPS_C = st.one_of(
    st.sampled_from([20.0, 39.9, 40.0, 199.0, 200.0, 230.0, 255.0, 260.0, 295.0, 300.0, 301.0]),
    st.floats(-300, 2000, allow_nan=False),
)
STATUSES = st.sampled_from(["ok", "ok", "ok", "open", "short", "unparsable"])
TEXTS = st.text(max_size=20)


_READINGS = st.one_of(
    st.builds(Reading, t_ms=st.just(0), raw=st.tuples(TEMPS_C), status=STATUSES),
    st.builds(
        Reading,
        t_ms=st.just(0),
        raw=st.tuples(TEMPS_C, TEMPS_C),
        status=st.tuples(STATUSES, STATUSES),
        names=st.just(("front", "back")),
    ),
)
_NEXT = st.just(Act(t_ms=0, deed="next"))
_DEEDS = st.builds(
    Act,
    t_ms=st.just(0),
    deed=st.sampled_from(DEEDS),
    temp_c=st.one_of(st.none(), TEMPS_C),
    length_m=st.one_of(st.none(), st.floats(0.001, 0.1)),
    text=st.one_of(st.none(), TEXTS),
)
_CHANNELS = st.sampled_from(
    [
        None,
        Channel(name="front", unit="degC"),
        Channel(name="", unit="degF", scale=5 / 9, offset_c=-160 / 9),
        Channel(name="front", unit="degC", arc=ArcSignal("back", on=20.0, off=10.0)),
    ]
)
_NEWS = st.one_of(
    st.builds(
        SensorChanged,
        t_ms=st.just(0),
        state=st.sampled_from(["opened", "live", "lost", "closed", "paced"]),
        why=TEXTS,
        period_s=st.one_of(st.none(), st.floats(0.05, 60)),
    ),
    st.builds(Resumed, t_ms=st.just(0), channel=_CHANNELS, hand=st.booleans()),
    st.builds(Trouble, t_ms=st.just(0), what=TEXTS, why=TEXTS),
    st.builds(Mark, t_ms=st.just(0), n=st.integers(0, 9), sha=TEXTS),
    st.builds(WallStepped, t_ms=st.just(0), step_s=st.floats(-1e6, 1e6)),
)
STEPS_MS = st.sampled_from([0, 1, 250, 500, 1000, 1000, 2000, 3500, 10_000, 60_000, 600_000])
_GAPS = st.builds(ClockGap, t_ms=st.just(0), to_ms=STEPS_MS, by=st.sampled_from(get_args(GapBy)))
_HAPPENINGS = st.one_of(_READINGS, _READINGS, _READINGS, _NEXT, _NEXT, _DEEDS, _NEWS, _GAPS)


def _in_order(told: list[tuple[int, AnyEvent]]) -> list[AnyEvent]:
    events: list[AnyEvent] = []
    t_ms = 0
    for step_ms, event in told:
        t_ms += step_ms
        if isinstance(event, ClockGap):
            gap = ClockGap(t_ms=t_ms, to_ms=t_ms + event.to_ms, by=event.by)
            events.append(gap)
            t_ms = gap.to_ms
        else:
            events.append(msgspec.structs.replace(event, t_ms=t_ms))
    return events


def sessions(most: int = 40) -> st.SearchStrategy[list[AnyEvent]]:
    """A session of up to `most` events in order of time."""
    return st.lists(st.tuples(STEPS_MS, _HAPPENINGS), max_size=most).map(_in_order)


_CUES = st.builds(
    CueTold,
    t_ms=st.just(0),
    kind=TEXTS,
    urgency=TEXTS,
    values=st.dictionaries(TEXTS, st.floats(-1e6, 1e6), max_size=3),
    words=TEXTS,
)


def not_folded() -> st.SearchStrategy[AnyEvent]:
    """A record of a kind that the fold of a live session never sees."""
    return st.one_of(
        _CUES,
        st.builds(Mark, t_ms=st.just(0), n=st.integers(0, 9), sha=TEXTS),
        st.builds(Recovered, t_ms=st.just(0), torn=st.integers(0, 99)),
        st.builds(Outcome, t_ms=st.just(0), found=st.sampled_from(get_args(Found))),
        INSPECTIONS,
    )


def any_events() -> st.SearchStrategy[AnyEvent]:
    """One event of any kind, for the codec."""
    ended = st.builds(Ended, t_ms=st.just(0), why=TEXTS)
    return st.one_of(_READINGS, _DEEDS, _NEWS, _GAPS, not_folded(), ended)
