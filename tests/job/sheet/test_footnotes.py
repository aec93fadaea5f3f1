"""Sources as footnotes: a word at the value, a number, each source once in the list."""

from __future__ import annotations

import pytest

from pacer.job.sheet.forms.footnotes import Cite, Footnotes, remark
from pacer.job.sheet.making import PRACTICE, by, quoted, said_by
from pacer.job.sheet.records import Entry, Section, Source, Step
from pacer.trade.rows import row

PAGE = Source("seen in a secondary page", "a page", "W98")
PRIMARY = Source("seen in the primary text", "a standard", "N98")
MEMORY = Source("from memory, confidence low", "a table")
"Invented."


def notes(*sources: Source) -> Footnotes:
    """Return the footnotes of a section with these sources, a step for each."""
    return Footnotes([Section("s", "S", tuple(Step("x", (source,)) for source in sources))])


def test_the_best_seen_source_has_the_lowest_number_and_each_stands_once() -> None:
    """By status as the tables rank them, whatever the order of the sheet."""
    found = notes(MEMORY, PAGE, PRIMARY, PAGE)

    assert [
        (status, [(note.number, note.text) for note in listed]) for status, listed in found.listed()
    ] == [
        ("seen in the primary text", [(1, "a standard (N98)")]),
        ("seen in a secondary page", [(2, "a page (W98)")]),
        ("from memory", [(3, "a table (confidence low)")]),
    ]


def test_one_source_of_several_rows_has_one_number_and_names_them_all() -> None:
    """R01 and R02 stand on the same page (trade tables)."""
    first, second = (by(row("repair", name))[0] for name in ("R01", "R02"))
    found = notes(first, second)

    assert found.marks((first,)) == found.marks((second,)) == (Cite("published", (1,)),)
    ((_, listed),) = found.listed()
    assert listed[0].text.endswith("(R01, R02)")


def test_one_text_seen_in_two_ways_is_two_sources() -> None:
    """A page that was seen is not the same as one remembered."""
    remembered = Source("from memory", "a page")

    assert notes(PAGE, remembered).marks((PAGE, remembered)) == (
        Cite("published", (1,)),
        Cite("from memory", (2,)),
    )


def test_what_nobody_says_has_a_word_and_no_number() -> None:
    """It is not listed either."""
    found = notes(*PRACTICE)

    assert found.marks(PRACTICE) == (Cite("common practice"),)
    assert list(found.listed()) == []


@pytest.mark.parametrize(
    ("source", "seen", "told"),
    [
        ("no page found", "common practice", "row R99: common practice, no source"),
        ("safe shop practice, source not seen", "from memory", "row R99: from memory, no source seen"),
        ("row X14: safe shop practice, no page found", "common practice", "row R99, X14: common practice, no source"),
        ("a page, no page found for iron", "common practice", "row R99: a page, no page found for iron; common practice"),
    ],
)  # fmt: skip
def test_a_row_that_says_only_that_it_has_no_source_says_so_in_one_way(
    source: str, seen: str, told: str
) -> None:
    """The tables have several words for it; any other word is kept."""
    assert said_by(source, seen, "R99").told == told


def test_a_source_told_in_a_line_is_read_back() -> None:
    """As the rules outside of the sheet tell theirs; what is none stands as it is."""
    (page,) = quoted("row W08: a page; see there; from memory, confidence low")

    assert (page.text, page.status, page.row) == (
        "a page; see there",
        "from memory, confidence low",
        "W08",
    )
    assert quoted("our choice, no source") == (Source("our choice, no source"),)


@pytest.mark.parametrize(
    ("origin", "note", "cites", "told"),
    [
        ("given", "", (), (Cite("given"),)),
        ("default", "our choice", (), (Cite("default: our choice"),)),
        ("published", "", (Cite("published", (2,)),), (Cite("published", (2,)),)),
        ("published", "for iron", (Cite("published", (2,)),), (Cite("published: for iron", (2,)),)),
        ("computed", "", (Cite("published", (2,)),), (Cite("computed: published", (2,)),)),
        ("computed", "by hand", (Cite("published", (2,)),), (Cite("computed: by hand"), Cite("published", (2,)))),
        ("common practice", "", (Cite("common practice"),), (Cite("common practice"),)),
    ],
)  # fmt: skip
def test_the_origin_is_always_said_and_never_twice(
    origin: str, note: str, cites: tuple[Cite, ...], told: tuple[Cite, ...]
) -> None:
    """In front of the note, or as the source's own word."""
    entry = Entry("a", "1 s", origin, note)  # type: ignore[arg-type]

    assert remark(entry, cites) == told
