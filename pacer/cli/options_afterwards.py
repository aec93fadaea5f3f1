"""The options of the commands that tell of a recording, or add to it, afterwards."""

from __future__ import annotations

import argparse


def reviews(parser: argparse.ArgumentParser) -> None:
    """Review: its forms, and by which limits it judges."""
    parser.epilog = "pacer guide compare tells more of --with, --set and of several recordings."
    parser.add_argument("recordings", nargs="+", metavar="RECORDING")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one object a recording, a line each")
    form.add_argument("--html", metavar="FILE", help="a page to print; - is standard output")
    form.add_argument("--tables", action="store_true", help="with the timeline and all tables")
    parser.add_argument(
        "--with", dest="with_job", metavar="JOB", help="what if: judged by another job file"
    )
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='what if: by another limit, such as --set bead.length="20 mm"; again for another one',
    )


def tells_history(parser: argparse.ArgumentParser) -> None:
    """History: which sessions, and in which form."""
    parser.epilog = "It shows what goes together, never a cause. pacer guide history tells more."
    parser.add_argument("folder", nargs="?", help="with those in it (default: the recordings')")
    parser.add_argument(
        "--where",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='only such sessions: cover="dry sand", outcome=crack, finding="cooled through"; '
        "again to narrow, the same key again: any of them",
    )
    parser.add_argument("--since", metavar="DATE", help="opened on that day or later: 2026-03-31")
    parser.add_argument("--until", metavar="DATE", help="on that day or earlier")
    parser.add_argument("--invented", action="store_true", help="practice sessions too")
    parser.add_argument("--all", action="store_true", help="list every session, not the newest")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one object (pacer guide history)")
    form.add_argument("--parquet", metavar="FOLDER", help="two tables (pacer guide history)")


def looks(parser: argparse.ArgumentParser) -> None:
    """Inspect: one look at a finished repair."""
    parser.epilog = "Without an option it asks, on a terminal. pacer guide inspection tells more."
    parser.add_argument("recording")
    looks = "visual, penetrant, ring, leak, grinding, pinholes, back side, proof load"
    parser.add_argument("--look", help=looks)
    results = "nothing found, imperfections found, not judged"
    parser.add_argument("--result", help=results)
    parser.add_argument(
        "--imperfection",
        action="append",
        default=[],
        metavar="WHAT",
        help='ISO 6520-1 number or words: "1046 bead 3 2mm"; again for another one',
    )
    parser.add_argument("--surface", metavar="TEMP", help="penetrant: of the part")
    parser.add_argument("--maker", metavar="TIME", help="penetrant: its maker's dwell")
    parser.add_argument("--dwell", metavar="TIME", help="penetrant: how long it stood")
    parser.add_argument("--developer", metavar="TIME", help="penetrant: from dry to the look")
    parser.add_argument("--product", metavar="WORDS", help="penetrant: product family")
    parser.add_argument("--from-service", metavar="YES", help="penetrant: for cracks from service")
    parser.add_argument("--heard", metavar="HOW", help="ring: clear, dull")
    parser.add_argument("--liquid", metavar="WORDS", help="leak: which")
    parser.add_argument("--leak", metavar="TIME", help="leak: how long it stood")
    parser.add_argument("--opened", metavar="YES", help="back side: ground open to sound metal")
    parser.add_argument("--welded", metavar="YES", help="back side: welded as well")
    parser.add_argument("--load", metavar="FORCE", help="proof load: 2kN, or a weight: 150kg")
    parser.add_argument("--arm", metavar="LENGTH", help="proof load: from the load to the section")
    section = '"40mm x 20mm", the second along the load; or a diameter'
    parser.add_argument("--section", metavar="SIZE", help=f"proof load: {section}")
    parser.add_argument("--held", metavar="TIME", help="proof load: how long")
    parser.add_argument("--grade", metavar="WORDS", help="proof load: the iron's, where known")
    parser.add_argument("--by", metavar="WORDS", help="who looked")
    parser.add_argument("--photo", metavar="FILE", help="its name and SHA-256 are kept")
    parser.add_argument("--text", metavar="WORDS", help="anything else")
    parser.add_argument("--json", action="store_true", help="print what was written as JSON")


def found(parser: argparse.ArgumentParser) -> None:
    """Outcome: what became of a repair."""
    parser.epilog = "Without an option it asks, on a terminal. pacer guide outcome tells more."
    parser.add_argument("recording")
    parser.add_argument("--found", metavar="WHAT", help='"crack" or "no crack found"')
    when = "heard, at uncovering, at grinding, at proving, at a later look, in service"
    parser.add_argument("--when", help=when)
    parser.add_argument("--service", metavar="TIME", help="time in service until then: 400h")
    where = "weld, boundary, heat-affected zone, iron away from the weld"
    parser.add_argument("--where", help=where)
    parser.add_argument("--runs", help="along or across the weld")
    parser.add_argument("--at", help="crater, stop hole, tack")
    parser.add_argument("--bead", metavar="N", help="number of the bead it is at")
    parser.add_argument("--photo", metavar="FILE", help="its name and SHA-256 are kept")
    parser.add_argument("--text", metavar="WORDS", help="anything else")
    parser.add_argument("--json", action="store_true", help="print what was written as JSON")
