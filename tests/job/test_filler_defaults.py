"""What a job gets that names no current, and who is said to stand for it."""

from __future__ import annotations

import pytest

from pacer.job.file.read import job_from_text


def current_of(method: str, filler: str) -> tuple[float, str]:
    """Return the default current, A, and its origin."""
    job = job_from_text(
        f'[job]\nmethod = "{method}"\n[part]\nmetal = "grey iron"\nmass = "3.2 kg"\n'
        f"[filler]\n{filler}\n",
        "job.toml",
    )
    return job.filler.current_a, job.origin["filler.current"]


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
    found_a, origin = current_of("hot", filler)

    assert found_a == current_a
    assert origin.startswith(told)


@pytest.mark.parametrize(
    ("filler", "current_a", "told"),
    [
        ("", 50.0, "default: lower end of trade row F06 for the diameter; the cold method asks"),
        ('diameter = "3.2 mm"', 70.0, "default: lower end of trade row F06"),
        ('diameter = "2 mm"', 40.0, "default: 20 A for each mm of diameter"),
        ('process = "TIG"', 90.0, "default: customary for TIG; common practice, no source"),
    ],
)
def test_the_cold_method_gets_the_least_current_of_the_row(
    filler: str, current_a: float, told: str
) -> None:
    """Least current: common practice, no source; F06 is 50 to 80 A and 70 to 110 A, the same."""
    found_a, origin = current_of("cold", filler)

    assert found_a == current_a
    assert origin.startswith(told)
