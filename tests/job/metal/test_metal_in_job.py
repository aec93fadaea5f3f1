"""What shop tests found goes into a job file: answers with evidence, comments kept."""

from __future__ import annotations

import tomllib

import pytest
from conftest import HOT
from hypothesis import given
from hypothesis import strategies as st
from published import column

from pacer.errors import UserInputError
from pacer.job.file.read import job_from_text
from pacer.job.job import Metal
from pacer.job.metal.answers import answers_in_job
from pacer.job.metal.doubts import contradicts
from pacer.job.metal.identified import identified
from pacer.job.metal.into_job import metal_named, metal_told, written
from pacer.job.metal.shop_tests import METALS, shop_tests

WORDS = {test.name: [answer.word for answer in test.answers] for test in shop_tests()}
ANSWERS = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from(words) for name, words in WORDS.items()}
)
GREY = {"ring": "dull thud", "chip": "small, crumbling", "rub": "dark mark"}
COMMENTS = ["# top", "# weighed twice", "# before the table", "# of the ring", "# end"]
COMMENTED = """\
# top
[part]
metal = "unknown"
mass = "3.2 kg"   # weighed twice

# before the table
[tests]
ring = "clear, long" # of the ring

[joint]
crack_length = "75 mm"
# end
"""


def _written(text: str, answers: dict[str, str], chosen: Metal | None = None) -> str:
    return written(text, answers, identified(answers), chosen)


@given(ANSWERS, ANSWERS, st.sampled_from([None, *METALS]))
def test_the_result_round_trips_and_comments_stay(
    first: dict[str, str], second: dict[str, str], chosen: Metal | None
) -> None:
    """Written twice over, the file holds the last answers, and every comment of the user."""
    once = _written(COMMENTED, first | {"ring": "dull thud"})
    twice = _written(once, second | {"ring": "dull thud"}, chosen)
    read = tomllib.loads(twice)

    assert answers_in_job(twice, "j") == second | {"ring": "dull thud"}
    assert read["part"]["mass"] == "3.2 kg"
    assert read["joint"] == {"crack_length": "75 mm"}
    assert all(comment in twice for comment in COMMENTS)
    assert twice == _written(twice, second | {"ring": "dull thud"}, chosen)


@given(ANSWERS)
def test_a_new_file_is_minimal_and_holds_the_evidence(answers: dict[str, str]) -> None:
    """One line a test, with who says so behind it."""
    made = _written("", answers)

    assert set(tomllib.loads(made)) == {"part", "tests"}
    assert answers_in_job(made, "j") == answers
    for name, word in answers.items():
        line = next(line for line in made.splitlines() if line.startswith(f"{name} = "))
        test = next(test for test in shop_tests() if test.name == name)
        answer = test.answer(word)
        assert answer is not None
        if answer.fits:
            assert answer.status in line
            assert all(metal in line for metal in answer.fits)


@pytest.mark.parametrize("metal", [metal for metal in METALS if metal != "white iron"])
def test_a_file_begun_by_the_tests_is_a_job_when_the_rest_is_there(metal: Metal) -> None:
    """The facts come back from the reader of job files, the metal too."""
    answers = column(metal, grade=True)
    job = job_from_text(_written(HOT.replace('metal = "grey iron"\n', ""), answers), "j.toml")

    assert job.part.metal == metal
    assert {key.removeprefix("tests."): word for key, word in job.facts.items()} == {
        **answers,
        "left": metal,
    }
    # Of malleable iron's own light rim it is said that it may be a chilled one.
    assert [line for line in contradicts(job) if "a white rim" not in line] == []


def test_a_metal_of_the_file_stays_and_that_is_told() -> None:
    """Never silently: only a chosen metal takes the place of one that was given."""
    found = identified(column("ductile iron"))

    assert '\nmetal = "grey iron"\n' in _written(HOT, column("ductile iron"))
    stays = 'part.metal stays "grey iron"; shop tests leave: '
    assert (metal_told(HOT, found, None) or "").startswith(f"{stays}ductile iron.")
    assert (metal_told(HOT, identified({"ring": "clear, long"}), None) or "").startswith(stays)
    assert metal_told(HOT, found, "ductile iron") is None
    assert metal_told(HOT, identified(column("grey iron")), None) is None
    chosen = _written(HOT, column("ductile iron"), "ductile iron")
    assert tomllib.loads(chosen)["part"]["metal"] == "ductile iron"


@pytest.mark.parametrize("comment", ["", "   # weighed twice, cast in 1931"])
def test_a_metal_that_the_tests_wrote_goes_when_they_settle_it_no_longer(comment: str) -> None:
    """It was their word, not the welder's: back to unknown, or to what they settle now; told."""
    unknown = HOT.replace('"grey iron"', f'"unknown"{comment}')
    grey = _written(unknown, column("grey iron"))
    assert tomllib.loads(grey)["part"]["metal"] == "grey iron"

    open_again, ductile = identified({}), column("ductile iron")
    back = written(grey, {}, open_again)
    assert tomllib.loads(back)["part"]["metal"] == "unknown"
    told = 'part.metal: "unknown", no more "grey iron" as by earlier tests; left: grey iron, '
    assert (metal_told(grey, open_again, None) or "").startswith(told)
    other = _written(grey, ductile)
    assert tomllib.loads(other)["part"]["metal"] == "ductile iron"
    assert "by earlier tests" in (metal_told(grey, identified(ductile), None) or "")
    assert all(comment.strip() in text for text in (grey, back, other))
    assert tomllib.loads(_written(back, column("grey iron"))) == tomllib.loads(grey)


def test_a_metal_changed_by_hand_is_the_welders_though_our_comment_is_left() -> None:
    """The comment names another metal than the file: it is about what stood there before."""
    grey = _written(HOT.replace('"grey iron"', '"unknown"'), column("grey iron"))
    steel = grey.replace('metal = "grey iron"', 'metal = "cast steel"')

    assert tomllib.loads(written(steel, {}, identified({})))["part"]["metal"] == "cast steel"
    assert 'stays "cast steel"' in (metal_told(steel, identified({}), None) or "")


def _line(text: str, key: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(f"{key} = "))


def test_a_chosen_metal_is_never_said_to_be_by_the_tests() -> None:
    """Over the tests' own metal, and where it is the same one; and it stays from then on."""
    grey = _written(HOT.replace('"grey iron"', '"unknown"'), column("grey iron"))
    assert _line(grey, "metal").endswith("# pacer: grey iron by shop tests, see [tests]")

    for metal in ("ductile iron", "grey iron"):
        chosen = _written(grey, column("grey iron"), metal_named(metal, "--metal"))
        assert f"# pacer: {metal} chosen by the welder; " in _line(chosen, "metal")
        assert "by shop tests" not in _line(chosen, "metal")
        assert tomllib.loads(written(chosen, {}, identified({})))["part"]["metal"] == metal


def test_evidence_of_an_earlier_answer_never_stands_behind_another_one() -> None:
    """Whatever its words were: a comment of ours is known by its mark, the user's stays."""
    old = 'ring = "clear, long" # heard twice # pacer: for brass; an old wording of ours'
    new = _line(_written(f"[tests]\n{old}\n", {"ring": "dull thud"}), "ring")

    assert new.startswith('ring = "dull thud" # heard twice # pacer: for grey iron; ')
    assert "brass" not in new
    assert "old wording" not in new


def test_new_answers_go_before_what_belongs_to_the_next_table() -> None:
    """A comment directly above a heading; the table's own comments stay above the answers."""
    own = '[tests]\nring = "clear, long"\n# of the tests\n'
    for between in ("\n# of the joint\n# two lines\n", "\n\n# of the joint\n"):
        text = f'{own}{between}[joint]\nangle = "60 deg"\n'
        made = _written(text, {"ring": "dull thud", "chip": "long curl"})
        assert f'{between}[joint]\nangle = "60 deg"\n' in made
        assert made.index("# of the tests") < made.index("chip = ") < made.index("# of the joint")


def test_line_ends_stay_those_of_the_file() -> None:
    """One system's files end a line in two bytes: all of them or none."""
    text = HOT.replace("\n", "\r\n")
    made = _written(text, GREY)

    assert made.count("\n") == made.count("\r\n")
    assert made.replace("\r\n", "\n") == _written(HOT, GREY)


def test_unknown_is_written_over_when_one_metal_is_left_and_only_then() -> None:
    """Several left: the metal is unknown."""
    unknown = HOT.replace('"grey iron"', '"unknown"')
    one, several = column("grey iron"), {"ring": "dull thud"}

    assert tomllib.loads(_written(unknown, one))["part"]["metal"] == "grey iron"
    assert tomllib.loads(_written(unknown, several))["part"]["metal"] == "unknown"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("part = 3\n", "part = 3: expected a table, [part]"),
        ("tests = 'all'\n", 'tests = "all": expected a table, [tests]'),
    ],
)
def test_a_file_that_has_no_tables_is_left_alone(text: str, said: str) -> None:
    """One line, and nothing is written."""
    with pytest.raises(UserInputError, match=r"^job file: ") as caught:
        _written(text, GREY)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        'tests = {ring = "clear, long"}\n[part]\nmetal = "unknown"\n',
        'part.metal = "unknown"\ntests.ring = "clear, long"\n[joint]\nangle = "60 deg"\n',
        '[part]\r\nmetal = "unknown"\r\n[tests]\r\nring = "clear, long"\r\n',
        '[tests]\nring = "clear, long"',
        '[tests]\n[joint]\nangle = "60 deg"\n',
    ],
)
def test_other_ways_of_writing_the_same_are_read_back(text: str) -> None:
    """Inline, dotted, with other line ends, without the last one."""
    assert answers_in_job(_written(text, GREY), "j") == GREY


def test_a_plan_is_warned_where_its_tests_speak_against_its_metal() -> None:
    """Ruled out, doubted, not known, and white iron not excluded."""

    def said(answers: dict[str, str]) -> list[str]:
        lines = "".join(f'{name} = "{word}"\n' for name, word in answers.items())
        return contradicts(job_from_text(f"{HOT}[tests]\n{lines}", "j.toml", stops=False))

    assert said(GREY) == []
    assert "doubts it" in said({"ring": "clear, long"})[0]
    assert "rule it out" in said({"ring": "clear, long", "chip": "long curl"})[0]
    assert said({"ring": "like a bell"}) == [
        'tests.ring: "like a bell" is no answer of this test and says nothing; '
        "pacer identify asks them"
    ]
    # What white iron is likely for is a stop: `test_stops.py`.
    assert not any("white iron" in line for line in said({"ring": "high, sharp"}))
    assert "don't weld through it" in said({"fracture": "white rim, dark centre"})[-1]
    assert not any("white iron" in line for line in said({"rub": "no mark"}))
    soft = {"file": "cuts easily", "spark": "long, bright, few forks"}
    assert "which other tests rule out" in said({"ring": "high, sharp", **soft})[-1]


def test_a_plan_is_warned_where_what_is_left_isnt_what_the_answers_leave() -> None:
    """As after an answer changed by hand; order, capitals and blanks aside."""

    def said(left: str, answers: str) -> list[str]:
        return contradicts(job_from_text(f'{HOT}[tests]\nleft = "{left}"\n{answers}', "j.toml"))

    two = 'ring = "dull thud"\nchip = "small, crumbling"\n'
    line = (
        "but the answers in the file leave grey iron, malleable iron, white iron; "
        "pacer identify writes it anew"
    )
    assert said("grey iron, malleable iron, white iron", two) == []
    assert said("White iron,grey iron , malleable iron", two) == []
    assert said("grey iron", two) == [f'tests.left: "grey iron", {line}']
    assert said(", ".join(METALS), "") == []
    assert len(said("grey iron", "")) == 1


def test_what_is_written_of_contradictory_answers_is_read_as_such() -> None:
    """None left: the words written are no metal's, and no difference either."""
    none = {"ring": "dull thud", "rub": "dark mark", "chip": "long curl", "file": "slides"}
    none |= {"torch": "sparks, sets at once", "surface": "rolling or forging marks"}
    assert identified(none).left == ()
    lines = contradicts(job_from_text(_written(HOT, none), "j.toml"))
    assert not any(line.startswith("tests.left") for line in lines)


def test_a_metal_is_named_in_any_case_and_nothing_else_is_taken() -> None:
    """One line with all of them."""
    assert metal_named(" Grey  IRON ", "--metal") == "grey iron"
    with pytest.raises(UserInputError, match=r'^--metal "brass": expected one of grey iron, '):
        metal_named("brass", "--metal")
