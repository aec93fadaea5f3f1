"""`pacer inspect`: looks at the finished repair, added to a recording at any later date."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import get_args

import pytest
from commands import here, pacer, told
from written import head_of, lines_of, some_events, welded, write_lines

from pacer.cli.inspection import looks
from pacer.cli.inspection.imperfections import find, imperfection, known, listed
from pacer.cli.main import main
from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.afterwards import append_afterwards
from pacer.run.refold import refold
from pacer.session.events import Inspection, Mark, Outcome
from pacer.session.inspection import Imperfection, Look, Proof

CLEAR = Inspection(t_ms=0, look="visual", result="nothing found")


@pytest.fixture
def record(hot_job: Job, tmp_path: Path) -> Path:
    """A closed recording with one bead."""
    return write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), welded()))


def looks_in(path: Path) -> list[Inspection]:
    """Return what stands in a file, which must be sound and sealed."""
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.lines
    assert isinstance(events[-1], Mark)
    return [event for event in events if isinstance(event, Inspection)]


def test_all_that_is_known_of_a_penetrant_test_is_kept(
    record: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In SI, as recorded; the photo's name and hash; the review's JSON is what was printed."""
    photo = tmp_path / "red.jpg"
    photo.write_bytes(b"not really a picture")
    args = ["--look", "PENETRANT", "--surface", "50degF", "--maker", "10min", "--dwell", "25min"]
    args += ["--developer", "15 min", "--product", "red \x1b[2J", "--from-service", "no"]
    args += ["--imperfection", "1046 bead 1 2mm", "--imperfection", "stray arc at the left end"]
    args += ["--photo", str(photo), "--by", "day shift", "--text", "looked at twice", "--json"]
    code, out, _ = told(["inspect", str(record), *args], capsys)

    assert code == 0
    said = json.loads(out)
    assert said["result"] == "imperfections found"
    assert said["imperfections"] == [
        {
            "number": 1046,
            "name": "transverse crater crack",
            "bead": 1,
            "place": None,
            "size_m": 0.002,
        },
        {"number": 601, "name": "stray arc", "bead": None, "place": "the left end", "size_m": None},
    ]
    # T.O. 33B-1-1 (row N04): twice the maker's time at 10 °C.
    assert said["penetrant"] == {
        "surface_c": 10.0,
        "dwell_s": 1500.0,
        "developer_s": 900.0,
        "maker_s": 600.0,
        "product": "red \N{REPLACEMENT CHARACTER}[2J",
        "from_service": False,
        "told_dwell_s": 1200.0,
    }
    assert said["proof"] is None
    assert said["photo_sha256"] == hashlib.sha256(photo.read_bytes()).hexdigest()
    assert str(tmp_path) not in record.read_text("utf-8")
    main(["review", str(record), "--json"])
    assert json.loads(capsys.readouterr().out)["inspections"] == [said]


def test_a_hung_weight_becomes_a_load_and_a_nominal_stress(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: 150 kg · 9.80665 = 1471 N; · 0.2 m = 294.2 Nm; · 6 / (0.04 · 0.02²) = 110.3 MPa."""
    args = ["--look", "proof load", "--result", "nothing found", "--load", "150kg"]
    args += ["--arm", "200mm", "--section", "40 x 20 mm", "--held", "5min", "--grade", "GJL-250"]
    _, out, _ = told(["inspect", str(record), *args], capsys)
    (look,) = looks_in(record)

    assert look.proof == Proof(1470.9975, 0.2, 0.04, 0.02, None, 300.0, "GJL-250")
    lines = " ".join(out.split())
    assert "proof load: nothing found by this look; load 1.47 kN, arm 200 mm" in lines
    assert "nominal bending stress 110 MPa" in lines
    assert "No rating" in lines


def test_nothing_is_ever_said_that_sounds_like_a_verdict(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of every look: found nothing by this look, never that a part is sound, safe or good."""
    out = ""
    for look in get_args(Look):
        out += told(["inspect", str(record), "--look", look, "--result", "nothing found"], capsys)[
            1
        ]
    main(["review", str(record)])
    out += capsys.readouterr().out
    out += " ".join(row.tells for row in looks.LOOKS.values()).replace("to sound metal", "")

    assert out.count("by this look") == 2 * len(get_args(Look))
    words = set("".join(ch if ch.isalpha() else " " for ch in out.casefold()).split())
    assert not {"sound", "safe", "passed", "good", "holds", "intact", "ok"} & words


def test_looks_follow_one_another_and_move_nothing(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two looks and an outcome between them: state and cues of the session are as before."""
    before = Recording(record)
    was = refold(before.head, before.events())
    first = record.read_bytes()
    told(
        ["inspect", str(record), "--look", "ring", "--result", "not judged", "--heard", "dull"],
        capsys,
    )
    append_afterwards(Recording(record), [Outcome(t_ms=0, found="no crack found")])
    told(
        ["inspect", str(record), "--look", "leak", "--result", "nothing found", "--leak", "1h"],
        capsys,
    )
    after = Recording(record)
    now = refold(after.head, after.events())

    assert record.read_bytes().startswith(first)
    assert [(look.look, look.ring, look.leak_s) for look in looks_in(record)] == [
        ("ring", "dull", None),
        ("leak", None, 3600.0),
    ]
    assert (now.state, now.cues, now.last_ms) == (was.state, was.cues, was.last_ms)


def test_several_looks_go_in_together(record: Path) -> None:
    """One seal after them; each as it was given."""
    other = Inspection(t_ms=0, look="grinding", result="not judged", text="blue at the boundary")
    written = append_afterwards(Recording(record), [CLEAR, other])

    assert list(written.records) == looks_in(record)
    assert [look.text for look in written.records] == ["", "blue at the boundary"]


def test_a_number_that_no_reader_would_take_is_not_written(record: Path) -> None:
    """Else it would be there and never be read."""
    before = record.read_bytes()
    for found in (
        Outcome(t_ms=0, found="crack", service_s=1e15),
        Inspection(t_ms=0, look="proof load", result="not judged", proof=Proof(height_m=0.0)),
    ):
        with pytest.raises(UserInputError, match="nothing is written down"):
            append_afterwards(Recording(record), [found])

    assert record.read_bytes() == before


# Numbers and names: GOST R ISO 6520-1-2012, identical to ISO 6520-1:2007 (seen in the primary
# text), but 5011 and 5012 (ISO 5817 level C table, seen in a secondary page).
BY_ISO_6520_1 = {
    "1011": 1011,
    "longitudinal crack at the fusion boundary": 1012,
    "longitudinal, fusion boundary": 1012,
    "star-shaped": 1047,
    "Star Shaped Crater Cracks": 1047,
    "poor restart": 517,
    "intermittent undercut": 5012,
    "stray arcs": 601,
}


@pytest.mark.parametrize("said", BY_ISO_6520_1)
def test_an_imperfection_is_known_by_number_name_or_words(said: str) -> None:
    """The published number, however it is called."""
    assert find(said, "found").number == BY_ISO_6520_1[said]


def _meant(name: str) -> str:
    try:
        found = find(name, "found")
    except UserInputError as error:
        return str(error)
    return f"{found.number} {found.name}"


def test_every_number_of_the_table_means_itself_and_no_name_means_another() -> None:
    """A name is taken or asked back about; it never becomes another number."""
    for each in known():
        assert find(str(each.number), "found") == each
        assert f"{each.number} {each.name}" in _meant(each.name)


def test_the_list_says_of_each_number_how_far_it_was_seen() -> None:
    """A line for those of the standard's own text, a word at the others; fits 80 columns.

    GOST R ISO 6520-1-2012: primary text; 5012: a page of ISO 5817 level C limits, secondary;
    2013: from memory (the numbers of each kind: tests/trade/test_published_facts.py).
    """
    lines = listed()

    assert "  601  stray arc" in lines
    assert " 5012  intermittent undercut (seen in a secondary page)" in lines
    assert " 2013  clustered porosity (from memory, confidence high)" in lines
    assert sum("from memory" in line for line in lines) == 17
    last = " ".join(" ".join(lines[len(known()) :]).split())
    assert last.startswith("Where nothing else is said, ")
    assert "GOST R ISO 6520-1-2012" in last
    assert last.endswith("seen in the primary text.")
    assert all(len(line) <= 80 for line in lines)


def test_a_remembered_number_is_marked_on_the_page_that_is_written(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both what is printed when it is written and the review; the record keeps the name alone."""
    args = ["--look", "visual", "--imperfection", "2013 bead 1 2mm"]
    _, out, _ = told(["inspect", str(record), *args], capsys)
    main(["review", str(record)])
    words = "2013 clustered porosity (ISO number from memory, confidence high), at bead 1, 2 mm"

    assert f"- {words}" in " ".join(out.split())
    assert f"- {words}" in " ".join(capsys.readouterr().out.split())
    (look,) = looks_in(record)
    assert look.imperfections == (Imperfection(2013, "clustered porosity", bead=1, size_m=0.002),)


def test_a_place_is_told_from_a_name_that_has_at_in_it(record: Path) -> None:
    """1012 is at the fusion boundary by its name; the left end is where this one is."""
    for text, place in (
        ("longitudinal crack at the fusion boundary", ""),
        ("longitudinal crack at the fusion boundary at the left end, 3/4 in", "the left end"),
    ):
        found = imperfection(text, "found", Recording(record))
        assert (found.number, found.place) == (1012, place)
        assert found.size_m in (None, pytest.approx(0.75 * 0.0254))


@pytest.mark.slow
def test_the_shell_sees_what_was_written(hot_job: Job, tmp_path: Path) -> None:
    """Through the real program; then the review shows it before the phases."""
    record = write_lines(tmp_path / "b.jsonl", lines_of(head_of(hot_job), some_events()))
    pacer(
        "inspect", record, "--look", "back side", "--opened", "yes", "--imperfection", "4021"
    ).fine()
    page = here("review", record, "--tables").fine().out

    (look,) = looks_in(record)
    assert (look.opened, look.welded) == (True, None)
    assert look.imperfections == (Imperfection(4021, "incomplete root penetration"),)
    assert "inspection\n" in page
    assert "back side: imperfections found; opened from behind" in page
    assert page.index("incomplete root penetration") < page.index("phase   ")


def test_the_same_imperfection_told_twice_is_kept_once(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By its number and by its name; another place is another one."""
    twice = ["--imperfection", "601", "--imperfection", "stray arc"]
    elsewhere = ["--imperfection", "stray arc at the foot"]
    assert main(["inspect", str(record), "--look", "visual", *twice, *elsewhere]) == 0

    assert '--imperfection "stray arc": told twice, kept once' in capsys.readouterr().err
    (look,) = (event for event in Recording(record).events() if isinstance(event, Inspection))
    assert [found.place for found in look.imperfections] == ["", "the foot"]


def test_welded_from_behind_goes_with_opened_there(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Opened not said is as little as no."""
    look = ["--look", "back side", "--result", "not judged", "--welded", "yes"]
    assert main(["inspect", str(record), *look]) == 2

    assert "--welded: opened is not said, so not welded there" in capsys.readouterr().err


def test_an_option_s_bare_number_is_taken_in_the_shop_s_unit(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """And that is said, beside the JSON of a program too."""
    look = ["--look", "leak", "--result", "nothing found", "--leak", "30", "--json"]
    assert main(["inspect", str(record), *look]) == 0

    told = capsys.readouterr()
    assert "--leak: taken as 30 min" in told.err
    assert json.loads(told.out)["leak_s"] == 1800.0
