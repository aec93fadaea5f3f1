"""A recording long enough to be looked at in several blocks."""

from __future__ import annotations

from pathlib import Path

from driving import scripted

from pacer.job.job import Job
from pacer.recording.reader import Recording

LAST_S = 500


def long_enough(path: Path, job: Job, last_s: int = LAST_S) -> Recording:
    """READY at 72 s, then four readings a second to the end; a press each 50 s."""
    lines = ["0,20.0", "1,!next"]
    lines += [f"{t_s},{150.0 if t_s < 9 else 262.0}" for t_s in range(2, 73)]
    for i in range(73 * 4, last_s * 4 + 1):
        lines.append(f"{i / 4},{262.0 + 10 * ((i // 400) % 3)}")
        if i % 200 == 0:
            lines.append("!next")
    driven = scripted(path, job, "\n".join(lines) + "\n")
    driven.driver.run()
    return Recording(driven.log.path)
