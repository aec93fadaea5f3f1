"""Whatever the answers are, partial, contradictory or foreign: elimination keeps its rules."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published import column

from pacer.job.metal.identified import identified
from pacer.job.metal.parting import inseparable, next_test
from pacer.job.metal.shop_tests import CANT_TELL, METALS, shop_test, shop_tests
from pacer.job.metal.standing import standings, white_signs

WORDS = {test.name: [answer.word for answer in test.answers] for test in shop_tests()}
ANSWERS = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from(words) for name, words in WORDS.items()}
)
RANK = {"open": 0, "doubted": 1, "ruled out": 2}


@given(ANSWERS)
def test_any_answers_are_answered(answers: dict[str, str]) -> None:
    """What is left, what fits and what contradicts agree with each other."""
    found, states = identified(answers), {one.metal: one.state for one in standings(answers)}

    assert tuple(states) == METALS
    assert found.left == tuple(metal for metal in METALS if states[metal] != "ruled out")
    assert bool(found.contradictions) is ("open" not in states.values())
    assert found.metal == (
        found.left[0] if len(found.left) == 1 and not found.contradictions else "unknown"
    )
    assert found.told


@given(ANSWERS, st.data())
def test_one_more_answer_never_brings_a_metal_back(
    answers: dict[str, str], data: st.DataObject
) -> None:
    """Monotone: a state never gets better by an answer more, but white iron's by a sign of it."""
    undone = [name for name in WORDS if name not in answers]
    if not undone:
        return
    name = data.draw(st.sampled_from(undone))
    more = answers | {name: data.draw(st.sampled_from(WORDS[name]))}

    sign = len(white_signs(standings(more))) > len(white_signs(standings(answers)))
    for before, after in zip(standings(answers), standings(more), strict=True):
        if before.metal != "white iron" or not sign:
            assert RANK[before.state] <= RANK[after.state]


@pytest.mark.parametrize("name", list(WORDS))
def test_no_single_test_is_certain(name: str) -> None:
    """Common practice: two tests must agree. One answer rules no metal out."""
    for word in WORDS[name]:
        found = identified({name: word})
        assert found.left == METALS
        assert found.metal == "unknown"


@given(ANSWERS, st.sampled_from(WORDS["magnet"]))
def test_the_magnet_moves_nothing(answers: dict[str, str], word: str) -> None:
    """NAVEDTRA 14250 (primary text): all ferrous metals attract, some stainless don't."""
    without = {name: said for name, said in answers.items() if name != "magnet"}

    assert standings(without) == standings(without | {"magnet": word})
    assert identified(without).left == identified(without | {"magnet": word}).left
    assert next_test(without) == next_test(without | {"magnet": word}) != "magnet"


@given(ANSWERS, st.data())
def test_the_order_of_answers_says_nothing(answers: dict[str, str], data: st.DataObject) -> None:
    """A dictionary in another order is the same evidence."""
    names = data.draw(st.permutations(list(answers)))

    assert standings(answers) == standings({name: answers[name] for name in names})


@given(
    ANSWERS,
    st.dictionaries(st.text(max_size=12), st.text(max_size=12), max_size=4),
    st.sets(st.sampled_from(list(WORDS))),
)
def test_what_is_no_answer_moves_nothing(
    answers: dict[str, str], foreign: dict[str, str], undecided: set[str]
) -> None:
    """Foreign tests, foreign words and `can't tell` say nothing."""
    known = {name: word for name, word in answers.items() if name not in undecided}
    strange = {name: word for name, word in foreign.items() if name not in WORDS}
    unclear = dict.fromkeys(undecided, CANT_TELL)
    words = {name: "\x1b[2J" for name in WORDS if name not in known}

    assert standings(known) == standings(known | strange | unclear) == standings(known | words)


@given(ANSWERS)
def test_the_next_test_is_undone_and_parts_metals_that_are_left(answers: dict[str, str]) -> None:
    """None is named only where no undone test could part any two."""
    name, left = next_test(answers), identified(answers).left
    if name is None:
        assert len(inseparable(answers)) == len(left) * (len(left) - 1) // 2
        return
    test = shop_test(name)
    assert name not in answers
    assert test is not None
    assert any(set(left) & set(a.fits) and set(left) & set(a.against) for a in test.answers)


def test_answers_of_two_metals_mixed_are_shown_as_contradictory() -> None:
    """Grey iron's graphite and mild steel's long curl can't be one metal's."""
    grey, steel = column("grey iron"), column("mild steel")
    mixed = {name: grey[name] for name in ("rub", "fracture", "ring")}
    found = identified(mixed | {name: steel[name] for name in ("chip", "surface", "torch")})

    assert found.left == ()
    assert found.metal == "unknown"
    assert found.contradictions[0].startswith("These answers leave no metal")
    assert 'chip "long curl"' in " ".join(found.contradictions)
    assert "unknown" in found.told[0]


@given(ANSWERS)
def test_heat_comes_only_where_no_other_test_helps(answers: dict[str, str]) -> None:
    """Steps of the tests themselves: the tack last of all, the flame only on scrap."""
    test, left = shop_test(next_test(answers) or ""), set(identified(answers).left)
    if test is None or not test.hot:
        return
    for other in shop_tests():
        if other.name not in answers and not other.hot:
            assert not any(left & set(a.fits) and left & set(a.against) for a in other.answers)


def test_a_cold_test_that_helps_a_little_comes_before_a_hot_one_that_helps_much() -> None:
    """The melted place parts more than a rub mark; a tack only doubts (PRAC), so it isn't named."""
    undecided = {test.name: CANT_TELL for test in shop_tests() if not test.hot}
    rub_undone = {name: word for name, word in undecided.items() if name != "rub"}

    assert next_test(rub_undone) == "rub"
    assert next_test(undecided) == "torch"
    assert next_test(undecided | {"torch": CANT_TELL}) is None


def test_pairs_no_test_left_can_part_are_told() -> None:
    """With the skin and the mark unknown, cast and mild steel stay together."""
    undecided = dict.fromkeys(WORDS, CANT_TELL)
    steel = column("mild steel") | {"surface": CANT_TELL, "marking": CANT_TELL}

    assert ("cast steel", "mild steel") in inseparable(undecided | steel)
    assert any("cast steel from mild steel" in line for line in identified(undecided | steel).told)
