"""A terminal left without echo and lines by a screen that was killed is put right again.

What a killed program set stays set; the next one would take it for how the terminal was
and leave it so. The alternate screen and the cursor come back when the next screen closes.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress


def mend_terminal(fd: int | None = None) -> bool:
    """Give the terminal echo, lines and signals where it has none; True if it was so."""
    if os.name != "posix":
        return False
    import termios

    with suppress(termios.error, ValueError, OSError, AttributeError):
        fd = sys.__stdin__.fileno() if fd is None else fd  # type: ignore[union-attr]
        attrs = termios.tcgetattr(fd)
        if attrs[3] & (termios.ICANON | termios.ECHO):
            return False
        attrs[0] |= termios.ICRNL | termios.IXON
        attrs[3] |= termios.ICANON | termios.ECHO | termios.ISIG | termios.IEXTEN
        termios.tcsetattr(fd, termios.TCSANOW, attrs)
        return True
    return False
