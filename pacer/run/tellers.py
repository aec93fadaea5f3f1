"""The sinks of a session: every one gets every cue; one that fails is dropped and named."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress

from pacer.sound.sink import Sink
from pacer.text import clean


class Tellers:
    """Sinks by which cues are told, and what of them is off."""

    def __init__(self, sinks: Sequence[Sink], off: Callable[[], Sequence[str]]) -> None:
        """`off` returns, in lines, what else can't tell or hear just now (sound, pedal)."""
        self._sinks = list(sinks)
        self._off_besides = off
        self._failed: tuple[str, ...] = ()

    def add(self, sink: Sink) -> None:
        """Tell there too, from now on."""
        self._sinks.append(sink)

    def each(self, do: Callable[[Sink], None]) -> list[tuple[str, str]]:
        """Do something with every sink; return (name, why) of those that failed."""
        failed: list[tuple[str, str]] = []
        for sink in list(self._sinks):
            try:
                do(sink)
            except Exception as error:
                self._sinks.remove(sink)
                self._failed += (f"{sink.name} is off: {clean(str(error), 80)}",)
                failed.append((sink.name, clean(str(error), 200)))
        return failed

    @property
    def off(self) -> tuple[str, ...]:
        """Return one line for each way that is off; safe from any thread."""
        return self._failed + tuple(clean(line, 200) for line in self._off_besides())

    def close(self) -> None:
        """Close what still works."""
        for sink in self._sinks:
            with suppress(Exception):
                sink.close()
