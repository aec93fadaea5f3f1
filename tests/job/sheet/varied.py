"""Job files that vary in what changes a plan; data invented."""

from __future__ import annotations

from hypothesis import Phase
from hypothesis import strategies as st

from pacer.errors import UserInputError
from pacer.job.file.read import job_from_text
from pacer.job.job import Job

PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"Without shrinking: a plan costs some 50 ms, and a job that fails can be read as it is."


def _some(section: str, **keys: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Return a table with some of its keys, perhaps none."""
    chosen = st.fixed_dictionaries({}, optional=keys)
    return chosen.map(
        lambda given: (
            f"[{section}]\n" + "".join(f"{key} = {value}\n" for key, value in given.items())
        )
    )


def _one(*words: str) -> st.SearchStrategy[str]:
    return st.sampled_from([f'"{word}"' for word in words])


def _amount(low: int, high: int, *units: str) -> st.SearchStrategy[str]:
    return st.builds(
        lambda n, unit: f'"{n} {unit}"', st.integers(low, high), st.sampled_from(units)
    )


_TEXT = st.text(min_size=1, max_size=30).map(
    lambda text: (
        '"' + "".join(f"\\u{ord(ch) & 0xFFFF:04x}" for ch in text if ord(ch) < 0xD800) + 'x"'
    )
)

_TABLES = st.tuples(
    st.builds(
        lambda method, title: f"[job]\nmethod = {method}\ntitle = {title}\n",
        _one("hot", "cold"),
        _TEXT,
    ),
    st.builds(
        lambda metal, mass, wall, rest: (
            f"[part]\nmetal = {metal}\nmass = {mass}\nwall = {wall}\n{rest}"
        ),
        _one("grey iron", "ductile iron", "malleable iron", "cast steel", "mild steel", "unknown"),
        _amount(2, 60, "kg", "lb"),
        _amount(3, 60, "mm"),
        st.sampled_from(["", 'iron = "sound"\noil = "burns out"\nhollow = "closed"\n', 'coating = "lead"\n']),
    ),
    _some("history", cause=_TEXT, load=_one("will be changed", "unknown")),
    _some("tests", fracture=_TEXT, magnet=_TEXT, left=_TEXT),
    _some(
        "joint",
        repair=_one("crack", "break", "patch"),
        access=_one("one side", "both sides"),
        crack_length=_amount(40, 200, "mm"),
        ends=_one("both in the wall", "one at an edge", "through"),
        tack=_one("none", "cold", "hot"),
        preparation=_one("single-V", "double-V", "U", "fillet weld"),
        butter=_one("yes", "no"),
        penetrant=_amount(5, 30, "min"),
        stop_holes=_TEXT,
    ),
    _some(
        "filler",
        process=_one("111", "TIG", "135"),
        designation=_one("ENiFe-CI", "ENi-CI", "ERNi-1", "ESt"),
        machined_after=_one("yes", "no", "unknown"),
        polarity=_one("DC+", "DC-", "AC"),
        gas=_TEXT,
    ),
    _some("heating", **{"with": _one("gas grill", "oven", "torch", "hot plate")}, points=st.just("4")),
    _some(
        "bead",
        travel=_amount(100, 200, "mm/min"),
        peen_runs=_one("all", "not root", "not root nor last"),
    ),
    _some("cooldown", cover=_one("dry sand", "vermiculite", "ceramic blanket", "still air", "furnace")),
    _some("sensor", distance=_amount(20, 50, "mm"), place=_TEXT),
)  # fmt: skip


def _read(tables: tuple[str, ...]) -> Job | None:
    try:
        return job_from_text("".join(tables), "varied.toml")
    except UserInputError:
        return None


def jobs() -> st.SearchStrategy[Job]:
    """Return checked jobs; what a check refuses is no job."""
    return _TABLES.map(_read).filter(lambda job: job is not None)  # type: ignore[return-value]
