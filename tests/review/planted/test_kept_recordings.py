"""The two kept repairs of our own scenario: one without a finding, one whose review tells a story."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import ROOT, here

from pacer.recording.reader import Recording
from pacer.review.table import Table, table
from pacer.run.reviewing import steps

GOOD, CRACKED = (ROOT / "recordings" / f"ear-{name}.jsonl" for name in ("good", "cracked"))


def _reviewed(path: Path) -> Table:
    recording = Recording(path)
    assert recording.head.invented, "invented data is marked as such"
    return table(steps(recording))


@pytest.mark.slow
@pytest.mark.parametrize("path", [GOOD, CRACKED], ids=lambda path: path.stem)
def test_they_are_small_and_today_s_rules_tell_the_same(path: Path) -> None:
    """Under 700 kB; an audit finds no cue told otherwise."""
    assert path.stat().st_size < 700_000
    told = here("replay", path, "--no-screen", "--audit").fine()
    assert "all as recorded" in told.out + told.err


@pytest.mark.slow
def test_the_good_one_has_no_finding() -> None:
    """Nothing was planted, nothing is found."""
    found = _reviewed(GOOD)
    assert [f.name for f in found.findings if f.weight == "finding"] == []
    assert [outcome.found for outcome in found.outcomes] == ["no crack found"]


@pytest.mark.slow
def test_the_cracked_one_shows_what_was_planted() -> None:
    """Three faults, four findings: struck cold is what a missed reheat entails.

    The crack is at bead 4 in the heat-affected zone: its bead's come before the rest.
    """
    found = _reviewed(CRACKED)
    told = [(f.name, f.bead) for f in found.findings if f.weight == "finding"]
    assert sorted(told, key=str) == [
        ("bead below the floor", 4),
        ("late peen", 4),
        ("reheat missed", 4),
        ("uncovered early", None),
    ]
    assert told[0][1] == 4
    assert [(o.where, o.bead) for o in found.outcomes] == [("heat-affected zone", 4)]
