"""A file whole or not at all: written beside it, then put in its place."""

import os
from pathlib import Path

from roomtasks.room.problem import Problem


def not_ours(path: Path, begins: bytes, what: str) -> Problem | None:
    """Why a file that is there is not written over: it is `what`, for it begins otherwise."""
    try:
        with path.open("rb") as file:
            found = file.read(len(begins))
    except FileNotFoundError:
        return None
    except OSError as error:
        return Problem(str(path), f"it cannot be read ({error.strerror})", "name another file")
    if not found or found.lower() == begins.lower():
        return None
    return Problem(str(path), f"it is there and is {what}",
                   "name another file, or say --over", "not-ours")  # fmt: skip


def write_whole(path: Path, data: bytes) -> Problem | None:
    """Write a file; what was there stays as it was where that cannot be done."""
    beside = path.with_name(path.name + ".part")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        return Problem(str(path), f"it cannot be written ({error.strerror})",
                       "look at the folder and the disk; what was there is as it was")  # fmt: skip
    return None
