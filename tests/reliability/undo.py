"""Acts taken back: the facts as before, the journal longer, or refused with nothing changed.

    python -m tests.reliability.undo [--times 1000]

Any sequence of acts, then the undo of each, last first, gives the facts there
were at the start. The undo of any one act in the middle gives the facts as if
it had not been, or is refused and changes nothing. "As if it had not been" is
shown by doing the same entries on a second store without that one, where every
other entry was then told in the same words; where leaving it out changed what
a later entry did, it is held to the rows alone: what the act did not touch
stands as it stood, and what it made is gone.
"""

import argparse
import json
import re
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.room.vessel import VESSEL_STEPS
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.work.fish_since import tanks_of
from roomtasks.work.undoing import undo
from tests.reliability.session import ended, half_acts
from tests.reliability.undo_entries import Sequence, sequences
from tests.rooms import Sheets, at, small_room, store_with

BEGINS = at("2027-03-06 18:30")
Facts = dict[str, list[str]]


def undo_room() -> Sheets:
    """The small room with vessels so large that no litres are cut off at full or empty."""
    sheets = small_room()
    sheets["reservoirs"] = [
        replace(vessel, full_litres=90_000.0, holds_litres=40_000.0)
        for vessel in sheets["reservoirs"]
    ]
    return sheets


class Shelf:
    """New stores of one room, copied and not made each time; `seen` counts what undos came to."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._number = folder, 0
        self.seen: Counter[str] = Counter()
        with store_with(folder, undo_room(), "fresh.db") as store:
            self._fresh = store.path

    def store(self) -> Store:
        self._number += 1
        path = self._folder / f"room-{self._number % 2}.db"
        for file in self._folder.glob(f"{path.name}*"):
            file.unlink()
        return Store.open(shutil.copyfile(self._fresh, path))


def facts(store: Store) -> Facts:
    """Every row of every sheet but the journal's acts and changes."""
    with store.reading():
        return {
            sheet.name: [json.dumps(sheet.plain(row)) for row in read.rows(store, sheet)]
            for sheet in SHEETS
            if sheet.name not in ("acts", "changes")
        }


def acts_in(store: Store) -> int:
    count: int = store.connection.execute('SELECT count(*) FROM "acts"').fetchone()[0]
    return count


def entered(store: Store, sequence: Sequence, without: int = -1) -> tuple[list[str], list[int]]:
    """Do the entries, one left out; gives what each said, and the act of each, 0 for none."""
    now, words, acts = BEGINS, [], []
    for number, (told, minutes) in enumerate(sequence):
        now += timedelta(minutes=minutes)
        if number == without:
            continue
        before = acts_in(store)
        said = told.do(store, now)
        acts.append(before + 1 if acts_in(store) > before else 0)
        words.append(_no_numbers(said or "refused") + _water(store, acts[-1]))
    return words, acts


def _water(store: Store, act: int) -> str:
    """What an entry noted to stand in reservoirs, or took: said by it, though not in its words.

    What is lost in hoses counts only where a step was ever noted, so that one
    entry can change what another takes.
    """
    steps = read.rows(store, VESSEL_STEPS, 'WHERE "act" = ?', (act,))
    if steps:
        return "".join(f", {step.reservoir} at {step.litres}" for step in steps)
    rows = [
        (json.loads(change.before), json.loads(change.after))
        for change in search.changes_of(store, act)
        if change.sheet == "reservoirs"
    ]
    return "".join(
        f", {round(was['holds_litres'] - is_['holds_litres'], 3)} L" for was, is_ in rows
    )


def after(sequence: Sequence) -> datetime:
    return BEGINS + timedelta(minutes=sum(minutes for _, minutes in sequence) + 1)


def check_last_first(shelf: Shelf, sequence: Sequence) -> None:
    """Every act undone, last first: the facts of the start, and a longer journal."""
    with shelf.store() as store:
        before = facts(store)
        _, acts = entered(store, sequence)
        done = [act for act in acts if act]
        for _ in done:
            answer = undo(store, after(sequence), "mk")
            assert not isinstance(answer, Problem), answer.sentence()
        assert facts(store) == before
        assert acts_in(store) == 2 * len(done)
        assert half_acts(store.connection) == []


def check_any_one(shelf: Shelf, sequence: Sequence, chosen: int) -> None:
    """One act undone, whichever: as if it had not been, or refused with nothing changed."""
    with shelf.store() as store:
        words, acts = entered(store, sequence)
        number = acts[chosen]
        if not number:
            shelf.seen["the entry was refused"] += 1
            return
        before, count = facts(store), acts_in(store)
        answer = undo(store, after(sequence), "mk", number)
        found = facts(store)
        if isinstance(answer, Problem):
            shelf.seen["undo refused"] += 1
            assert answer.what
            assert found == before
            assert acts_in(store) == count
            return
        assert acts_in(store) == count + 1
        assert half_acts(store.connection) == []
        _only_its_rows(store, number, before, found)
    with shelf.store() as other:
        words_without, _ = entered(other, sequence, without=chosen)
        if words_without == words[:chosen] + words[chosen + 1 :]:
            shelf.seen["as on a store without it"] += 1
            assert _unnumbered(found) == _unnumbered(facts(other))
        else:
            shelf.seen["a later entry was another without it"] += 1


def _only_its_rows(store: Store, number: int, before: Facts, found: Facts) -> None:
    """What the act did not touch stands as it stood; what it made is gone.

    Since when its tanks have had fish, or none, is told anew: the newest row of
    each is to agree with the fish that live there.
    """
    changes = search.changes_of(store, number)
    tanks = tanks_of(changes)
    for sheet in SHEETS:
        if sheet.name not in before:
            continue
        keys = {change.key for change in changes if change.sheet == sheet.name}
        made = {c.key for c in changes if c.sheet == sheet.name and not c.before}
        stood, stands = (
            {_key(sheet.key, row): row for row in rows[sheet.name]} for rows in (before, found)
        )
        if sheet.name == "stocked":
            keys |= {key for key in stood.keys() | stands.keys() if json.loads(key)[0] in tanks}
            made = set()
        assert {k: v for k, v in stood.items() if k not in keys} == {
            k: v for k, v in stands.items() if k not in keys
        }
        assert not made & stands.keys()
    for tank in tanks:
        assert _newest_stocked(found, tank) == (_heads_in(found, tank) > 0), tank


def _newest_stocked(found: Facts, tank: str) -> bool:
    """Whether a tank has had fish since the newest day that is written of it."""
    rows = [row for row in map(json.loads, found["stocked"]) if row["tank"] == tank]
    newest = max(rows, key=lambda row: str(row["since"]), default={"state": "empty"})
    return bool(newest["state"] == "fish")


def _heads_in(found: Facts, tank: str) -> int:
    groups = map(json.loads, found["groups"])
    return sum(group["count"] for group in groups if group["tank"] == tank)


def _key(names: tuple[str, ...], row: str) -> str:
    plain = json.loads(row)
    return json.dumps([plain[name] for name in names], ensure_ascii=False, separators=(",", ":"))


_NUMBERED = re.compile(r"\b(hold|cannot|see-to)-\d+")


def _no_numbers(text: str) -> str:
    return _NUMBERED.sub(r"\1-#", text)


def _unnumbered(found: Facts) -> Facts:
    """Rows without the running numbers, which go on where an act was taken back."""
    return {
        name: sorted(
            _no_numbers(json.dumps({k: v for k, v in json.loads(row).items() if k not in ids}))
            for row in rows
        )
        for name, rows in found.items()
        for ids in [("id", "act") if SHEET[name].key == ("id",) else ()]
    }


def properties(shelf: Shelf, examples: int) -> tuple[Callable[[], None], Callable[[], None]]:
    """Both properties over so many sequences."""
    quiet = settings(
        max_examples=examples, deadline=None, database=None, print_blob=False, derandomize=True,
        phases=(Phase.generate,), suppress_health_check=list(HealthCheck),
    )  # fmt: skip

    @quiet
    @given(sequences)
    def last_first(sequence: Sequence) -> None:
        check_last_first(shelf, sequence)

    @quiet
    @given(sequences, st.data())
    def any_one(sequence: Sequence, data: st.DataObject) -> None:
        check_any_one(shelf, sequence, data.draw(st.integers(0, len(sequence) - 1)))

    return last_first, any_one


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=1000)
    times = parser.parse_args().times
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        shelf = Shelf(Path(folder))
        for check in properties(shelf, times):
            try:
                check()
            except AssertionError as error:
                notes = "; ".join(getattr(error, "__notes__", []))
                faults.append(f"{check.__name__}: {error} {notes}")
    one = ", ".join(f"{count} {what}" for what, count in shelf.seen.most_common())
    ended("undo", f"{times} sequences undone last first; one act of {times} others: {one}", faults)


if __name__ == "__main__":
    main()
