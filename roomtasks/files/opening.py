"""Opening a file that may be anything: a folder, a pipe, a link to itself, too large, not UTF-8.

Lives here: what is refused before a byte is read as text, and text line by
line. Does not live here: what the lines mean.
"""

import codecs
import io
import os
import re
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from roomtasks.room.problem import Problem

MEGABYTE = 1_000_000
_WIDE = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_HALF = re.compile("[\udc80-\udcff]")
_SAVE = "save the file as UTF-8"

Tell = Callable[[int, str, str, str], None]


def open_plain(path: Path, most_bytes: int) -> BinaryIO | Problem:
    """An ordinary file for reading, or why it is none that can be read. Never waits."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | _BINARY)
    except (OSError, ValueError) as error:
        return Problem("", _said(error), "look at the file and who may read it")
    found = os.fstat(handle)
    fault = _unfit(found, most_bytes)
    if fault is not None:
        os.close(handle)
        return fault
    return os.fdopen(handle, "rb")


_BINARY = getattr(os, "O_BINARY", 0)


def _unfit(found: os.stat_result, most_bytes: int) -> Problem | None:
    if stat.S_ISDIR(found.st_mode):
        return Problem("", "it is a folder, not a file", "take it away, or give it another name")
    if not stat.S_ISREG(found.st_mode):
        return Problem("", "it is no ordinary file", "put a text file in its place")
    if found.st_size > most_bytes:
        return Problem(
            "", f"it is {found.st_size / MEGABYTE:,.1f} MB, and at most "
            f"{most_bytes / MEGABYTE:,.3g} MB can be read", "look whether this is the right file",
        )  # fmt: skip
    return None


def _said(error: OSError | ValueError) -> str:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return f"it cannot be read ({reason})"


class Lines:
    """The lines of a file as text, counted as an editor counts them.

    Each comes with its number, its line end kept, and whether it is spoiled:
    a byte that is not UTF-8 is told with its place, and shows as U+FFFD. Ends
    early, told, where the file is no text. OSError may come out while reading.
    """

    def __init__(self, file: BinaryIO, tell: Tell, longest: int) -> None:
        self._file, self._tell, self._longest = file, tell, longest
        self.number = 0

    def __iter__(self) -> Iterator[tuple[int, str, bool]]:
        head = self._file.read(4)
        if head.startswith(_WIDE):
            self._tell(1, "", "the file is UTF-16 or UTF-32, not UTF-8", _SAVE)
            return
        self._file.seek(0)
        text = io.TextIOWrapper(
            self._file, encoding="utf-8-sig", errors="surrogateescape", newline=""
        )
        while line := text.readline(self._longest + 1):
            self.number += 1
            if len(line) > self._longest:
                self._tell(
                    self.number, "", f"the line is longer than {self._longest:,} characters",
                    "look whether this is the right file",
                )  # fmt: skip
                return
            spoiled = not line.isascii() and self._spoiled(line)
            yield self.number, _HALF.sub("�", line) if spoiled else line, spoiled

    def _spoiled(self, line: str) -> bool:
        half = _HALF.search(line)
        if half is None:
            return False
        byte = ord(half[0]) - 0xDC00
        place = len(line[: half.start()].encode("utf-8", "surrogateescape")) + 1
        self._tell(self.number, "", f"byte {place} of the line, 0x{byte:02X}, is not UTF-8", _SAVE)
        return True
