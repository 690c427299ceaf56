"""The demo room: where its folder is, and a store of it that is never written to.

The store is made once for each state of the folder and kept in the cache
folder it is given, so that looking at the demo costs no more than looking at a
room. Who wants to mark in it gets a copy that is thrown away.
"""

import hashlib
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from roomtasks import __version__
from roomtasks.room.problem import Problem
from roomtasks.store.fault import StoreFault
from roomtasks.store.layout import steps

NO_DEMO = Problem(
    "--demo", "the demo room is not part of this installation", "install the whole package"
)


def demo_folder() -> Path | None:
    """The folder of the demo room: packaged, or beside the sources. None if it is missing."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "demo_room", package.parent / "demo_room"):
        if (folder / "room.toml").is_file():
            return folder
    return None


def demo_store(kept: Path) -> Path | Problem:
    """A store of the demo room to look at, made in `kept` if not there yet. Raises StoreFault."""
    folder = demo_folder()
    if folder is None:
        return NO_DEMO
    path = kept / f"demo-{_mark_of(folder)}.sqlite"
    return path if path.exists() else _made(folder, path)


def _made(folder: Path, path: Path) -> Path | Problem:
    from roomtasks.work.transfer import FolderFaults, import_folder

    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreFault(
            "unreadable", path, f"the demo room could not be laid down ({error.strerror})",
            "look at the folder and who may write there",
        ) from error  # fmt: skip
    try:
        made = import_folder(folder, path)
    except StoreFault as fault:
        if fault.sort != "exists":
            raise
        return path
    if isinstance(made, FolderFaults):
        return Problem("", made.faults[0].sentence(), "")
    if isinstance(made, Problem) and not path.exists():
        return made
    _forget_others(path)
    return path


def _forget_others(path: Path) -> None:
    """Take away stores of earlier states of the demo folder."""
    for other in path.parent.glob("demo-*.sqlite*"):
        if not other.name.startswith(path.name):
            with suppress(OSError):
                other.unlink()


@contextmanager
def demo_copy(kept: Path) -> Iterator[Path | Problem]:
    """A copy of the demo room's store to write in, gone afterwards. Raises StoreFault."""
    path = demo_store(kept)
    if isinstance(path, Problem):
        yield path
        return
    with TemporaryDirectory(prefix="roomtasks-demo-") as folder:
        yield Path(shutil.copy(path, Path(folder) / "room.sqlite"))


def _mark_of(folder: Path) -> str:
    """A short mark of the folder's files as last written, and of what makes the store."""
    digest = hashlib.sha256(f"{__version__} {steps()[-1]}".encode())
    for file in sorted(folder.iterdir()):
        found = file.stat()
        digest.update(f"{file} {found.st_size} {found.st_mtime_ns}\n".encode())
    return digest.hexdigest()[:16]
