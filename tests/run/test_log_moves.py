"""The welder is told at once that the log is not saved, and where it goes on (T-07)."""

from __future__ import annotations

import errno
import shutil
from pathlib import Path

from driving import Driven, at_ready, drive, press_next, same_again, steady
from fakes import Doing, FakeClock, FakeSource

from pacer.job.job import Job
from pacer.recording.writing.writer import MOVE_AFTER_S
from pacer.screen.view import view
from pacer.session.events import AnyEvent, CueTold, Trouble
from pacer.session.work import Phase
from pacer.units import Shown

Told = list[tuple[float, AnyEvent | Doing]]


def _driven(folder: Path, job: Job, told: Told, elsewhere: Path) -> Driven:
    """Return a live driver whose recording has a folder of its own, and another to go to."""
    folder.mkdir()
    clock = FakeClock()
    driven = drive(folder / "a.jsonl", job, FakeSource(clock, told), clock)
    driven.log._elsewhere = (elsewhere,)
    return driven


def _to(driven: Driven, t_s: float) -> None:
    while driven.clock.now_s() < t_s:
        driven.driver.turn()


def _seen(driven: Driven) -> tuple[str, str]:
    shown = view(driven.driver.snapshot(), Shown("metric"))
    return shown.word, shown.words


def test_a_folder_taken_away_in_a_silence_is_alarmed_within_a_second(
    hot_job: Job, tmp_path: Path
) -> None:
    """Nothing comes from 5 s on: only the beat can notice; READY and all is caught up later."""
    blocked = tmp_path / "er"
    blocked.touch()
    told = [*steady(0, 5, 20.0), (5.25, lambda: shutil.rmtree(tmp_path / "home"))]
    late: Told = [(t_s + 20, event) for t_s, event in at_ready()]
    # The first press answers the alarm.
    late.insert(1, press_next(20.5))
    driven = _driven(tmp_path / "home", hot_job, [*told, *late], blocked)
    _to(driven, 5.25)
    assert driven.driver.snapshot().trouble == ""
    _to(driven, 6.25)
    word, line = _seen(driven)
    assert word == "LOG NOT SAVED"
    assert line.startswith(
        "Go on, it is kept in memory; see to the disk: a.jsonl is gone from its folder · PREPARE: "
    )
    _to(driven, 60)
    assert driven.driver.snapshot().state.phase is Phase.SOAK
    blocked.unlink()
    driven.driver.run()
    assert driven.log.path == blocked / "a-2.jsonl"
    assert "92.000 READY" in driven.told()
    same_again(driven)


def test_the_move_is_told_written_down_and_seen_until_answered(
    hot_job: Job, tmp_path: Path
) -> None:
    """One `trouble` with the place, one FAULT cue; answered, the phase has the word again."""
    told = [*steady(0, 5, 20.0), (5.25, lambda: shutil.rmtree(tmp_path / "home"))]
    told += [*steady(6, 30, 20.0), press_next(30.5), *steady(31, 60, 20.0)]
    driven = _driven(tmp_path / "home", hot_job, told, tmp_path / "er")
    _to(driven, 7)
    where = f"goes on in a-2.jsonl ({tmp_path / 'er'})"
    assert driven.driver.snapshot().trouble == ""
    assert driven.driver.snapshot().log == "a-2.jsonl"
    word, line = _seen(driven)
    assert word == "LOG MOVED"
    assert line.startswith(f"Nothing is lost, press: the recording {where} · PREPARE: ")
    _to(driven, 30)
    assert _seen(driven)[0] == "LOG MOVED"
    _to(driven, 31)
    # The press has answered that and nothing else.
    assert _seen(driven)[0] == "PREPARE"
    driven.driver.run()
    events = driven.events()
    troubles = [event for event in events if isinstance(event, Trouble)]
    assert [(event.what, event.why) for event in troubles] == [("log moved", where)]
    cues = [event for event in events if isinstance(event, CueTold) and event.kind == "LOG_MOVED"]
    assert [(cue.urgency, cue.t_ms) for cue in cues] == [("FAULT", troubles[0].t_ms)]
    same_again(driven)


def test_a_move_during_a_bead_is_told_when_it_can_be_read(hot_job: Job, tmp_path: Path) -> None:
    """Not while the arc burns, nor in seconds that matter: bead to 86, peen to 101, look to 104 s."""
    told: Told = [
        *at_ready(),
        press_next(74),
        (76, lambda: shutil.rmtree(tmp_path / "home")),
        *steady(77, 120, 262.0),
    ]
    driven = _driven(tmp_path / "home", hot_job, told, tmp_path / "er")
    driven.driver.run()
    assert [cue for cue in driven.told() if cue.endswith("LOG_MOVED")] == ["104.000 LOG_MOVED"]
    same_again(driven)


def test_not_saved_is_a_cue_within_a_second_and_a_press_answers_it_alone(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-07. At READY a press would begin the bead; saved again, the record has all of it in order."""
    told = [*at_ready(), *steady(73, 80, 262.0), press_next(80.5), *steady(81, 90, 262.0)]
    driven = _driven(tmp_path / "home", hot_job, told, tmp_path / "er")
    _to(driven, 75)
    driven.disk.full = True
    _to(driven, 76)
    assert _seen(driven)[0] == "LOG NOT SAVED"
    assert driven.driver.snapshot().only_in_memory > 0
    _to(driven, 82)
    assert driven.driver.snapshot().state.phase is Phase.READY
    assert _seen(driven)[0] == "READY"
    assert driven.driver.snapshot().trouble == "log not saved: No space left on device"
    driven.disk.full = False
    driven.driver.run()
    troubles = [event for event in driven.events() if isinstance(event, Trouble)]
    assert [event.what for event in troubles] == ["log", "log saved"]
    assert troubles[0].why == "No space left on device"
    (told_at,) = (cue for cue in driven.told() if cue.endswith("LOG_NOT_SAVED"))
    assert 75.0 <= float(told_at.split()[0]) <= 76.0
    same_again(driven)


def test_a_write_that_fails_and_is_mended_at_once_is_not_told(hot_job: Job, tmp_path: Path) -> None:
    """The beat has tried it again: nobody has anything to do about it."""
    driven = _driven(tmp_path / "home", hot_job, at_ready(), tmp_path / "er")
    _to(driven, 5)
    write, failing = driven.disk.write, [errno.EIO]

    def once(fd: int, line: bytes) -> int:
        if failing:
            raise OSError(failing.pop(), "Input/output error")
        return write(fd, line)

    driven.disk.write = once  # type: ignore[method-assign]
    driven.driver.run()
    assert not failing
    assert not [cue for cue in driven.told() if "LOG" in cue]
    assert not [event for event in driven.events() if isinstance(event, Trouble)]
    assert "72.000 READY" in driven.told()
    same_again(driven)


def test_a_file_emptied_under_the_session_is_left_whole_for_another(
    hot_job: Job, tmp_path: Path
) -> None:
    """`: > a.jsonl`: the file keeps its name, and a reader would find no head in it."""
    emptied = tmp_path / "home" / "a.jsonl"
    told = [*steady(0, 5, 20.0), (5.25, lambda: emptied.open("wb").close())]
    told += steady(6, 20, 20.0)
    driven = _driven(tmp_path / "home", hot_job, told, tmp_path / "er")
    driven.driver.run()
    assert driven.log.path == tmp_path / "home" / "a-2.jsonl"
    assert [cue.split()[1] for cue in driven.told()] == ["PREPARE", "LOG_MOVED"]
    same_again(driven)


def test_a_full_disk_is_left_after_ten_seconds(hot_job: Job, tmp_path: Path) -> None:
    """LOG NOT SAVED meanwhile; the disk is full for every file here, so it stays that long."""
    driven = _driven(tmp_path / "home", hot_job, at_ready(), tmp_path / "er")
    _to(driven, 5)
    driven.disk.full = True
    _to(driven, 6 + MOVE_AFTER_S)
    assert _seen(driven)[0] == "LOG NOT SAVED"
    driven.disk.full = False
    driven.driver.run()
    assert driven.log.path.name == "a.jsonl"
    same_again(driven)
