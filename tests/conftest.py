"""Jobs and folders that tests share; keeps the machine running the tests out of them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from pacer.job.file.read import job_from_text
from pacer.job.job import Job

HOT = """
[job]
title = "Test bracket, hot"
method = "hot"
[part]
metal = "grey iron"
mass = "3.2 kg"
size = ["260 mm", "180 mm", "40 mm"]
wall = "12 mm"
[joint]
crack_length = "75 mm"
[band]
preheat = "260 degC"
floor = "200 degC"
ceiling = "300 degC"
soak = "60 s"
[bead]
length = "25 mm"
travel = "150 mm/min"
peen = "15 s"
[postheat]
temperature = "260 degC"
hold = "120 s"
[cooldown]
cover = "dry sand"
volume = "30 l"
until = "40 degC"
"""

COLD = """
[job]
title = "Test door, cold"
method = "cold"
[part]
metal = "grey iron"
mass = "3.2 kg"
size = ["260 mm", "180 mm", "40 mm"]
wall = "12 mm"
[band]
ceiling = "60 degC"
"""

# Half the time of a program that a test starts went into compiling pacer anew, where the caller's
# environment forbids to keep what was compiled. Git ignores it.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.fixture(autouse=True)
def _own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and recordings of whoever runs the tests stay out of them."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path_factory.mktemp("home")))


@pytest.fixture(scope="session")
def hot_job() -> Job:
    """A hot job: bead 10 s, soak 60 s, hold 120 s, band 200-260-300."""
    return job_from_text(HOT, "hot.toml")


@pytest.fixture(scope="session")
def cold_job() -> Job:
    """A cold job: a ceiling of 60 °C only."""
    return job_from_text(COLD, "cold.toml")


@pytest.fixture(scope="session")
def root() -> Path:
    """The checkout."""
    return Path(__file__).parent.parent


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Under PACER_CI a test that wants a Debian program must find it."""
    if os.environ.get("PACER_CI") and item.get_closest_marker("skipif"):
        for mark in item.iter_markers("skipif"):
            if mark.args and mark.args[0]:
                pytest.fail(f"would be skipped under PACER_CI: {mark.kwargs.get('reason', '')}")
