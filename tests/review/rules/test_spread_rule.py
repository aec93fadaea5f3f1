"""Two channels under the cover: a hand-written script, 50 K allowed."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import HOT
from scripted import above_notes, cut, names, only, reviewed, shows_from, stepped

from pacer.review.rules.spread import Spread
from pacer.review.table import table
from pacer.units import Shown


def apart(most_dc: float, minutes: int, from_min: int = 16) -> str:
    """Return a part covered at 100 s whose second channel goes up by `most_dc` for some minutes."""
    lines = ["0,20.0;20.0", "1,!next"]
    lines += [f"{t},262.0;261.0" for t in range(4, 99, 2)] + ["100,!covered"]
    for minute in range(1, 61):
        first_c = 240 - 1.5 * minute
        far = from_min <= minute <= from_min + minutes
        lines.append(f"{100 + 60 * minute},{first_c};{first_c + (most_dc if far else 10.0)}")
    return "\n".join(lines) + "\n"


def test_channels_apart() -> None:
    """58 K at most; over 50 K from 1180 s in the script, which the median shows a minute later."""
    seen = stepped(Path("channels-apart.txt"), HOT)
    found = table(seen)
    assert above_notes(found) == ["channels apart"]
    one = only(found, "channels apart")
    assert one.said(Shown()) == (
        "58 K between t2 at 168 °C and t1 at 110 °C under the cover, more than 50 K for 24 min"
    )
    assert (one.t_s, one.to_s, one.times) == (1240.0, 2680.0, 1.16)
    assert next(s.t_s for s in seen if s.record == one.record) == one.t_s
    assert one.limit is not None
    assert (one.limit.name, one.values[one.limit.value]) == ("cooldown.max_spread", 50.0)
    assert one.against


def test_it_shows_once_it_has_lasted_and_stays() -> None:
    """A quarter of an hour after it began, however the recording is cut after that."""
    seen = stepped(Path("channels-apart.txt"), HOT)
    record = shows_from(seen, Spread, "channels apart")
    assert next(s.t_s for s in seen if s.record == record) == 1240.0 + 900.0
    assert cut(seen[:1], Spread) == [[]]


@pytest.mark.parametrize(
    ("most_dc", "minutes", "found"),
    [(58.0, 20, True), (42.5, 20, False), (58.0, 12, False)],
    ids=["beyond both", "85 % of the spread", "for 85 % of the time"],
)
def test_near_misses(most_dc: float, minutes: int, found: bool) -> None:
    """It has to be too far, and for too long."""
    assert ("channels apart" in names(reviewed(apart(most_dc, minutes), HOT))) is found


def test_the_first_quarter_of_an_hour_is_left_out() -> None:
    """A part just heated evens out under its cover."""
    assert "channels apart" not in names(reviewed(apart(58.0, 13, from_min=1), HOT))


def test_one_channel_is_never_apart() -> None:
    """The rest of the script is as it was."""
    text = "\n".join(line.partition(";")[0] for line in apart(58.0, 20).splitlines())
    assert "channels apart" not in names(reviewed(text + "\n", HOT))


def test_a_channel_in_doubt_is_none() -> None:
    """The second probe falls to the room's temperature: it is off, which is another finding."""
    lines = apart(10.0, 1).splitlines()
    off = [line.split(";")[0] + ";22.0" if at > 70 else line for at, line in enumerate(lines)]
    found = reviewed("\n".join(off) + "\n", HOT)
    assert "channels apart" not in names(found)


def test_a_limit_of_its_own() -> None:
    """30 K, where the job asks for it."""
    job = HOT.replace("[cooldown]", '[cooldown]\nmax_spread = "30 delta_degC"')
    one = only(reviewed(apart(42.5, 20), job), "channels apart")
    assert one.limit is not None
    assert (one.limit.origin, one.times) == ("given", 1.42)
