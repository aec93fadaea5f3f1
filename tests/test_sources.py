"""`pacer sources`: every fact with its source and status, by word, as text and as JSON."""

from __future__ import annotations

import json

import pytest

from pacer.cli.main import main
from pacer.settings import home
from pacer.trade.gaps import not_seen
from pacer.trade.rows import STATUSES, TABLES, load

Capture = pytest.CaptureFixture[str]


def said(capsys: Capture, *args: str) -> str:
    """Return what the command prints; insist on success."""
    assert main(["sources", *args]) == 0
    return capsys.readouterr().out


def test_all_facts_are_told_in_eighty_columns_with_the_words_explained_first(
    capsys: Capture,
) -> None:
    """Statuses, then each table under its heading, then what nobody saw."""
    text = said(capsys)
    lines = text.splitlines()
    places = [text.index(f"\n\n{heading} ({name})\n") for name, heading in TABLES.items()]

    assert max(map(len, lines)) <= 80
    assert all(f"  {status}: " in text[: places[0]] for status in STATUSES)
    assert places == sorted(places)
    assert text.index("Not seen at all") > places[-1]
    for name in TABLES:
        for row in load(name):
            assert f"\n  {row.id}: " in text


def test_both_sides_of_a_disagreement_stand_there_and_what_follows(capsys: Capture) -> None:
    """D13: ISO 3452-1 and T.O. 33B-1-1 (primary), a page on ASME V (secondary)."""
    text = " ".join(said(capsys, "D13").split())

    assert "- 5 to 60 min (row N01: ISO 3452-1 clause 8.4.2; seen in the primary text)" in text
    assert "- at least 30 min for a crack that came in service (row N04:" in text
    assert "= A crack that is to be repaired came in service: 30 min is the strict choice." in text


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("preheat", "preheat"),
        ("Interpass temp", "preheat"),
        ("stress_relief", "stress_relief"),
        ("crack ends", "crack_ends"),
    ],
)
def test_a_word_of_a_tables_name_or_heading_shows_the_whole_table(
    word: str, name: str, capsys: Capture
) -> None:
    """Names may be written with a space or an underscore."""
    facts = json.loads(said(capsys, word, "--json"))

    assert {row.id for row in load(name)} <= {fact["id"] for fact in facts if fact["table"] == name}


def test_a_word_shows_the_facts_that_have_it_and_no_others(capsys: Capture) -> None:
    """Case doesn't matter; sides of disagreements are searched too."""
    facts = json.loads(said(capsys, "NICKEL", "--json"))

    assert {"preheat", "fillers", "fume", "cautions", "disagreements"} <= {
        fact["table"] for fact in facts
    }
    for fact in facts:
        assert "nickel" in json.dumps(fact).casefold()
    assert len(facts) < 60


def test_json_is_a_list_of_objects_with_the_same_keys(capsys: Capture) -> None:
    """The keys are a contract; what nobody saw has a place in it too."""
    facts = json.loads(said(capsys, "--json"))
    keys = ["table", "id", "about", "source", "status", "confidence", "values"]

    assert all(list(fact) == keys for fact in facts)
    assert len(facts) == sum(len(load(name)) for name in TABLES) + len(not_seen())
    burns = next(fact for fact in facts if (fact["table"], fact["id"]) == ("burns", "T03"))
    assert burns["values"]["temp_c"] == 43.0
    assert burns["status"] == "seen in the primary text"
    assert [fact["about"] for fact in facts if fact["status"] == "not seen"] == list(not_seen())


def test_a_word_nobody_wrote_is_told_in_one_line(capsys: Capture) -> None:
    """The answer is no: code 1; nothing hostile reaches the screen."""
    code = main(["sources", "zirco\x1b[31mnium"])
    out, err = capsys.readouterr()

    assert (code, out) == (1, "")
    assert err.count("\n") == 1
    assert err.startswith('pacer: sources: no fact has "zirco')
    assert "\x1b" not in err


def test_us_users_read_us_units_as_printed_where_the_source_did(capsys: Capture) -> None:
    """W13's page says 600 to 1200 °F (secondary); JSON keeps the rows as they are."""
    home().mkdir(parents=True, exist_ok=True)
    (home() / "settings.toml").write_text('units = "us"\n', "utf-8")

    assert "600 to 1200 °F" in said(capsys, "W13")
    assert json.loads(said(capsys, "W13", "--json"))[0]["values"]["preheat_c"] == [316.0, 649.0]
