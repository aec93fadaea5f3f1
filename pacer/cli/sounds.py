"""sounds: what the ear and the eye get, heard and seen beforehand; what works here."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Iterator
from math import pi, tan
from pathlib import Path

from pacer.errors import UserInputError
from pacer.settings import read_settings
from pacer.sound.open import find_voice, open_sounds
from pacer.sound.patterns import PATTERNS, Pattern, drawing, pattern_of
from pacer.sound.player import Tones
from pacer.sound.rehearsal import EXAMPLES, rehearse
from pacer.sound.sink import Sink
from pacer.sound.speech import Speech
from pacer.text import clean

NOISE = (
    "In noise (MMA 85-95 dB(A), chipping 105 dB(A)) no loudspeaker can be relied on: use a "
    "headset,",
    "or hearing protectors with audio, at your own level. Every cue is on the screen too.",
)
"""HSE's page on welding noise, seen: MMA 85-95, chipping 105 dB(A)."""

READ_ARCMIN = 22.0
"""ISO 9241-3 as quoted in a secondary page: 20-22 minutes of arc preferred, 16 the least."""

LADDER = ((14, "608"), (10, "352"), (7, "947"), (5, "286"), (1, "531"))
"""Rows and what is shown in them: digits that nobody guesses from the line above."""


def sounds(args: argparse.Namespace) -> int:
    """List the sounds, say what works here, play them; 1 if nothing can be heard here."""
    named = _named(args.name) if args.name else None
    if args.wav:
        _write_wavs(Path(args.wav), [named] if named else list(PATTERNS.values()))
        return 0
    settings = read_settings()
    sinks, off = open_sounds(settings.sound, settings.speech)
    try:
        if named is None:
            _print_all(_ways(sinks, off, settings.speech))
        if not args.quiet:
            off += _play(named, sinks)
        elif named is not None:
            print(_line(named))
    finally:
        for sink in sinks:
            sink.close()
    heard = len(sinks) > 0 and not all(_is_off(sink, off) for sink in sinks)
    if not heard and named is not None:
        print("Nothing can be heard here: " + ("; ".join(off) or "sound and speech are off"))
    return 0 if heard else 1


def _named(name: str) -> Pattern:
    if name in PATTERNS:
        return PATTERNS[name]
    near = difflib.get_close_matches(name.casefold(), PATTERNS, n=1)
    hint = f'; did you mean "{near[0]}"?' if near else f"; there are {', '.join(PATTERNS)}"
    raise UserInputError(f'sounds: no sound "{clean(name, 40)}"{hint}')


def _is_off(sink: Sink, off: list[str]) -> bool:
    return any(line.startswith(f"{sink.name} is off") for line in off)


def _line(pattern: Pattern) -> str:
    return f"  {pattern.name:8}{drawing(pattern):20}{pattern.meaning}"


def _print_all(ways: list[str]) -> None:
    print("Seven sounds, told apart by their rhythm (a mark is a tenth of a second):")
    for pattern in PATTERNS.values():
        print(_line(pattern))
    print("A step is played once, a warning twice, a fault four times; never louder.\n")
    for line in (*ways, "", *NOISE, "", *_ladder()):
        print(line)


def _ways(sinks: list[Sink], off: list[str], speech: str) -> list[str]:
    """Return what works here, a line each."""
    works = {sink.name for sink in sinks}
    tones, bell = "work, if the device is not muted", "not needed"
    if Tones.name not in works:
        told = f"{Tones.name} is off: "
        why = [line.removeprefix(told) for line in off if line.startswith(told)]
        tones = f"off: {why[0] if why else 'by the settings'}"
        bell = "the terminal's own: often muted, has no rhythm"
    voice, why_not = find_voice(speech)
    if voice and Speech.name in works:
        words = f"works as far as is known, with {clean(voice.name)}"
    else:
        words = f"off: {'no sound device' if voice else why_not or 'by the settings'}"
    return ["Here:", f"  tones   {tones}", f"  speech  {words}", f"  bell    {bell}"]


def _play(named: Pattern | None, sinks: list[Sink]) -> list[str]:
    """Play one sound or all, each with its name; return what failed."""
    kinds = [kind for kind in EXAMPLES if named in {None, pattern_of(kind)}]
    if not sinks:
        if named is not None:
            print(_line(named))
        return []
    if named is None:
        print("\nListen:")
    failed = rehearse(kinds, sinks, lambda pattern: print(_line(pattern), flush=True))
    for line in failed:
        print(clean(line))
    return failed


def _write_wavs(folder: Path, patterns: list[Pattern]) -> None:
    from pacer.sound.tones import samples, wav

    name = clean(str(folder))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for pattern in patterns:
            path = folder / f"{pattern.name}.wav"
            with path.open("xb") as file:
                file.write(wav(samples(pattern)))
            print(clean(str(path)))
    except FileExistsError as error:
        raise UserInputError(f"{clean(str(error.filename))}: exists already") from None
    except OSError as error:
        raise UserInputError(f"{name}: cannot be written: {clean(str(error.strerror))}") from None


def height_mm(distance_m: float, arcmin: float = READ_ARCMIN) -> float:
    """Return the height that is seen under an angle, mm: 2 d tan(angle / 2).

    >>> round(height_mm(2.0), 1), round(height_mm(3.0), 1)
    (12.8, 19.2)
    """
    return 2000 * distance_m * tan(arcmin / 60 * pi / 180 / 2)


def _ladder() -> Iterator[str]:
    """Yield lines of digits of decreasing height, as many as the terminal holds, and the rule."""
    import shutil

    from pacer.screen.widgets.blocks import blocks

    size = shutil.get_terminal_size()
    yield "From the table: which is the smallest line whose digits you can read?"
    kept: list[tuple[int, tuple[str, ...]]] = []
    for rows, digits in reversed(LADDER):
        drawn = blocks(digits, size.columns - 10, rows)
        used = sum(len(lines) for _, lines in kept) + len(kept)
        if len(drawn) == rows and used + rows + 8 <= max(size.lines, 24):
            kept.insert(0, (rows, drawn))
    for rows, lines in kept:
        for at, line in enumerate(lines):
            yield f"{f'{rows} row' + 's' * (rows > 1) if at == 0 else '':9}{line}".rstrip()
        yield ""
    low, high = (f"{height_mm(far_m):.0f} mm at {far_m:g} m" for far_m in (2.0, 3.0))
    yield f"Measure it: what matters should be at least {low}, {high} high ({READ_ARCMIN:g}"
    yield "minutes of arc, ISO 9241-3 quoted in a secondary page); more behind a hood, in dirt."
    yield "Too small: make the font larger, 24 to 30 rows on the screen are enough."
