"""Which port is opened: by name, by adapter, by socket; the lists of ports are invented."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace

import pytest
from port_fakes import DEADLINE_S, Pauses, in_state, plug_in, read_as, until
from serial.tools import list_ports

from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.sensor.port.identity import (
    Adapter,
    NotFound,
    Port,
    Usb,
    find,
    parse_usb,
    ports,
    url_for,
    usb_of,
)
from pacer.sensor.port.ports import PortSource, open_port
from pacer.sensor.url import parse_url
from pacer.session.events import SensorChanged

MINE = Usb(0x0403, 0x6001, "A1B2", "1-1")
OTHER = Usb(0x1A86, 0x7523, None, "1-2")
PLAIN = Usb(0x1A86, 0x7523, None, "1-1")
"No serial number, as the cheap ones."


class Bench:
    """USB sockets and what is plugged into them: files stand for the port's nodes."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._plugged: dict[str, Usb | None] = {}

    def plug(self, name: str, usb: Usb | None) -> str:
        """Plug an adapter in; return its port."""
        self._plugged[name] = usb
        (self.folder / name).touch()
        return str(self.folder / name)

    def pull(self, name: str) -> None:
        """Pull it out."""
        del self._plugged[name]
        (self.folder / name).unlink(missing_ok=True)

    def __call__(self) -> list[Port]:
        """List the ports."""
        return [Port(str(self.folder / name), usb) for name, usb in self._plugged.items()]


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """An empty bench."""
    return Bench(tmp_path)


def used(bench: Bench, name: str, usb: Usb) -> Adapter:
    """Return the adapter of a session that has had `name` open."""
    adapter = Adapter(bench.plug(name, usb), listing=bench)
    adapter.remember(adapter.find())
    return adapter


def test_the_same_name_is_opened_where_the_adapter_is_the_same(bench: Bench) -> None:
    """The name first, also when another one like it... has another serial number."""
    adapter = used(bench, "ttyUSB0", MINE)
    bench.plug("ttyUSB1", Usb(MINE.vid, MINE.pid, "C3D4", "1-3"))

    assert adapter.find() == str(bench.folder / "ttyUSB0")


def test_the_same_adapter_is_found_under_another_name(bench: Bench) -> None:
    """Linux gives numbers out anew (reliability.md section 4)."""
    adapter = used(bench, "ttyUSB0", MINE)
    bench.pull("ttyUSB0")

    assert not adapter.there()
    back = bench.plug("ttyUSB1", MINE)
    assert adapter.there()
    assert adapter.find() == adapter.name == back


def test_another_adapter_under_the_old_name_is_not_taken(bench: Bench) -> None:
    """It would be another probe."""
    adapter = used(bench, "ttyUSB0", MINE)
    bench.pull("ttyUSB0")
    bench.plug("ttyUSB0", OTHER)

    assert not adapter.there()
    with pytest.raises(
        NotFound, match="another adapter answers to that name: USB 1a86:7523, not 0403"
    ):
        adapter.find()


def test_names_that_were_swapped_are_swapped_back(bench: Bench) -> None:
    """Both pulled, both back in the other order."""
    adapter = used(bench, "ttyUSB0", MINE)
    bench.pull("ttyUSB0")
    bench.plug("ttyUSB0", OTHER)
    mine = bench.plug("ttyUSB1", MINE)

    assert adapter.find() == mine


def test_a_name_without_an_identity_is_opened_by_its_name(bench: Bench) -> None:
    """A built-in port, or a system that says nothing."""
    adapter = used(bench, "ttyS0", MINE)
    bench.pull("ttyS0")
    bench.plug("ttyS0", None)

    assert adapter.find() == str(bench.folder / "ttyS0")


def test_without_a_serial_number_the_socket_decides_between_two(bench: Bench) -> None:
    """Two alike: the one at the old socket is the sensor's, whatever it is called now."""
    adapter = used(bench, "ttyUSB0", PLAIN)
    bench.pull("ttyUSB0")
    bench.plug("ttyUSB0", OTHER)
    mine = bench.plug("ttyUSB1", PLAIN)

    assert adapter.find() == mine


def test_two_that_match_are_both_named_and_none_is_opened(bench: Bench) -> None:
    """Nothing tells them apart: the welder must."""
    adapter = used(bench, "ttyUSB0", PLAIN)
    bench.pull("ttyUSB0")
    bench.plug("ttyUSB0", OTHER)
    bench.plug("ttyUSB1", Usb(PLAIN.vid, PLAIN.pid, None, "1-4"))

    assert not adapter.there()
    with pytest.raises(NotFound, match=r"more than one adapter matches: .*ttyUSB0 and .*ttyUSB1"):
        adapter.find()


def test_one_like_it_that_was_there_all_along_is_never_taken_for_it(bench: Bench) -> None:
    """The pedal's adapter is not the sensor's, though both have no serial number."""
    bench.plug("ttyUSB1", OTHER)
    adapter = used(bench, "ttyUSB0", PLAIN)
    bench.pull("ttyUSB0")

    assert not adapter.there()
    back = bench.plug("ttyUSB2", Usb(PLAIN.vid, PLAIN.pid, None, "1-4"))
    assert adapter.find() == back


def test_an_adapter_without_a_serial_number_is_not_one_with(bench: Bench) -> None:
    """The same maker's, but another one."""
    adapter = used(bench, "ttyUSB0", PLAIN)
    bench.pull("ttyUSB0")
    bench.plug("ttyUSB1", Usb(PLAIN.vid, PLAIN.pid, "S1", "1-1"))

    assert not adapter.there()


def test_the_socket_of_a_pulled_stranger_may_be_used(bench: Bench) -> None:
    """Both pulled out, the sensor's put where the pedal's was."""
    bench.plug("ttyUSB1", OTHER)
    adapter = used(bench, "ttyUSB0", PLAIN)
    bench.pull("ttyUSB0")
    bench.pull("ttyUSB1")
    assert not adapter.there()
    back = bench.plug("ttyUSB1", OTHER)

    assert adapter.find() == back


def test_of_a_device_with_several_ports_the_same_one_is_found(bench: Bench) -> None:
    """One serial number, four ports; plugged into another socket."""
    adapter = used(bench, "ttyUSB1", Usb(1, 2, "X", "1-1:1.1"))
    bench.pull("ttyUSB1")
    ports_ = [bench.plug(f"ttyUSB{4 + i}", Usb(1, 2, "X", f"1-7:1.{i}")) for i in range(4)]

    assert adapter.find() == ports_[1]


@pytest.mark.parametrize("usb", ["0403:6001:A1B2", "0403:6001:a1b2", "403:6001"])
def test_the_url_may_name_the_adapter_without_a_port(bench: Bench, usb: str) -> None:
    """`serial://?usb=…`: vendor, product, and serial number where there is one."""
    bench.plug("ttyUSB0", OTHER)
    adapter = Adapter("", parse_usb(usb), bench)
    with pytest.raises(NotFound, match="plug in that adapter"):
        adapter.find()
    mine = bench.plug("ttyUSB5", MINE)

    assert adapter.find() == mine


def test_the_url_may_name_both_and_the_name_decides_between_two(bench: Bench) -> None:
    """Two alike at the start: the name says which."""
    bench.plug("ttyUSB0", PLAIN)
    second = bench.plug("ttyUSB1", Usb(PLAIN.vid, PLAIN.pid, None, "1-4"))
    usb = Usb(PLAIN.vid, PLAIN.pid)

    assert Adapter(second, usb, bench).find() == second
    with pytest.raises(NotFound, match="more than one adapter matches"):
        Adapter("", usb, bench).find()
    with pytest.raises(NotFound, match="another adapter answers to that name"):
        Adapter(second, MINE, bench).find()


@pytest.mark.parametrize("usb", ["", "0403", "0403:", "g403:6001", "0403:6001:", "10403:6001"])
def test_what_is_no_identity_is_told(usb: str) -> None:
    """One line, with what is expected."""
    assert parse_usb(usb) is None
    with pytest.raises(UserInputError, match="expected usb=VID:PID"):
        open_port(parse_url(f"serial://?usb={usb}"), BootClock(), fail_fast=True)


@pytest.mark.parametrize("usb", [MINE, PLAIN, Usb(1, 2, "a b:c")])
def test_an_identity_is_read_back_as_it_is_written(usb: Usb) -> None:
    """What `pacer sensors` proposes works."""
    read = parse_usb(str(usb))

    assert read is not None
    assert (read.vid, read.pid, read.serial) == (usb.vid, usb.pid, usb.serial)


def test_a_port_gives_its_identity_and_an_identity_its_ports(bench: Bench) -> None:
    """Links are followed."""
    mine = bench.plug("ttyUSB0", MINE)
    link = bench.folder / "by-name"
    link.symlink_to(mine)

    assert usb_of(str(link), bench) == MINE
    assert usb_of("/dev/none", bench) is None
    assert find(Usb(MINE.vid, MINE.pid), bench) == [mine]
    assert find(OTHER, bench) == []


def test_on_windows_a_port_is_there_where_it_is_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """COM ports are no files; their names have no capitals, and long ones a prefix."""
    listed = [Port("COM12", MINE)]
    adapter = Adapter(r"\\.\com12", listing=lambda: listed)
    with monkeypatch.context() as windows:
        windows.setattr(os, "name", "nt")
        there = [adapter.there()]
        adapter.remember(adapter.find())
        listed[:] = [Port("COM12", OTHER)]
        there.append(adapter.there())
        listed[:] = [Port("COM12", OTHER), Port("COM13", MINE)]
        there.append(adapter.there())
        named = adapter.name
        listed.clear()
        there.append(adapter.there())

    assert there == [True, False, True, False]
    assert named == "COM13"


def test_the_proposed_url_prefers_the_systems_own_link_and_finds_the_port_again(
    bench: Bench,
) -> None:
    """/dev/serial/by-id on Linux; elsewhere the name with `usb=`; else the name."""
    mine = bench.plug("ttyUSB0", Usb(0x0403, 0x6001, "A&1", "1-1"))
    bare = bench.plug("ttyS0", None)
    by_id = bench.folder / "by-id"
    url = url_for(mine, bench, by_id=by_id, baud=9600)
    by_id.mkdir()
    (by_id / "usb-maker_A1-if00-port0").symlink_to(mine)

    assert url == f"serial://{mine}?usb=0403:6001:A%261&baud=9600"
    asked = parse_usb(parse_url(url).params["usb"])
    bench.pull("ttyUSB0")
    again = bench.plug("ttyUSB7", Usb(0x0403, 0x6001, "A&1", "1-1"))
    assert Adapter(mine, asked, bench).find() == again
    bench.plug("ttyUSB0", None)
    linked = url_for(mine, bench, by_id=by_id, baud=9600)
    assert linked == f"serial://{by_id}/usb-maker_A1-if00-port0?baud=9600"
    assert url_for(bare, bench, by_id=by_id) == f"serial://{bare}"


def test_the_systems_list_is_read_by_what_pyserial_says(monkeypatch: pytest.MonkeyPatch) -> None:
    """Empty serial numbers are none; hostile text is cleaned; a list that fails is empty."""
    listed = [
        SimpleNamespace(device="COM5", vid=0x403, pid=0x6001, serial_number="", location=None),
        SimpleNamespace(device="COM1", vid=None, pid=None, description="n/a"),
        SimpleNamespace(
            device="COM6",
            vid=1,
            pid=2,
            serial_number="A\x1b[2J",
            location="1-1",
            description="x\x07",
        ),
    ]

    class Sortable(SimpleNamespace):
        def __lt__(self, other: object) -> bool:
            return str(self.device) < str(getattr(other, "device", ""))

    monkeypatch.setattr(list_ports, "comports", lambda: [Sortable(**vars(i)) for i in listed])
    found = ports()

    def fails() -> list[object]:
        raise TypeError("a broken entry")

    monkeypatch.setattr(list_ports, "comports", fails)
    assert ports() == []
    assert [port.name for port in found] == ["COM1", "COM5", "COM6"]
    assert found[0].usb is None
    assert found[1].usb == Usb(0x403, 0x6001)
    assert found[2].usb == Usb(1, 2, "A\N{REPLACEMENT CHARACTER}[2J", "1-1")
    assert found[2].what == "x\N{REPLACEMENT CHARACTER}"


def test_the_real_list_of_this_machine_can_be_read() -> None:
    """Whatever there is: names, once each."""
    names = [port.name for port in ports()]

    assert len(names) == len(set(names))
    assert all(names)


@pytest.fixture
def plugged(bench: Bench) -> Iterator[tuple[int, PortSource, Pauses]]:
    """A session on a real pseudo-terminal that is listed as adapter MINE under ttyUSB0."""
    bench.plug("ttyUSB0", MINE)
    instrument, pauses = plug_in(bench.folder / "ttyUSB0"), Pauses()
    url = parse_url(f"serial://{bench.folder}/ttyUSB0?settle=0")
    source = open_port(url, BootClock(), fail_fast=True, wait=pauses, listing=bench)
    with closing(source):
        yield instrument, source, pauses


def test_a_real_port_is_found_again_under_another_name_and_a_stranger_is_left_alone(
    bench: Bench, plugged: tuple[int, PortSource, Pauses]
) -> None:
    """T-30: unplugged, another adapter under the old name, then back under a new one."""
    instrument, source, pauses = plugged
    os.write(instrument, b"\n300.5\n")
    until(source, read_as(300.5))
    bench.pull("ttyUSB0")
    os.close(instrument)
    until(source, in_state("lost"))
    stranger = plug_in(bench.folder / "ttyUSB0")
    bench.plug("ttyUSB0", OTHER)
    pauses.end_one()
    told = until(source, lambda e: "another adapter answers" in getattr(e, "why", ""))
    pauses.asked.get(timeout=DEADLINE_S)
    instrument = plug_in(bench.folder / "ttyUSB3")
    bench.plug("ttyUSB3", MINE)
    pauses.end_unasked()
    opened = until(source, in_state("opened"))
    os.write(instrument, b"\n301.5\n")
    until(source, read_as(301.5))
    os.close(instrument)
    until(source, in_state("lost"))
    pauses.end_one(closing=True)
    os.close(stranger)

    assert [e.why for e in opened if isinstance(e, SensorChanged)] == [
        str(bench.folder / "ttyUSB3")
    ]
    assert f"{bench.folder}/ttyUSB0: another adapter" in str(told)
