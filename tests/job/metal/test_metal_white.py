"""When shop tests say do not weld: row W08, a welding institute's page (secondary), unweldable."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published import COLUMNS, PRIMARY, SAYS, SECONDARY, cell, column

from pacer.job.job import Metal
from pacer.job.metal.identified import Identified, identified
from pacer.job.metal.parting import next_test
from pacer.job.metal.shop_tests import CANT_TELL, METALS, shop_tests
from pacer.job.metal.standing import standings

WORDS = {test.name: [answer.word for answer in test.answers] for test in shop_tests()}
ANSWERS = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from(words) for name, words in WORDS.items()}
)
RIM = {"fracture": "white rim, dark centre"}
TINY = "tiny, very hard to cut"
OTHERS = [metal for metal in METALS if metal != "white iron"]
WHITE = column("white iron", grade=True)
OWN = {
    test: word
    for test, word in WHITE.items()
    if not any(COLUMNS[metal][test].answer == word for metal in OTHERS if test in COLUMNS[metal])
}
"White iron's column of the published table, without the look that other columns have too."


def _white_lines(found: Identified, word: str) -> list[str]:
    return [line for line in found.told if f'"{word}"' in line and "for white iron" in line]


def test_all_of_white_irons_looks_but_the_rub_mark_are_its_own() -> None:
    """Trade facts, section 9: rub on paper has "none" for white iron and for both steels."""
    assert set(WHITE) - set(OWN) == {"rub"}


@given(ANSWERS, st.sampled_from(list(OWN)))
def test_an_own_look_of_white_iron_is_never_silently_lost(
    answers: dict[str, str], test: str
) -> None:
    """Do not weld until two tests have ruled it out; and then it is still told."""
    answers = answers | {test: OWN[test]}
    found = identified(answers)
    assert found.dont_weld is ("white iron" in found.left)
    if found.left != ("white iron",):
        assert _white_lines(found, OWN[test])


@given(ANSWERS)
def test_two_signs_of_white_iron_with_nothing_against_it_stop(answers: dict[str, str]) -> None:
    """Of two tests; also where the one fits steel as well."""
    white = next(one for one in standings(answers) if one.metal == "white iron")
    if len(white.for_) > 1 and not white.against:
        assert identified(answers).dont_weld


@given(ANSWERS)
def test_nothing_stops_where_nothing_speaks_for_white_iron(answers: dict[str, str]) -> None:
    """Unless it is all that is left."""
    white = next(one for one in standings(answers) if one.metal == "white iron")
    found = identified(answers)
    if white.state == "ruled out" or (not white.for_ and found.left != ("white iron",)):
        assert not found.dont_weld


@pytest.mark.parametrize("metal", OTHERS)
@given(data=st.data())
def test_no_part_of_another_metals_column_stops(metal: Metal, data: st.DataObject) -> None:
    """No mark on paper is steel's look too: with steel's other answers it is no sign."""
    whole = column(metal, grade=True)
    some = data.draw(st.sets(st.sampled_from(list(whole))))
    assert not identified({test: whole[test] for test in some}).dont_weld


def test_no_mark_on_paper_is_a_sign_when_steel_is_spoken_against() -> None:
    """Crumbling chips are no steel's (section 9); file and fracture can clear white iron."""
    unmarked = {"rub": "no mark"}
    assert not identified(unmarked).dont_weld
    crumbling = unmarked | {"chip": "small, crumbling"}
    assert identified(crumbling).dont_weld
    assert _white_lines(identified(crumbling), "no mark")
    once = crumbling | {"file": "cuts easily"}
    assert identified(once).dont_weld
    twice = identified(once | {"fracture": "dark grey, porous"})
    assert not twice.dont_weld
    assert "rule out" in _white_lines(twice, "no mark")[0]


def _says(answers: dict[str, str], sign: str) -> list[str]:
    """Return the tests whose answer says that of white iron by the published table."""
    at = METALS.index("white iron")
    said = {test: SAYS[test].get(word, "......") for test, word in answers.items()}
    return [test for test, signs in said.items() if signs[at] == sign]


def _seen(tests: list[str]) -> bool:
    """Return whether a text was seen for white iron's look in one of them."""
    return any(cell("white iron", test).status in (PRIMARY, SECONDARY) for test in tests)


@given(ANSWERS, st.sets(st.sampled_from(list(OWN)), min_size=1, max_size=3))
def test_memory_alone_never_clears_white_iron_of_two_signs_or_of_one_from_a_text(
    answers: dict[str, str], white: set[str]
) -> None:
    """Nor do as many answers as its own; the signs, and what was seen, by the published table."""
    answers = answers | {test: OWN[test] for test in white}
    signs = [test for test in _says(answers, "+") if test in OWN]
    against = _says(answers, "-")
    if len(signs) > 1 or _seen(signs):
        if not _seen(against) or len(against) <= len(signs):
            assert identified(answers).dont_weld
    elif len(against) > 1 and "rub" not in _says(answers, "+"):
        assert not identified(answers).dont_weld


@pytest.mark.parametrize(
    ("signs", "against", "stopped"),
    [
        # Fracture and sparks of white iron: texts seen; file, chip, rub and marks: from memory.
        (["fracture", "file"], ["marking", "rub"], True),
        (["fracture", "file"], ["marking", "rub", "chip"], True),
        (["fracture"], ["marking", "rub", "chip", "file"], True),
        (["file", "chip"], ["marking", "rub"], True),
        (["file", "chip"], ["marking", "fracture"], True),
        (["file", "chip"], ["marking", "rub", "fracture"], False),
        (["fracture", "file"], ["marking", "rub", "spark"], False),
        (["fracture"], ["file", "spark"], False),
        (["file"], ["marking", "rub"], False),
    ],
)
def test_white_iron_is_cleared_by_better_than_what_speaks_for_it(
    signs: list[str], against: list[str], stopped: bool
) -> None:
    """Row W08: a wrong "it isn't" is a weld on iron that is held to be unweldable."""
    # Grey iron's sparks and crumbs say nothing of white iron: steel's do.
    others = column("grey iron", grade=True)
    others |= {"spark": "long, bright, few forks", "chip": "long curl"}
    answers = {test: OWN[test] for test in signs} | {test: others[test] for test in against}
    found = identified(answers)

    assert found.dont_weld is stopped
    assert ("white iron" in found.left) is stopped
    if stopped:
        (line,) = [line for line in found.told if line.startswith("White iron is all")] or (
            _white_lines(found, OWN[signs[0]])
        )
        why = "too little" if "fracture" in against else "from memory only: sparks or another break"
        assert f"speak against it, {why}" in line
        assert all(f'{test} "{others[test]}"' in line for test in against)


def test_meanwhile_the_tests_that_can_clear_white_iron_come_first() -> None:
    """Broken face, file, sparks, chip: our choice; each answered as sometimes happens with it."""
    answers = {"ring": "high, sharp"}
    for test, word in (
        ("fracture", "coarse, grey-white"),
        ("file", "cuts with effort"),
        ("spark", "few, dull red"),
        ("chip", "small, crumbling"),
    ):
        assert next_test(answers) == test
        assert any("can speak against white iron" in line for line in identified(answers).told)
        answers[test] = word
    assert identified(answers).dont_weld
    assert next_test(answers) not in (None, *answers)


@given(ANSWERS, st.sampled_from(list(OWN)))
def test_no_test_with_heat_is_named_while_white_iron_is_likely(
    answers: dict[str, str], test: str
) -> None:
    """The tack's own first step: not where white iron is likely. Not when all else is done."""
    heat = {one.name for one in shop_tests() if one.hot}
    assert heat == {"torch", "file_after_tack"}
    done = {name: CANT_TELL for name in WORDS if name not in heat}
    answers = {name: word for name, word in answers.items() if name not in heat}
    for some in (answers, done | answers, done):
        likely = some | {test: OWN[test]}
        if identified(likely).dont_weld:
            assert next_test(likely) not in heat


def test_where_only_heat_could_tell_more_a_laboratory_is_named() -> None:
    """And that no test without heat is left."""
    done = {test.name: CANT_TELL for test in shop_tests() if not test.hot}
    found = identified(done | {"ring": "high, sharp"})
    assert found.dont_weld
    said = [line for line in found.told if line.startswith("No shop test left without heat tells")]
    assert len(said) == 1
    assert "laboratory" in said[0]
    assert not any(line.startswith("Next:") for line in found.told)


def test_white_iron_left_alone_names_the_tests_and_where_grey_iron_is_white_too() -> None:
    """W08; corners and skin chill (a foundry book of about 1900)."""
    found = identified({"fracture": "silvery white, silky", "file": "slides", "chip": TINY})
    (line,) = [line for line in found.told if line.startswith("White iron is all")]

    assert found.left == ("white iron",)
    assert all(test in line for test in ('fracture "silvery', 'file "slides"', f'chip "{TINY}"'))
    assert "corners and skin" in line


@pytest.mark.parametrize("more", [{}, {"file": "cuts easily"}, {"spark": "few, dull red"}])
def test_a_rim_rules_white_iron_neither_in_nor_out_and_is_not_welded_through(
    more: dict[str, str],
) -> None:
    """The rim may be chilled, and is white iron then (row W08), soft as the middle may be."""
    found = identified(RIM | more)
    rim = next(one for one in standings(RIM) if one.metal == "white iron")

    assert "white iron" in found.left
    assert not found.dont_weld
    assert (rim.for_, rim.against) == ((), ())
    assert any("don't weld through it" in line and "W08" in line for line in found.told)
    assert not any("rim" in line for line in identified(more).told)
