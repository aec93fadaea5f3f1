"""The guide's pages on the format and on exchange say what the code does."""

from __future__ import annotations

import json
import re
import zlib
from pathlib import Path
from typing import get_args

import msgspec
import pytest

from pacer.recording.codec import MAX_LINE, VERSION
from pacer.recording.exchange.incoming import YEARS
from pacer.recording.exchange.readings import COLUMNS
from pacer.recording.exchange.tables import TABLES
from pacer.recording.limits import MOST_VALUES
from pacer.recording.schema import KINDS
from pacer.session.events import (
    DEEDS,
    LATEST_S,
    AnyEvent,
    ArcSignal,
    Channel,
    Correction,
    Found,
    FoundAt,
    FoundWhen,
    FoundWhere,
    GapBy,
    SensorWord,
    Status,
    Thermocouple,
)
from pacer.session.inspection import Imperfection, Look, Looked, Penetrant, Proof, RingHeard


def _page(root: Path, name: str) -> str:
    return (root / f"pacer/guide/{name}.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "kind",
    [*KINDS, Channel, ArcSignal, Thermocouple, Correction, Imperfection, Penetrant, Proof],
    ids=lambda kind: kind.__name__,
)
def test_every_member_is_on_the_page_by_its_name_on_disk(
    root: Path, kind: type[msgspec.Struct]
) -> None:
    """A member without a word is a member nobody can read in twenty years."""
    page = _page(root, "recording")
    told = set(re.findall(r"`(\w+)`", page))
    missing = {field.encode_name for field in msgspec.structs.fields(kind)} - told
    assert missing == set()
    tag = kind.__struct_config__.tag
    assert tag is None or f"`{tag}`" in page


@pytest.mark.parametrize(
    "words",
    [
        DEEDS,
        *map(get_args, (Status, SensorWord, GapBy, Found, FoundWhen, FoundWhere, FoundAt)),
        *map(get_args, (Look, Looked, RingHeard)),
    ],
)
def test_every_word_of_a_list_is_on_the_page(root: Path, words: tuple[str, ...]) -> None:
    """Deeds, statuses, what an outcome may say."""
    page = _page(root, "recording")
    assert [word for word in words if word not in page] == []


def test_version_and_limits_are_those_of_the_code(root: Path) -> None:
    """In the page and in the contributor's list."""
    page = _page(root, "recording")
    version = "{}.{}".format(*VERSION)
    assert f"Version {version}." in page
    assert f"\n| {version} | " in page
    assert f"**{version}** " in (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"{MAX_LINE:,} bytes" in page
    assert f"| values in a reading | {MOST_VALUES} |" in page


def test_every_kind_is_in_the_contributors_table(root: Path) -> None:
    """DEVELOPERS.md, "Recording format": on disk and in the code."""
    text = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.partition("## Recording format")[2].partition("\n## ")[0]
    for kind in KINDS:
        assert f"`{kind.__struct_config__.tag}`" in section
        assert f"`{kind.__name__}`" in section


def test_the_checksum_is_as_the_page_computes_it(root: Path) -> None:
    """The page's own lines of Python, run over a kept recording: every line sound, none changed."""
    code = re.search(r"```python\n(.*?)```", _page(root, "recording"), re.DOTALL)
    assert code is not None
    lines = (root / "tests/data/recordings/1.0.jsonl").read_bytes().splitlines()
    sid = json.loads(lines[0])["sid"]

    def sound(line: bytes, head: bool) -> object:
        names: dict[str, object] = {"zlib": zlib, "line": line, "head": head, "sid": sid}
        exec(code[1], names)
        return names["sound"]

    assert all(sound(line, index == 0) is True for index, line in enumerate(lines))
    assert sound(lines[5].replace(b'"b":', b'"b":1'), False) is False
    assert sound(lines[5], True) is False


@pytest.mark.parametrize("table", TABLES)
def test_every_column_of_a_table_is_on_the_page(root: Path, table: str) -> None:
    """In its table's row, in order."""
    row = next(
        line for line in _page(root, "exchange").splitlines() if line.startswith(f"| `{table}` |")
    )
    told = re.findall(r"`(\w+)`", row.split("|")[3])
    assert told == [column.name for column in TABLES[table]]


def test_the_csv_columns_and_the_limits_of_an_import_are_on_the_page(root: Path) -> None:
    """`t_s`, `channel`, `temp_c`; 10,000,000 s."""
    page = _page(root, "exchange")
    assert all(f"| `{column}` |" in page for column in COLUMNS)
    assert f"{LATEST_S:,.0f}" in page
    assert f"{YEARS[0]} to {YEARS[1]}" in page


def test_no_kind_is_left_out_of_these_tests() -> None:
    """`KINDS` follows the union of events."""
    assert set(get_args(AnyEvent)) < set(KINDS)
