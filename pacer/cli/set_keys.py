"""`--set KEY=VALUE`: keys of the job file, on the command line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast, get_args

from pacer.errors import UserInputError
from pacer.job.file.keys import Key, keys
from pacer.job.file.typed import Typed, typed
from pacer.job.file.values import ValueFault, closest
from pacer.text import clean
from pacer.units import Kind, System, example


def set_keys(options: Iterable[str], system: System) -> dict[str, Typed]:
    """Return the answers by key; raises UserInputError with a line for every mistake in them."""
    answers: dict[str, Typed] = {}
    wrong: list[str] = []
    for option in options:
        name, equals, text = option.partition("=")
        where = f'--set "{clean(option, 80)}"'
        key = keys().get(name.strip())
        if not equals:
            wrong.append(f"{where}: expected KEY=VALUE, such as {_such_as(key)}")
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


def _such_as(key: Key | None) -> str:
    """Return an option that works, of the key that was meant where one was."""
    if key is not None and key.choices:
        value = key.choices[0]
        return f"--set {key.name}={value}" if " " not in value else f'--set {key.name}="{value}"'
    if key is None or key.kind not in get_args(Kind):
        key = keys()["bead.length"]
    _, value = example(cast("Kind", key.kind))
    return f'--set {key.name}="{value}"'
