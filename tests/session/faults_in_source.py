"""Faults that the source itself shows: open, short, zero, out of span, silent, garbled, unplugged."""

from __future__ import annotations

from planting import Alter, Made, anywhere, fault, span
from scenes import Chance, Meter, cooling, hold

from pacer.job.job import Job
from pacer.session.events import AnyEvent, Reading, SensorChanged
from pacer.session.guard.standing import Standing

S = Standing
GARBAGE = ("3\ufffd7.", "2 6 1", "\u00fe\u00fe", "t1=", "#\ufffd8")


def _said(status: str) -> Alter:
    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> AnyEvent:
        return Reading(round(t_s * 1000), (None,), status, ("t1",))  # type: ignore[arg-type]

    return alter


@fault("open circuit", S.OPEN, within_s=2.0, misled_s=0.5)
def open_circuit(job: Job, chance: Chance, meter: Meter) -> Made:
    """The meter says so, for 5-40 s."""
    scene = anywhere(job, chance, 90.0, meter)
    return Made(scene, *span(scene, chance, 5.0, 40.0), _said("open"))


@fault("short circuit", S.SHORT, within_s=2.0, misled_s=0.5)
def short_circuit(job: Job, chance: Chance, meter: Meter) -> Made:
    """The meter says so, for 5-40 s."""
    scene = anywhere(job, chance, 90.0, meter)
    return Made(scene, *span(scene, chance, 5.0, 40.0), _said("short"))


def _constant(value: float) -> Alter:
    return lambda t_s, true_c, shown, arc: [value, *shown[1:]]


@fault("exactly zero", S.OPEN, within_s=2.0, misled_s=0.5)
def exact_zeros(job: Job, chance: Chance, meter: Meter) -> Made:
    """A converter with floating inputs reads 0 °C and says nothing (reliability.md section 5)."""
    scene = (
        hold(job, chance, 90.0, meter) if chance.integers(2) else cooling(job, chance, 90.0, meter)
    )
    return Made(scene, *span(scene, chance, 5.0, 40.0), _constant(0.0))


@fault("out of span", S.OUTSIDE, S.REVERSED, also=(S.SILENT,), within_s=3.0, misled_s=1.5)
def out_ofspan(job: Job, chance: Chance, meter: Meter) -> Made:
    """1450-2047 °C, or -250 to -60 °C, which no part here has."""
    scene = anywhere(job, chance, 90.0, meter)
    high = bool(chance.integers(2))
    value = float(chance.uniform(1450.0, 2047.0) if high else chance.uniform(-250.0, -60.0))
    return Made(scene, *span(scene, chance, 5.0, 40.0), _constant(value))


def _nothing(t_s: float, true_c: float, shown: list[float], arc: bool) -> None:
    return None


@fault("drop-out 3-5 s", S.SILENT, within_s=2.5, misled_s=2.5)
def drop_out(job: Job, chance: Chance, meter: Meter) -> Made:
    """A loose plug: nothing comes for 3-5 s."""
    scene = anywhere(job, chance, 60.0, meter)
    return Made(scene, *span(scene, chance, 3.0, 5.0), _nothing)


@fault("silence", S.SILENT, within_s=2.5, misled_s=2.5)
def silence(job: Job, chance: Chance, meter: Meter) -> Made:
    """Nothing comes for 8-40 s."""
    scene = anywhere(job, chance, 90.0, meter)
    return Made(scene, *span(scene, chance, 8.0, 40.0), _nothing)


def _garbage(chance: Chance, share: float) -> Alter:
    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float] | AnyEvent:
        if chance.random() >= share:
            return shown
        text = GARBAGE[int(chance.integers(len(GARBAGE)))]
        return Reading(round(t_s * 1000), (text,), "unparsable", why="no number")

    return alter


@fault("garbled lines only", S.GARBLED, also=(S.SILENT,), within_s=3.5, misled_s=2.5)
def garbled(job: Job, chance: Chance, meter: Meter) -> Made:
    """A wrong baud rate: lines come and none can be read, for 8-40 s."""
    scene = anywhere(job, chance, 90.0, meter)
    return Made(scene, *span(scene, chance, 8.0, 40.0), _garbage(chance, 1.0))


@fault("every tenth line garbled", also=(S.NOISY,), misled_s=0.5)
def some_garbled(job: Job, chance: Chance, meter: Meter) -> Made:
    """Nothing to name: the rest reads well."""
    scene = anywhere(job, chance, 90.0, meter)
    return Made(scene, *span(scene, chance, 40.0, 45.0), _garbage(chance, 0.10))


@fault("port lost", S.LOST, also=(S.STARTING, S.WAITING), within_s=0.5, misled_s=0.5)
def port_lost(job: Job, chance: Chance, meter: Meter) -> Made:
    """Unplugged for 5-40 s, then opened anew; a board takes 2 s to start."""
    scene = anywhere(job, chance, 100.0, meter)
    starts_s, ends_s = span(scene, chance, 5.0, 40.0)
    lost = SensorChanged(round(starts_s * 1000), "lost", "unplugged")
    back = SensorChanged(round((ends_s - 2.0) * 1000), "opened", "port", settle_s=2.0)
    return Made(scene, starts_s, ends_s, _nothing, news=(lost, back))
