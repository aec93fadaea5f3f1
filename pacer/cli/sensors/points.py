"""One point of the field check: wait until a source stands still in ice or in boiling water."""

from __future__ import annotations

import sys
from collections.abc import Callable

from pacer.cli.sensors.answers import Answers
from pacer.cli.sensors.live import listen, sent
from pacer.cli.sensors.words import no_number
from pacer.sensor.listening.fieldcheck import Sample, Steady, steady, window
from pacer.sensor.source import Source
from pacer.session.celsius import degrees
from pacer.session.events import AnyEvent, Reading, SensorChanged
from pacer.text import clean
from pacer.units import Shown

PATIENCE_S = 120.0
"After Enter the value must stand still within this. JUDG."

UNASKED_S = 1800.0
"With `--yes` nobody says when: water takes its time to boil. JUDG."

SURE_S = 10.0
"""With `--yes` the first window that stands still is the one nearest to the way there: so much longer
it must stand. JUDG."""

_LOOK_S = 1.0


class NotSteady(Exception):
    """Why no value was found, in one line."""


class Watch:
    """The samples of the channel that is checked."""

    def __init__(self, source: Source, shown: Shown) -> None:
        self._source = source
        self._shown = shown
        self._next_s = float("-inf")
        self._wide = 0
        self.channel = source.channel.name
        "Empty until the first number came, where the URL names none."
        self.unit = source.channel.unit
        self.samples: list[Sample] = []
        self.trouble = ""
        "The last thing that was no number, in words."

    def take(self, t_s: float, event: AnyEvent) -> None:
        """Keep the number of a reading."""
        if isinstance(event, SensorChanged) and event.state == "lost":
            self.trouble = clean(event.why, 200)
        if not isinstance(event, Reading):
            return
        for value in degrees(self._source.channel, event):
            if self.channel and value.name != self.channel:
                continue
            raw, mark = sent(event, value.name)
            if value.temp_c is None or not isinstance(raw, int | float):
                self.trouble = no_number(value.status, value.why)
                continue
            self.channel = value.name
            self.unit = mark or self._source.channel.unit
            self.samples.append(Sample(t_s, value.temp_c, raw))
            self.samples = window(self.samples)
            self._show(t_s)
            return

    def show_over(self) -> None:
        """End the line that shows the value."""
        if self._wide:
            print(flush=True)
        self._wide = 0

    def _show(self, t_s: float) -> None:
        """On a terminal show the value in one line that is written again and again."""
        if not sys.stdout.isatty() or t_s < self._next_s:
            return
        self._next_s = t_s + _LOOK_S
        found = steady(self.samples)
        how = "standing still" if isinstance(found, Steady) else found
        text = f"  {self._shown.temp_c(self.samples[-1].temp_c, 1)}  {how}"
        print(f"\r{text.ljust(self._wide)}", end="", flush=True)
        self._wide = len(text)


def point(
    source: Source,
    watch: Watch,
    doubt: Callable[[Steady], str],
    answers: Answers | None,
) -> Steady:
    """Return the steady value of one point.

    With `answers` it is asked for, then taken as it is; without, the first that stays and
    gives no `doubt` counts. Raises NotSteady where the value never stands still or the source ends,
    NoAnswer where nobody answers.
    """
    if answers is not None:
        answers.ask("   Press Enter when the value has stopped changing:", source, watch.take)
        watch.show_over()
        watch.samples.clear()
    else:
        print(
            f"   Waiting for a value that stands still, {UNASKED_S / 60:.0f} min at most.",
            flush=True,
        )
    found: Steady | str = "nothing came"
    doubted = ""
    since_s: float | None = None

    def take(t_s: float, event: AnyEvent) -> bool:
        nonlocal found, doubted, since_s
        before = watch.samples[-1] if watch.samples else None
        watch.take(t_s, event)
        if not watch.samples or watch.samples[-1] is before:
            return False
        found = steady(watch.samples)
        doubted = doubt(found) if isinstance(found, Steady) else doubted
        if isinstance(found, str) or (doubted and answers is None):
            since_s = None
            return False
        since_s = t_s if since_s is None else since_s
        return answers is not None or t_s - since_s >= SURE_S

    def silent(_: float) -> None:
        watch.trouble = watch.trouble or "nothing comes"

    patience_s = PATIENCE_S if answers is not None else UNASKED_S
    listen(source, patience_s, take, silent)
    watch.show_over()
    if isinstance(found, Steady) and (answers is not None or not doubt(found)):
        return found
    if doubted:
        raise NotSteady(doubted)
    trouble = f"; {watch.trouble}" if watch.trouble else ""
    raise NotSteady(f"the value did not stand still: {found}{trouble}")
