"""`cause()`: why a port failed and the one thing that mends it, in one clean line.

By the error's number where there is one, by pyserial's own words where there isn't:
on Windows it puts the system's error into the text only (read in its source, 3.5), so that
`PermissionError(13, …)` is all there is, in the user's language; the words around it are not.
What each means on Windows is from users' threads (pyserial #446, #458, #474, #331, read);
the two names of a port on macOS from several pages that quote one mailing list (seen).
"""

from __future__ import annotations

import errno
import os
import re
import shlex
import socket
import stat
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pacer.sensor.port.identity import NotFound
from pacer.text import clean

PORTS_NOW = "; ports now: "
"Begins the part of a cause that may change while the cause stays the same."

FRESH_S = 15.0
"""For so long after an adapter was plugged in, a port in use may be the modem service's look
at it (threads tell of 2.5 to 20 s, about 10 mostly; seen)."""

_USUAL_GROUP = "dialout"
"Where the system doesn't say whose a port is."

_PULLED = "gone: check the cable and the adapter"
_NO_ANSWER = "no answer: check the network and the address"
_NO_WAY = "no way to that address: check the network"
_ENDED = "the other end closed the connection"
_NOT_THERE = "not there: check the cable and the adapter"

_CAUSES: dict[int, str] = {
    errno.ENODEV: _NOT_THERE,
    errno.ENXIO: _NOT_THERE,
    errno.EIO: _PULLED,
    errno.EBADF: _PULLED,
    errno.ENOTTY: "not a serial port: check the name",
    errno.EINVAL: "the adapter refuses these settings: check baud=, parity= and stop= in the URL",
    errno.EISDIR: "a folder, not a serial port: check the name",
    errno.ECONNREFUSED: "connection refused: is the other end's program running?",
    errno.ECONNRESET: _ENDED,
    errno.EPIPE: _ENDED,
    errno.EHOSTUNREACH: _NO_WAY,
    errno.ENETUNREACH: _NO_WAY,
    errno.ETIMEDOUT: _NO_ANSWER,
}
_NO_SUCH_HOST = "no such name on the network: check the address in the URL"

_WORDS: tuple[tuple[str, str], ...] = (
    (
        "returned no data",
        "gone: pulled out, or two programs read this port: check the cable, close the other program",
    ),
    ("Could not configure port", "nothing behind that name: check the cable and the name"),
    ("ClearCommError failed", "gone: pulled out, or its driver stopped: plug it out and in again"),
    ("GetOverlappedResult failed", "gone: pulled out: check the cable and the adapter"),
    ("ReadFile failed", "gone: pulled out: check the cable and the adapter"),
    ("WriteFile failed", "gone: pulled out: check the cable and the adapter"),
    ("Cannot configure port", "the adapter refuses these settings: check baud= in the URL"),
    ("Write timeout", "takes no question: check the cable and the instrument"),
    ("Invalid baud rate", "the adapter has no such baud rate: check baud= in the URL"),
)
"pyserial 3.5's own words (read in serialposix.py and serialwin32.py) and what to do."

_WINDOWS_OPEN: dict[str, str] = {
    "PermissionError": "in use by another program, or just pulled out: close the other program, "
    "or plug it out and in again",
    "FileNotFoundError": "not there: check the cable and the name",
    "OSError": "the adapter does not answer: plug it out and in again",
}
_WINDOWS_ERROR = re.compile(r"could not open port .*?: (\w+Error)\(", re.DOTALL)


@dataclass(frozen=True, slots=True)
class System:
    """What a cause asks of the machine; tests have their own."""

    platform: str = sys.platform
    names: Callable[[], Sequence[str]] | None = None
    "Serial ports there are now, named where the one asked for isn't; None: not named."
    owner: Callable[[str], tuple[str, bool, bool]] = lambda name: _owner(name)
    "Group of a port's node, whether it may read and write, whether the user is to be in it."
    age_s: Callable[[str], float | None] = lambda name: _age_s(name)
    "Since when the node is as it is; None: not known."


def cause(exc: BaseException, name: str, system: System | None = None) -> str:
    """Return why the port `name` failed and what to do about it."""
    system = system or System()
    words = _why(exc, name, system)
    if system.platform == "darwin":
        words += _callout(name)
    return f"{clean(name, 80)}: {words}"


def _why(exc: BaseException, name: str, system: System) -> str:
    by_words = next((what for words, what in _WORDS if words in str(exc)), "")
    inner: BaseException | None = exc
    while inner is not None:
        if isinstance(inner, NotFound):
            return clean(str(inner), 500)
        if isinstance(inner, socket.gaierror):  # its numbers are not errno's
            return _NO_SUCH_HOST
        code = _code(inner)
        # An input/output error says little; what was being done when it came says more.
        if found := (code == errno.EIO and by_words) or _by_number(code, name, system):
            return found
        inner = inner.__cause__ or inner.__context__
    if by_words:
        return by_words
    if windows := _WINDOWS_ERROR.search(str(exc)):
        what = _WINDOWS_OPEN.get(windows[1], _WINDOWS_OPEN["OSError"])
        return what + (_ports_now(name, system) if windows[1] == "FileNotFoundError" else "")
    return clean(str(exc), 200) or type(exc).__name__


def _code(exc: BaseException) -> object:
    if isinstance(exc, TimeoutError):
        return errno.ETIMEDOUT
    # termios.error is no OSError, but its first argument is the number all the same.
    return exc.errno if isinstance(exc, OSError) else next(iter(exc.args), None)


def _by_number(code: object, name: str, system: System) -> str:
    match code:
        case errno.EACCES | errno.EPERM:
            return _no_permission(name, system)
        case errno.EBUSY | errno.EAGAIN:
            return _in_use(name, system)
        case errno.ENOENT:
            return "not there: check the cable and the name" + _ports_now(name, system)
        case int():
            return _CAUSES.get(code, "")
        case _:
            return ""


def _no_permission(name: str, system: System) -> str:
    shown = shlex.quote(clean(name, 80))
    if not system.platform.startswith("linux"):
        return f"no permission: run: sudo chmod a+rw {shown}"
    group, may, member = system.owner(name)
    if not may:
        # No group to join: a fresh node before the system gave it away, or a rule is missing.
        return f"no permission: wait if just plugged in; else run: sudo chmod a+rw {shown}"
    if member:
        return f"no permission: you are in the group {group}: log out and in again"
    return f"no permission: run: sudo usermod -aG {group} $USER, then log in again"


def _in_use(name: str, system: System) -> str:
    age_s = system.age_s(name) if system.platform.startswith("linux") else None
    if age_s is not None and 0 <= age_s < FRESH_S:
        return (
            "in use by another program: just plugged in, it may be the modem service: "
            f"wait {FRESH_S:.0f} s, else close it"
        )
    who = f" (run: fuser -v {shlex.quote(clean(name, 80))})" if system.platform != "win32" else ""
    return f"in use by another program: close it{who}"


def _ports_now(name: str, system: System) -> str:
    if system.names is None:
        return ""
    names = [clean(known, 60) for known in system.names()]
    if not names:
        return f"{PORTS_NOW}none"
    kind = os.path.basename(name).rstrip("0123456789")
    names.sort(key=lambda known: not os.path.basename(known).startswith(kind))
    return PORTS_NOW + ", ".join(names[:4]) + (", …" if len(names) > 4 else "")


def _callout(name: str) -> str:
    """On macOS `tty.*` waits for a modem's carrier, `cu.*` is the one to open."""
    folder, base = os.path.split(name)
    if not base.startswith("tty."):
        return ""
    return f"; use {clean(folder, 60)}/cu.{clean(base.removeprefix('tty.'), 60)} instead"


def _owner(name: str) -> tuple[str, bool, bool]:
    """Return the group of a node, whether it may use it, whether the user is listed in it."""
    try:
        node = os.stat(name)
    except OSError:
        return _USUAL_GROUP, True, False
    both = stat.S_IRGRP | stat.S_IWGRP
    may = node.st_gid != 0 and node.st_mode & both == both
    try:
        import grp
        import pwd

        group = grp.getgrgid(node.st_gid)
        user = pwd.getpwuid(os.getuid()).pw_name
    except (ImportError, KeyError):
        return _USUAL_GROUP, may, False
    listed = user in group.gr_mem and node.st_gid not in os.getgroups()
    return clean(group.gr_name, 32), may, listed


def _age_s(name: str) -> float | None:
    try:
        return time.time() - os.stat(name).st_ctime
    except OSError:
        return None
