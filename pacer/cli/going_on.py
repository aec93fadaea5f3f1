"""Going on with a recording on another day, machine or sensor: which, since when, with what."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

from pacer.cli.hands import check_hands, chosen
from pacer.cli.running import elsewhere, run_session
from pacer.cli.sensors.matching import correct, told_corrections
from pacer.cli.told import shell_word, tell_damage, times_s
from pacer.clock import BootClock, local_time
from pacer.errors import PacerError, UserInputError
from pacer.job.differing import differing
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.same_session import longest
from pacer.run.opening import Bridge, Started, Unfinished, gap_of, resume, unfinished
from pacer.session.events import LATEST_S
from pacer.session.fold import step
from pacer.session.work import Phase
from pacer.settings import Settings, read_settings
from pacer.text import clean
from pacer.units import Shown

_LOOKED_AT = 5
"Of the recordings folder, and each that a log may move to, the files written last."

_LONG = timedelta(days=4)
"""A long weekend is nothing odd; a bridge over more days is asked about (our choice)."""

_OPENED_UNASKED = ("serial", "modbus", "hand")
"""A recording may come from anybody: on its word alone no file is read and no network host
called, only a port of this machine."""

_COOLING = frozenset({Phase.POST_HEAT, Phase.BURY, Phase.COOL_DOWN})


def go_on_named(args: argparse.Namespace) -> int:
    """`pacer run --resume`: go on with the recording that is named."""
    from pacer.job.file.read import read_job

    path, job_file = _named(args)
    settings = chosen(args, read_settings())
    _must_be_longest(path, settings)
    found = unfinished(path)
    job = read_job(job_file) if job_file else None
    if job is not None:
        keys = differing(found.recording.head.job, job)
        if keys:
            raise UserInputError(
                f"{found.recording.name}: was made for another job file ({', '.join(keys)} "
                f"differ{'s' if len(keys) == 1 else ''}); without a job file it goes on with its own"
            )
    url = args.sensor or (job.sensor.url if job is not None else _own_sensor(found))
    return go_on(args, found, url, settings)


def _must_be_longest(path: Path, settings: Settings) -> None:
    """Raise `UserInputError` for a part of a session that can be seen to go on in another file."""
    recording = Recording(path)
    best = longest(path, recording.head.sid, elsewhere(settings))
    if best != path:
        raise UserInputError(
            f"{recording.name}: holds only a part of its session; a longer one is "
            f"{clean(str(best))}: go on with that"
        )


def _named(args: argparse.Namespace) -> tuple[Path, str | None]:
    """Return the recording, and the job file where one is given as well."""
    if args.out:
        return Path(args.out), args.job
    if not args.job or args.job.endswith(".toml"):
        raise UserInputError(
            "--resume goes with --out, the recording to go on with; or: pacer run --resume REC"
        )
    return Path(args.job), None


def offered(args: argparse.Namespace, job: Job, settings: Settings) -> Unfinished | None:
    """Return the last recording of this job if it is unfinished and the welder goes on with it."""
    if args.no_screen or args.out or not sys.stdin.isatty():
        return None
    folders = elsewhere(settings)
    for path in _last_written(folders):
        try:
            opened = Recording(path).head
        except PacerError:
            continue
        if opened.invented or differing(opened.job, job):
            continue
        try:
            found = unfinished(longest(path, opened.sid, folders))
        except PacerError:
            return None
        return found if _accepted(found, _away_s(args), Shown(settings.units)) else None
    return None


def _last_written(folders: Sequence[Path]) -> list[Path]:
    """Return the newest by when they were written: a name can't tell, clocks are set."""
    newest: list[tuple[int, Path]] = []
    for folder in dict.fromkeys(folders):
        dated = []
        for path in folder.glob("*.jsonl"):
            try:
                dated.append((path.stat().st_mtime_ns, path))
            except OSError:
                continue
        newest += sorted(dated, reverse=True)[:_LOOKED_AT]
    return [path for _, path in sorted(newest, reverse=True)]


def _accepted(found: Unfinished, away_s: float | None, shown: Shown) -> bool:
    bridge = found.bridge(BootClock().wall(), away_s)
    print("\n".join(told_unfinished(found, bridge, shown)))
    try:
        answer = input("Go on with it? [y/N] ")
    except EOFError:
        return False
    return answer.strip().casefold() in {"y", "yes"}


def told_unfinished(found: Unfinished, bridge: Bridge, shown: Shown) -> list[str]:
    """Return what is unfinished, since when, and what comes first on going on."""
    state = found.folded.state
    how = "interrupted" if found.interrupted else "closed"
    lines = [f"{found.recording.name} is unfinished: {how} in {state.phase}, {_beads(found)},"]
    ago = shown.duration(bridge.to_s - found.last_s)
    match bridge.by:
        case "unknown":
            lines.append(f"last record {local_time(found.wall)}, how long ago is not known.")
        case "said":
            lines.append(f"last record {ago} ago, as you say.")
        case _:
            lines.append(f"last record {ago} ago by the wall clock.")
    return lines + what_comes(found, bridge)


def _beads(found: Unfinished) -> str:
    laid = found.folded.state.work.laid
    return f"{laid} bead{'' if laid == 1 else 's'} laid"


def what_comes(found: Unfinished, bridge: Bridge) -> list[str]:
    """Return what comes before the next bead, in a line; nothing where that changes nothing."""
    state, _ = step(found.folded.state, gap_of(found, bridge))
    half_way = bool(state.work.beads) and not state.work.finished
    if state.phase is Phase.COOL_DOWN:
        then = ", H goes on with the repair" if half_way else ""
        return [f"The cool-down's countdown goes on{then}."]
    if state.phase is Phase.DONE:
        return ["It has cooled, H goes on with the repair."]
    if state.phase not in {Phase.PREPARE, Phase.PREHEAT, Phase.INSPECT}:
        return []
    first = ["the preparation check"] if state.phase is Phase.PREPARE else []
    if state.job.method == "hot" and state.phase is not Phase.INSPECT:
        first += ["preheat", "soak"]
    if state.work.inspect_first:
        first.append("a look for new cracks")
    *most, last = first or ["preheat"]
    several = f"{', '.join(most)} and {last} come" if most else f"{last} comes"
    return [f"{several[0].upper()}{several[1:]} first."]


def go_on_cooling(args: argparse.Namespace, recording: Recording) -> int:
    """`pacer cool REC` on a screen: go on with a recording whose part is cooling."""
    settings = chosen(args, read_settings())
    if recording.head.invented:
        raise UserInputError(
            f"{recording.name}: a {recording.head.invented}; see it with pacer replay, "
            "or ask with pacer cool --no-screen"
        )
    _must_be_longest(recording.path, settings)
    found = unfinished(recording.path)
    phase = found.folded.state.phase
    if phase not in _COOLING:
        raise UserInputError(
            f"{recording.name}: no cool-down yet, it stood in {phase}; "
            f"go on with: pacer run --resume {shell_word(recording.path)}"
        )
    args.no_screen = False
    return go_on(args, found, args.sensor or _own_sensor(found), settings)


def _own_sensor(found: Unfinished) -> str:
    """Return the sensor last used; raises `UserInputError` for one that is not opened unasked."""
    url, name = found.source or found.recording.head.job.sensor.url, found.recording.name
    if url.partition(":")[0].casefold() not in _OPENED_UNASKED:
        raise UserInputError(
            f'{name}: its sensor was "{clean(url, 80)}", which is not opened on a recording\'s '
            "word: name the sensor with --sensor (hand: for typed readings)"
        )
    print(f"pacer: note: the sensor as in the recording: {clean(url, 200)}", file=sys.stderr)
    return url


def go_on(args: argparse.Namespace, found: Unfinished, url: str, settings: Settings) -> int:
    """Go on with a recording: bridge the time since its end, open the sensor, run the session."""
    from pacer.job.warn import warnings
    from pacer.sensor.open import open_source

    check_hands(settings, url)
    job, shown = found.recording.head.job, Shown(settings.units)
    for line in warnings(job):
        print(f"pacer: note: {line}", file=sys.stderr)
    tell_damage(found.recording)
    bridge = _bridge(args, found, shown)
    clock = BootClock(zero_s=bridge.to_s)
    corrections = told_corrections(url, settings, clock)
    source = open_source(url, clock, job=job, fail_fast=args.no_screen)
    correct(source, corrections)

    def begin(settings: Settings) -> Started:
        return resume(found, bridge, source, shown, elsewhere(settings))

    return run_session(args, begin, source, clock, settings, kind="live")


def _bridge(args: argparse.Namespace, found: Unfinished, shown: Shown) -> Bridge:
    """Return the time since the last record; where the wall clock's word is odd, say so and ask."""
    away_s = _away_s(args)
    bridge = found.bridge(BootClock().wall(), away_s)
    odd = told_odd(found, bridge, shown)
    if not odd:
        return bridge
    print(f"pacer: {odd}", file=sys.stderr)
    if args.no_screen:
        return bridge
    # On the screen nobody would see the line any more.
    away_s = _asked_away_s()
    return found.bridge(BootClock().wall(), away_s)


def told_odd(found: Unfinished, bridge: Bridge, shown: Shown) -> str:
    """Return what is odd about the time since the last record; nothing if nothing is."""
    name, away_s = found.recording.name, (bridge.wall - found.wall).total_seconds()
    give = "give --away, such as --away 3h"
    if bridge.by == "unknown" and away_s < 0:
        return (
            f"{name}: the wall clock reads {local_time(bridge.wall)}, the recording ends "
            f"{local_time(found.wall)}: how long it stood is not known; {give}"
        )
    if bridge.by == "unknown":
        return f"{name}: how long it stood since its last record is not known; {give}"
    if bridge.by == "wall" and away_s > _LONG.total_seconds():
        days = shown.duration(away_s)
        return f"{name}: it stood for {days} by the wall clock; if that can't be right, {give}"
    return ""


def _away_s(args: argparse.Namespace) -> float | None:
    if args.away is None:
        return None
    (away_s,) = times_s([args.away], "--away")
    if not 0.0 <= away_s <= LATEST_S:
        found, most = clean(args.away, 40), LATEST_S / 86_400
        raise UserInputError(f'--away "{found}": expected a time from 0 s to {most:.0f} days')
    return away_s


def _asked_away_s() -> float | None:
    """Return how long it stood as the welder types it; None: goes on as it is. Ctrl+D leaves."""
    while True:
        try:
            answer = input("Enter goes on as it is; or type how long it stood, such as 3h: ")
        except EOFError:
            print()
            raise UserInputError("left before it was answered: nothing was written") from None
        if not answer.strip():
            return None
        try:
            return _away_s(argparse.Namespace(away=answer))
        except UserInputError as error:
            print(str(error).removeprefix("--away "))
