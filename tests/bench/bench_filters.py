"""Filters against spikes: lag, error and how often a wrong number is shown, as a table.

    python tests/bench/bench_filters.py [SEEDS] [PERIOD_S]      # default 100 and 0.25; two minutes

Five minutes a seed of a part that goes 5 K up and down in 45 s, noise 0.5 K, spikes of
100-800 K either way; bursts of up to six readings (at most 1.5 s) each 40 s. All invented, as
in reliability.md T-29: no recording of an arc was to be had.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1] / "session"))
sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import HOT
from scenes import Meter, Where, led_to

from pacer.job.file.read import job_from_text
from pacer.session.fold import advance, step
from pacer.session.track import believed

Values = NDArray[np.float64]
Filter = Callable[[Values, float], Values]
"""(seeds x readings, period in s) -> what is shown after each reading; NaN: no number."""

SPAN_S, WRONG_DC = 300.0, 25.0
LEVELS = (("5 %", 0.05, False), ("20 %", 0.20, False), ("45 %", 0.45, False))
BURSTS = ("bursts + 20 %", 0.20, True)
JOB = job_from_text(HOT, "hot.toml")


def windows(values: Values, count: int) -> NDArray[np.float64]:
    """Return the last `count` values of each moment, NaN where there were fewer."""
    padded = np.pad(values, ((0, 0), (count - 1, 0)), constant_values=np.nan)
    return np.lib.stride_tricks.sliding_window_view(padded, count, axis=1)


def none(values: Values, period_s: float) -> Values:
    """Return what was read."""
    return values


def mean(count: int) -> Filter:
    """Return the mean of the last values."""
    return lambda values, period_s: np.asarray(np.nanmean(windows(values, count), axis=2))


def median(count: int) -> Filter:
    """Return the median of the last values."""
    return lambda values, period_s: np.asarray(np.nanmedian(windows(values, count), axis=2))


def ema(values: Values, period_s: float) -> Values:
    """Return an exponential average with a time constant of 2 s."""
    share = -np.expm1(-period_s / 2.0)
    shown = values.copy()
    for i in range(1, values.shape[1]):
        shown[:, i] = shown[:, i - 1] + share * (values[:, i] - shown[:, i - 1])
    return shown


def hampel(then: Filter) -> Filter:
    """Return a Hampel filter over the last nine, causal, floor 1 K, followed by another filter."""

    def filtered(values: Values, period_s: float) -> Values:
        near = windows(values, 9)
        middle = np.nanmedian(near, axis=2)
        mad = np.nanmedian(np.abs(near - middle[:, :, None]), axis=2)
        limit = np.maximum(3.0 * 1.4826 * mad, 1.0)
        return then(np.where(np.abs(values - middle) > limit, middle, values), period_s)

    return filtered


def agreeing(count: int) -> Filter:
    """Return the median of the last values where half of them lie near it, else the last such.

    For three periods, 2 s at least; then no number. With nine it is what the guard does at 4 Hz.
    """

    def filtered(values: Values, period_s: float) -> Values:
        seen = windows(values, count)
        middle = np.nanmedian(seen, axis=2)
        near = np.sum(np.abs(seen - middle[:, :, None]) <= WRONG_DC, axis=2)
        agrees = 2 * near >= np.sum(np.isfinite(seen), axis=2)
        at = np.maximum.accumulate(np.where(agrees, np.arange(values.shape[1]), 0), axis=1)
        shown = np.take_along_axis(middle, at, axis=1)
        age_s = period_s * (np.arange(values.shape[1]) - at)
        return np.where(age_s < max(3.0 * period_s, 2.0), shown, np.nan)

    return filtered


def nearest(values: Values, period_s: float) -> Values:
    """Return the median of those of the last nine that lie near the last number shown.

    Four must; else the window must agree with itself by five of nine, else the number stands
    for three periods, 2 s at least, and is gone. A candidate of ours, not in the program.
    """
    seen = windows(values, 9)
    shown = np.full_like(values, np.nan)
    last, age = values[:, 0].copy(), np.zeros(len(values))
    for i in range(values.shape[1]):
        window = seen[:, i]
        middle = np.nanmedian(window, axis=1)
        near = np.abs(window - last[:, None]) <= WRONG_DC
        own = np.abs(window - middle[:, None]) <= WRONG_DC
        enough, agrees = near.sum(axis=1) >= 4, own.sum(axis=1) >= 5
        of_near = np.nanmedian(np.where(near | ~enough[:, None], window, np.nan), axis=1)
        fresh = enough | agrees
        last = np.where(enough, of_near, np.where(agrees, middle, last))
        age = np.where(fresh, 0.0, age + period_s)
        shown[:, i] = np.where(age < max(3.0 * period_s, 2.0), last, np.nan)
    return shown


def guard(where: Where) -> Filter:
    """Return the program's own: the whole fold, and what it lets decide, in a hold or a preheat."""

    def filtered(values: Values, period_s: float) -> Values:
        meter = Meter(period_s)
        shown = np.full_like(values, np.nan)
        for i, course in enumerate(values):
            state = led_to(JOB, where, meter, 0)
            begins_s = state.t_s
            for j, value in enumerate(course):
                t_s = begins_s + (j + 1) * period_s
                state, _ = advance(state, t_s)
                state, _ = step(state, meter.line(t_s, (float(value),)))
                now = believed(state, t_s)
                if now is not None and not now.typed:
                    shown[i, j] = now.temp_c
        return shown

    return filtered


FILTERS: dict[str, Filter] = {
    "none": none,
    "mean 9": mean(9),
    "EMA 2 s": ema,
    "median 3": median(3),
    "median 5": median(5),
    "median 9": median(9),
    "median 15": median(15),
    "Hampel 9": hampel(none),
    "Hampel 9 + median 5": hampel(median(5)),
    "median 3, agreeing": agreeing(3),
    "median 5, agreeing": agreeing(5),
    "median 9, agreeing": agreeing(9),
    "nearest of 9": nearest,
    "**the guard**": guard("hold"),
}


def course(seeds: int, period_s: float) -> tuple[Values, Values]:
    """Return time and truth of each moment, the truth once a seed."""
    t_s = period_s * np.arange(round(SPAN_S / period_s), dtype=np.float64)
    phase = np.random.default_rng(1).uniform(0.0, 2.0 * np.pi, (seeds, 1))
    return t_s, np.asarray(262.0 + 5.0 * np.sin(phase + 2.0 * np.pi * t_s / 45.0))


def noisy(true_c: Values, t_s: Values, share: float, bursts: bool) -> Values:
    """Return the readings of each moment, to 0.25 K."""
    chance = np.random.default_rng(2)
    off = chance.random(true_c.shape) < share
    if bursts:
        # The first five seconds are calm: every filter starts from a good number.
        since_s = (t_s - 5.0) % 40.0
        lasts_s = 0.25 * chance.integers(1, 7, (len(true_c), 1))
        off |= since_s < lasts_s
    off[:, t_s < 5.0] = False
    spikes = chance.choice((-1.0, 1.0), true_c.shape) * chance.uniform(100.0, 800.0, true_c.shape)
    shown = true_c + 0.5 * chance.standard_normal(true_c.shape) + np.where(off, spikes, 0.0)
    return np.round(shown * 4.0) / 4.0


def lags(name: str, filter_: Filter, period_s: float) -> str:
    """Return the lag on 2 K/s, and the time to half and to nine tenths of a step of 100 K, s."""
    used = guard("preheat") if filter_ is FILTERS["**the guard**"] else filter_
    t_s = period_s * np.arange(round(40.0 / period_s), dtype=np.float64)
    true_c: Values = 20.0 + 2.0 * t_s
    ramp = used(true_c[None, :], period_s)[0]
    late_s = float(np.nanmean((true_c - ramp)[t_s > 30.0])) / 2.0
    before = round(20.0 / period_s)
    rise = used(np.where(t_s < t_s[before], 100.0, 200.0)[None, :], period_s)[0]
    half, most = (
        float(t_s[np.nonzero(rise >= level)[0][0]] - t_s[before]) for level in (150.0, 190.0)
    )
    return f"| {name} | {late_s:.1f} | {half:.2f} / {most:.2f} |"


def errors(shown: Values, true_c: Values, period_s: float) -> str:
    """Return one cell: largest and rms error, wrong numbers an hour, share without a number."""
    calm = round(5.0 / period_s)  # Where every filter fills its window, and no spike is.
    shown, true_c = shown[:, calm:], true_c[:, calm:]
    wrong = np.abs(shown - true_c) > WRONG_DC
    hours = shown.size * period_s / 3600.0
    starts = np.count_nonzero(wrong[:, 1:] & ~wrong[:, :-1]) / hours
    error = (shown - true_c)[np.isfinite(shown)]
    gone = 100.0 * float(np.mean(~np.isfinite(shown)))
    blank = f", none {gone:.0f} %" if gone >= 0.5 else ""
    return f" {np.max(np.abs(error)):.0f} / {np.sqrt(np.mean(error**2)):.1f}, {starts:.0f}{blank} |"


def main() -> None:
    """Print the table."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    period_s = float(sys.argv[2]) if len(sys.argv) > 2 else 0.25
    t_s, true_c = course(seeds, period_s)
    levels = (*LEVELS, BURSTS)
    heads = " | ".join(level[0] for level in levels)
    print(f"{seeds} seeds, a reading each {period_s} s. Each cell: largest / rms error in K,")
    print("times an hour that a number over 25 K off was shown; share of time without a number")
    print()
    print(f"| filter | lag on a ramp, s | step 50 % / 90 %, s | {heads} |")
    print("|---|---|---|" + "---|" * len(levels))
    for name, filter_ in FILTERS.items():
        cells = [
            errors(filter_(noisy(true_c, t_s, share, bursts), period_s), true_c, period_s)
            for _, share, bursts in levels
        ]
        print(lags(name, filter_, period_s) + "".join(cells), flush=True)


if __name__ == "__main__":
    main()
