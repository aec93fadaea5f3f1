"""review: a recording's tables and findings, the same by other limits, or several compared."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING

from pacer.cli.told import tell_damage
from pacer.errors import RecordingError, UserInputError

if TYPE_CHECKING:
    from pacer.cli.reviewing.reading import Read
    from pacer.units import Shown


def review(args: argparse.Namespace) -> int:
    """Review one recording or compare several; one that can't be read hides no other."""
    from pacer.settings import read_settings
    from pacer.units import Shown

    _one_question(args)
    if args.html is not None:
        from pacer.cli.reviewing.page import fit

        fit(args.html)
    shown = Shown(read_settings().units)
    if args.with_job is not None or args.set:
        return _what_if(args, shown)
    found, code = _read(args)
    if args.json:
        _as_json(found)
    elif args.html is not None:
        _as_page(args.html, found, shown)
    else:
        _as_text(found, shown, args.tables)
    for one in found:
        tell_damage(one.recording)
    return code


def _one_question(args: argparse.Namespace) -> None:
    """Raise what can't be asked together."""
    other = "--with" if args.with_job is not None else "--set" if args.set else ""
    if other and len(args.recordings) > 1:
        raise UserInputError(f"{other}: found {len(args.recordings)} recordings, expected one")
    if other and args.html is not None:
        raise UserInputError(f"--html: a page has a recording by its own limits; leave {other} out")
    if args.tables and (other or len(args.recordings) > 1):
        raise UserInputError("--tables: shows one recording by its own limits, and nothing beside")


def _read(args: argparse.Namespace) -> tuple[list[Read], int]:
    """Return the recordings that can be read, and 2 where one can't."""
    from pacer.cli.reviewing.reading import read

    found: list[Read] = []
    code = 0
    for path in args.recordings:
        try:
            found.append(read(path, series=args.html is not None))
        except RecordingError as error:
            print(f"pacer: {error}", file=sys.stderr)
            code = 2
    return found, code


def _as_json(found: list[Read]) -> None:
    for one in found:
        print(json.dumps(_page_json(one)))
    if len(found) > 1:
        from pacer.review.compare.as_json import compared_json
        from pacer.review.compare.compared import compare

        compared = compare([(one.reviewed, one.course) for one in found])
        print(json.dumps({"compared": compared_json(compared)}))


def _page_json(one: Read) -> dict[str, object]:
    from pacer.review.json_page import as_json

    name, opened = one.reviewed.name, one.reviewed.opened
    return as_json(name, opened, one.reviewed.table, one.recording.damage.told(name))


def _as_text(found: list[Read], shown: Shown, tables: bool) -> None:
    if len(found) == 1:
        from pacer.review.text.lines import review_lines

        one = found[0].reviewed
        lines = review_lines(
            one.name, one.opened, one.table, shown, one.lacking, one.writer, tables=tables
        )
    else:
        from pacer.review.compare.compared import compare
        from pacer.review.compare.lines import compared_lines

        lines = compared_lines(compare([(one.reviewed, one.course) for one in found]), shown)
    for line in lines if found else ():
        print(line)


def _as_page(name: str, found: list[Read], shown: Shown) -> None:
    from pacer.cli.reviewing.page import put, put_compared

    if len(found) == 1:
        put(name, found[0], shown)
    elif found:
        put_compared(name, found, shown)


def _what_if(args: argparse.Namespace, shown: Shown) -> int:
    """Judge one recording by another job, and say what that changes."""
    from pacer.cli.reviewing.limits import other_job
    from pacer.cli.reviewing.reading import at, read
    from pacer.review.what_if import what_if, what_if_json
    from pacer.review.what_if_lines import what_if_lines

    (path,) = args.recordings
    # A mistake in them is told before hours are folded.
    job = other_job(at(path).head.job, args.with_job, args.set, shown.system)
    then = read(path)
    what = what_if(then.reviewed, read(path, job).reviewed)
    if args.json:
        print(json.dumps({**_page_json(then), "what_if": what_if_json(what)}))
    else:
        for line in what_if_lines(what, shown):
            print(line)
    tell_damage(then.recording)
    return 0
