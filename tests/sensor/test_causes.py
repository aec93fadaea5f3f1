"""Why a port failed: one line, with what mends it, on each system.

The texts are pyserial's own: made by failing here, or read out of its Windows source.
What Windows puts into them is from users' threads (named beside each).
"""

from __future__ import annotations

import errno
import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import serial
from port_fakes import DEADLINE_S, terminal

from pacer.sensor.port.causes import FRESH_S, System, cause
from pacer.sensor.port.identity import NotFound
from pacer.sensor.port.wires import SerialWire

MAY = ("dialout", True, False)


def machine(
    platform: str = "linux",
    owner: tuple[str, bool, bool] = MAY,
    age_s: float | None = None,
    names: tuple[str, ...] | None = None,
) -> System:
    """Return a machine of the test's own."""
    listed = None if names is None else lambda: names
    return System(platform, listed, lambda _: owner, lambda _: age_s)


def failed(open_it: Callable[[], object]) -> OSError:
    """Return how opening failed."""
    with pytest.raises(OSError) as caught:
        open_it()
    return caught.value


def refused(number: int, port: str = "/dev/ttyUSB0") -> serial.SerialException:
    """Return pyserial's error of an opening that the system refused (serialposix.py, `open`)."""
    found = serial.SerialException(number, f"could not open port {port}: [Errno {number}] x")
    found.__context__ = OSError(number, "x")
    return found


@pytest.mark.parametrize("group", ["dialout", "uucp", "plugdev"])
def test_without_permission_the_group_that_owns_the_port_is_named(group: str) -> None:
    """T-30: the one command that mends it; nobody's name in it."""
    told = cause(refused(errno.EACCES), "/dev/ttyUSB0", machine(owner=(group, True, False)))

    expected = f"no permission: run: sudo usermod -aG {group} $USER, then log in again"
    assert told == f"/dev/ttyUSB0: {expected}"


def test_who_is_in_the_group_already_only_has_to_log_in_again() -> None:
    """A new group is known to new logins only."""
    told = cause(refused(errno.EACCES), "/dev/ttyUSB0", machine(owner=("dialout", True, True)))

    assert told.endswith("you are in the group dialout: log out and in again")


@pytest.mark.parametrize("platform", ["linux", "darwin"])
def test_a_port_without_a_group_to_join_is_opened_up_itself(platform: str) -> None:
    """Owned by root alone: joining the group root would be no help, and harm."""
    told = cause(refused(errno.EACCES), "/dev/tty X", machine(platform, ("root", False, False)))

    assert told.endswith("sudo chmod a+rw '/dev/tty X'")
    assert "usermod" not in told


@pytest.mark.skipif(sys.platform != "linux", reason="asks Linux who owns a node")
def test_the_real_owner_of_a_node_is_asked(tmp_path: Path) -> None:
    """By a file that belongs to this user's group, and by one that belongs to nobody's."""
    import grp

    node = tmp_path / "node"
    node.touch()
    node.chmod(0o660)
    group, may, member = System().owner(str(node))
    node.chmod(0o600)

    gid = node.stat().st_gid
    assert group == grp.getgrgid(gid).gr_name
    assert may == (gid != 0)
    assert not member
    assert not System().owner(str(node))[1]
    assert System().owner(str(tmp_path / "none")) == MAY


def test_a_port_in_use_by_a_second_process_is_told_and_free_when_that_ends() -> None:
    """Two programs on one port, in truth: the other one holds pyserial's lock."""
    holds = (
        "import serial, sys; p = serial.Serial(sys.argv[1], exclusive=True);"
        "print('open', flush=True); sys.stdin.read()"
    )
    with terminal() as (_, name):
        command = [sys.executable, "-c", holds, name]
        with subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        ) as other:
            assert other.stdout is not None
            assert other.stdout.readline() == "open\n"
            exc = failed(lambda: SerialWire(name, 9600))
            other.communicate(timeout=DEADLINE_S)
        SerialWire(name, 9600).close()

    assert cause(exc, name, machine(age_s=3600.0)) == (
        f"{name}: in use by another program: close it (run: fuser -v {name})"
    )


@pytest.mark.parametrize("number", [errno.EBUSY, errno.EAGAIN])
def test_a_port_in_use_right_after_plugging_in_may_be_the_modem_service(number: int) -> None:
    """reliability.md section 4: within the first 15 s it means wait, not fail."""
    fresh = cause(refused(number), "/dev/ttyACM0", machine(age_s=FRESH_S - 0.1))
    older = cause(refused(number), "/dev/ttyACM0", machine(age_s=FRESH_S))

    assert fresh.endswith("just plugged in, it may be the modem service: wait 15 s, else close it")
    assert "modem" not in older


def test_a_port_that_is_not_there_names_those_that_are() -> None:
    """ENOENT: the likeliest first; no list where none was asked for."""
    exc = failed(lambda: SerialWire("/dev/ttyUSB9", 9600))
    names = ("/dev/ttyS0", "/dev/ttyACM0", "/dev/ttyUSB1", "/dev/ttyUSB2", "/dev/ttyS1")
    words = "/dev/ttyUSB9: not there: check the cable and the name"

    assert cause(exc, "/dev/ttyUSB9", machine()) == words
    assert cause(exc, "/dev/ttyUSB9", machine(names=())) == f"{words}; ports now: none"
    listed = "/dev/ttyUSB1, /dev/ttyUSB2, /dev/ttyS0, /dev/ttyACM0, …"
    assert cause(exc, "/dev/ttyUSB9", machine(names=names)) == f"{words}; ports now: {listed}"


def test_a_pulled_plug_or_two_readers_are_both_said() -> None:
    """pyserial #86, #341: its words for a read that returns nothing have these two causes."""
    with terminal() as (instrument, name):
        wire = SerialWire(name, 9600)
    del instrument  # both ends are closed
    found = failed(wire.port.read)
    wire.close()

    assert "readiness to read but returned no data" in str(found)
    told = cause(found, name)
    assert "pulled out" in told
    assert "two programs read this port" in told


def test_a_name_that_is_no_port_is_told_apart_from_one_with_nothing_behind(tmp_path: Path) -> None:
    """ENOTTY, and the input/output error of a built-in port that isn't wired (ttyS0)."""
    plain = tmp_path / "notes"
    plain.touch()
    unwired = serial.SerialException("Could not configure port: (5, 'Input/output error')")
    unwired.__context__ = OSError(errno.EIO, "Input/output error")

    assert "not a serial port" in cause(failed(lambda: SerialWire(str(plain), 9600)), "notes")
    assert "nothing behind that name" in cause(unwired, "/dev/ttyS0")
    assert "gone: check the cable" in cause(OSError(errno.EIO, "x"), "/dev/ttyUSB0")


def windows_texts() -> list[str]:
    """Return the formats of every failure in pyserial's Windows source."""
    source = Path(serial.__file__).with_name("serialwin32.py").read_text(encoding="utf-8")
    found = re.findall(
        r'SerialException\(\s*(?:"([^"]*\{[^"]*)"|\'([^\']*)\'\s*\'([^\']*)\')', source
    )
    return ["".join(parts) for parts in found]


def test_every_failure_of_pyserial_on_windows_is_known() -> None:
    """Also in another language, and whatever number is in it: only pyserial's words are read."""
    texts = windows_texts()
    error = "PermissionError(13, 'Zugriff verweigert', None, 5)"
    told = {
        text: cause(serial.SerialException(text.replace("{!r}", error)), "COM5") for text in texts
    }

    assert len(texts) >= 8
    for text, line in told.items():
        assert line.startswith("COM5: ")
        assert "Error(" not in line, text
        assert "Zugriff" not in line, text


@pytest.mark.parametrize(
    ("error", "words"),
    [
        ("PermissionError(13, 'Access is denied.', None, 5)", "in use by another program"),  # 458
        (
            "FileNotFoundError(2, 'The system cannot find the file specified.', None, 2)",
            "not there: check the cable and the name; ports now: COM1, COM7",
        ),
        (
            "OSError(22, 'The semaphore timeout period has expired.', None, 121)",
            "plug it out and in again",
        ),
        (
            "OSError(22, 'A device which does not exist was specified.', None, 433)",
            "plug it out and in again",
        ),
    ],
)
def test_windows_says_why_it_did_not_open(error: str, words: str) -> None:
    """The error's kind is all there is: pyserial gives no number on Windows."""
    exc = serial.SerialException("could not open port {!r}: ".format("COM5") + error)

    assert words in cause(exc, "COM5", machine("win32", names=("COM1", "COM7")))


@pytest.mark.parametrize(
    "text",
    [
        "ClearCommError failed (PermissionError(13, 'The device does not recognize the command.', None, 22))",
        "ClearCommError failed (PermissionError(13, 'Access denied', None, 5))",  # pyserial 446
        "GetOverlappedResult failed (PermissionError(13, 'Access is denied.', None, 5))",
        "WriteFile failed (OSError(9, 'The handle is invalid.', None, 6))",
    ],
)
def test_windows_says_that_the_plug_was_pulled(text: str) -> None:
    """Not "no permission": while it was open, that is what a pulled plug looks like."""
    told = cause(serial.SerialException(text), "COM5", machine("win32"))

    assert "pulled out" in told
    assert "permission" not in told


def test_a_port_in_use_on_a_mac_and_the_name_that_waits_for_a_modem() -> None:
    """`tty.*` is for calling in, `cu.*` for calling out."""
    busy = refused(errno.EBUSY, "/dev/tty.usbserial-1410")
    told = cause(busy, "/dev/tty.usbserial-1410", machine("darwin"))

    assert "in use by another program" in told
    assert told.endswith("; use /dev/cu.usbserial-1410 instead")
    assert "use /dev" not in cause(busy, "/dev/cu.usbserial-1410", machine("darwin"))
    assert "use /dev" not in cause(busy, "/dev/tty.x", machine("linux"))


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENODEV, "check the cable"),
        (errno.ENXIO, "check the cable"),
        (errno.ECONNREFUSED, "is the other end's program running"),
        (errno.ECONNRESET, "the other end closed"),
        (errno.EHOSTUNREACH, "check the network"),
        (errno.ETIMEDOUT, "no answer"),
    ],
)
def test_a_number_is_found_wherever_a_library_wrapped_it(number: int, words: str) -> None:
    """T-30: names the cause and what mends it."""
    wrapped = RuntimeError("could not open port")
    wrapped.__context__ = OSError(number, "x")

    assert words in cause(wrapped, "/dev/ttyUSB0")
    assert words in cause(OSError(number, os.strerror(number)), "/dev/ttyUSB0")


def test_a_slow_or_deaf_port_and_a_baud_rate_it_does_not_have_are_told() -> None:
    """A write that takes no end; a rate the adapter refuses."""
    assert "check the cable" in cause(serial.SerialTimeoutException("Write timeout"), "x")
    assert "baud=" in cause(ValueError("Invalid baud rate: 3"), "x")
    assert "no answer" in cause(TimeoutError(), "x")


def test_foreign_text_is_shown_clean() -> None:
    """T-18: an exception's text and a port's name are foreign text."""
    assert cause(RuntimeError("odd\x1b[2J"), "p\x07") == "p\ufffd: odd\ufffd[2J"
    assert cause(NotFound("two\x1b"), "p") == "p: two\ufffd"
    told = cause(refused(errno.EBUSY), "a\x1b;rm", machine(age_s=None))
    assert told.isprintable()


def test_a_name_nobody_knows_on_the_network_is_said_in_words() -> None:
    """Its number is not one of the system's errors."""
    gone = socket.gaierror(socket.EAI_NONAME, "Name or service not known")
    assert cause(gone, "shop.invalid:5000") == (
        "shop.invalid:5000: no such name on the network: check the address in the URL"
    )


def test_a_folder_is_no_port(tmp_path: Path) -> None:
    """Opened as one."""
    told = cause(failed(lambda: SerialWire(str(tmp_path), 9600)), "x")
    assert told == "x: a folder, not a serial port: check the name"


def test_settings_an_adapter_refuses_are_said_with_their_names() -> None:
    """Parity on a pseudo-terminal: termios has its number only."""
    assert "check baud=, parity= and stop=" in cause(OSError(errno.EINVAL, "x"), "x")
