"""What was done to the part, in words; a deed said twice running says so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.session.events import Act, Deed

_UNDOES: dict[Deed, Deed] = {
    "covered": "uncovered",
    "uncovered": "covered",
    "wrap": "unwrap",
    "unwrap": "wrap",
    "out": "back",
    "back": "out",
}
"What has to come between for a deed to be done anew."


def done(said: Iterable[Act]) -> Iterator[tuple[float, str]]:
    """Yield when and what; `uncovered, said again` where nothing was covered in between.

    A part that was uncovered early is asked for once more when it is cold.
    """
    standing: set[Deed] = set()
    for act in said:
        again = act.deed in standing
        yield act.t_s, f"{act.deed}, said again" if again else act.deed
        if act.deed in _UNDOES:
            standing.discard(_UNDOES[act.deed])
            standing.add(act.deed)
