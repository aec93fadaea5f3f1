"""Plants every kind at its limit and just short of it, and prints the table of guide/findings.md.

cd tests/review/planted && python matrix.py [SEEDS [PROCESSES]]
"""

from __future__ import annotations

import sys
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from itertools import product

from clean_repairs import COVERS, SHAPES, buried
from kinds import KINDS, job
from planted_repair import Reviewed, review
from scored import Score, score


def scored(kind_and_seed: tuple[int, int]) -> Score:
    """Score one kind under one seed."""
    index, seed = kind_and_seed
    return score(KINDS[index], seed)


def clean(where_and_seed: tuple[tuple[str, str] | None, int]) -> Reviewed:
    """Review a repair without a fault: the small job, or one burial."""
    where, seed = where_and_seed
    return review(job() if where is None else buried(*where), seed)


def rows(scores: list[Score]) -> list[str]:
    """Return a row a kind: found, missed, its near misses reported, false beside it."""
    of: dict[str, list[Score]] = defaultdict(list)
    for one in scores:
        of[one.name].append(one)
    table = ["| finding | planted | found | missed | near misses reported | false |"]
    table.append("|---|---:|---:|---:|---:|---:|")
    for kind in KINDS:
        some = of[kind.name]
        found, near = sum(s.found for s in some), sum(s.near_reported for s in some)
        false = sum(len(s.false) for s in some)
        note = " (note)" if kind.weight == "note" else ""
        nearly = str(near) if kind.amount(0.85) is not None else "-"
        table.append(
            f"| {kind.name}{note} | {len(some)} | {found} | {len(some) - found} | {nearly} | {false} |"
        )
    return table


def main(seeds: int, processes: int) -> None:
    """Print the table and where it falls short, then what clean repairs had."""
    with ProcessPoolExecutor(processes) as pool:
        pairs = list(product(range(len(KINDS)), range(1, seeds + 1)))
        scores = list(pool.map(scored, pairs, chunksize=4))
        print("\n".join(rows(scores)), "\n", *shortfalls(scores), sep="\n", flush=True)
        burials = list(product(COVERS, SHAPES))
        repairs = [(where, seed) for where in (None, *burials) for seed in range(1, seeds + 1)]
        cleans = list(pool.map(clean, repairs, chunksize=4))
    told = [
        f"clean {where}, seed {seed}: {f.name}"
        for (where, seed), repair in zip(repairs, cleans, strict=True)
        for f in repair.above_note
    ]
    hours = sum(repair.hours for repair in cleans)
    ended = sum(repair.done for repair in cleans)
    print(f"\n{len(cleans)} clean repairs, {ended} to their end, {hours:.0f} h: {len(told)} false")
    print(*told, sep="\n")


def shortfalls(scores: list[Score]) -> list[str]:
    """Return what was missed, and what was told though it was not so."""
    missed = [f"{s.name}, seed {s.seed}: missed" for s in scores if not s.found]
    near = [f"{s.name}, seed {s.seed}: near miss reported" for s in scores if s.near_reported]
    false = [f"{s.name}, seed {s.seed}: {f.name}" for s in scores for f in s.false]
    return [*missed, *near, *false]


if __name__ == "__main__":
    main(*(int(arg) for arg in (sys.argv[1:] + ["20", "1"][len(sys.argv) - 1 :])))
