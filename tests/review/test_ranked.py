"""The order of findings: held against the crack by place, bead, time and size; true statements."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import get_args

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from written import head_of

from pacer.job.job import Job
from pacer.review.ranked import ranked
from pacer.review.ranking.crack import Crack, cracks
from pacer.review.ranking.numbers import Numbered, crack_of
from pacer.review.ranking.points import POINTS, counted
from pacer.session.events import FoundAt, FoundWhere, Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.fold import begin
from pacer.session.inspection import Imperfection
from pacer.session.state import State
from pacer.session.work import Bead
from pacer.trade.rows import load

ROWS = {row.id: row for row in load("findings")}
STRAIN = sorted(name for name, row in ROWS.items() if row.values["kind"] == "strain")
PLACES: tuple[FoundWhere, ...] = get_args(FoundWhere)
SPOTS: tuple[FoundAt, ...] = get_args(FoundAt)


def crack(**said: object) -> Outcome:
    """A crack that was found, and what was said of it."""
    return msgspec.convert({"k": "outcome", "b": 0, "found": "crack", **said}, Outcome)


def look(*numbers: int, bead: int | None = None) -> Inspection:
    """A look by eye that found these imperfections."""
    found = tuple(Imperfection(number=number, name="x", bead=bead) for number in numbers)
    if not found:
        return Inspection(t_ms=0, look="visual", result="nothing found")
    return Inspection(t_ms=0, look="visual", result="imperfections found", imperfections=found)


@pytest.fixture(scope="module")
def state(hot_job: Job) -> State:
    """Nine beads at places 1, 2, 3, 1, 2, …, a minute apart; invented."""
    beads = tuple(
        Bead(number=n, place=(n - 1) % 3, started_s=60.0 * n, start_c=230.0, started_by="press")
        for n in range(1, 10)
    )
    start, _ = begin(head_of(hot_job))
    return msgspec.structs.replace(start, work=msgspec.structs.replace(start.work, beads=beads))


def found(name: str, bead: int | None = None, t_s: float = 100.0, **more: object) -> Finding:
    """A finding, at the place of its bead."""
    place = None if bead is None else (bead - 1) % 3
    said = Finding(name=name, t_s=t_s, words=name, bead=bead, place=place)
    return msgspec.structs.replace(said, **more)


def names(findings: Sequence[Finding]) -> list[str]:
    """Their names, in order."""
    return [finding.name for finding in findings]


def against(first: Finding, *others: Finding, of: Outcome | None, state: State) -> tuple[str, ...]:
    """What speaks against the first one."""
    order = ranked([first, *others], [of] if of is not None else [], [], state)
    return next(f.against for f in order if f.bead == first.bead and f.name == first.name)


@pytest.mark.parametrize("where", PLACES)
def test_what_usually_shows_where_the_crack_is_comes_first(where: FoundWhere, state: State) -> None:
    """Of all kinds that could strain the metal, each of the whole part and none larger."""
    order = ranked([found(name) for name in STRAIN], [crack(where=where)], [], state)
    fits = [where in ROWS[finding.name].values["fits"] for finding in order]

    assert fits == sorted(fits, reverse=True)
    assert True in fits
    for finding in order:
        if where not in ROWS[finding.name].values["fits"]:
            assert "this usually shows" in finding.against[0]
        else:
            assert finding.against == ()


@pytest.mark.parametrize(
    ("spot", "first"),
    [("crater", "crater not filled"), ("tack", "tack cracked"), ("stop hole", "heated too fast")],
)
def test_a_crater_a_tack_and_a_stop_hole_have_findings_of_their_own(
    spot: FoundAt, first: str, state: State
) -> None:
    """Before a bead too hot, which shows at none of them."""
    order = ranked([found("bead above the ceiling"), found(first)], [crack(at=spot)], [], state)

    assert names(order) == [first, "bead above the ceiling"]


@pytest.mark.parametrize(
    ("number", "wanted"),
    [
        (1011, Numbered("weld", None, "along")),
        (1012, Numbered("boundary", None, "along")),
        (1013, Numbered("heat-affected zone", None, "along")),
        (1014, Numbered("iron away from the weld", None, "along")),
        (1021, Numbered("weld", None, "across")),
        (1034, Numbered("iron away from the weld")),
        (104, Numbered("weld", "crater")),
        (1045, Numbered("weld", "crater", "along")),
        (1046, Numbered("weld", "crater", "across")),
        (1047, Numbered("weld", "crater")),
        (100, Numbered()),
        (1001, Numbered()),
        (101, Numbered(None, None, "along")),
        (2011, None),
        (2024, None),
        (2025, None),
        (401, None),
        (5011, None),
    ],
)
def test_a_number_of_iso_6520_1_gives_the_place(number: int, wanted: Numbered | None) -> None:
    """GOST R ISO 6520-1-2012: last digit 1 weld, 2 boundary, 3 HAZ, 4 parent; 1001 a microcrack.

    A crater pipe is a cavity, of group 2.
    """
    assert crack_of(number) == wanted


def test_every_number_with_a_place_in_the_trades_table_has_that_place() -> None:
    """The table of imperfections was typed from the standard, not from this rule."""
    same = {"weld metal": "weld", "fusion boundary": "boundary"}
    same |= {"parent metal": "iron away from the weld"}
    rows = load("imperfections")

    assert {row.id for row in rows if crack_of(int(row.id))} == {
        row.id for row in rows if "crack" in row.about
    }
    placed = [(row, crack_of(int(row.id))) for row in rows if "place" in row.values]
    for row, known in placed:
        if known is not None:
            assert known.where == same.get(row.values["place"], row.values["place"]), row.id
    assert len([row for row, known in placed if known is not None]) >= 13


def test_an_inspection_orders_as_an_outcome_does(state: State) -> None:
    """A crater crack at bead 4 by eye: the crater of bead 4, then of others, then heat."""
    said = [found("cooled too fast"), found("crater not filled", 3), found("crater not filled", 4)]
    order = ranked(said, [], [look(1046, bead=4)], state)

    assert [(f.name, f.bead) for f in order] == [
        ("crater not filled", 4),
        ("crater not filled", 3),
        ("cooled too fast", None),
    ]


def test_the_cracks_bead_then_its_place_then_one_beside_it(state: State) -> None:
    """Bead 5 is at place 2; so is 8; 4 at place 1. Bead 3 is at place 3: beside it too."""
    said = [found("bead below the floor", bead) for bead in (3, 8, 5)]
    order = ranked(said, [crack(bead=5)], [], state)

    assert [finding.bead for finding in order] == [5, 8, 3]
    assert order[1].against == (
        "it is of bead 8, the crack is at bead 5, at the same place of the joint",
    )
    assert order[2].against == (
        "it is of bead 3, the crack is at bead 5, 1 place of the joint away",
    )
    assert order[0].against == ("the same at 2 other beads, and no crack is recorded there",)


def test_as_far_past_counts_only_beads_that_were(state: State) -> None:
    """Of two others one was hotter, one less hot than the crack's bead."""
    hot = [found("bead above the ceiling", n, times=times) for n, times in ((5, 1.5), (6, 1.6))]
    mild = found("bead above the ceiling", 7, times=1.2)

    assert against(*hot, mild, of=crack(bead=5), state=state) == (
        "the same as far past the limit at 1 other bead, and no crack is recorded there",
    )


def test_what_began_after_the_crack_was_heard_comes_last_of_the_findings(state: State) -> None:
    """However large: reported at 1000 s, uncovered 180 s later. A note stays behind it."""
    late = found("uncovered early", t_s=1180.0, times=9.0)
    small = found("not peened", bead=1)
    reported = found("crack reported", t_s=1000.0)
    note = found("bead before its time", bead=1, weight="note")
    order = ranked([note, late, small, reported], [crack(when="heard")], [], state)

    assert names(order)[-2:] == ["uncovered early", "bead before its time"]
    assert order[-2].against == ("it began 3 min after the crack was heard or seen",)
    # Found in service the same crack says nothing of the order in time.
    order = ranked([note, late, small, reported], [crack(when="in service")], [], state)
    assert names(order)[0] == "uncovered early"
    assert order[0].against == ()


def test_a_tink_never_stands_for_a_crack(state: State) -> None:
    """The outcome says heard: only a report tells when, the last one; slag tinks, too."""
    tinks = [found("tink heard", t_s=t_s) for t_s in (300.0, 500.0)]
    reports = [found("crack reported", t_s=t_s) for t_s in (350.0, 400.0)]

    assert cracks([crack(when="heard")], [], tinks, []) == (Crack(),)
    assert cracks([crack(when="heard")], [], [*tinks, *reports], []) == (Crack(heard_s=400.0),)
    assert cracks([], [], tinks, []) == ()
    late = found("uncovered early", t_s=600.0)
    order = ranked([*tinks, late], [crack(when="heard")], [], state)
    assert order[0].name == "uncovered early"
    assert order[0].against == ()


def test_a_crack_told_twice_is_one(state: State) -> None:
    """The look's number says that it runs along, the outcome that it was heard; two beads are two."""
    outcome = crack(where="boundary", bead=5, when="heard")
    report = found("crack reported", t_s=400.0)

    told = cracks([crack(where="boundary", bead=5)], [look(1012, bead=5)], [], state.work.beads)
    assert told == (Crack("boundary", runs="along", bead=5, place=1),)
    told = cracks([outcome, crack(where="boundary", bead=5)], [], [report], state.work.beads)
    assert told == (Crack("boundary", bead=5, place=1, heard_s=400.0),)
    assert len(cracks([outcome], [look(1012, bead=6)], [], state.work.beads)) == 2


def test_soon_before_the_crack_counts(state: State) -> None:
    """At 10 min it does, a second earlier it doesn't."""
    known = Crack(heard_s=1000.0)

    assert "in the 10 min before it was heard" in counted(found("not peened", t_s=400.0), known)
    assert "in the 10 min before it was heard" not in counted(found("not peened", t_s=399.0), known)


def test_without_an_outcome_size_orders_and_a_reported_crack_stands_for_one(state: State) -> None:
    """Twice the limit before a little; a gap in what is known last; what came after a report too."""
    said = [
        found("nobody watched", to_s=4000.0, times=60.0),
        found("cooled through", times=1.2, to_s=172.0),
        found("soak cut short", times=2.5, t_s=900.0),
    ]
    assert names(ranked(said, [], [], state)) == [
        "soak cut short",
        "cooled through",
        "nobody watched",
    ]
    reported = found("crack reported", t_s=500.0)
    assert names(ranked([*said, reported], [], [], state))[-1] == "soak cut short"
    # A later look that found nothing takes that back.
    no_crack = Outcome(t_ms=900_000, found="no crack found")
    assert names(ranked([*said, reported], [no_crack], [], state))[0] == "soak cut short"
    by_eye = msgspec.structs.replace(look(), t_ms=900_000)
    assert names(ranked([*said, reported], [], [by_eye], state))[0] == "soak cut short"
    # A clear ring does not.
    ring = msgspec.structs.replace(by_eye, look="ring")
    assert names(ranked([*said, reported], [], [ring], state))[-1] == "soak cut short"


def test_of_several_outcomes_the_crack_decides(state: State) -> None:
    """A first look found nothing; months later it cracked at bead 2."""
    said = [found("bead too long", 7), found("bead too long", 2)]
    looks = [Outcome(t_ms=0, found="no crack found"), crack(bead=2, when="in service")]

    for outcomes in (looks, looks[::-1]):
        assert [finding.bead for finding in ranked(said, outcomes, [], state)] == [2, 7]


def test_of_several_cracks_each_finding_stands_by_the_one_it_fits_best(state: State) -> None:
    """One in a crater of bead 7, one at the boundary of bead 2: nothing speaks against either."""
    said = [found("bead below the floor", 2), found("crater not filled", 7)]
    outcomes = [crack(where="weld", at="crater", bead=7), crack(where="boundary", bead=2)]

    assert [finding.against for finding in ranked(said, outcomes, [], state)] == [(), ()]


def test_no_crack_is_recorded_there_is_said_only_where_none_is(state: State) -> None:
    """Cracks at beads 5 and 6, both below the floor, as was 7; bead 6 has its own crack."""
    cold = [found("bead below the floor", bead) for bead in (5, 6, 7)]
    order = ranked(cold, [crack(bead=5), crack(bead=6)], [], state)
    said = {finding.bead: finding.against for finding in order}

    assert said[5] == said[6] == ("the same at 1 other bead, and no crack is recorded there",)
    assert said[7] == ("it is of bead 7, the crack is at bead 5, 1 place of the joint away",)


@pytest.mark.parametrize("name", ["welded without a trusted reading", "tink heard"])
def test_a_gap_or_a_sign_is_not_held_to_its_bead(name: str, state: State) -> None:
    """What was not known at one bead, or heard at it, may have to do with a crack at another."""
    assert against(found(name, 2), of=crack(bead=9), state=state) == ()
    assert against(found("not peened", 2), of=crack(bead=9), state=state) != ()


@pytest.mark.parametrize("spot", SPOTS)
def test_where_only_the_spot_is_known_what_shows_elsewhere_says_so(
    spot: FoundAt, state: State
) -> None:
    """A crack in a crater is in the weld: what usually shows there is not held against it."""
    elsewhere = "the crack is .*; this usually shows"
    for name in STRAIN:
        fits = set(ROWS[name].values["fits"])
        said = " ".join(against(found(name), of=crack(at=spot), state=state))
        shows = {spot, "weld"} if spot == "crater" else {spot}
        assert bool(re.search(elsewhere, said)) == fits.isdisjoint(shows), name


def test_what_usually_shows_elsewhere_comes_after_what_fits(state: State) -> None:
    """A crack at the boundary of bead 3: an arc lost there, against the cover taken off early."""
    lost = found("arc lost", 3, times=1.2)
    early = found("uncovered early", t_s=5000.0)

    assert names(ranked([lost, early], [crack(where="boundary", bead=3)], [], state)) == [
        "uncovered early",
        "arc lost",
    ]
    assert names(ranked([lost, early], [crack(where="weld", bead=3)], [], state))[0] == "arc lost"
    # Where nothing is said of the place nothing is taken off.
    assert names(ranked([lost, early], [crack(bead=3)], [], state))[0] == "arc lost"


def test_a_finding_of_many_beads_stands_by_the_cracks_bead_if_that_is_one_of_them(
    state: State,
) -> None:
    """Beads 1 to 6 as one; the crack at bead 4, then at bead 9."""
    many = found("not peened", beads=(1, 2, 3, 4, 5, 6), times=1.5)
    near = Crack("weld", bead=4, place=0)

    assert "the crack's bead" in counted(many, near)
    assert "the whole part" not in counted(many, near)
    assert "the crack's bead" not in counted(many, near._replace(bead=9, place=2))
    at_4 = ranked([many], [crack(where="weld", bead=4)], [], state)[0].against
    assert at_4 == ("the same at 5 other beads, and no crack is recorded there",)
    at_9 = ranked([many], [crack(where="weld", bead=9)], [], state)[0].against
    assert at_9 == ("it is of 6 other beads, the crack is at bead 9",)


def test_notes_stand_in_order_of_time(state: State) -> None:
    """Whatever they are of; a crack's bead doesn't draw them."""
    notes = [found("bead before its time", n, t_s=1000.0 - n, weight="note") for n in (5, 2, 7)]
    order = ranked(notes, [crack(bead=5)], [], state)

    assert [note.t_s for note in order] == [993.0, 995.0, 998.0]


def test_a_long_bead_is_held_against_which_way_the_crack_runs(state: State) -> None:
    """Across the weld as it usually does; along it speaks against; beside the weld neither."""
    long = found("bead too long", 3)

    assert "runs as it usually does" in counted(long, Crack("weld", runs="across"))
    for known in (Crack("weld", runs="along"), Crack("boundary", runs="across"), Crack("weld")):
        assert "runs as it usually does" not in counted(long, known)
    along = crack(where="weld", runs="along", bead=3)
    assert against(long, of=along, state=state) == (
        "the crack runs along the weld; this usually shows across it",
    )
    assert against(long, of=crack(where="boundary", runs="along"), state=state) == ()


def test_among_equals_the_cracks_bead_then_size_up_to_twice_the_limit(state: State) -> None:
    """Twenty times a minute is no more than 2.4 times a temperature: then time decides."""
    first = found("heated too fast", t_s=100.0, times=2.4)
    large = found("channels apart", t_s=200.0, times=20.0)
    small = found("cooled too fast", t_s=50.0, times=2.0)

    assert names(ranked([large, first, small], [], [], state)) == [
        "cooled too fast",
        "heated too fast",
        "channels apart",
    ]
    # Five points each: its bead (3) below the floor, or its place (2) and a quarter more (1).
    here = found("bead below the floor", 5, t_s=300.0, times=1.1)
    place = found("bead below the floor", 2, t_s=100.0, times=1.3)
    known = [crack(bead=5)]
    (of,) = cracks(known, [], [], state.work.beads)
    assert sum(counted(here, of).values()) == sum(counted(place, of).values())
    assert [finding.bead for finding in ranked([place, here], known, [], state)] == [5, 2]


def test_what_lasted_shortly_or_went_slightly_past_says_so(state: State) -> None:
    """Only where it is the longer the worse: a soak of 20 s isn't "only" 20 s."""
    brief = found("above the ceiling", times=1.05, to_s=112.0)
    soak = found("soak cut short", times=3.0, to_s=120.0)

    assert against(brief, of=None, state=state) == (
        "it lasted only 12 s",
        "it is only slightly past its limit",
    )
    assert against(soak, of=None, state=state) == ()


def test_what_a_rule_says_against_a_finding_is_kept_and_notes_get_nothing(state: State) -> None:
    """The rule's own statement comes first."""
    said = found("late peen", 2, against=("it was {temp_c}",))
    note = found("bead before its time", 3, weight="note")
    order = ranked([said, note], [crack(bead=1)], [], state)

    assert order[0].against[0] == "it was {temp_c}"
    assert len(order[0].against) == 2
    assert order[1].against == ()


_beads = st.none() | st.integers(1, 9)
_findings = st.builds(
    found,
    st.sampled_from(sorted(ROWS)),
    _beads,
    st.sampled_from([0.0, 60.0, 540.0, 1000.0, 4000.0]),
    weight=st.sampled_from(["note", "finding"]),
    times=st.none() | st.sampled_from([1.01, 1.25, 1.5, 2.0, 40.0]),
    to_s=st.none() | st.sampled_from([4000.0, 9000.0]),
)
_outcomes = st.lists(
    st.builds(
        crack,
        found=st.sampled_from(["crack", "no crack found"]),
        when=st.sampled_from([None, "heard", "in service"]),
        where=st.none() | st.sampled_from(PLACES),
        at=st.none() | st.sampled_from(SPOTS),
        bead=_beads,
    ),
    max_size=3,
)


@settings(max_examples=100, deadline=None)
@given(said=st.lists(_findings, max_size=12), outcomes=_outcomes, data=st.data())
def test_order_does_not_hang_on_that_of_the_rules_and_notes_come_last(
    state: State, said: list[Finding], outcomes: list[Outcome], data: st.DataObject
) -> None:
    """Permuting findings and outcomes changes nothing; none is lost; no verdict is spoken."""
    order = ranked(said, outcomes, [], state)
    other = ranked(
        data.draw(st.permutations(said)), data.draw(st.permutations(outcomes)), [], state
    )
    assert [f.against for f in other if len(outcomes) < 2] == [
        f.against for f in order if len(outcomes) < 2
    ]
    assert [msgspec.structs.replace(f, against=()) for f in other] == [
        msgspec.structs.replace(f, against=()) for f in order
    ]
    assert sorted(map(repr, said)) == sorted(
        repr(msgspec.structs.replace(f, against=())) for f in order
    )
    weights = [finding.weight for finding in order]
    assert weights == sorted(weights)
    assert not any("cause" in text for finding in order for text in finding.against)


@settings(max_examples=60, deadline=None)
@given(
    said=_findings.filter(lambda f: f.weight == "finding"),
    of=st.integers(1, 9),
    elsewhere=st.integers(1, 9),
)
def test_at_the_cracks_bead_outranks_the_same_elsewhere(
    state: State, said: Finding, of: int, elsewhere: int
) -> None:
    """All else the same, wherever the crack is."""
    here = found(said.name, of, said.t_s, times=said.times, to_s=said.to_s)
    there = found(said.name, elsewhere, said.t_s, times=said.times, to_s=said.to_s)
    order = ranked([there, here], [crack(bead=of)], [], state)

    assert order[0].bead == of


def test_every_finding_of_the_rules_has_a_row_and_every_row_is_used(root: Path) -> None:
    """A name is written out in its rule; its row says where it fits and what kind it is."""
    text = "\n".join(
        path.read_text("utf-8") for path in (root / "pacer" / "review" / "rules").glob("*.py")
    )
    used = set(re.findall(r'name="([^"{]+)"', text))

    assert used <= set(ROWS)
    assert [name for name in ROWS if f'"{name}"' not in text] == []
    for row in ROWS.values():
        assert set(row.values["fits"]) <= {*PLACES, *SPOTS}, row.id
        assert row.values["kind"] in {"strain", "sign", "gap"}, row.id
        assert set(row.values) <= {"fits", "kind", "lasts", "runs"}, row.id
        assert row.values.get("runs", "along") in {"along", "across"}, row.id
        assert not re.search(r"\bcauses?d?\b|\bsafe\b|\bsound repair\b", row.about), row.id


def test_the_guide_has_every_point(root: Path) -> None:
    """`pacer guide review` tells what ranks how; a changed figure has to change there too."""
    guide = (root / "pacer" / "guide" / "review.md").read_text("utf-8")

    for name, points in POINTS.items():
        assert re.search(rf"^\| {re.escape(name)} \| {points} \|", guide, re.M), name
