"""What a job gets that names no current, and who is said to stand for it."""

from __future__ import annotations

import pytest

from pacer.job.file.read import job_from_text


@pytest.mark.parametrize(
    ("filler", "current_a", "told"),
    [
        ("", 65.0, "default: middle of trade row F06 for the diameter; common practice"),
        (
            'diameter = "2 mm"',
            52.0,
            "default: 26 A for each mm of diameter, which row F06 does not have; our choice",
        ),
        ('process = "TIG"', 90.0, "default: customary for TIG; common practice, no source"),
        ('process = "MAG"', 100.0, "default: customary for MAG; common practice, no source"),
        ('process = "131"', 100.0, "default: customary for MIG; common practice, no source"),
    ],
)
def test_a_default_current_names_the_row_it_is_from_or_none(
    filler: str, current_a: float, told: str
) -> None:
    """F06 (common practice) is about nickel-core covered electrodes of three diameters only."""
    job = job_from_text(
        f'[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "3.2 kg"\n[filler]\n{filler}\n',
        "job.toml",
    )

    assert job.filler.current_a == current_a
    assert job.origin["filler.current"].startswith(told)
