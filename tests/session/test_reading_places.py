"""A reading typed with a place: from the words to what the fold makes of it."""

from __future__ import annotations

import pytest
from telling import Session, ready

from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.screen.widgets.ask import question, understood
from pacer.sensor.text.deeds import DeedError, parse_deed
from pacer.session.events import Act
from pacer.session.track import believed, places_c
from pacer.session.work import Phase
from pacer.units import PLACE_CHARS, Shown, System


def typed(session: Session, t_s: float, temp_c: float, place: str | None) -> Session:
    """One typed reading of a place; None: of the joint."""
    return session.event(Act(t_ms=round(1000 * t_s), deed="reading", temp_c=temp_c, text=place))


@pytest.mark.parametrize(
    ("line", "temp_c", "side", "place"),
    [
        ("!reading 231 degC", 231.0, 0, None),
        ("!reading 231 degC far end", 231.0, 0, "far end"),
        ("!reading 231 deg C, the back", 231.0, 0, "the back"),
        ("!reading at least 260 degC thick boss", 260.0, 1, "thick boss"),
        ("!reading <500 °F Fuß", 260.0, -1, "Fuß"),
        ("!reading 231 degC a\x1b[2Jb end", 231.0, 0, None),
    ],
)
def test_a_script_names_a_place_after_the_temperature(
    line: str, temp_c: float, side: int, place: str | None
) -> None:
    """500 °F are 260 °C; what begins with no word of three letters is no place."""
    if place is None and line != "!reading 231 degC":
        with pytest.raises(DeedError):
            parse_deed(line)
        return
    act = parse_deed(line)
    assert act.temp_c == pytest.approx(temp_c)
    assert (act.side, act.text) == (side, place)


@pytest.mark.parametrize(
    "line", ["!reading 231 far end", "!reading 231 degc back", "!reading far end 231 degC"]
)
def test_a_script_still_needs_the_unit(line: str) -> None:
    """A place never stands in for a unit."""
    with pytest.raises(DeedError, match="expected a temperature"):
        parse_deed(line)


@pytest.mark.parametrize(
    ("text", "temp_c", "side", "place"),
    [
        ("231", 231.0, 0, None),
        ("231 far end", 231.0, 0, "far end"),
        ("231C, far end", 231.0, 0, "far end"),
        ("450 f back", 232.222, 0, "back"),
        ("at least 260 C the foot", 260.0, 1, "the foot"),
        ("231 foot", 231.0, 0, "foot"),
        ("231 deg C far end", 231.0, 0, "far end"),
    ],
)
def test_the_welder_types_a_place_after_the_number(
    text: str, temp_c: float, side: int, place: str | None
) -> None:
    """(450 - 32) / 1.8 = 232.2; what was understood is said, with what decides."""
    answer = understood("reading", text, Shown("metric"))

    assert (answer.side, answer.text) == (side, place)
    assert answer.temp_c == pytest.approx(temp_c, abs=0.001)
    assert (f"at {place}" in answer.said) is (place is not None)
    assert answer.said.endswith("; the joint decides") is (place is not None)


@pytest.mark.parametrize(
    "text", ["231 degf back", "231 celcius back", "231 degrees", "231,5 back", "231 C F", "5 in"]
)
def test_a_unit_mistyped_is_no_place(text: str) -> None:
    """Told in a line and asked again: 231 °F taken for °C would be 120 K wrong."""
    with pytest.raises(UserInputError):
        understood("reading", text, Shown("metric"))


def test_a_place_is_cleaned_and_short() -> None:
    """What a terminal obeys is replaced, and it is cut."""
    answer = understood("reading", "231 C end\x1b]0;x\x07" + "y" * 200, Shown())

    assert answer.text is not None
    assert answer.text.isprintable()
    assert len(answer.text) <= PLACE_CHARS


def test_the_question_fits_on_a_line_of_80() -> None:
    """Both unit systems."""
    systems: tuple[System, ...] = ("metric", "us")
    for system in systems:
        assert len(question("reading", Shown(system))) <= 80


def test_a_reading_of_another_place_does_not_decide(hot_job: Job) -> None:
    """By hand, at preheat: 262 °C at the far end ends nothing; 262 °C at the joint does."""
    session = Session(hot_job, hand=True).at(1, "next")
    typed(session, 300, 262.0, "far end").until(400)
    assert session.state.phase is Phase.PREHEAT
    assert believed(session.state, 301.0) is None

    typed(session, 401, 262.0, None).until(410)
    assert session.since(400) == ["403.0 SOAK"]


def test_a_reading_of_another_place_raises_and_answers_no_doubt(hot_job: Job) -> None:
    """Instrument at 262 °C, 150 °C typed for the far end: the instrument is as it was."""
    before = ready(hot_job)
    control, told = before.state.control, len(before.told)
    typed(before, 73.2, 150.0, "far end")

    assert before.state.control == control
    assert before.state.typed is None
    assert len(before.told) == told
    assert before.state.phase is Phase.READY


def test_in_a_soak_a_place_holds_it_until_it_is_even(hot_job: Job) -> None:
    """205 °C at the far end is 57 K off, more than half the band; measured again it is even."""
    session = ready(hot_job, to_s=60)
    typed(session, 60, 205.0, "far end").steady(61, 90, 262.0)
    assert session.state.phase is Phase.SOAK
    assert places_c(session.state, 89.0) == (262.0, 205.0)

    typed(session, 90.5, 250.0, "far end").steady(91, 100, 262.0)
    # The same place again takes the place of the first; held for 2 s it ends the soak.
    assert session.since(72)[0] == "92.5 READY"


def test_a_forecast_hears_nothing_of_another_place(hot_job: Job) -> None:
    """By hand in a cool-down: a reading of the box's far side is no point of its curve."""
    session = Session(hot_job, hand=True)
    for t_s, deed in ((1, "next"), (2, "next"), (3, "next"), (4, "finish"), (5, "next")):
        session.at(t_s, deed)
    session.at(6, "covered").at(100, "reading 250")
    cooling = session.state.cooling
    typed(session, 200, 90.0, "far side")

    assert session.state.cooling == cooling
