"""The questions of `pacer new` on a terminal, one after the other."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from typing import NamedTuple

from pacer.cli.asking import ask, line_typed
from pacer.cli.new_questions import (
    GATE,
    HOLLOW,
    PROCESS,
    QUESTIONS,
    VENT,
    Question,
    process_names,
    said_yes_or_no,
    words_of,
)
from pacer.errors import UserInputError
from pacer.job.columns import WIDTH, laid_out
from pacer.job.file.draft import defaults
from pacer.job.file.keys import keys
from pacer.job.file.mistakes import Mistake
from pacer.job.file.typed import Given, Typed, in_words, typed, usual_unit, written
from pacer.job.file.values import ValueFault
from pacer.job.stops import Stop, questions, stops
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown, System

Answers = dict[str, Given]


_OPENING = (
    "Enter takes what is shown. A number or a word answers; a quantity may have any unit. "
    "Ctrl+D leaves, and nothing is written."
)
_GATE_HEADING = "Weld, braze, stitch, bolt or replace? Some answers end here:"


class Asked(NamedTuple):
    """What was answered."""

    answers: Answers
    stopped: tuple[Stop, ...] = ()
    "Not empty: the questions ended there."


class Asking:
    """One round of questions; `there` is what the file gives already, and isn't asked."""

    def __init__(self, there: Mapping[str, Given], system: System) -> None:
        """Nothing is asked yet."""
        self._there = dict(there)
        self._made: Answers = {}
        self._system = system
        self._asked: list[Question] = []

    @property
    def answers(self) -> Answers:
        """What was answered until now."""
        return dict(self._made)

    def run(self, check: Callable[[Answers], tuple[Mistake, ...]]) -> Asked | None:
        """Ask; None if the welder leaves (Ctrl+D). `check` says what the answers are together."""
        try:
            if found := self._round():
                return Asked(self._made, found)
            return self._settled(check)
        except EOFError:
            print()
            return None

    def _round(self) -> tuple[Stop, ...]:
        """Ask each question that applies; return what stops the plan, at once."""
        for line in laid_out(_OPENING):
            print(line.strip())
        print()
        for question in QUESTIONS:
            if question.key in self._there or not self._applies(question.key):
                continue
            if question is next((q for q in GATE if q.key not in self._there), None):
                print(f"\n{_GATE_HEADING}\n")
            if found := self._put(question):
                return found
            if question is GATE[-1]:
                print()
        return ()

    def _settled(self, check: Callable[[Answers], tuple[Mistake, ...]]) -> Asked:
        """Lead back to what doesn't fit, then to what the welder wants changed."""
        while True:
            again: list[Question] = []
            for mistake in check(self._made):
                found = [q for q in self._asked if q.key in mistake.keys and q not in again]
                if found:
                    print("\n" + "\n".join(laid_out(mistake.said)))
                again += found
            if not again and (changed := self._to_change()) is not None:
                again = [changed]
            if not again:
                return Asked(self._made)
            for question in again:
                if stopped := self._put(question):
                    return Asked(self._made, stopped)
            for question in QUESTIONS:
                # Another method or kind of repair brings other questions.
                new = question not in self._asked and question.key not in self._there
                if new and self._applies(question.key) and (stopped := self._put(question)):
                    return Asked(self._made, stopped)
            for name in [key for key in self._made if not self._applies(key)]:
                del self._made[name]
            self._asked = [q for q in self._asked if self._applies(q.key)]

    def _to_change(self) -> Question | None:
        print()
        for number, question in enumerate(self._asked, start=1):
            print(f"{number:>3} {question.key:<22} {clean(self._said(question.key), 50)}")
        while True:
            text = line_typed("Enter: write the file. A number: answer that again. > ")
            if not text:
                return None
            if text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= len(self._asked):
                return self._asked[int(text) - 1]
            print(f"  expected Enter or 1 to {len(self._asked)}")

    def _said(self, name: str) -> str:
        """Return an answer for the list of all of them."""
        if (value := self._made.get(name)) is not None:
            return in_words(value)
        if keys()[name].fact or name == "part.mass":
            return "not known"
        return f"{self._default(name)} (default)"

    def _answers(self) -> Answers:
        return {**self._there, **self._made}

    def _applies(self, key: str) -> bool:
        answers = self._answers()
        if key == "part.size":
            return "part.mass" not in answers
        if key == "joint.ends":
            return answers.get("joint.repair", "crack") == "crack"
        if key == "heating.with":
            return answers.get("job.method") == "hot"
        return True

    def _put(self, question: Question) -> tuple[Stop, ...]:
        """Ask one question, and again where its answer stops the plan and shall not stay."""
        self._ask(question)
        if question not in self._asked:
            self._asked.append(question)
        while stopped := self._stops():
            for stop in stopped:
                for line in laid_out(f'stop: {stop.key} = "{stop.found}": {stop.line}'):
                    print(line)
            before = self._made.get(question.key)
            self._ask(question, told=True)
            if self._made.get(question.key) == before:
                return stopped
        return ()

    def _stops(self) -> tuple[Stop, ...]:
        told = {key: value for key, value in self._answers().items() if isinstance(value, str)}
        # Uneven heat stops the hot method only, which may not have been chosen yet.
        method = told.get("job.method", "cold")
        metal, service = told.get("part.metal", "unknown"), told.get("part.service", "none")
        return stops(metal, service, method, told)

    def _ask(self, question: Question, *, told: bool = False) -> None:
        """Ask until there is an answer that can stand in the file; Enter keeps an earlier one."""
        key = keys()[question.key]
        before = self._made.get(question.key)
        must = before is None and (question.must or self._wall_needed(question.key))

        def take(text: str) -> Typed:
            try:
                word = said_yes_or_no(question.key, text)
                if word is not None:
                    return Typed(word, f"taken as {word}")
                return typed(key, text, self._system)
            except ValueFault as fault:
                said = f'"{clean(text, 60)}": {fault}'
                raise UserInputError(textwrap.fill(said, WIDTH - 2)) from None

        unit = usual_unit(key, self._system)
        bare = f" (a bare number: {unit})" if unit else ""
        enter = "" if must else f"Enter: {self._enter(question.key)}"
        answer = ask(
            "Enter: it is so, and the questions end here. Or answer again:"
            if told
            else "\n".join(
                [textwrap.fill(question.text + bare, WIDTH), *laid_out(self._means(question))]
            ),
            take,
            means="" if told else enter,
            choices=words_of(question.key),
            needed="this one is needed; Ctrl+D leaves" if must else "",
        )
        if answer is not None:
            if answer.said:
                print(f"  {answer.said}")
            self._made[question.key] = answer.value
        self._find_out(question.key)

    def _means(self, question: Question) -> str:
        """Say what the answers mean; of fillers for iron what their maker says."""
        stick = defaults(self._answers())[PROCESS] == "111"
        if question.key != "filler.designation" or not stick:
            return question.means
        told = [row("fillers", name) for name in ("F01a", "F01b")]
        said = [f"{found.values['designations'][0]}: {found.about}" for found in told]
        return f"{'; '.join(said)} (rows F01a, F01b, {told[0].seen})"

    def _wall_needed(self, key: str) -> bool:
        """Tell whether the mass has to be estimated: then the wall can't be left to a default."""
        return key == "part.wall" and "part.mass" not in self._answers()

    def _enter(self, name: str) -> str:
        """Say what Enter means."""
        if (before := self._made.get(name)) is not None:
            return f"{in_words(before)}, as before"
        if name == "part.mass":
            return "not known; then it is estimated from size and wall, within a factor of two"
        key = keys()[name]
        if key.fact:
            return "not known"
        return f"{self._default(name)}; {key.why}"

    def _default(self, name: str) -> str:
        """Return what is taken where nobody says anything, as the welder would write it."""
        value = defaults(self._answers())[name]
        if name == "filler.diameter":
            return Shown(self._system).stock_m(value)
        words = in_words(written(keys()[name], value, self._system))
        # The number alone says little to a welder who calls it by its name.
        return f"{words} {process_names(words)[0]}" if name == PROCESS else words

    def _find_out(self, name: str) -> None:
        """Say what an answer asks for: how to find out what is not known and may stop the plan."""
        known = self._made.get(name, "unknown")
        if name == HOLLOW and known in ("closed", "unknown"):
            for line in laid_out(VENT):
                print(line)
        found = next((gate for gate in questions() if gate.key == name), None)
        if found is not None and known == "unknown":
            for line in laid_out(f"before any heat: {found.find_out}"):
                print(line)
