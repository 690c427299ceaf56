"""A file whole or not at all: written beside it, then put in its place."""

import os
from pathlib import Path

from roomtasks.room.problem import Problem


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
