"""What was found wrong while a recording was read, counted and as finished lines."""

from __future__ import annotations

from dataclasses import dataclass, field

from pacer.recording.codec import VERSION
from pacer.session.events import Recovered
from pacer.text import clean

_SHOWN = 8


@dataclass(slots=True)
class Damage:
    """What was found wrong while reading."""

    lines: list[str] = field(default_factory=list)
    "The first few complaints, each with its line number."
    bad_lines: int = 0
    missing: int = 0
    "Records whose sequence number never came."
    repeated: int = 0
    seals: int = 0
    "Seals that don't match what stands before them."
    torn: int = 0
    "Bytes that were found torn and left out when the recording was taken up again: no damage."
    unknown: int = 0
    "Sound records of kinds this version does not know (kept, not shown)."
    ended: bool = False
    "The recording was closed on purpose, and not taken up again."
    newer: tuple[int, int] | None = None
    "Its format version, where that is a later minor one."
    copy: Recovered | None = None
    "Not None: a copy of a damaged recording; says what the copy lacks."

    @property
    def sound(self) -> bool:
        """True if nothing is damaged, missing or changed: every figure may be trusted.

        A number that came again may have been another record, of a second program that wrote
        to the same file, so that what was left out may be missing.
        """
        lacks = self.copy is not None and (self.copy.missing or self.copy.repeated)
        return self.unaltered and not (self.seals or lacks)

    @property
    def unaltered(self) -> bool:
        """True while all bytes so far are as they were written, so that a seal can be checked."""
        return not (self.bad_lines or self.missing or self.repeated)

    def note(self, line_no: int, why: str) -> None:
        """Keep the first few complaints."""
        if len(self.lines) < _SHOWN:
            self.lines.append(f"line {line_no}: {why}")

    def told(self, name: str) -> list[str]:
        """Return the complaints as finished lines, `name` first."""
        told = [f"{name}: {line}" for line in self.lines]
        copy = self.copy
        if copy is not None:
            left = f"{copy.left_out} damaged line(s) left out, {copy.missing} record(s) missing"
            if copy.repeated:
                left += f", {copy.repeated} repeated record(s) left out"
            told.append(f'{name}: a copy of a damaged recording, "{clean(copy.name, 80)}": {left}')
        parts = []
        if self.bad_lines:
            parts.append(f"{self.bad_lines} damaged line(s) left out")
        # What the copy tells is missing shows as gaps in its numbers too.
        if self.missing and (copy is None or self.missing > copy.missing):
            parts.append(f"{self.missing} record(s) missing")
        if self.repeated:
            parts.append(f"{self.repeated} repeated record(s) left out")
        if self.seals:
            parts.append(f"{self.seals} seal(s) that do not match")
        if parts:
            rest = "the rest is sound" if not self.seals else "what is shown may have been changed"
            told.append(f"{name}: {', '.join(parts)}; {rest}")
        if self.newer is not None:
            newer, known = (".".join(map(str, v)) for v in (self.newer, VERSION))
            told.append(
                f"{name}: format version {newer}, this pacer knows {known}: "
                "what it does not know is left out"
            )
        if self.unknown:
            told.append(f"{name}: {self.unknown} record(s) of a kind this version does not know")
        return told
