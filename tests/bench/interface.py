"""Start and key latency of the interface on a pseudo-terminal, against a bare Textual program.

    python -m tests.bench.interface [--keys 40]

Start: from the command to the first line of the walk on the terminal. Key: from
the key to the last byte of the repaint it caused. Figures are medians and
95th percentiles in milliseconds; nothing here is a test.
"""

import argparse
import os
import pty
import select
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.stock import Group
from tests.rooms import FIRST_DAY, Sheets, small_room, store_with

BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("min ready")
    def key_q(self):
        self.exit()
Bare().run()
"""
QUIET_SECONDS = 0.12


class Terminal:
    """A program on a pseudo-terminal of 120 x 40."""

    def __init__(self, command: Sequence[str]) -> None:
        self.began = time.perf_counter()
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLUMNS="120", LINES="40")
            os.execvp(command[0], list(command))
        import fcntl
        import struct
        import termios

        fcntl.ioctl(self.handle, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))

    def until(self, text: bytes, seconds: float = 20.0) -> float:
        """Milliseconds from the start to the first output that holds this text."""
        seen = b""
        while time.perf_counter() - self.began < seconds:
            if select.select([self.handle], [], [], 0.5)[0]:
                seen += os.read(self.handle, 65536)
                if text in seen:
                    return (time.perf_counter() - self.began) * 1000
        raise SystemExit(f"never saw {text!r}")

    def settle(self) -> None:
        while select.select([self.handle], [], [], 0.6)[0]:
            os.read(self.handle, 65536)

    def key(self, key: bytes, shows: bytes = b"") -> float:
        """Milliseconds from a key to the last byte of its repaint, which shows this text."""
        began = last = time.perf_counter()
        os.write(self.handle, key)
        seen = b""
        while shows not in seen:
            if select.select([self.handle], [], [], 20.0)[0]:
                seen += os.read(self.handle, 65536)
                last = time.perf_counter()
        while select.select([self.handle], [], [], QUIET_SECONDS)[0]:
            os.read(self.handle, 65536)
            last = time.perf_counter()
        return (last - began) * 1000

    def end(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.handle)


def large_room(tanks: int) -> Sheets:
    """The small room grown to so many tanks, a look and a change at each."""
    sheets = small_room()
    model = next(tank for tank in sheets["tanks"] if tank.code == "B1")
    shelf_tanks, rack_shelves = 10, 5
    racks = -(-tanks // (shelf_tanks * rack_shelves))
    for n in range(racks):
        rack = f"R{n:03d}"
        sheets["racks"].append(Rack(code=rack, path=10 + n))
        sheets["shelves"] += [
            Shelf(rack=rack, shelf=shelf, places=shelf_tanks)
            for shelf in range(1, rack_shelves + 1)
        ]
    for n in range(tanks - len(sheets["tanks"])):
        number, rest = divmod(n, shelf_tanks * rack_shelves)
        shelf, place = divmod(rest, shelf_tanks)
        code = f"T{n:04d}"
        sheets["tanks"].append(
            replace(model, code=code, rack=f"R{number:03d}", shelf=shelf + 1, place=place + 1)
        )
        sheets["groups"].append(
            Group(code=f"g{n}", line="line", tank=code, count=6, since=FIRST_DAY)
        )
    return sheets


def report(name: str, values: list[float]) -> float:
    values.sort()
    median = statistics.median(values)
    p95 = values[min(len(values) - 1, int(len(values) * 0.95))]
    sys.stdout.write(f"{name:<44} median {median:7.1f} ms   p95 {p95:7.1f} ms   n {len(values)}\n")
    return median


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--keys", type=int, default=40)
    parser.add_argument("--starts", type=int, default=7)
    asked = parser.parse_args()
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        bare = []
        for _ in range(asked.starts):
            terminal = Terminal([python, "-c", BARE])
            bare.append(terminal.until(b"min ready"))
            terminal.end()
        floor = report("start, bare Textual program", bare)
        for tanks in (26, 2000):
            store = store_with(Path(folder), large_room(tanks), f"room-{tanks}.db")
            store.close()
            command = [
                python, "-m", "roomtasks", "-r", str(store.path), "--at", "2027-03-06T07:30",
            ]  # fmt: skip
            starts = []
            for _ in range(asked.starts):
                terminal = Terminal(command)
                starts.append(terminal.until(b" min"))
                terminal.end()
            median = report(f"start, walk on screen, {tanks} tanks", starts)
            sys.stdout.write(f"{'':<44} ratio to bare {median / floor:.2f}\n")
            _keys(command, tanks, asked.keys)


def _keys(command: list[str], tanks: int, count: int) -> None:
    terminal = Terminal(command)
    terminal.until(b" min")
    terminal.settle()
    report(f"key, next job, {tanks} tanks", [terminal.key(b"2") for _ in range(count)])
    report(
        f"key, tank to the right, {tanks} tanks", [terminal.key(b"\x1b[C") for _ in range(count)]
    )
    done = []
    for _ in range(max(5, count // 4)):
        time.sleep(1.05)
        terminal.settle()
        done.append(terminal.key(b"5", b"next"))
    report(f"key, done on disk and repainted, {tanks} tanks", done)
    terminal.end()


if __name__ == "__main__":
    subprocess.run([sys.executable, "-c", "import roomtasks.tui.app"], check=True)
    main()
