"""Sinks from the driver's side: who is hushed and when, what is named as off."""

from __future__ import annotations

from pathlib import Path

from driving import at_ready, live, press_next, steady
from fakes import FakeSink

from pacer.job.job import Job
from pacer.run.tellers import Tellers
from pacer.session.cues import Cue, CueKind
from pacer.sound.sink import Sink


class Listener(FakeSink):
    """Writes down what it plays and when it is hushed, in order."""

    def __init__(self) -> None:
        super().__init__("lamp")
        self.story: list[str] = []

    def play(self, cue: Cue) -> None:
        """Write the kind."""
        self.story.append(f"{cue.kind}{'' if not cue.again else f' {cue.again}'}")

    def hush(self) -> None:
        """Write it."""
        self.story.append("hush")


def test_an_answer_that_tells_nothing_itself_hushes(hot_job: Job, tmp_path: Path) -> None:
    """READY at 72 s waits; the press at 74 s starts the bead without a word."""
    lamp = Listener()
    told = [*at_ready(), *steady(73, 74, 262.0), press_next(74), *steady(75, 78, 262.0)]
    live(tmp_path / "a.jsonl", hot_job, told, sinks=[lamp]).driver.run()
    assert lamp.story[-2:] == ["READY", "hush"]


def test_a_reheat_that_is_being_done_is_hushed_by_its_timer(hot_job: Job, tmp_path: Path) -> None:
    """The flame is on the part when REHEAT would be told again: nothing is told, the lamp rests."""
    lamp = Listener()
    told = [*at_ready(), *steady(73, 80, 190.0), *steady(80, 108, 225.0)]
    live(tmp_path / "a.jsonl", hot_job, told, sinks=[lamp]).driver.run()
    assert lamp.story.count(CueKind.REHEAT) == 1
    assert lamp.story[-2:] == ["REHEAT", "hush"]


def test_what_is_off_is_named_failed_sinks_first_then_what_never_worked(
    hot_job: Job, tmp_path: Path
) -> None:
    """`Snapshot.off`: the pedal's line comes and goes, a failed sink's stays."""
    pedal = ["pedal is off: \x1b[2Jgone"]
    tellers = Tellers([FakeSink(breaks_at=1)], lambda: pedal)
    cue = Cue(kind=CueKind.READY, t_s=0.0)

    def play(sink: Sink) -> None:
        sink.play(cue)

    assert tellers.each(play) == [("tone", "no such \ufffd[2Jdevice")]
    assert tellers.each(play) == []
    failed = "tone is off: no such \ufffd[2Jdevice"
    assert list(tellers.off) == [failed, "pedal is off: \ufffd[2Jgone"]
    pedal.clear()
    assert list(tellers.off) == [failed]
