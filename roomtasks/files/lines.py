"""Physical lines of a file that may be anything: text by another name, noise, no end of line.

Nothing here is ever held whole in memory, and every fault names its line.
"""

import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

LARGEST_FILE = 64 * 1024 * 1024
LONGEST_LINE = 8 * 1024 * 1024
BOM = b"\xef\xbb\xbf"
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_HEAD = 4096

Note = Callable[[int, str, str, str], None]


@contextmanager
def opened(path: Path, largest: int | None, note: Note) -> Iterator[BinaryIO | None]:
    """The file opened for reading; None, and a fault noted, where it is no file of text."""
    try:
        facts = path.stat()
        if not stat.S_ISREG(facts.st_mode):
            sort = "a folder" if stat.S_ISDIR(facts.st_mode) else "no ordinary file"
            note(0, "", f"it is {sort}", "put the file there, or take it away")
            yield None
        elif largest is not None and facts.st_size > largest:
            size, most = facts.st_size / 1024 / 1024, largest // 1024 // 1024
            note(0, "", f"it is {size:,.0f} MB large", f"give a file of at most {most} MB")
            yield None
        else:
            with path.open("rb") as file:
                yield file
    except OSError as error:
        note(0, "", f"it cannot be read: {error.strerror or error}", "look at its rights and links")


def text_lines(file: BinaryIO, note: Note) -> Iterator[str]:
    """Lines with their ends, split at LF only. Stops where it is no text at all."""
    if _is_utf_16(file, note):
        return
    number = 0
    while raw := file.readline(LONGEST_LINE):
        number += 1
        if number == 1:
            raw = raw.removeprefix(BOM)
        if len(raw) == LONGEST_LINE:
            note(number, "", "the line has no end in 8 MB", "give a file of text")
            return
        if b"\0" in raw:
            note(number, "", "it holds a NUL character", "take it out")
            raw = raw.replace(b"\0", b"?")
        try:
            yield raw.decode()
        except UnicodeDecodeError as error:
            found = f"byte {error.start + 1} (0x{raw[error.start]:02x}) is no UTF-8"
            note(number, "", found, "save the file as UTF-8")
            yield raw.decode(errors="replace")


def _is_utf_16(file: BinaryIO, note: Note) -> bool:
    head = file.read(_HEAD)
    file.seek(0)
    mostly_nul = head.count(b"\0") > len(head) // 4
    if not head.startswith(UTF_16) and not mostly_nul:
        return False
    found = "it is UTF-16" if head.startswith(UTF_16) else "it is no UTF-8 text: much of it is NUL"
    note(1, "", found, "save the file as UTF-8")
    return True
