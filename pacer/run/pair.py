"""`Pair`: two recordings played together on one axis, aligned at a moment both have.

    pair = Pair((Film(good), Film(cracked)), clock)
    pair.align_at("start")

The axis counts seconds from the aligned moment. Nothing is written and nothing sounds.
"""

from __future__ import annotations

from typing import get_args

from pacer.clock import Clock
from pacer.errors import UserInputError
from pacer.run.film import Film
from pacer.run.playback import Marks, Playback
from pacer.screen.desk import Pace
from pacer.screen.pair.desk import Aligned, Letter, PairSnapshot, Points, Recorded, Side
from pacer.screen.pair.lane import lane
from pacer.session.cues import Cue
from pacer.session.work import Phase
from pacer.text import clean

ZOOMS_S = (7200.0, 1200.0, 300.0)
"""Stretches of time drawn, besides all: a preheat, some beads, a bead. Common practice, no
source."""

_PARTS = 400
"""Of a curve, each with its coldest and hottest: more than the widest terminal has dots."""

_HOPS = 8
"""The window moves on by an eighth of its width, so that the curves do not crawl."""


def first_entries(film: Film) -> dict[Aligned, float]:
    """Return when each phase was first entered, s, in the order of entering, the start last."""
    entries: dict[Aligned, float] = {}
    for phase, from_s in film.phases:
        entries.setdefault(phase, from_s)
    return {**entries, "start": film.start_s}


def shared(films: tuple[Film, Film]) -> tuple[Aligned, ...]:
    """Return what the two can be aligned at, in the order of the first."""
    second = first_entries(films[1])
    return tuple(at for at in first_entries(films[0]) if at in second)


def alignment(films: tuple[Film, Film], wanted: str | None) -> Aligned:
    """Return what to align at: what is wanted, else the first preheat both have, else the start.

    Raises `UserInputError` for a word that is no phase, and for a phase one never entered.
    """
    if wanted is None:
        return Phase.PREHEAT if Phase.PREHEAT in shared(films) else "start"
    known: dict[str, Aligned] = {**{str(phase): phase for phase in Phase}, "start": "start"}
    if wanted not in known:
        found, words = clean(wanted, 40), ", ".join(known)
        raise UserInputError(f'--align "{found}": expected one of {words}')
    for letter, film in zip(get_args(Letter), films, strict=True):
        entries = first_entries(film)
        if known[wanted] not in entries:
            has = ", ".join(map(str, entries))
            raise UserInputError(
                f"--align {wanted}: {letter} ({film.name}) never entered {wanted}; it has: {has}"
            )
    return known[wanted]


def told(films: tuple[Film, Film], at: Aligned) -> list[tuple[float, Letter, Cue]]:
    """Return the cues of both by their time on the axis, s; A first where two come at once."""
    letters: tuple[Letter, Letter] = get_args(Letter)
    zeros = (first_entries(film)[at] for film in films)
    cues = [
        (cue.t_s - zero_s, letter, cue)
        for letter, film, zero_s in zip(letters, films, zeros, strict=True)
        for cue in film.cues
    ]
    return sorted(cues, key=lambda row: row[:2])


class Pair:
    """A `PairDesk` over two films; `clock` is any steady clock."""

    def __init__(
        self,
        films: tuple[Film, Film],
        clock: Clock,
        *,
        align: Aligned = "start",
        speed: float = 10.0,
    ) -> None:
        """Stand at the beginning of what began first, aligned at a moment both have."""
        self._films = films
        self._recorded = (_recorded("A", films[0]), _recorded("B", films[1]))
        self._entries = (first_entries(films[0]), first_entries(films[1]))
        self._shared = shared(films)
        self._window_s: float | None = None
        self._drawn: dict[int, tuple[tuple[float, float, float], Points]] = {}
        self._aligned, self._zeros = align, self._zeros_of(align)
        start_s, end_s = self._axis()
        self._playback = Playback(clock, start_s, end_s, speed=speed)
        self._marks = self._marks_of()

    def _zeros_of(self, at: Aligned) -> tuple[float, float]:
        return self._entries[0][at], self._entries[1][at]

    def _axis(self) -> tuple[float, float]:
        """Return where the first begins and the last ends."""
        pairs = list(zip(self._films, self._zeros, strict=True))
        starts = [film.start_s - zero_s for film, zero_s in pairs]
        return min(starts), max(film.end_s - zero_s for film, zero_s in pairs)

    def align_at(self, at: Aligned) -> None:
        """Align at another moment that both have; A stays at its present moment."""
        session_s = self._playback.now_s() + self._zeros[0]
        self._aligned, self._zeros = at, self._zeros_of(at)
        self._playback.start_s, self._playback.end_s = self._axis()
        self._playback.to(session_s - self._zeros[0])
        self._marks = self._marks_of()

    def align(self) -> None:
        """Align at the next phase that both have entered."""
        place = self._shared.index(self._aligned) + 1
        self.align_at(self._shared[place % len(self._shared)])

    def zoom(self) -> None:
        """Draw a shorter stretch; those that are no shorter than all are left out."""
        start_s, end_s = self._axis()
        drawn_s = end_s - start_s if self._window_s is None else self._window_s
        self._window_s = next((span_s for span_s in ZOOMS_S if span_s < drawn_s), None)

    def pace(self, word: Pace) -> None:
        """Do what a key of the replay says, to both."""
        self._playback.pace(word, self._marks)

    def _marks_of(self) -> Marks:
        """Return what of either keys jump to, on the present axis."""
        films = list(zip(self._films, self._zeros, strict=True))

        def after(at_s: float) -> float:
            found = (film.record_after(at_s + zero_s) - zero_s for film, zero_s in films)
            return min((t_s for t_s in found if t_s > at_s), default=at_s)

        def before(at_s: float) -> float:
            found = (film.record_before(at_s + zero_s) - zero_s for film, zero_s in films)
            return max((t_s for t_s in found if t_s < at_s), default=at_s)

        return Marks(
            sorted({cue.t_s - zero_s for film, zero_s in films for cue in film.cues}),
            sorted({from_s - zero_s for film, zero_s in films for from_s, _, _ in film.excursions}),
            sorted({from_s - zero_s for film, zero_s in films for _, from_s in film.phases}),
            after,
            before,
        )

    def snapshot(self) -> PairSnapshot:
        """Return the present moment of both."""
        play = self._playback
        at_s = play.now_s()
        from_s, to_s = self._window(at_s)
        return PairSnapshot(
            at_s=at_s,
            sides=(self._side(0, at_s, from_s, to_s), self._side(1, at_s, from_s, to_s)),
            aligned=self._aligned,
            from_s=from_s,
            to_s=to_s,
            speed=play.speed,
            paused=play.paused,
            backwards=play.backwards,
            over=play.over,
        )

    def _window(self, at_s: float) -> tuple[float, float]:
        """Return the stretch drawn: all, or a window with the moment near its middle."""
        start_s, end_s = self._axis()
        if self._window_s is None or self._window_s >= end_s - start_s:
            return start_s, end_s
        hop_s = self._window_s / _HOPS
        middle_s = hop_s * round(at_s / hop_s)
        from_s = min(max(start_s, middle_s - self._window_s / 2), end_s - self._window_s)
        return from_s, from_s + self._window_s

    def _side(self, place: int, at_s: float, from_s: float, to_s: float) -> Side:
        film, zero_s = self._films[place], self._zeros[place]
        t_s = min(max(at_s + zero_s, film.start_s), film.end_s)
        return Side(
            recorded=self._recorded[place],
            zero_s=zero_s,
            snapshot=film.snapshot(t_s, speed=1.0, paused=True),
            points=self._points(place, from_s, to_s),
        )

    def _points(self, place: int, from_s: float, to_s: float) -> Points:
        """Return a curve, made anew only where another stretch or alignment is drawn."""
        zero_s = self._zeros[place]
        key = (from_s, to_s, zero_s)
        if place not in self._drawn or self._drawn[place][0] != key:
            points = self._films[place].curve.between(from_s + zero_s, to_s + zero_s, _PARTS)
            self._drawn[place] = key, tuple((t_s - zero_s, temp_c) for t_s, temp_c in points)
        return self._drawn[place][1]


def _recorded(letter: Letter, film: Film) -> Recorded:
    beads = film.state_at(film.end_s).work.beads
    return Recorded(
        letter=letter,
        name=film.name,
        invented=clean(film.head.invented, 80),
        damaged=not film.damage.sound,
        start_s=film.start_s,
        end_s=film.end_s,
        beads=beads,
        lane=lane(beads, film.excursions, film.cues, film.end_s),
    )
