"""Which parts of the room the fold and the plan may import without numpy."""

from __future__ import annotations

import subprocess
import sys

import pytest

LIGHT = (
    "arc",
    "pauses.between",
    "bins",
    "lumped",
    "part",
    "places",
    "pauses.spread",
    "cooldown.prior",
    "preheat.evenness",
    "preheat.prior",
)


@pytest.mark.slow
def test_the_light_modules_load_no_numpy() -> None:
    """The fold keeps bins and priors; `pacer --help` and the fold start without numpy."""
    modules = ", ".join(f"pacer.heat.{name}" for name in LIGHT)
    code = f"import sys, {modules}; print('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "False"
