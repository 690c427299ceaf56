"""Since when a tank has had fish, or none, once an act on fish was taken back.

Who came first decides it, so taking back the first arrival moves the day to the
next one, and taking back a later one can make a tank empty that another act
left with fish. So the history of a tank is told anew: from what the room was
put in with, through every act on fish that is in force.
"""

import json
from collections import Counter
from dataclasses import dataclass
from datetime import date

from roomtasks.room.journal import Act, Change
from roomtasks.room.room import SHEET
from roomtasks.room.stock import Stocked
from roomtasks.store import read, search
from roomtasks.store.write import Writer

BY_HAND = "facts"  # the verb of an act that wrote one row as the keeper gave it
Told = dict[date, str]


def tanks_of(changes: list[Change]) -> set[str]:
    """The tanks that an act on fish took from or brought to."""
    found = {str(json.loads(change.key)[0]) for change in changes if change.sheet == "stocked"}
    for change in changes:
        if change.sheet == "groups":
            found |= {json.loads(text)["tank"] for text in (change.before, change.after) if text}
    return found


def tell_anew(writer: Writer, tanks: set[str], taken_back: int) -> None:
    """Write since when these tanks have had fish or none, with one act no more in force.

    The groups are to stand as they do without that act.
    """
    if not tanks:
        return
    history = _History.of(writer, taken_back)
    for tank in sorted(tanks):
        stand = {
            row.since: row.state
            for row in read.rows(writer.store, SHEET["stocked"], 'WHERE "tank" = ?', (tank,))
        }
        wanted = history.told(writer, tank, stand)
        for since in sorted(stand.keys() - wanted.keys()):
            writer.remove("stocked", [tank, since])
        for since, state in sorted(wanted.items()):
            writer.put("stocked", Stocked(tank=tank, since=since, state=state))


@dataclass(frozen=True)
class _History:
    """What acts did to groups and to the days of fish; `undone` gives what took an act back."""

    groups: list[tuple[Act, Change]]
    stocked: list[tuple[Act, Change]]
    undone: dict[int, int]

    @classmethod
    def of(cls, writer: Writer, taken_back: int) -> "_History":
        return cls(
            search.changes_of_sheet(writer.store, "groups"),
            search.changes_of_sheet(writer.store, "stocked"),
            {**search.taken_back(writer.store), taken_back: writer.id},
        )

    def told(self, writer: Writer, tank: str, stand: Told) -> Told:
        """State by day, as the acts in force tell it for one tank."""
        found = self._at_first(tank, stand)
        acts, came = dict[int, Act](), Counter[int]()
        for act, change in self.groups:
            moved = _heads(tank, change.after) - _heads(tank, change.before)
            if moved and self._in_force(act):
                acts[act.id] = act
                came[act.id] += moved
        by_hand = dict[int, Change]()
        for act, change in self.stocked:
            if act.verb == BY_HAND and _tank_of(change) == tank and self._in_force(act):
                acts[act.id], by_hand[act.id] = act, change
        groups = read.rows(writer.store, SHEET["groups"], 'WHERE "tank" = ?', (tank,))
        heads = sum(group.count for group in groups) - came.total()
        for number, act in sorted(acts.items()):
            before, heads = heads, heads + came[number]
            if number in by_hand:
                _set(found, by_hand[number])
            elif act.verb != BY_HAND and (before > 0) != (heads > 0):
                found[act.day] = "fish" if heads > 0 else "empty"
        return found

    def _at_first(self, tank: str, stand: Told) -> Told:
        """As the room was put in: what stands, less all that acts ever wrote."""
        found, seen = dict(stand), set[str]()
        for _, change in self.stocked:
            if change.key in seen or _tank_of(change) != tank:
                continue
            seen.add(change.key)
            since = date.fromisoformat(json.loads(change.key)[1])
            found.pop(since, None)
            if change.before:
                found[since] = json.loads(change.before)["state"]
        return found

    def _in_force(self, act: Act) -> bool:
        """Whether an act stands: what took it back is not itself in force. No undo counts."""
        if act.undoes is not None:
            return False
        number, force = act.id, True
        while number in self.undone:
            number, force = self.undone[number], not force
        return force


def _heads(tank: str, text: str) -> int:
    row = json.loads(text) if text else {}
    return int(row["count"]) if row.get("tank") == tank else 0


def _tank_of(change: Change) -> str:
    return str(json.loads(change.key)[0])


def _set(found: Told, change: Change) -> None:
    since = date.fromisoformat(json.loads(change.key)[1])
    found.pop(since, None)
    if change.after:
        found[since] = json.loads(change.after)["state"]
