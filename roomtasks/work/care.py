"""Care of the room's store: is it whole, a copy of it, and a copy put back.

Front ends come in here. How it is done safely stands in `store.care`; a store
that another program holds is a StoreFault here as everywhere.
"""

from pathlib import Path

from roomtasks.room.problem import Problem
from roomtasks.store import care
from roomtasks.store.care import Findings, Restored
from roomtasks.store.fault import StoreFault

__all__ = ["Findings", "Restored", "backup", "check", "restore"]


def check(path: Path) -> Findings:
    """Look a whole store through; nothing is written. Raises StoreFault."""
    return care.check(path)


def backup(path: Path, to: Path, *, overwrite: bool = False) -> Path | Problem:
    """Copy the store to a file, also while it is in use. Raises StoreFault."""
    return care.backup(path, to, overwrite)


def restore(path: Path, source: Path) -> Restored | Problem:
    """Put a copy in place of the store, and keep what it replaces. Raises StoreFault."""
    found = care.restore(source, path)
    if isinstance(found, Problem) and found.rule == "locked":
        raise StoreFault("locked", path, found.what, found.remedy)
    return found
