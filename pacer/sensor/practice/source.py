"""`practice:`, a simulated part with its welder as a `Source` with its own clock.

`read` returns one step: a reading, a deed, or news of a new pace, whichever comes next.
Nothing is simulated beyond it, so the cues it raises reach the welder before he would
act on them, and the session is the same however the driver slices its waiting.
"""

from __future__ import annotations

from collections import deque
from pathlib import Path

from pacer.job.file.read import read_job
from pacer.job.job import Job
from pacer.sensor.practice.casting import Casting
from pacer.sensor.practice.pace import Pace, PaceWord
from pacer.sensor.practice.planted.fault import TWO_CHANNELS, Fault
from pacer.sensor.practice.planted.hands import Hands
from pacer.sensor.practice.planted.wiring import Wiring
from pacer.sensor.practice.welder import Welder
from pacer.sensor.source import Heard
from pacer.sensor.url import SensorUrl, parse_url
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Channel, ClockGap, Reading, SensorChanged

DEFAULT_SEED = 1
DEFAULT_JOB = Path(__file__).with_name("job.toml")

WELDING_MS = 250
COOLING_MS = 10_000

_LONGEST_S = 120.0 * 3600.0
_NOTHING_HEARD_S = 6.0 * 3600.0
"Hot, and no cue for so long: nobody will say anything any more."


def practice_job() -> Job:
    """Return the default practice job (invented)."""
    return read_job(DEFAULT_JOB)


class PracticePart:
    """A simulated part, its probe and its welder."""

    hand = False
    clk = "source"

    def __init__(
        self,
        job: Job,
        seed: int,
        pace: Pace,
        url: SensorUrl,
        spoil: bool = False,
        planted: tuple[Fault, ...] | None = None,
    ) -> None:
        self.url = url.text
        self.channel: Channel = url.channel()
        self.period_s: float | None = WELDING_MS / 1000
        self.invented = f"practice part, seed {seed}" + (", uncovered early" if spoil else "")
        self.casting = Casting(job, seed)
        faults = planted or ()
        two = any(fault.name in TWO_CHANNELS for fault in faults)
        self._wiring = Wiring(seed, channels=2 if two else 1)
        if planted is None:
            self._welder = Welder(job, self.casting, seed, spoil)
        else:
            self.invented += "".join(f", {fault.told}" for fault in faults) or ", no mishap"
            self._welder = Hands(job, self.casting, self._wiring, seed, faults)
        self._pace = pace
        self._posted: deque[AnyEvent] = deque()
        self._reading_ms = 0
        self._period_ms = WELDING_MS
        self._heard_s = 0.0
        self._closed = False

    @property
    def made(self) -> dict[str, tuple[float, float]]:
        """From when to when each planted fault was made, session time in s."""
        return self._welder.made if isinstance(self._welder, Hands) else {}

    @property
    def speed(self) -> float | None:
        """Session seconds a real second; 0 as fast as it can, None by what is going on."""
        return self._pace.speed

    @speed.setter
    def speed(self, speed: float | None) -> None:
        self._pace.speed = speed

    @property
    def rate(self) -> float:
        """Session seconds a real second just now; 0 while paused."""
        return self._pace.rate

    @property
    def paused(self) -> bool:
        """True while the practice stands still."""
        return self._pace.paused

    def pace(self, word: PaceWord) -> None:
        """Double or halve the speed; pause, or go on."""
        self._pace.change(word)

    def clock(self) -> float:
        """Return session time now, s."""
        return self._pace.now_s()

    @property
    def finished(self) -> bool:
        """True when the welder has gone, or nothing has come of it for far too long."""
        return self._over() and not self._posted

    def _over(self) -> bool:
        now_s = self._pace.now_s()
        silent = not self.casting.covered and now_s - self._heard_s > _NOTHING_HEARD_S
        return self._closed or self._welder.gone or silent or now_s > _LONGEST_S

    def read(self, until_s: float | None) -> list[Heard]:
        """Return the next step's items, none later than `until_s`."""
        while not self.finished:
            if self._posted:
                return [Heard(self.clock(), self._posted.popleft())]
            due_ms = self._welder.due_ms
            acts = due_ms is not None and due_ms <= self._reading_ms
            next_ms = due_ms if due_ms is not None and acts else self._reading_ms
            waited_s = next_ms / 1000 if until_s is None else min(until_s, next_ms / 1000)
            if not self._pace.until(waited_s, self._interrupted):
                continue
            if until_s is not None and until_s < next_ms / 1000:
                return []
            self.casting.to(next_ms / 1000)
            items = self._act(next_ms) if acts else [self._look(next_ms)]
            if items:
                return items
        return []

    def _interrupted(self) -> bool:
        return bool(self._posted) or self._closed

    def _act(self, t_ms: int) -> list[Heard]:
        act = self._welder.act()
        if isinstance(act, ClockGap):
            self._reading_ms = act.to_ms
        return [] if act is None else [Heard(t_ms / 1000, act)]

    def _look(self, t_ms: int) -> Heard:
        """Take a reading, or tell first that readings come at another pace."""
        period_ms = COOLING_MS if self.casting.covered else WELDING_MS
        if period_ms != self._period_ms:
            self._period_ms = period_ms
            paced = SensorChanged(t_ms=0, state="paced", period_s=period_ms / 1000)
            return Heard(t_ms / 1000, paced)
        self._reading_ms = t_ms + period_ms
        shown_c = self.casting.probe.shown_c(arc=self.casting.arc)
        self._welder.look(t_ms / 1000, shown_c)
        temps_c = self._wiring.temps_c(t_ms / 1000, shown_c)
        if temps_c is None:
            nothing = (None,) * self._wiring.channels
            return Heard(t_ms / 1000, Reading(t_ms=0, raw=nothing, status="open"))
        raw = tuple(round((c - self.channel.offset_c) / self.channel.scale, 2) for c in temps_c)
        return Heard(t_ms / 1000, Reading(t_ms=0, raw=raw, status="ok"))

    def hear(self, cue: Cue) -> None:
        """Let the welder hear a cue; it sets the auto pace too. He needs no second telling."""
        if cue.again:
            return
        self._heard_s = max(self._heard_s, cue.t_s)
        self._pace.heard(cue.kind)
        self._welder.hear(cue)

    def post(self, event: AnyEvent) -> None:
        """Put a key's event in from another thread, at the time reached, and wake `read`."""
        self._posted.append(event)
        self._pace.wake()

    def set_line(self, name: str, on: bool) -> None:
        """A practice part has no output lines."""

    def close(self) -> None:
        """Leave the table; a waiting `read` returns."""
        self._closed = True
        self._pace.wake()


def open_practice(
    job: Job,
    seed: int | None = None,
    speed: float | None = None,
    url: str = "practice:",
    spoil: bool = False,
    planted: tuple[Fault, ...] | None = None,
) -> PracticePart:
    """Return a practice part of `job`.

    `seed` wins over the URL's `?seed=7`, else it is 1. `speed` is in session seconds a
    real second: 0 as fast as it can, None by what is going on. With `spoil` the welder
    takes the cover off far too early. With `planted` he makes these faults and no others.
    Raises UserInputError for a wrong URL.
    """
    parsed = parse_url(url)
    parsed.allow("seed", "unit", "channel")
    if parsed.target:
        parsed.wrong(f'"{parsed.target}"', "nothing after practice: but ?seed=7")
    given = parsed.number("seed", 0, 2**31)
    if given is not None and not given.is_integer():
        parsed.wrong(f'seed="{parsed.params["seed"]}"', "a whole number")
    chosen = seed if seed is not None else DEFAULT_SEED if given is None else int(given)
    return PracticePart(job, chosen, Pace(speed), parsed, spoil, planted)
