"""A power cut at every moment of a session: every image opens, nothing acknowledged is lost.

    python -m tests.reliability.powercut [--times 200] [--tears 6] [--seed 1]

After each act the store and its log are copied: that is what COMMIT said is on
the disk. Between one such state and the next lie the images a power cut can
leave: the log written as far as any 512 bytes, or with any of its new 512-byte
sectors there and others not; once the log is whole (it is synced first), the
store's own pages likewise while they are carried over. Every image is opened
by the program and compared, row for row, with the states before and after.
"""

import argparse
import random
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.store.first_look import beside
from tests.reliability.session import ended, mark_step, whole_sum
from tests.rooms import small_room, store_with

SECTOR_BYTES = 512


@dataclass(frozen=True, slots=True)
class State:
    """The store and its log as COMMIT left them, and the sum of what they hold."""

    store: bytes
    log: bytes
    holds: bytes


@dataclass(frozen=True, slots=True)
class Image:
    """What a power cut left, and whether the act under way must be there."""

    store: bytes
    log: bytes
    must_hold: bool
    sort: str


@dataclass
class Counted:
    """What the images came to."""

    acts: int = 0
    images: dict[str, int] = field(default_factory=dict)
    not_yet: int = 0
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        sorts = ", ".join(f"{count} {sort}" for sort, count in sorted(self.images.items()))
        return (
            f"{self.acts} acts, {sum(self.images.values())} images ({sorts}), "
            f"in {self.not_yet} of them the act under way is wholly absent"
        )


def cut_often(folder: Path, acts: int, tears: int, seed: int, every: int = 1) -> Counted:
    """Images of a session of so many acts; `every` leaves out cuts between."""
    chance, counted = random.Random(seed), Counted()
    states = session(folder, acts)
    place = folder / "image"
    place.mkdir()
    before = next(states)
    for after in states:
        counted.acts += 1
        for image in images_between(before, after, tears, chance, every):
            look_at(place, image, before, after, counted)
        before = after
    return counted


def session(folder: Path, acts: int) -> Iterator[State]:
    """The state a room begins with, and the one after each act of a session."""
    with store_with(folder, small_room()) as store:
        for number in range(-1, acts):
            if number >= 0:
                mark_step(store, number, f"step-{number}")
            log = beside(store.path)[0]
            yield State(store.path.read_bytes(), log.read_bytes(), whole_sum(store.connection))


def images_between(
    before: State, after: State, tears: int, chance: random.Random, every: int = 1
) -> Iterator[Image]:
    """What a cut between two synced states can leave on the disk."""
    yield Image(before.store, before.log, False, "synced")
    for log in _half_written(before.log, after.log, tears, chance, every):
        yield Image(before.store, log, False, "of the log")
    yield Image(before.store, after.log, True, "synced")
    if before.store != after.store:
        for store in _half_written(before.store, after.store, tears, chance, every):
            yield Image(store, after.log, True, "of the store")
        yield Image(after.store, after.log, True, "synced")


def _half_written(
    old: bytes, new: bytes, tears: int, chance: random.Random, every: int
) -> Iterator[bytes]:
    """Cut after each changed sector, in order; then torn, any of them there or not."""
    changed = [
        offset
        for offset in range(0, max(len(old), len(new)), SECTOR_BYTES)
        if old[offset : offset + SECTOR_BYTES] != new[offset : offset + SECTOR_BYTES]
    ]
    for count in range(1, len(changed), every):
        last = changed[count - 1] + SECTOR_BYTES
        yield new[:last] + old[last:]
    for _ in range(tears):
        share = chance.uniform(0.1, 0.95)
        yield _mixed(old, new, [offset for offset in changed if chance.random() < share])


def _mixed(old: bytes, new: bytes, there: list[int]) -> bytes:
    """The old bytes with these sectors of the new; a hole before the last of them is zeros."""
    mixed = bytearray(old)
    for offset in there:
        sector = new[offset : offset + SECTOR_BYTES]
        if len(mixed) < offset:
            mixed.extend(bytes(offset - len(mixed)))
        mixed[offset : offset + len(sector)] = sector
    return bytes(mixed)


def look_at(place: Path, image: Image, before: State, after: State, counted: Counted) -> None:
    """Open an image as the program would, and note whether it holds one of the two states."""
    counted.images[image.sort] = counted.images.get(image.sort, 0) + 1
    path = written(place, image.store, image.log)
    where = f"act {counted.acts}, image {sum(counted.images.values())} ({image.sort})"
    try:
        with Store.open(path) as store:
            holds = whole_sum(store.connection)
    except StoreFault as fault:
        counted.faults.append(f"{where} does not open: {fault}")
        return
    counted.not_yet += holds == before.holds
    if holds != after.holds and (image.must_hold or holds != before.holds):
        counted.faults.append(f"{where} holds neither the state before nor the one after")


def written(place: Path, store: bytes, log: bytes) -> Path:
    """A store and its log as files, as after a start of the machine: without the log's index."""
    path = place / "room.db"
    log_file, index = beside(path)
    path.write_bytes(store)
    log_file.write_bytes(log)
    index.unlink(missing_ok=True)
    return path


def carried_over(path: Path) -> bytes:
    """The store's bytes once all of its log is carried over into it."""
    with Store.open(path) as store:
        store.connection.execute("PRAGMA wal_checkpoint(FULL)").fetchone()
        return path.read_bytes()


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--tears", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counted = cut_often(Path(folder), asked.times, asked.tears, asked.seed)
    ended("power cut", counted.words(), counted.faults)


if __name__ == "__main__":
    main()
