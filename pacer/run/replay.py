"""The replay: the same screen over a film of a recording, played both ways, with jumps.

It writes nothing and sounds nothing: it has no log and no sink.
"""

from __future__ import annotations

from collections.abc import Callable

from pacer.clock import Clock
from pacer.run.film import Film
from pacer.run.playback import Marks, Playback
from pacer.screen.desk import BY_THE_WELDER, Pace, Snapshot
from pacer.screen.view import session_time
from pacer.session.events import Deed


class Replay:
    """A `Desk` over a film; `clock` is any steady clock."""

    def __init__(
        self, film: Film, clock: Clock, speed: float = 10.0, at_s: float | None = None
    ) -> None:
        """Begin to play at session time `at_s`, or at the start."""
        self.film = film
        self._playback = Playback(clock, film.start_s, film.end_s, speed=speed, at_s=at_s)
        self._marks = Marks(
            [cue.t_s for cue in film.cues],
            [from_s for from_s, _, _ in film.excursions],
            [from_s for _, from_s in film.phases],
            film.record_after,
            film.record_before,
        )

    def snapshot(self) -> Snapshot:
        """Return the moment the replay has come to."""
        play = self._playback
        speed = -play.speed if play.backwards else play.speed
        return self.film.snapshot(play.now_s(), speed=speed, paused=play.paused)

    def press(
        self,
        deed: Deed,
        *,
        temp_c: float | None = None,
        side: int = 0,
        length_m: float | None = None,
        text: str | None = None,
    ) -> None:
        """A replay changes nothing."""

    def pace(self, word: Pace) -> None:
        """Pause, turn, go faster or slower, step, or jump to what comes next or came before."""
        self._playback.pace(word, self._marks)

    def jump(self, t_s: float) -> str:
        """Go to a session time, s, or to the end that is nearer; return where that is."""
        self._playback.to(t_s)
        end_s = self.film.end_s
        if t_s > end_s:
            return f"It ends at {session_time(end_s)}: now there"
        return f"Now at {session_time(self._playback.now_s())}"

    def stop(self, why: str = BY_THE_WELDER) -> None:
        """Nothing to close."""

    def on_change(self, changed: Callable[[], None]) -> None:
        """Nothing changes but by the passing of time."""
