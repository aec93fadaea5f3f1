"""A recording read and folded for its review."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from pacer.errors import RecordingError
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import writer_of
from pacer.review.compare.course import Course
from pacer.review.reviewed import Reviewed
from pacer.review.table import table
from pacer.run.reviewing import steps

if TYPE_CHECKING:
    from pacer.job.job import Job
    from pacer.recording.damage import Damage
    from pacer.review.report.series import Series


@dataclass(frozen=True, slots=True)
class Read:
    """A recording with what was gathered of it."""

    recording: Recording
    reviewed: Reviewed
    course: Course
    series: Series | None
    "Its curves, where they were asked for."


def at(path: str) -> Recording:
    """Return a recording of which the head alone is read. Raises RecordingError."""
    if not path:
        raise RecordingError('"": expected the name of a recording')
    return Recording(Path(path))


def read(path: str, job: Job | None = None, *, series: bool = False) -> Read:
    """Return a recording, folded; by `job` in place of its own. Raises RecordingError."""
    recording = at(path)
    writer = writer_of(recording.path.stat())
    course, curves = Course(), _series() if series else None
    others = [course] if curves is None else [course, curves]
    out = table(steps(recording, job), *others)
    course.close()
    if curves is not None:
        curves.finish()
    opened = recording.head if job is None else msgspec.structs.replace(recording.head, job=job)
    reviewed = Reviewed(recording.name, opened, out, _lacking(recording.damage), writer)
    return Read(recording, reviewed, course, curves)


def _series() -> Series:
    from pacer.review.report.series import Series

    return Series()


def _lacking(damage: Damage) -> str:
    """Return what a damaged recording lacks, for the top of its page; nothing if it is sound."""
    if damage.sound:
        return ""
    copy = damage.copy
    missing = max(damage.missing, copy.missing if copy is not None else 0)
    left_out = damage.bad_lines + (copy.left_out if copy is not None else 0)
    counts = (
        (left_out, "line(s) left out"),
        (missing, "record(s) missing"),
        (damage.repeated + (copy.repeated if copy is not None else 0), "record(s) repeated"),
        (damage.seals, "seal(s) that do not match, so it may have been changed since"),
    )
    return ", ".join(f"{count} {what}" for count, what in counts if count)
