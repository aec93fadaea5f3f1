"""Instruments in every mood: an answer is never taken for another question's."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from port_fakes import SetClock

from pacer.sensor.port.asking import AskingEar, question_of
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import parse_url


class Moody:
    """A wire to an instrument that answers question k with 20.5 + k: late, twice, half, never.

    What it says of question k is said within twice `answer_within`; the time is the test's.
    """

    def __init__(self, clock: SetClock, moods: list[tuple[str, float]]) -> None:
        self._clock = clock
        self._moods = moods
        self._due: list[tuple[float, bytes]] = []
        self.asked = -1
        self._asked_s = 0.0
        self._answered = True

    def send(self, data: bytes) -> None:
        """Take a question."""
        waited_s = self._clock.t_s - self._asked_s
        assert self._answered or waited_s >= 1.0, "two questions in flight"
        self.asked += 1
        self._asked_s, self._answered = self._clock.t_s, False
        mood, delay_s = self._moods[self.asked] if self.asked < len(self._moods) else ("", 0.1)
        answer, at_s = b"%d.5\n" % (20 + self.asked), self._clock.t_s + delay_s
        said = {
            "": [(at_s, answer)],
            "twice": [(at_s, answer * 2)],
            "half": [(at_s, answer[:1])],
            "torn": [(self._clock.t_s + delay_s / 2, answer[:2]), (at_s, answer[2:])],
            "never": [],
        }
        self._due += said[mood]

    def read(self) -> bytes:
        """Return what is due within a tenth of a second, and let that time pass."""
        until_s = self._clock.t_s + 0.1
        if self._due and self._due[0][0] <= until_s:
            at_s, said = self._due.pop(0)
            self._clock.t_s = max(at_s, self._clock.t_s)
            self._answered |= said.endswith(b"\n")
            return said
        self._clock.t_s = until_s
        return b""

    def discard(self) -> None:
        """Forget what has come."""
        self._due = [(at_s, said) for at_s, said in self._due if at_s > self._clock.t_s]

    def cancel(self) -> None:
        """Nobody waits."""

    def set_line(self, name: str, on: bool) -> None:
        """No lines."""

    def close(self) -> None:
        """Nothing to close."""


@settings(deadline=None)  # other work on this machine is no fault of ours
@given(
    moods=st.lists(
        st.tuples(st.sampled_from(["", "twice", "half", "torn", "never"]), st.floats(0.0, 1.85)),
        max_size=12,
    ),
    every_s=st.sampled_from([0.1, 0.7, 1.0, 3.0]),
)
def test_no_answer_is_ever_taken_for_another_questions(
    moods: list[tuple[str, float]], every_s: float
) -> None:
    """Whatever its mood, a reading is the answer to the question just asked; and it recovers."""
    clock = SetClock()
    wire = Moody(clock, moods)
    question = question_of(parse_url(f"serial://x?ask=T&every={every_s}"))
    assert question is not None
    ear = AskingEar(question, Decoder(), clock)
    ear.begin(wire, 0.0)

    def rest(wait_s: float) -> bool:
        clock.t_s += wait_s
        return False

    read: list[int] = []
    while wire.asked < len(moods) + 2:
        for reading in ear.hear(wire, rest):
            if reading.status == "ok":
                assert reading.raw == (20.5 + wire.asked,)
                read.append(wire.asked)

    prompt = {
        i for i, (mood, delay_s) in enumerate(moods) if mood in {"", "twice"} and delay_s < 0.9
    }
    assert set(read) >= prompt | {len(moods), len(moods) + 1}
    assert read == sorted(set(read))
