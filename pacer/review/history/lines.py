"""The history as text for a terminal: a session after the other, then what goes together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from pacer.job.columns import WIDTH, laid_out
from pacer.review.became import REPORTED
from pacer.review.history.against import FEWEST, LEVEL, Against, Count, Parted, Ranked, Side
from pacer.review.history.gathered import Gathered, Row
from pacer.review.history.summary import Summary
from pacer.session.filled import told
from pacer.units import Shown

_HEAD = f"{'date':<10}  {'beads':>7}  {'method':<6}  {'metal':<14}  {'cover':<15}  outcome"
MOST = 100
"Sessions listed, the newest; of more than a screen holds nobody reads the oldest first."

_NAME = 26
_COUNT = 19
_SIDE = 18
_P = 7


_CHOSEN = (
    "these sessions were chosen by what became of them (--where with outcome, when, place or the "
    f"finding {REPORTED}), so neither a share of cracks nor a comparison is shown: they would "
    "only give that choice back"
)


def history_lines(
    found: Gathered, compared: Against | None, shown: Shown, most: int | None = MOST
) -> Iterator[str]:
    """Yield the whole page, the newest sessions and what goes together at its end.

    `compared` is None where sessions were chosen by outcome; `most` None lists every session.
    """
    rows = found.rows if most is None else found.rows[-most:]
    if rows:
        yield _HEAD
        for row in rows:
            yield from _row(row)
        yield ""
    yield from laid_out(_counts(found, len(rows)))
    if rows:
        yield ""
        yield from laid_out(_CHOSEN) if compared is None else against_lines(compared, shown)


def _row(row: Row) -> Iterator[str]:
    s = row.session
    beads = f"{s.numbers['beads_n']:.0f}/{s.numbers['planned_beads_n']:.0f}"
    method, metal, cover = (s.groups[name] for name in ("method", "metal", "cover"))
    day = s.day or "no date"
    yield f"{day:<10}  {beads:>7}  {method:<6}  {metal:<14}  {cover:<15}  {_became(s)}".rstrip()
    marked = "INVENTED: " if s.invented else ""
    yield from _filled(f"{marked}{s.title}")
    damaged = "damaged, figures may lack something; " if not s.sound else ""
    names = ", ".join(s.found_names) or "no findings"
    more = f" and {s.not_kept} more findings" if s.not_kept else ""
    yield from _filled(f"{row.path}: {damaged}{names}{more}")


def _became(session: Summary) -> str:
    return REPORTED if session.became.by == REPORTED else session.became.found or "-"


def _filled(text: str) -> Iterator[str]:
    # Breaking a line costs much more than printing it, and few are that long.
    line = f"  {text}"
    if len(line) <= WIDTH and "  " not in text:
        yield line
    else:
        yield from laid_out(text)


def _counts(found: Gathered, listed: int) -> str:
    many = len(found.rows)
    newest = f", the newest {listed} listed (--all lists every one)" if listed < many else ""
    return f"{_n(many, 'session')}{newest}; left out: " + (", ".join(_left_out(found)) or "none")


def _left_out(found: Gathered) -> Iterator[str]:
    for count, what in (
        (found.invented, "invented (practice; --invented takes them in)"),
        (found.not_meant, "not meant by the conditions"),
        (found.same, "of which a longer file is here"),
        (found.others, "called .jsonl that are no recordings"),
        (len(found.unreadable), "not to be read"),
    ):
        if count:
            yield f"{count} {what}"


def _n(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def against_lines(compared: Against, shown: Shown) -> Iterator[str]:
    """Yield crack or no crack against all that sessions are compared by."""
    yield "crack or no crack, against what was planned, measured and found"
    yield from laid_out(_shares(compared))
    if not compared.all.of:
        return
    parted = [row for row in compared.parted if row.p is not None]
    ranked = [row for row in compared.ranked if row.p is not None]
    if parted:
        yield ""
        yield _cells("cracked, and 95 % interval", "with it", "without it", "p", "Holm", _COUNT)
        for row in parted:
            one, other = _count(row.having), _count(row.lacking)
            yield from _line(row.name, one, other, _p(row.p), _p(row.p_holm), _COUNT)
    if ranked:
        yield ""
        yield _cells("median (sessions)", "crack", "no crack found", "p", "Holm", _SIDE)
        for each in ranked:
            p = _p(each.p) if each.exact else f"~{_p(each.p)}"
            one, other = (_side(each, side, shown) for side in (each.cracked, each.held))
            yield from _line(each.number.label, one, other, p, _p(each.p_holm), _SIDE)
    yield ""
    for sentence in chain(_rules(compared), _too_few(compared)):
        yield from laid_out(sentence)


def _shares(compared: Against) -> str:
    count = compared.all
    unknown = f"{_n(compared.unknown, 'session')} without an outcome left out (pacer outcome)"
    if not count.of:
        return f"nothing to compare: {unknown}"
    share = ""
    if count.of >= FEWEST:
        low, high = count.share
        share = f" (95 %: {100 * low:.0f} to {100 * high:.0f} %)"
    return f"a crack was found in {count.cracked} of {count.of}{share}; {unknown}"


def _count(count: Count) -> str:
    low, high = count.share
    return f"{count.cracked}/{count.of} {100 * low:.0f}-{100 * high:.0f} %"


def _side(row: Ranked, side: Side, shown: Shown) -> str:
    assert side.median is not None
    return f"{number_told(row.number.name, side.median, shown)} ({side.n})"


def number_told(name: str, value: float, shown: Shown) -> str:
    """Return a number of `quantities.NUMBERS` in the user's units.

    >>> number_told("mass_kg", 1.6, Shown()), number_told("peened_share", 0.25, Shown())
    ('1.6 kg', '25 %')
    """
    if name.endswith("_kg"):
        return shown.mass_kg(value)
    if name.endswith("_a"):
        return f"{value:.0f} A"
    if name.endswith("_share"):
        return f"{100 * value:.0f} %"
    return told(name, value, shown)


def _p(p: float | None) -> str:
    """Return a p-value with two figures; what is smaller is only called so."""
    if p is None:
        return ""
    return "<0.001" if p < 0.001 else f"{p:.2g}"


def _cells(name: str, one: str, other: str, p: str, holm: str, wide: int) -> str:
    return f"{name:<{_NAME}} {one:<{wide}} {other:<{wide}} {p:<{_P}} {holm}".rstrip()


def _line(name: str, one: str, other: str, p: str, holm: str, wide: int) -> Iterator[str]:
    # A name too long for its column stands on a line of its own.
    if len(name) > _NAME:
        yield name
        name = ""
    yield _cells(name, one, other, p, holm, wide)


def _rules(compared: Against) -> Iterator[str]:
    yield (
        '"No crack found" is as of that look; how long each was in service is not counted. Two '
        "repairs of one part count as two."
    )
    made = compared.compared
    if not made:
        return
    yield (
        f"{_n(made, 'comparison')}: by chance alone at most about {LEVEL * made:.1f} of them would "
        f"come below {LEVEL} in p. Holm: p raised for that; below {LEVEL} there, chance alone is "
        "a poor explanation."
    )
    if not compared.any_could_tell:
        yield (
            f"With so few sessions none of {made} comparisons could come below {LEVEL} there, "
            "however great the difference."
        )
    yield (
        "What goes together is shown, never what caused it: sessions differ in more than one "
        "thing, and a careful welder does many things differently."
    )
    approximate = any(row.p is not None and not row.exact for row in compared.ranked)
    how = "; ~ by the normal approximation, too many sessions to count" if approximate else ""
    yield (
        "p: Fisher's exact test; medians by the exact rank-sum test (equal values share a "
        f"rank){how}; both two-sided. Intervals: Clopper and Pearson."
    )


def _too_few(compared: Against) -> Iterator[str]:
    cracked, rest = compared.all.cracked, compared.all.of - compared.all.cracked
    if min(cracked, rest) < FEWEST:
        yield (
            f"Nothing is compared: {cracked} with a crack and {rest} without one found; it "
            f"takes {FEWEST} of each."
        )
        return
    rows = [row for row in compared.parted if row.p is None]
    if rows:
        yield (
            f"Not compared, fewer than {FEWEST} sessions on a side (cracked with it, without it): "
            f"{'; '.join(_bare(row) for row in rows)}."
        )
    names = [row.number.label for row in compared.ranked if row.p is None and _some(row)]
    if names:
        yield f"Not compared, too few or all alike: {'; '.join(names)}."


def _bare(row: Parted) -> str:
    return (
        f"{row.name} {row.having.cracked}/{row.having.of}, {row.lacking.cracked}/{row.lacking.of}"
    )


def _some(row: Ranked) -> bool:
    return bool(row.cracked.n or row.held.n)
