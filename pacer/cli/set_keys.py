"""`--set KEY=VALUE`: keys of the job file, on the command line."""

from __future__ import annotations

from collections.abc import Iterable

from pacer.errors import UserInputError
from pacer.job.file.keys import keys
from pacer.job.file.typed import Typed, typed
from pacer.job.file.values import ValueFault, closest
from pacer.text import clean
from pacer.units import System


def set_keys(options: Iterable[str], system: System) -> dict[str, Typed]:
    """Return the answers by key; raises UserInputError with a line for every mistake in them."""
    answers: dict[str, Typed] = {}
    wrong: list[str] = []
    for option in options:
        name, equals, text = option.partition("=")
        where = f'--set "{clean(option, 80)}"'
        key = keys().get(name.strip())
        if not equals:
            wrong.append(f"{where}: expected KEY=VALUE, such as --set job.method=hot")
        elif key is None:
            near = closest(name.strip(), list(keys()))
            tail = f"did you mean {near}?" if near else "pacer guide job-file has them all"
            wrong.append(f"{where}: unknown key; {tail}")
        elif key.name in answers:
            wrong.append(f"{where}: {key.name} is given twice")
        else:
            try:
                answers[key.name] = typed(key, text, system)
            except ValueFault as fault:
                wrong.append(f"{where}: {fault}")
    if wrong:
        raise UserInputError("\n".join(wrong))
    return answers
