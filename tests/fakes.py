"""A clock, a source, sinks and a disk that do as they are told; for tests of the driver."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta

from pacer.recording.writing.disk import RealDisk
from pacer.sensor.source import Heard
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Channel

START = datetime(2026, 1, 1, 8, 0, 0, tzinfo=UTC)


class FakeClock:
    """Session time and wall time, moved by hand; the wall goes along unless it is set."""

    name = "boottime"

    def __init__(self, t_s: float = 0.0, wall: datetime = START) -> None:
        self._t_s = t_s
        self._wall = wall

    def now_s(self) -> float:
        """Return session time."""
        return self._t_s

    def wall(self) -> datetime:
        """Return wall time."""
        return self._wall

    def to(self, t_s: float) -> None:
        """Let time pass until `t_s`, never back."""
        passed_s = max(0.0, t_s - self._t_s)
        self._t_s += passed_s
        self._wall += timedelta(seconds=passed_s)

    def set_wall(self, by_s: float) -> None:
        """Somebody, or NTP, sets the wall clock."""
        self._wall += timedelta(seconds=by_s)

    def skip(self, by_s: float) -> None:
        """Session time moves on alone: the wall clock has counted that already."""
        self._t_s += by_s


Doing = Callable[[], None]


class FakeSource:
    """A live source: at each time an event is heard, or something is done to the world."""

    url = "fake:"
    channel = Channel(name="t1", unit="degC")
    period_s: float | None = None
    hand = False
    clk = "boottime"
    invented = ""

    def __init__(self, clock: FakeClock, told: Iterable[tuple[float, AnyEvent | Doing]]) -> None:
        self._clock = clock
        self._told = deque(told)
        self._posted: deque[AnyEvent] = deque()
        self.heard_cues: list[Cue] = []
        self.closed = False

    def clock(self) -> float:
        """Return session time."""
        return self._clock.now_s()

    @property
    def finished(self) -> bool:
        """True when all has been told."""
        return not self._told and not self._posted

    def read(self, until_s: float | None) -> list[Heard]:
        """Return the next event up to `until_s`; a doing gives an empty list, as a waking does."""
        if self._posted:
            return [Heard(self.clock(), self._posted.popleft())]
        if not self._told or (until_s is not None and self._told[0][0] > until_s):
            self._clock.to(until_s or 0.0)
            return []
        t_s, what = self._told.popleft()
        self._clock.to(t_s)
        if callable(what):
            what()
            return []
        return [Heard(self.clock(), what)]

    def hear(self, cue: Cue) -> None:
        """Remember the cue."""
        self.heard_cues.append(cue)

    def post(self, event: AnyEvent) -> None:
        """Put an event in."""
        self._posted.append(event)

    def set_line(self, name: str, on: bool) -> None:
        """No lines here."""

    def close(self) -> None:
        """Remember that it was closed."""
        self.closed = True


class FakeSink:
    """Plays cues until the n-th, at which it breaks."""

    def __init__(self, name: str = "tone", breaks_at: int = 10**9) -> None:
        self.name = name
        self.played: list[Cue] = []
        self.hushed = 0
        self.closed = False
        self._breaks_at = breaks_at

    def play(self, cue: Cue) -> None:
        """Play, or break."""
        if len(self.played) + 1 == self._breaks_at:
            raise OSError("no such \x1b[2Jdevice")
        self.played.append(cue)

    def hush(self) -> None:
        """Count it."""
        self.hushed += 1

    def close(self) -> None:
        """Remember it."""
        self.closed = True


class QuietDisk(RealDisk):
    """A real disk without its slow part; `full` fails every write."""

    full = False

    def write(self, fd: int, line: bytes) -> int:
        """Write, unless full."""
        if self.full:
            raise OSError(28, "No space left on device")
        return super().write(fd, line)

    def sync(self, fd: int) -> None:
        """Nothing is lost in a test that does not end."""
