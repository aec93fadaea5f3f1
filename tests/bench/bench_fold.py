"""Cost of folding: µs an event over a kept recording and over long sessions.

PYTHONPATH=tests/session python tests/bench/bench_fold.py
"""

from __future__ import annotations

import time
from pathlib import Path

from pacer.recording.reader import Recording
from pacer.run.refold import refold

ROOT = Path(__file__).parent.parent.parent


def main() -> None:
    """Print reading and folding apart."""
    for path in sorted((ROOT / "recordings").glob("*.jsonl")):
        recording = Recording(path)
        began = time.perf_counter()
        events = list(recording.events())
        read_s = time.perf_counter() - began
        began = time.perf_counter()
        refold(recording.head, events)
        fold_s = time.perf_counter() - began
        count = len(events)
        print(
            f"{path.name}: {count} events, read {read_s / count * 1e6:.1f} µs, "
            f"fold {fold_s / count * 1e6:.1f} µs an event"
        )


if __name__ == "__main__":
    main()
