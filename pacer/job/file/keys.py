"""The table of job-file keys: what each means, may be, and is where it isn't given.

The rows are data in `keys.toml`; the reader and the guide both use them.
"""

from __future__ import annotations

import functools
import tomllib
from importlib.resources import files

import msgspec


class Key(msgspec.Struct, frozen=True):
    """One key of the job file; quantities are texts as a user would write them."""

    name: str
    "Table and key, such as `band.floor`."
    kind: str
    "A kind of `units`, or text, choice, count, sizes (three lengths), process, url."
    doc: str
    "What it means, one sentence."
    default: str | None = None
    "None: required, without default, or worked out by `fill` from other keys."
    default_words: str = ""
    "How the default is worked out where it is no fixed text."
    why: str = ""
    "Where the default comes from, with its status."
    range: tuple[str, str] | None = None
    "Least and greatest value allowed."
    choices: tuple[str, ...] = ()
    also: dict[str, str] = {}
    "Other words for choices, as a question may have put them."
    hot_only: bool = False
    "An error in a cold job."
    required: bool = False
    fact: bool = False
    "Recorded, stops a plan or chooses its words: no default, no effect on the pacing; in `Job.facts`."

    @property
    def section(self) -> str:
        """The table it stands in."""
        return self.name.split(".")[0]

    @property
    def word(self) -> str:
        """The key without its table."""
        return self.name.split(".")[1]


@functools.cache
def keys() -> dict[str, Key]:
    """Return all keys by their full name, in the order of the guide.

    >>> keys()["band.floor"].kind
    'temperature'
    """
    table = tomllib.loads(files("pacer.job.file").joinpath("keys.toml").read_text("utf-8"))
    return {name: msgspec.convert({"name": name, **row}, Key) for name, row in table.items()}


def sections() -> tuple[str, ...]:
    """Return the tables of a job file in the order of the guide."""
    return tuple(dict.fromkeys(key.section for key in keys().values()))
