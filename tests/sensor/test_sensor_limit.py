"""The limiter: below 20 lines a second nothing is held, above it the newest per 100 ms."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.sensor.text.limit import Limiter
from pacer.session.events import Reading


def reading(value: float) -> Reading:
    """Return a sound reading."""
    return Reading(t_ms=0, raw=(value,), status="ok")


def test_a_source_of_ten_lines_a_second_passes_at_once_and_whole() -> None:
    """design.md, Recording: one record a line, never held back."""
    limiter = Limiter()
    for i in range(600):
        assert [reading(i)] == limiter.take([reading(i)], i / 10)


def test_ten_thousand_lines_a_second_become_ten_records_that_count_the_rest() -> None:
    """reliability.md T-24: at most 10 samples a second logged, newest value used."""
    limiter = Limiter()
    passed: list[tuple[float, Reading]] = []
    for i in range(5000):  # 5 s, ten lines every ms
        now_s = i / 1000
        lines = [reading(10 * i + j) for j in range(10)]
        passed += [(now_s, item) for item in limiter.take(lines, now_s)]
    steady = [(now_s, item) for now_s, item in passed if now_s >= 1.0]

    assert len(steady) <= 40
    assert len(steady) >= 39
    for now_s, item in steady:
        assert item.raw == (round(now_s * 1000) * 10 + 9,)
    kept_or_counted = sum(1 + item.dropped for _, item in passed)
    assert kept_or_counted == passed[-1][1].raw[0] + 1  # type: ignore[operator]


def test_the_last_line_of_a_flood_comes_out_without_another() -> None:
    """A flood that stops must not leave its newest value in the limiter."""
    limiter = Limiter()
    limiter.take([reading(i) for i in range(50)], 1.0)

    assert limiter.take([], 1.05) == []
    (last,) = limiter.take([], 1.1)
    assert last.raw == (49.0,)
    assert last.dropped == 30  # 19 passed, 30 left out, 1 kept


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(gaps_ms=st.lists(st.integers(0, 300), max_size=200))
def test_no_line_is_lost_uncounted_and_order_is_kept(gaps_ms: list[int]) -> None:
    """Passed, counted or still held: every line once."""
    limiter = Limiter()
    now_ms = 0
    passed: list[Reading] = []
    for i, gap_ms in enumerate(gaps_ms):
        now_ms += gap_ms
        passed += limiter.take([reading(i)], now_ms / 1000)
    passed += limiter.flush()
    values = [item.raw[0] for item in passed]

    assert len(gaps_ms) == sum(1 + item.dropped for item in passed)
    assert values == sorted(values)  # type: ignore[type-var]
    assert not gaps_ms or values[-1] == len(gaps_ms) - 1
