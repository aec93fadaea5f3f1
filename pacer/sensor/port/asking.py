"""An instrument that speaks when it is asked: `ask=MEAS:TEMP?`, then a line is the answer.

The form is IEEE 488.2's: a program message ended by a line feed, a response ended by one;
values of one answer are set apart by `;` (SCPI) or `,` and are channels.
(From memory of the standards; a question can be any text.)

1. Nothing is ever sent that the URL doesn't say, and never two questions at a time.
2. Questions go out at their slots, `every` seconds apart from the opening on; after an
   answer that took longer, at once, and the missed slots are left out.
3. What came before a question is thrown away, so no answer is taken for the next one's.
4. No answer within `answer_within`: it is waited for as long again, thrown away if it
   comes, and only then the next question goes out. An instrument that is always later than
   that gives no readings rather than old ones: silence is told by its clock.
5. Where nothing has answered in time since the opening, one record says what to check.
6. Of an answer sent twice the first counts; an echo of the question is no answer.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.clock import Clock
from pacer.sensor.port.ears import Rest
from pacer.sensor.port.wires import READ_S, Wire
from pacer.sensor.text.lines import Decoder, unparsable
from pacer.sensor.text.split import Splitter
from pacer.sensor.url import SensorUrl
from pacer.session.events import Reading
from pacer.text import clean

PARAMETERS = ("ask", "every", "ask_end", "answer_within", "say")

EVERY_S = 1.0
"Once a second: a part of some kilograms changes by a few °C in it, and slow meters keep up."
ANSWER_WITHIN_S = 1.0

_ENDS = {"lf": b"\n", "crlf": b"\r\n", "cr": b"\r"}
_LONGEST = 200
_IN_VAIN = 3
"Questions without an answer after an opening until it is said what to check."


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, and when."""

    text: str
    data: bytes
    "The text with its end, as sent."
    every_s: float = EVERY_S
    within_s: float = ANSWER_WITHIN_S
    say: bytes = b""
    "Sent once after each opening, a slot before the first question."


def question_of(url: SensorUrl) -> Question | None:
    """Return what the URL wants asked; None: the source speaks by itself.

    Raises UserInputError for a part of it that is wrong.
    """
    every_s = url.number("every", 0.1, 3600.0)
    within_s = url.number("answer_within", 0.05, 60.0)
    end_word = url.params.get("ask_end", "lf")
    if "ask" not in url.params:
        for name in PARAMETERS:
            if name in url.params:
                url.wrong(f"{name}=…", "ask=… with it, such as ask=MEAS:TEMP?")
        return None
    if end_word not in _ENDS:
        url.wrong(f'ask_end="{end_word}"', "lf, crlf or cr")
    end = _ENDS[end_word]
    text = _plain(url, "ask")
    return Question(
        text=text,
        data=text.encode("ascii") + end,
        every_s=EVERY_S if every_s is None else every_s,
        within_s=ANSWER_WITHIN_S if within_s is None else within_s,
        say=_plain(url, "say").encode("ascii") + end if "say" in url.params else b"",
    )


def _plain(url: SensorUrl, name: str) -> str:
    text = url.params[name]
    if not (text.isascii() and text.isprintable() and 0 < len(text) <= _LONGEST):
        url.wrong(f'{name}="{text}"', f"1 to {_LONGEST} plain characters; its end is ask_end=")
    return text


class AskingEar:
    """Asks in its own time and takes one line for the answer."""

    def __init__(self, question: Question, decoder: Decoder, clock: Clock) -> None:
        self._question = question
        self._decoder = decoder
        self._clock = clock
        self._splitter = Splitter()
        self._slot_s = 0.0
        self._asked_s: float | None = None
        "When the question now waiting for its answer went out."
        self._late = False
        "Its answer did not come in time: it is waited for, to be thrown away."
        self._said = False
        self._in_vain: int | None = 0
        "Questions without an answer in time since the opening; None: one had an answer."

    def begin(self, wire: Wire, settle_s: float) -> None:
        """Ask for the first time when the settling is over: a starting board hears badly."""
        self._slot_s = self._clock.now_s() + settle_s
        self._asked_s, self._late = None, False
        self._said = not self._question.say
        self._in_vain = 0

    def hear(self, wire: Wire, rest: Rest) -> list[Reading]:
        """Do the next small step: wait for the slot, ask, or listen for the answer."""
        if self._asked_s is None:
            self._wait_and_ask(wire, rest)
            return []
        chunk = wire.read()
        return self._answer(chunk, self._asked_s)

    def _wait_and_ask(self, wire: Wire, rest: Rest) -> None:
        left_s = self._slot_s - self._clock.now_s()
        if left_s > READ_S:
            wire.read()  # thrown away; a port that is gone shows here
        elif left_s <= 0 or not rest(left_s):
            self._ask(wire)

    def _ask(self, wire: Wire) -> None:
        now_s = self._clock.now_s()
        missed = max(0.0, now_s - self._slot_s) // self._question.every_s
        self._slot_s += (missed + 1) * self._question.every_s
        wire.discard()
        if not self._said:
            self._said = True
            wire.send(self._question.say)
            return
        # A new one: half an old answer must not become the beginning of this one.
        self._splitter = Splitter()
        wire.send(self._question.data)
        self._asked_s, self._late = now_s, False

    def _answer(self, chunk: bytes, asked_s: float) -> list[Reading]:
        waited_s = self._clock.now_s() - asked_s
        for line in self._splitter.feed(chunk):
            decode = self._decoder.overlong if line.too_long else self._decoder.decode
            reading = decode(line.raw)
            if reading is None or self._echo(reading):
                continue
            self._asked_s = None
            if self._late:
                return self._vain("its answers come too late: raise answer_within=")
            self._in_vain = None
            return [reading]
        if chunk:
            return []  # it is still speaking; a line without end is cut off by its length
        if not self._late and waited_s >= self._question.within_s:
            self._late = True
            return self._broken_off()
        if waited_s >= 2 * self._question.within_s:
            self._asked_s = None
            return self._vain("check baud=, ask= and ask_end=, and the instrument's own menu")
        return []

    def _vain(self, what: str) -> list[Reading]:
        if self._in_vain is None:
            return []
        self._in_vain += 1
        if self._in_vain != _IN_VAIN:
            return []
        why = f"no answer to {clean(self._question.text, 40)}: {what}"
        return [Reading(t_ms=0, raw=(None,), status="unparsable", why=why)]

    def _broken_off(self) -> list[Reading]:
        half = self._splitter.finish()
        if half:
            self._in_vain = None  # it is told already
        why = f"the answer has no end after {self._question.within_s:g} s"
        return [unparsable(line.raw, why) for line in half]

    def _echo(self, reading: Reading) -> bool:
        return reading.status == "unparsable" and reading.raw == (clean(self._question.text),)
