"""What if: the findings of one record by two jobs, matched by name, arc and time."""

from __future__ import annotations

import msgspec
import pytest
from written import head_of

from pacer.job.job import Job
from pacer.review.reviewed import Reviewed
from pacer.review.table import PhaseRow, Table
from pacer.review.what_if import WhatIf, what_if, what_if_json
from pacer.review.what_if_lines import what_if_lines
from pacer.session.finding import Finding
from pacer.session.work import Bead, Phase
from pacer.units import Shown


def bead(number: int, started_s: float, place: int = 0) -> Bead:
    """Return a bead of 10 s."""
    return Bead(number, place, started_s, 250.0, "arc", started_s + 10.0, "arc")


def found(name: str, t_s: float, **fields: object) -> Finding:
    """Return a finding."""
    made = Finding(name=name, t_s=t_s, words=f"{name} at {t_s:g}")
    return msgspec.structs.replace(made, **fields)


def reviewed(job: Job, *findings: Finding, beads: tuple[Bead, ...] = ()) -> Reviewed:
    """Return a recording with these findings."""
    out = Table(beads=beads)
    out.findings.extend(findings)
    return Reviewed("a.jsonl", head_of(job), out)


def names(what: WhatIf) -> dict[str, list[str]]:
    """Return what goes, stays and comes, by name and time."""
    return {
        "goes": [f"{one.name} {one.t_s:g}" for one in what.goes],
        "stays": [f"{then.t_s:g} {now.name} {now.t_s:g}" for then, now in what.stays],
        "comes": [f"{one.name} {one.t_s:g}" for one in what.comes],
    }


def test_a_finding_of_the_same_arc_stays_whatever_the_number_of_its_bead(hot_job: Job) -> None:
    """An arc that went out is a whole bead by shorter ones: from there on each is one further."""
    then = reviewed(
        hot_job,
        found("arc lost", 110.0, bead=1),
        found("bead too long", 213.0, bead=2),
        beads=(bead(1, 100.0), bead(2, 200.0)),
    )
    now = reviewed(
        hot_job,
        found("bead too long", 210.0, bead=3),
        found("bead too long", 110.0, bead=2),
        beads=(bead(1, 50.0), bead(2, 100.0), bead(3, 200.0)),
    )
    what = what_if(then, now)
    assert names(what) == {
        "goes": ["arc lost 110"],
        "stays": ["213 bead too long 210"],
        "comes": ["bead too long 110"],
    }
    assert what.beads_differ


def test_the_same_number_of_another_arc_is_another_finding(hot_job: Job) -> None:
    """Bead 2 then and bead 2 now were struck 100 s apart."""
    then = reviewed(hot_job, found("bead too long", 213.0, bead=2), beads=(bead(2, 200.0),))
    now = reviewed(hot_job, found("bead too long", 113.0, bead=2), beads=(bead(2, 100.0),))
    assert names(what_if(then, now)) == {
        "goes": ["bead too long 213"], "stays": [], "comes": ["bead too long 113"]
    }  # fmt: skip


@pytest.mark.parametrize(
    ("now", "stays"),
    [
        (found("cooled through", 160.0, to_s=300.0), True),  # overlaps it
        (found("cooled through", 259.0, to_s=300.0), True),  # 59 s after its end
        (found("cooled through", 261.0, to_s=300.0), False),
        (found("above the ceiling", 160.0, to_s=190.0), False),
    ],
)
def test_times_that_overlap_or_begin_close_are_the_same_finding(
    now: Finding, stays: bool, hot_job: Job
) -> None:
    """Within 60 s of its end; there is a second one later, so that neither is the only one."""
    then = reviewed(
        hot_job, found("cooled through", 100.0, to_s=200.0), found("cooled through", 5e3, to_s=6e3)
    )
    what = what_if(then, reviewed(hot_job, now))
    assert bool(what.stays) is stays
    assert len(what.goes) == (1 if stays else 2)


def test_each_finding_has_one_partner_and_that_the_nearest(hot_job: Job) -> None:
    """Of two that could be it."""
    then = reviewed(hot_job, found("tink heard", 100.0), found("tink heard", 130.0))
    now = reviewed(hot_job, found("tink heard", 131.0), found("tink heard", 99.0))
    assert names(what_if(then, now))["stays"] == ["130 tink heard 131", "100 tink heard 99"]


def test_several_told_as_one_are_held_against_single_ones_by_their_arcs(hot_job: Job) -> None:
    """Of six long beads two stay and one comes; the kind that is at other arcs goes and comes."""
    beads = tuple(bead(n, 100.0 * n) for n in range(1, 9))
    six = reviewed(
        hot_job,
        found("bead too long", 110.0, beads=(1, 2, 3, 4, 5, 6)),
        found("late peen", 115.0, beads=(1, 2, 3, 4, 5, 6)),
        beads=beads,
    )
    three = reviewed(
        hot_job,
        *(found("bead too long", 100.0 * n + 10.0, bead=n) for n in (2, 5, 8)),
        found("late peen", 715.0, bead=7),
        beads=beads,
    )
    assert names(what_if(six, three)) == {
        "goes": ["late peen 115"],
        "stays": ["110 bead too long 210", "110 bead too long 510"],
        "comes": ["bead too long 810", "late peen 715"],
    }
    back = what_if(three, six)
    assert names(back) == {
        "goes": ["bead too long 810", "late peen 715"],
        "stays": ["210 bead too long 110", "510 bead too long 110"],
        "comes": ["late peen 115"],
    }
    lines = list(what_if_lines(back, Shown()))
    at = lines.index("findings that stay: 1")
    assert lines[at + 1 : at + 4] == [
        "0:01:50  bead too long: bead too long at 110",
        "     then: bead too long at 210",
        "     then: bead too long at 510",
    ]


def test_several_told_as_one_by_both_stay_though_the_first_is_another(hot_job: Job) -> None:
    """They share an arc, and begin 100 s apart; a count of no bead stands by itself."""
    beads = tuple(bead(n, 100.0 * n) for n in range(1, 9))
    then = reviewed(
        hot_job,
        found("late peen", 115.0, beads=(1, 2, 3, 4, 5, 6)),
        found("late peen", 110.0, weight="note"),
        beads=beads,
    )
    now = reviewed(hot_job, found("late peen", 215.0, beads=(2, 3, 4, 5, 6, 7)), beads=beads)
    assert names(what_if(then, now)) == {
        "goes": ["late peen 110"], "stays": ["115 late peen 215"], "comes": []
    }  # fmt: skip


def test_limits_stand_in_the_units_of_everything_else(hot_job: Job) -> None:
    """A rate and a time; in a file's words where rounding would make two of them the same."""

    def by(rate_c_h: float, soak_s: float) -> Job:
        return msgspec.structs.replace(
            hot_job,
            cooldown=msgspec.structs.replace(hot_job.cooldown, max_rate_c_h=rate_c_h),
            band=msgspec.structs.replace(hot_job.band, soak_s=soak_s),
        )

    what = what_if(reviewed(by(50.0, 600.0)), reviewed(by(30.0, 610.0)))
    for system, rates in (("metric", "50 K/h 30 K/h"), ("us", "90 °F/h 54 °F/h")):
        shown = Shown("us" if system == "us" else "metric")
        rows = [
            " ".join(line.split()).removesuffix(" (follows)") for line in what_if_lines(what, shown)
        ]
        assert f"cooldown.max_rate {rates}" in rows
        assert "band.soak 10 min 610 s" in rows


def test_a_note_that_either_has_once_stays_though_it_begins_elsewhere(hot_job: Job) -> None:
    """A count of peens stands at the first of them."""
    then = reviewed(hot_job, found("peens not confirmed", 100.0, weight="note"))
    now = reviewed(hot_job, found("peens not confirmed", 900.0, weight="note"))
    assert not what_if(then, now).goes


def test_the_page_says_what_was_asked_and_what_that_can_not_say(hot_job: Job) -> None:
    """Each limit then and now, both figures of what stays, and the honest sentences."""
    other = msgspec.structs.replace(
        hot_job,
        band=msgspec.structs.replace(hot_job.band, floor_c=230.0),
        origin={**hot_job.origin, "band.floor": "given for this question"},
    )
    finding = found(
        "cooled through", 100.0, words="below {floor_c}", values={"floor_c": 200.0}, to_s=200.0
    )
    then = reviewed(hot_job, finding, beads=(bead(1, 100.0),))
    now = reviewed(
        other,
        msgspec.structs.replace(finding, values={"floor_c": 230.0}),
        found("bead below the floor", 100.0, bead=2),
        beads=(bead(2, 100.0),),
    )
    now.table.phases.add(PhaseRow(Phase.SOAK, 0.0, 1.0))
    what = what_if(then, now)
    lines = list(what_if_lines(what, Shown()))
    text = "\n".join(lines)
    assert all(len(line) <= 80 for line in lines)
    assert [line.split() for line in lines if line.startswith("band.")] == [
        ["band.floor", "200", "°C", "230", "°C"]
    ]
    assert "doesn't say what would have happened" in text
    assert "0:01:40  cooled through: below 230 °C\n     then: below 200 °C" in text
    assert "findings that go: 0\n\nfindings that stay: 1\n" in text
    assert "findings that come: 1\n0:01:40  bead below the floor: " in text
    assert "Beads are counted or placed otherwise" in text
    assert "Phases begin and end otherwise" in text
    assert "392 °F" in "\n".join(what_if_lines(what, Shown("us")))

    page = what_if_json(what)
    assert page["limits"] == [
        {
            "key": "band.floor",
            "then": "200 degC",
            "now": "230 degC",
            "now_from": "given for this question",
        }
    ]
    assert page["beads_differ"]
    assert page["phases_differ"]


def test_the_same_job_changes_nothing_and_says_so(hot_job: Job) -> None:
    """No limit, no finding; no warning about beads and phases."""
    same = reviewed(hot_job, found("tink heard", 1.0), beads=(bead(1, 5.0),))
    lines = list(what_if_lines(what_if(same, same), Shown()))
    assert "no limit differs" in lines
    assert "findings that stay: 1" in lines
    assert not any("otherwise" in line for line in lines)
