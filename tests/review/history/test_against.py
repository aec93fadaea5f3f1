"""Crack or no crack against all else: what is compared, what is not, and what the page says."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from scipy import stats
from sessions import summary

from pacer.review.became import Became
from pacer.review.history.against import Against, against
from pacer.review.history.gathered import Gathered, Row
from pacer.review.history.lines import against_lines, history_lines
from pacer.review.history.quantities import NUMBERS
from pacer.review.history.summary import Summary
from pacer.units import Shown


def _shop() -> list[Summary]:
    """Return 12 sessions that cracked, 13 that did not, 3 of which nobody knows; invented."""
    found: list[Summary] = []
    for number in range(25):
        cracked = number < 12
        names = ["cooled through"] * (number % 13 < (9 if cracked else 2)) + ["late peen"] * (
            number < 3
        )
        found.append(
            summary(
                number,
                "crack" if cracked else "no crack found",
                [*names, *(["crack reported"] if cracked else [])],
                cover="vermiculite" if number % 3 == 0 else "dry sand",
                numbers={
                    "preheat_reached_c": 200.0 + number + (5 if cracked else 40),
                    "mass_kg": 3.0,
                    "uncovered_c": 40.0 + 10 * (number % 4),
                    **({"hold_s": 600.0 + number} if number < 15 else {}),
                },
            )
        )
    return [*found, *(summary(number, None, ["cooled through"]) for number in range(25, 28))]


def test_each_comparison_is_scipys() -> None:
    result = against(_shop())
    assert (result.all.cracked, result.all.of, result.unknown) == (12, 25, 3)
    by_name = {row.name: row for row in result.parted}
    through = by_name["cooled through"]
    assert (through.having.cracked, through.having.of) == (9, 11)
    assert (through.lacking.cracked, through.lacking.of) == (3, 14)
    table = [[9, 2], [3, 11]]
    assert through.p == pytest.approx(float(stats.fisher_exact(table).pvalue))
    preheat = next(row for row in result.ranked if row.number.name == "preheat_reached_c")
    theirs = stats.mannwhitneyu(range(205, 217), range(252, 265), method="exact").pvalue
    assert preheat.p == pytest.approx(float(theirs))
    assert (preheat.cracked.median, preheat.held.median) == (210.5, 258.0)


def test_what_is_compared_and_what_is_not() -> None:
    """Late peen: three only. Hold: three without a crack. Mass: all alike. The crack itself: never."""
    result = against(_shop())
    tested = {row.name for row in result.parted if row.p is not None}
    assert tested == {"cooled through", "cover: dry sand"}
    assert {row.name for row in result.parted} - tested == {"late peen"}
    ranked = {row.number.name for row in result.ranked if row.p is not None}
    assert ranked == {"preheat_reached_c", "uncovered_c"}
    assert result.compared == 4
    words = " ".join(" ".join(against_lines(result, Shown())).split())
    assert "Not compared, too few or all alike: mass; " in words, "labels have commas of their own"
    raised = {row.name: (row.p, row.p_holm) for row in result.parted}
    raised |= {row.number.name: (row.p, row.p_holm) for row in result.ranked}
    order = sorted((p, holm) for p, holm in raised.values() if p is not None and holm is not None)
    by_hand = [min(1.0, (4 - at) * p) for at, (p, _) in enumerate(order)]
    assert [holm for _, holm in order] == [max(by_hand[: at + 1]) for at in range(4)]


def test_four_against_four_is_too_few() -> None:
    few = [s for s in _shop() if int(s.sid, 16) in {0, 1, 2, 3, 12, 13, 14, 15}]
    result = against(few)
    assert result.compared == 0
    lines = list(against_lines(result, Shown()))
    words = " ".join(" ".join(lines).split())
    assert "Nothing is compared: 4 with a crack and 4 without one found; it takes 5 of" in words
    assert "Not compared" not in words
    assert not [line for line in lines if "Fisher" in line]


def test_of_fewer_than_five_only_the_count_is_told() -> None:
    """1 of 1 may be anything from 3 to 100 %, which helps nobody; of five the interval stands."""
    for of, share in ((1, ""), (4, ""), (5, " (95 %: 48 to 100 %)")):
        lines = against_lines(against(summary(n, "crack") for n in range(of)), Shown())
        assert f"a crack was found in {of} of {of}{share}; 0 sessions" in " ".join(lines)


def _apart(each: int, numbers: int) -> Against:
    """Return `each` sessions that cracked, as many that did not, wholly apart in every number."""
    names = [number.name for number in NUMBERS if number.kind == "measured"][:numbers]
    return against(
        summary(
            number,
            "crack" if number < each else "no crack found",
            numbers={name: float(number) for name in names},
        )
        for number in range(2 * each)
    )


@pytest.mark.parametrize(
    ("each", "numbers", "could"), [(5, 6, True), (5, 7, False), (6, 7, True), (8, 20, True)]
)
def test_it_says_where_too_many_comparisons_leave_none_that_could_tell(
    each: int, numbers: int, could: bool
) -> None:
    """Five against five wholly apart: p is 2 of 252, and seven times that is above 0.05."""
    result = _apart(each, numbers)
    assert result.compared == numbers
    assert result.any_could_tell is could
    assert any(row.p_holm is not None and row.p_holm < 0.05 for row in result.ranked) is could
    words = f"none of {numbers} comparisons could come below 0.05 there, however great"
    assert (words in " ".join(" ".join(against_lines(result, Shown())).split())) is not could


def _page(
    sessions: list[Summary], system: str = "metric", most: int | None = None, told: bool = True
) -> list[str]:
    rows = tuple(Row(f"{s.sid[-3:]}.jsonl", s) for s in sessions)
    shown = Shown("us" if system == "us" else "metric")
    compared = against(sessions) if told else None
    return list(history_lines(Gathered(rows), compared, shown, most))


def test_of_many_the_newest_are_listed_and_all_are_compared() -> None:
    """In the order of the folder, the newest just above the count."""
    sessions = _shop()
    lines, whole = _page(sessions, most=3), _page(sessions)
    listed = [line.split(":")[0].strip() for line in lines if ".jsonl: " in line]
    assert listed == ["019.jsonl", "01a.jsonl", "01b.jsonl"]
    assert "  28 sessions, the newest 3 listed (--all lists every one); left out: none" in lines
    assert lines[lines.index("") :] == [
        line.replace("28 sessions;", "28 sessions, the newest 3 listed (--all lists every one);")
        for line in whole[whole.index("") :]
    ]
    assert sum(".jsonl: " in line for line in whole) == 28


def test_chosen_by_outcome_there_is_no_share_and_no_comparison() -> None:
    """It says why, and nothing more."""
    page = _page([one for one in _shop() if one.became.found == "crack"], told=False)
    text = " ".join(" ".join(page).split())
    assert "chosen by what became of them" in text
    assert not any(word in text for word in ("95 %", "Holm", "a crack was found in"))


def test_a_crack_that_was_only_reported_is_told_as_that() -> None:
    reported = msgspec.structs.replace(summary(1), became=Became("crack", "crack reported"))
    assert "dry sand         crack reported" in _page([reported])[1]


def test_the_page_says_what_it_is_and_what_not() -> None:
    text = " ".join(" ".join(_page(_shop())).split())
    for words in (
        "a crack was found in 12 of 25 (95 %: 28 to 69 %)",
        "3 sessions without an outcome left out",
        "4 comparisons: by chance alone at most about 0.2 of them would come below 0.05",
        '"No crack found" is as of that look; how long each was in service is not counted.',
        "Two repairs of one part count as two.",
        "never what caused it",
        "Fisher's exact test",
        "fewer than 5 sessions on a side (cracked with it, without it): late peen 3/3, 9/22.",
    ):
        assert words in text
    assert "approximation" not in text


def test_the_page_is_eighty_columns_wide_in_both_units() -> None:
    sessions = _shop()
    for system in ("metric", "us"):
        lines = _page(sessions, system)
        assert max(map(len, lines)) <= 80
        assert any(("°F" in line) == (system == "us") for line in lines if "preheat" in line)


def test_numbers_stand_in_their_own_columns() -> None:
    line = next(line for line in _page(_shop()) if line.startswith("preheat reached"))
    assert line == (
        "preheat reached            210 °C (12)        258 °C (13)        <0.001  <0.001"
    )


def test_the_guides_example_is_what_the_page_says(root: Path) -> None:
    text = (root / "pacer" / "guide" / "history.md").read_text("utf-8")
    example = text.split("12 of them cracked:\n\n```\n")[1].split("\n```")[0]
    assert example in "\n".join(_page(_shop()))


def test_without_an_outcome_there_is_nothing_to_compare() -> None:
    lines = list(against_lines(against([summary(1)]), Shown()))
    assert lines[1] == (
        "  nothing to compare: 1 session without an outcome left out (pacer outcome)"
    )
