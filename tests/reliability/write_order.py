"""Every write and sync of a session, in the order SQLite made them, as power-cut images.

    python -m tests.reliability.write_order [--times 200] [--seed 1]

The session runs over a disk that remembers each call (`watched`), so nothing
is taken on trust about what COMMIT synced: a setting that syncs too little is
seen as acts lost. For every call three images are made: all writes, as when
only the program dies; only what was synced; and a random part of the rest,
torn at 512 bytes. Each must open and hold every act acknowledged by then, none
half. The log's index is never in an image: nothing of it survives.
"""

import argparse
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import blake2b
from pathlib import Path
from random import Random

from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from tests.reliability.session import ended, half_acts, mark_step
from tests.reliability.watched import Seen, watched
from tests.rooms import small_room, store_with

SECTOR_BYTES = 512
PAGES_BEFORE_CHECKPOINT = 60


@dataclass
class Counted:
    """How many images of each kind were looked at, and what was wrong."""

    images: Counter[str] = field(default_factory=Counter)
    folded: int = 0
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        many = ", ".join(f"{number:,} {kind}" for kind, number in self.images.items())
        return f"{many}; {self.folded:,} writes of the store itself among the calls"


def cut_everywhere(folder: Path, acts: int, seed: int) -> Counted:
    """Run so many acts; the log is folded into the file often, so that this is cut, too."""
    chance, counted = Random(seed), Counted()
    with store_with(folder, small_room()) as store:
        path = store.path
    head = path.read_bytes()
    seen = session(path, acts)
    counted.folded = sum(one.what == "write" and not one.file for one in seen)
    before = {"killed": b"", "synced": b"", "torn": b""}
    target = folder / "image" / "room.db"
    target.parent.mkdir()
    for moment, told, kind, files in images(head, seen, chance):
        total = _sum(files)
        if total != before[kind]:
            before[kind] = total
            counted.images[kind] += 1
            counted.faults += [
                f"call {moment}, {kind}, {told} acts told: {wrong}"
                for wrong in faults_of(target, files, told)
            ]
    return counted


def session(path: Path, acts: int) -> list[Seen]:
    """What the disk saw of so many acts, the opening and the closing included."""
    with watched() as disk, Store.open(path) as store:
        store.connection.execute(f"PRAGMA wal_autocheckpoint = {PAGES_BEFORE_CHECKPOINT}")
        for number in range(acts):
            disk.told(mark_step(store, number))
    return disk.seen


@dataclass
class _Image:
    """One file: as written, as synced, and the calls between."""

    written: bytearray
    synced: bytearray
    between: list[Seen] = field(default_factory=list)

    def take(self, seen: Seen) -> None:
        if seen.what == "sync":
            self.synced, self.between = bytearray(self.written), []
            return
        _do(self.written, seen)
        self.between.append(seen)

    def torn(self, chance: Random) -> bytes:
        """The synced bytes and a random part of the rest."""
        content = bytearray(self.synced)
        for seen in self.between:
            if seen.what != "write":
                if chance.random() < 0.5:
                    _do(content, seen)
                continue
            for start in range(0, len(seen.data), SECTOR_BYTES):
                if chance.random() < 0.5:
                    part = seen.data[start : start + SECTOR_BYTES]
                    _do(content, Seen("write", seen.file, seen.at + start, part))
        return bytes(content)


def _do(content: bytearray, seen: Seen) -> None:
    if seen.what == "cut":
        del content[seen.at :]
    elif seen.what == "delete":
        content.clear()
    else:
        if len(content) < seen.at:
            content.extend(bytes(seen.at - len(content)))
        content[seen.at : seen.at + len(seen.data)] = seen.data


Files = dict[str, bytes]


def images(head: bytes, seen: list[Seen], chance: Random) -> Iterator[tuple[int, int, str, Files]]:
    """The moment, the acts told by then, the kind, and the files."""
    files = {"": _Image(bytearray(head), bytearray(head)), "-wal": _Image(bytearray(), bytearray())}
    told = 0
    for moment, one in enumerate(seen, start=1):
        if one.what == "told":
            told = one.at
        else:
            files.setdefault(one.file, _Image(bytearray(), bytearray())).take(one)
        yield moment, told, "killed", {name: bytes(f.written) for name, f in files.items()}
        yield moment, told, "synced", {name: bytes(f.synced) for name, f in files.items()}
        yield moment, told, "torn", {name: f.torn(chance) for name, f in files.items()}


def faults_of(target: Path, files: Files, told: int) -> list[str]:
    """What is wrong with a store after such a power cut."""
    for end in ("", "-wal", "-journal", "-shm"):
        Path(f"{target}{end}").unlink(missing_ok=True)
    for name, content in files.items():
        if content or not name:
            Path(f"{target}{name}").write_bytes(content)
    try:
        with Store.open(target) as store:
            found: int = store.connection.execute("SELECT count(*) FROM acts").fetchone()[0]
            wrong = half_acts(store.connection)
            wrong += [
                line for (line,) in store.connection.execute("PRAGMA quick_check") if line != "ok"
            ]
    except StoreFault as fault:
        return [str(fault)]
    return [*wrong, f"only {found} acts are there"] if found < told else wrong


def _sum(files: Files) -> bytes:
    total = blake2b(digest_size=16)
    for name, content in sorted(files.items()):
        total.update(f"{name} {len(content)} ".encode() + content)
    return total.digest()


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counted = cut_everywhere(Path(folder), asked.times, asked.seed)
    ended("write order", counted.words(), counted.faults)


if __name__ == "__main__":
    main()
