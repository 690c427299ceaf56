"""Make the demo room again: its facts and 120 days of journal, byte for byte the same.

    python docs/make_demo.py            write demo_room/ anew
    python docs/make_demo.py --check    compare with demo_room/; exit 1 where it differs

Everything in the room is invented. Times and chance are fixed, so that the
same program gives the same room; no clock is read. Takes about a minute.
"""

import argparse
import filecmp
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "demo_room"
README = "README.txt"


def make(folder: Path) -> list[Path]:
    """Write the demo room into a folder and say which files hold it.

    Raises ValueError where the room cannot be written.
    """
    from docs.demo_parts.days import in_folder
    from roomtasks.files import write_folder
    from roomtasks.room.problem import Problem

    with TemporaryDirectory(prefix="roomtasks-make-demo-") as temporary:
        sheets = in_folder(Path(temporary))
    written = write_folder(sheets, folder, overwrite=True)
    if isinstance(written, Problem):
        raise ValueError(written.sentence())
    for path in written:
        path.chmod(0o644)
    return written


def differing(made: Path, kept: Path) -> list[str]:
    """Names of files that differ, or stand in one of the two folders only; not the README."""
    names = {path.name for folder in (made, kept) for path in folder.iterdir()} - {README}
    _, differ, missing = filecmp.cmpfiles(made, kept, sorted(names), shallow=False)
    return sorted([*differ, *missing])


def main(words: Sequence[str]) -> int:
    """Make the demo room, or compare it with what is kept; 1 where it differs."""
    parser = argparse.ArgumentParser(description="make the demo room again")
    parser.add_argument("--check", action="store_true", help="compare only, write nothing")
    if not parser.parse_args(words).check:
        files = make(DEMO)
        sys.stdout.write(f"{len(files)} files written to {DEMO.name}\n")
        return 0
    with TemporaryDirectory(prefix="roomtasks-check-demo-") as temporary:
        made = Path(temporary) / DEMO.name
        make(made)
        differ = differing(made, DEMO)
    for name in differ:
        sys.stdout.write(f"{DEMO.name}/{name} is not what docs/make_demo.py makes\n")
    return 1 if differ else 0


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    sys.exit(main(sys.argv[1:]))
