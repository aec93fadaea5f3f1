"""A `Wire` is an opened port: what the reader thread needs of one, and no more.

Serial ports and `loop://` are opened by pyserial, exclusively where the system can.
TCP is opened here: pyserial's own socket port throws away what the server sent first,
reads a byte at a time, sleeps 0.3 s on closing and leaks the descriptor after a reset
(read in its source, 3.5). A wire can be replaced without the thread knowing.
"""

from __future__ import annotations

import errno
import socket
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING, Protocol

from pacer.sensor.port.identity import LISTING

if TYPE_CHECKING:
    import serial

READ_S = 0.1
"The longest wait in one read, so that a flooded or closing port is looked after."

_CHUNK = 4096
_CONNECT_S = 5.0
_SEND_S = 2.0
"A question is a few bytes: a port that takes none for so long is no port."


class Wire(Protocol):
    """One opened port. Every failure is an OSError (pyserial's exception is one)."""

    def read(self) -> bytes:
        """Return what there is, after `READ_S` of silence nothing; raises when it is gone."""

    def send(self, data: bytes) -> None:
        """Say `data`; only a source whose URL asks for it ever does."""

    def discard(self) -> None:
        """Throw away what came and was not read yet."""

    def cancel(self) -> None:
        """Wake a `read` in another thread."""

    def set_line(self, name: str, on: bool) -> None:
        """Set RTS or DTR; raises OSError where there is none."""

    def close(self) -> None:
        """Give the descriptors back."""


class SerialWire:
    """A serial port, or `loop://`, by pyserial."""

    def __init__(self, port: str, baud: int, lines: Mapping[str, bool] | None = None) -> None:
        """Open the port with output lines as `lines` says; unsaid they are on.

        Raises OSError. The system itself raises both lines for a moment on opening
        (pyserial 3.5 sets them once the port is open; read in its source).
        """
        import serial

        if port == "loop://":
            self.port: serial.Serial = serial.serial_for_url(
                port, do_not_open=True, baudrate=baud, timeout=READ_S, write_timeout=_SEND_S
            )
        else:
            # Never by URL: a job file could name a handler that writes files.
            self.port = serial.Serial(
                None, baudrate=baud, timeout=READ_S, write_timeout=_SEND_S, exclusive=True
            )
            self.port.port = port
        for name, on in (lines or {}).items():
            self.set_line(name, on)
        with LISTING:
            self.port.open()

    def read(self) -> bytes:
        """Return what there is; a chunk, never `readline`."""
        return bytes(self.port.read(min(_CHUNK, max(1, self.port.in_waiting))))

    def send(self, data: bytes) -> None:
        """Send all of it, or raise after `_SEND_S`: no instrument of ours stops the flow."""
        self.port.write(data)

    def discard(self) -> None:
        """Empty the system's input buffer."""
        self.port.reset_input_buffer()

    def cancel(self) -> None:
        """Wake the read where the port can; else it wakes by itself."""
        cancel_read = getattr(self.port, "cancel_read", None)
        if cancel_read is not None:
            cancel_read()

    def set_line(self, name: str, on: bool) -> None:
        """Set RTS or DTR."""
        if name == "RTS":
            self.port.rts = on
        else:
            self.port.dtr = on

    def line(self, name: str) -> bool:
        """Return whether CTS or DSR is on; raises OSError where there is none."""
        return bool(self.port.cts if name == "CTS" else self.port.dsr)

    def close(self) -> None:
        """Close the port."""
        self.port.close()


class SocketWire:
    """A TCP connection that carries a serial line's text."""

    def __init__(self, host: str, port: int) -> None:
        self._socket = socket.create_connection((host, port), timeout=_CONNECT_S)
        self._socket.settimeout(READ_S)
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)

    def read(self) -> bytes:
        """Return what there is; the other end's closing is a loss."""
        try:
            chunk = self._socket.recv(_CHUNK)
        except TimeoutError:
            return b""
        if not chunk:
            raise ConnectionResetError(errno.ECONNRESET, "the other end closed the connection")
        return chunk

    def send(self, data: bytes) -> None:
        """Send all of it."""
        self._socket.sendall(data)

    def discard(self) -> None:
        """Empty the system's input buffer; the other end's closing shows at the next read."""
        self._socket.settimeout(0.0)
        try:
            while self._socket.recv(_CHUNK):
                pass
        except BlockingIOError:
            pass
        finally:
            self._socket.settimeout(READ_S)

    def cancel(self) -> None:
        """End the connection, which wakes the read."""
        with suppress(OSError):
            self._socket.shutdown(socket.SHUT_RDWR)

    def set_line(self, name: str, on: bool) -> None:
        """TCP has no such lines."""
        raise OSError(errno.ENOTTY, f"no {name} line on a network connection")

    def close(self) -> None:
        """Close the connection."""
        self._socket.close()
