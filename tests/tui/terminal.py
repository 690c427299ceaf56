"""A program on a real pseudo-terminal: keys in, bytes out, signals sent."""

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Mapping, Sequence


class Terminal:
    """The interface in a child on a pseudo-terminal."""

    def __init__(
        self, words: Sequence[str], size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        self.seen = b""
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.environ.update({"TERM": "xterm-256color", "LANG": "C.UTF-8", **(env or {})})
            os.execv(sys.executable, [sys.executable, "-m", "roomtasks", *words])
        fcntl.ioctl(self.handle, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))

    def until(self, text: str, seconds: float = 15.0) -> bool:
        """Read until the output since the last call holds this text."""
        end, found = time.monotonic() + seconds, b""
        while time.monotonic() < end:
            if select.select([self.handle], [], [], 0.2)[0]:
                try:
                    part = os.read(self.handle, 65536)
                except OSError:
                    break
                found += part
                self.seen += part
                if text.encode() in found:
                    return True
        return False

    def keys(self, text: str) -> None:
        os.write(self.handle, text.encode())

    def send(self, number: int) -> None:
        os.kill(self.pid, number)

    def end(self, seconds: float = 10.0) -> int:
        """Wait for the child, reading what it still writes; its status, or -9 if it was killed."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                os.close(self.handle)
                return os.waitstatus_to_exitcode(status)
            self.until("\x00", 0.1)
        self.send(signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.handle)
        return -9
