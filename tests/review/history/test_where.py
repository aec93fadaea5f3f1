"""Which sessions are meant, and one clear line for what is wrong."""

from __future__ import annotations

import pytest
from sessions import summary

from pacer.errors import UserInputError
from pacer.review.history.where import check, read_where

SESSIONS = (
    summary(1, "crack", ["cooled through"], "2026-01-10"),
    summary(2, "no crack found", ["late peen"], "2026-02-10", cover="vermiculite"),
    summary(3, None, [], "2026-03-10", notes=["peens not confirmed"]),
    summary(4, "crack", ["late peen"], ""),
)


def _meant(*conditions: str, since: str | None = None, until: str | None = None) -> list[int]:
    where = read_where(conditions, since, until)
    return [int(session.sid, 16) for session in SESSIONS if where.means(session)]


@pytest.mark.parametrize(
    ("conditions", "meant"),
    [
        ((), [1, 2, 3, 4]),
        (("outcome=crack",), [1, 4]),
        (("outcome=unknown",), [3]),
        (("cover=dry sand", "outcome=crack"), [1, 4]),
        (("finding=late peen", "finding=cooled through"), [1, 2, 4]),
        (("finding=late peen", "outcome=crack"), [4]),
        (("finding = peens not confirmed",), [3]),
        (("title=BRACKET 2",), [2]),
        (("method=cold",), []),
    ],
)
def test_each_key_narrows_and_the_same_again_widens(
    conditions: tuple[str, ...], meant: list[int]
) -> None:
    assert _meant(*conditions) == meant


@pytest.mark.parametrize(
    ("condition", "by_outcome"),
    [
        ("outcome=crack", True),
        ("when=heard", True),
        ("place=weld", True),
        ("finding=crack reported", True),
        ("finding=cooled through", False),
        ("cover=dry sand", False),
    ],
)
def test_a_choice_by_outcome_is_known_as_one(condition: str, by_outcome: bool) -> None:
    assert read_where(["title=bracket", condition], None, None).by_outcome is by_outcome


def test_both_days_count_and_an_unknown_one_is_in_no_span() -> None:
    assert _meant(since="2026-02-10") == [2, 3]
    assert _meant(until="2026-02-10") == [1, 2]
    assert _meant(since="2026-02-10", until="2026-02-10") == [2]


@pytest.mark.parametrize(
    ("conditions", "line"),
    [
        (
            ["cover=sand"],
            '--where cover="sand": there are dry sand, vermiculite, ceramic blanket, still air, '
            "furnace",
        ),
        (["outcome=cracked"], '--where outcome="cracked": there are no crack found, crack, unknown'),
        (
            ["colour=red"],
            "--where colour: no such key; there are method, metal, cover, heat, filler, outcome, "
            "when, place, finding, title",
        ),
        (
            ["crack"],
            '--where "crack": expected KEY=VALUE such as cover="dry sand"; keys are method, '
            "metal, cover, heat, filler, outcome, when, place, finding, title",
        ),
        (["finding=late peens"], '--where finding="late peens": there are cooled through, late '
         "peen, peens not confirmed, uncovered early"),
        (["filler=bronze\x1b[2J"], '--where filler="bronze\N{REPLACEMENT CHARACTER}[2J": there are '
         "NiFe"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_one_line_with_what_there_is(conditions: list[str], line: str) -> None:
    with pytest.raises(UserInputError) as told:
        check(read_where(conditions, None, None), SESSIONS, ["uncovered early"])
    assert str(told.value) == line


def test_a_finding_that_nobody_has_here_is_no_mistake() -> None:
    check(read_where(["finding=uncovered early"], None, None), SESSIONS, ["uncovered early"])


@pytest.mark.parametrize(
    ("since", "until", "line"),
    [
        ("March", None, '--since "March": expected a date such as 2026-03-31'),
        (None, "2026-13-01", '--until "2026-13-01": expected a date such as 2026-03-31'),
        ("2026-02-01", "2026-01-01", "--since 2026-02-01: after --until 2026-01-01"),
    ],
)
def test_dates(since: str | None, until: str | None, line: str) -> None:
    with pytest.raises(UserInputError) as told:
        read_where([], since, until)
    assert str(told.value) == line
