"""cool, forecast, plan, review: answers as JSON, keys with their unit (contract)."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from commands import ROOT, Done, here, pacer, run_script
from conftest import HOT
from written import write_lines

from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.session.events import Opened

AMBIENT_C = 20.0
RATE_S = 2400.0
"Cooling like exp(-t / 2400 s) from 420 °C: our own invention, only to have a smooth curve."


def _curve(t_s: float) -> float:
    return AMBIENT_C + 400.0 * math.exp(-t_s / RATE_S)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job, an imported cool-down that starts at 600 s by its own clock, and its CSV."""
    made = tmp_path_factory.mktemp("questions")
    (made / "job.toml").write_text(HOT)
    rows = [f"{600 + 30 * i},{_curve(30 * i):.2f}" for i in range(121)]
    (made / "a.csv").write_text("t_s,temp_c\n" + "\n".join(rows) + "\n")
    pacer(
        "import", made / "a.csv", "--job", made / "job.toml", "--phase", "cool-down",
        "--out", made / "a.jsonl",
    ).fine()  # fmt: skip
    return made


def _answers(done: Done) -> list[dict[str, Any]]:
    return [json.loads(line) for line in done.fine().out.splitlines()]


@pytest.mark.slow
def test_an_import_keeps_the_readings_and_their_zero(folder: Path) -> None:
    """Contract: own zero kept, `start_phase` and median period in the head, `end` at the end."""
    recording = Recording(folder / "a.jsonl")
    events = list(recording.events())
    head: Opened = recording.head
    assert (head.start_phase, head.period_s) == ("cool-down", 30.0)
    assert recording.damage.ended
    assert [e.t_s for e in events if type(e).__name__ == "Reading"][:2] == [600.0, 630.0]
    assert here("replay", folder / "a.jsonl", "--audit").code == 0


@pytest.mark.slow
def test_an_import_in_minutes_and_fahrenheit_is_the_same_cool_down(
    folder: Path, tmp_path: Path
) -> None:
    """212 °F = 100 °C and 60 s = 1 min: `time,temp` with --time-unit and --temp-unit."""
    rows = [f"{(600 + 30 * i) / 60},{_curve(30 * i) * 1.8 + 32:.4f}" for i in range(121)]
    (tmp_path / "b.csv").write_text("time,temp\n" + "\n".join(rows) + "\n")
    here(
        "import", tmp_path / "b.csv", "--job", folder / "job.toml", "--phase", "cool-down",
        "--out", tmp_path / "b.jsonl", "--time-unit", "min", "--temp-unit", "degF",
    ).fine()  # fmt: skip
    out = here("export", tmp_path / "b.jsonl", "--csv", "-").fine().out.splitlines()[1:]
    assert len(out) == 121
    for i, line in enumerate(out):
        t_s, _, temp_c = line.split(",")
        assert float(t_s) == 600 + 30 * i
        assert float(temp_c) == pytest.approx(_curve(30 * i), abs=1e-4)


@pytest.mark.slow
def test_a_cool_down_is_answered_for_each_moment_in_the_order_given(folder: Path) -> None:
    """Contract: keys, numbers, one object a line; quantities need no space."""
    answers = _answers(
        pacer(
            "cool",
            folder / "a.jsonl",
            "--at",
            "20min",
            "--at",
            "300 s",
            "--at",
            "0.5h",
            "--until",
            "45degC",
            "--json",
        )
    )
    assert [answer["at_s"] for answer in answers] == [1200, 300, 1800]
    for answer in answers:
        assert list(answer) == ["at_s", "eta_s", "eta_low_s", "eta_high_s", "interval", "model"]
        assert answer["interval"] == 0.8
        assert isinstance(answer["model"], str)
        assert answer["at_s"] < answer["eta_low_s"] <= answer["eta_s"]
        assert answer["eta_high_s"] is None or answer["eta_s"] <= answer["eta_high_s"]


@pytest.mark.slow
def test_what_was_reached_is_when_it_was(folder: Path) -> None:
    """Contract: all three are when it was, in s since the cool-down's first reading.

    420 - 20 = 400 · exp(-t/2400): 150 °C is passed at 2400 · ln(400/130) = 2697.5 s; the first
    reading below it is at 2700 s; the filter's median of three of them lags by one more.
    """
    (answer,) = _answers(
        here("cool", folder / "a.jsonl", "--at", "50min", "--until", "150degC", "--json")
    )
    passed_s = RATE_S * math.log(400 / 130)
    assert answer["eta_s"] == answer["eta_low_s"] == answer["eta_high_s"]
    assert passed_s <= answer["eta_s"] <= passed_s + 4 * 30
    # A moment before it was reached knows nothing of it.
    (before,) = _answers(
        here("cool", folder / "a.jsonl", "--at", "40min", "--until", "150degC", "--json")
    )
    assert before["eta_low_s"] < before["eta_high_s"]


@pytest.mark.slow
def test_after_the_last_reading_the_last_is_what_is_known(folder: Path) -> None:
    """Contract; and without --at the last reading is meant."""
    late, last, none = _answers(
        here("cool", folder / "a.jsonl", "--at", "99h", "--at", "3600s", "--json")
    ) + _answers(here("cool", folder / "a.jsonl", "--json"))
    assert late["at_s"] == 99 * 3600
    assert {**late, "at_s": 0} == {**last, "at_s": 0} == {**none, "at_s": 0}


@pytest.mark.slow
def test_a_moment_answers_with_what_was_known_then(folder: Path, tmp_path: Path) -> None:
    """Contract: a recording cut at that moment gives the same answer."""
    lines = (folder / "a.jsonl").read_bytes().splitlines(keepends=True)
    kept = [line for line in lines if json.loads(line)["b"] <= 600_000 + 900_000]
    (tmp_path / "cut.jsonl").write_bytes(b"".join(kept))
    whole = _answers(here("cool", folder / "a.jsonl", "--at", "15min", "--json"))
    assert _answers(here("cool", tmp_path / "cut.jsonl", "--at", "15min", "--json")) == whole


@pytest.mark.slow
def test_a_target_that_can_never_be_is_still_a_number(folder: Path) -> None:
    """Contract: `eta_s` and `eta_low_s` always numbers, `eta_high_s` null without a bound."""
    (answer,) = _answers(here("cool", folder / "a.jsonl", "--until", "2degC", "--json"))
    assert math.isfinite(answer["eta_s"])
    assert math.isfinite(answer["eta_low_s"])
    assert answer["eta_high_s"] is None


@pytest.mark.slow
def test_before_the_first_reading_nothing_is_known(folder: Path, tmp_path: Path) -> None:
    """Contract: exit 2; a script covers at 20 s and reads again at 25 s."""
    script = "0,20\n1,!next\n2,200\n3,201\n4,202\n20,!covered\n25,190\n26,189.5\n40,188\n"
    out = tmp_path / "a.jsonl"
    run_script(folder / "job.toml", out, script).fine()
    early = here("cool", out, "--at", "20s", "--at", "3s", "--json")
    assert (early.code, early.out) == (2, "")
    assert early.err == (
        "pacer: a.jsonl: --at 3 s lies before the cool-down's first reading at 5 s\n"
    )
    (answer,) = _answers(here("cool", out, "--at", "5s", "--json"))
    assert answer["at_s"] == 5


@pytest.mark.slow
def test_without_a_cool_down_there_is_no_answer(folder: Path, tmp_path: Path) -> None:
    """Contract: exit 2, one line."""
    out = tmp_path / "a.jsonl"
    run_script(folder / "job.toml", out, "0,20\n1,21\n").fine()
    done = here("cool", out, "--json")
    assert (done.code, done.err) == (2, "pacer: a.jsonl: no cool-down in this recording\n")


@pytest.mark.slow
def test_a_question_writes_nothing_and_takes_no_lock(folder: Path) -> None:
    """Contract: with --json nothing is written, no lock taken, not even waited for one."""
    before = {p.name: (p.stat().st_mtime_ns, p.stat().st_size) for p in folder.iterdir()}
    disk = RealDisk()
    fd = disk.reopen(folder / "a.jsonl")
    try:
        _answers(pacer("cool", folder / "a.jsonl", "--at", "10min", "--json"))
        _answers(pacer("forecast", folder / "a.jsonl", "--json"))
        _answers(pacer("review", folder / "a.jsonl", "--json"))
    finally:
        disk.close(fd)
    after = {p.name: (p.stat().st_mtime_ns, p.stat().st_size) for p in folder.iterdir()}
    assert after == before


@pytest.mark.slow
def test_the_forecast_has_its_keys(folder: Path, tmp_path: Path) -> None:
    """Contract: `--at` in session time, repeatable; each forecast a range or null."""
    out = tmp_path / "a.jsonl"
    script = "0,20\n1,!next\n" + "".join(f"{t},{100 + t}\n" for t in range(2, 30))
    (tmp_path / "job.toml").write_text(HOT + '[heating]\nwith = "torch"\n')
    run_script(tmp_path / "job.toml", out, script).fine()
    early, late = _answers(pacer("forecast", out, "--at", "20s", "--at", "0.5s", "--json"))
    keys = ["to_floor_s", "to_ceiling_s", "to_preheat_s", "beads_left"]
    assert list(early) == ["at_s", "phase", "temp_c", *keys]
    assert (early["at_s"], early["phase"], late["at_s"], late["phase"]) == (
        20,
        "preheat",
        0.5,
        "prepare",
    )
    assert list(early["to_preheat_s"]) == ["value", "low", "high"]
    assert early["to_preheat_s"]["low"] <= early["to_preheat_s"]["value"]
    assert late["to_preheat_s"] is None


@pytest.mark.slow
def test_a_plan_has_its_keys(folder: Path) -> None:
    """Contract: forecasts are objects, every other a plain number; the sheet stands beside them."""
    (plan,) = _answers(pacer("plan", folder / "job.toml", "--json"))
    page = plan.pop("page")
    assert page[0]["name"] == "gate"
    plain = ["beads", "rods", "arc_time_s", "heat_input_kj_per_mm", "arc_energy_kj_per_mm"]
    plain += ["bead_rise_dc", "t85_s"]
    ranged = ["session_s", "preheat_s", "cooldown_s"]
    ranged += ["reheats", "preheat_energy_j", "beads_range", "rods_range"]
    assert set(plan) == {*plain, *ranged}
    assert all(isinstance(plan[key], int | float) for key in plain)
    for key in ranged:
        assert list(plan[key]) == ["value", "low", "high"]
        assert plan[key]["low"] <= plan[key]["value"] <= plan[key]["high"]
    text = here("plan", folder / "job.toml").fine().out
    assert "Test bracket, hot" in text


@pytest.mark.slow
def test_a_review_is_an_object_a_recording(folder: Path, tmp_path: Path) -> None:
    """One line each, in the order given, then the comparison; damage is told, exit 0."""
    lines = (folder / "a.jsonl").read_bytes().splitlines(keepends=True)
    (tmp_path / "b.jsonl").write_bytes(b"".join([*lines[:7], *lines[8:]]))
    done = pacer("review", tmp_path / "b.jsonl", folder / "a.jsonl", "--json")
    damaged, sound, last = _answers(done)
    assert list(last) == ["compared"]
    assert (damaged["recording"], sound["recording"]) == ("b.jsonl", "a.jsonl")
    assert sound["damage"] == []
    assert "b.jsonl: line 8: records 5 to 5 are missing" in damaged["damage"]
    assert "record(s) missing" in done.err
    assert sound["phase"] == "cool-down"
    assert sound["closed"] is True
    assert "last phase cool-down; closed" in here("review", folder / "a.jsonl").fine().out


@pytest.mark.slow
def test_a_forecast_without_an_upper_end_says_so_in_words(tmp_path: Path) -> None:
    """Early in a preheat it may never get there; "or more", where JSON has null."""
    lines = (ROOT / "recordings" / "practice-good.jsonl").read_bytes().splitlines(keepends=True)
    early = [line for line in lines if json.loads(line).get("b", 0) <= 300_000]
    asked = ("forecast", write_lines(tmp_path / "a.jsonl", early), "--at", "300 s")
    (answer,) = _answers(here(*asked, "--json"))
    assert answer["to_preheat_s"]["high"] is None
    low = f"{answer['to_preheat_s']['low']:g}"
    assert f"(80 %: {low} or more)" in here(*asked).fine().out
