"""What happens in the demo room, dated: spawns, moves, sales, deaths, valves, holds.

Each line of `STORY` is a local time, a sort of happening and what it needs.
Broods are in `broods_story`, newcomers and the sick in `apart_story`. The
keeper's daily work is not here; it follows from what is due. All of it is
invented.
"""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from typing import Any

from docs.demo_parts.apart_story import APART, WEEKS
from docs.demo_parts.broods_story import BROODS
from docs.demo_parts.keeper import Keeper
from docs.demo_parts.newer_acts import ACTS
from docs.demo_parts.places import at
from roomtasks.room.stock import Group
from roomtasks.work import fish, room_acts

Line = tuple[str, str, tuple[Any, ...]]

STORY: tuple[Line, ...] = (
    ("2027-01-19 07:50", "seen", ("L31", "spawn", "under the broad leaf")),
    ("2027-01-21 19:10", "sold", ("plat-y", 12, "club evening")),
    ("2027-01-26 07:40", "died", ("perla", 1, "jumped, found behind the rack")),
    ("2027-01-30 10:20", "valve", ("T22", "shut")),
    ("2027-02-06 11:30", "sold", ("end-y", 10, "to a friend")),
    ("2027-02-12 18:20", "valve", ("T22", "open")),
    ("2027-02-12 19:00", "count", ("cobre-f", 42, "exact")),
    ("2027-02-16 19:00", "ahead", ("L13", "sale", date(2027, 2, 20), "swap table")),
    ("2027-02-19 19:10", "release", ("stay-1",)),
    ("2027-02-20 10:10", "move", ("arroz", 12, "Y22", True)),
    ("2027-02-20 15:00", "sold", ("cobre-y", 24, "swap table")),
    ("2027-02-23 19:10", "seen", ("L33", "spawn", "moss in the corner")),
    ("2027-02-27 11:00", "sold", ("cobre-y", 16, "shop in town")),
    ("2027-03-02 18:30", "move", ("whisk", 3, "T31", False)),
    ("2027-03-02 18:40", "valve", ("T21", "shut")),
    ("2027-03-02 18:55", "move", ("swd", 1, "T21", False)),
    ("2027-03-02 19:00", "class", ("T21", "watch", "male with a torn tail after a fight")),
    ("2027-03-06 11:40", "grown", ("cobre-f", "young")),
    ("2027-03-06 11:50", "move", ("cobre-f", 42, "L13", False)),
    ("2027-03-08 19:00", "died", ("end", 1, "old female")),
    ("2027-03-10 19:20", "ahead", ("room", "away", date(2027, 3, 25), "to the coast")),
    ("2027-03-13 11:20", "sold", ("fan-y", 15, "to a friend")),
    ("2027-03-16 18:50", "given", ("serra", 3, "to a club member")),
    ("2027-03-19 18:45", "class", ("T21", "clean", "tail grown in")),
    ("2027-03-19 18:55", "move", ("swd.2", 1, "L24", False)),
    ("2027-03-21 12:40", "valve", ("T21", "open")),
    ("2027-03-22 18:40", "move", ("whisk", 3, "T21", False)),
    ("2027-03-27 09:30", "died", ("cory", 1, "found by Davi, looked old")),
    ("2027-03-29 17:10", "round", (70.0,)),
    ("2027-04-03 19:15", "ahead", ("P12", "arrival", date(2027, 4, 10), "livebearers, by car")),
    ("2027-04-06 19:00", "count", ("conch", 14, "about")),
    ("2027-04-08 19:10", "sold", ("swd-y", 14, "club evening")),
    ("2027-04-12 19:05", "blocked", ("air@P", "waiting for parts", "valve split")),
    ("2027-04-13 19:00", "seen", ("L31", "spawn", "")),
    ("2027-04-17 11:05", "sold", ("swd-y", 9, "swap table")),
    ("2027-04-17 11:07", "back", ()),
    ("2027-04-17 11:08", "sold", ("swd-y", 10, "swap table")),
    ("2027-04-17 16:00", "lift", ("P",)),
    ("2027-04-24 11:30", "given", ("serra", 2, "line given up, to a club member")),
    ("2027-04-27 19:20", "ahead", ("P11", "arrival", date(2027, 5, 4), "dwarf rasboras, by post")),
    ("2027-05-08 18:05", "valve", ("T22", "shut")),
    ("2027-05-08 18:15", "move", ("plat", 1, "T22", False)),
    ("2027-05-08 18:20", "class", ("T22", "watch", "female with a split fin, kept apart")),
    ("2027-05-09 19:20", "ahead", ("room", "away", date(2027, 6, 3), "to the north")),
    ("2027-05-10 18:30", "class", ("T31", "watch", "two with white spots went to P21")),
    ("2027-05-10 18:35", "class", ("P21", "sick", "white spots")),
    ("2027-05-10 18:40", "move", ("cory", 2, "P21", False)),
    ("2027-05-10 18:50", "seen", ("P21", "course", "white spots, by the label")),
    ("2027-05-12 07:50", "died", ("cory.2", 1, "covered in spots")),
    ("2027-05-13 08:00", "fry", ("ruby-f", "ruby dwarf rasbora", "Y13", 35, "ruby",
                                 date(2027, 5, 6))),
    ("2027-05-13 08:10", "class", ("W23", "watch", "second female not seen for two days")),
    ("2027-05-14 18:50", "hold", ("W24", "wipe", "young all over the front, leave them be",
                                  date(2027, 5, 22), "keeper")),
    ("2027-05-15 14:40", "round", (110.0,)),
)  # fmt: skip


def happenings(day: date) -> Iterator[tuple[datetime, Callable[[Keeper], None]]]:
    """What the story has on this day, in order, as acts of the keeper."""
    for text, sort, args in sorted((*STORY, *BROODS, *APART, *WEEKS), key=_when):
        when = at(text)
        if when.date() == day:
            yield when, _acting(sort, args)


def _when(line: Line) -> str:
    return line[0]


def _acting(sort: str, args: tuple[Any, ...]) -> Callable[[Keeper], None]:
    return lambda keeper: _ACTS[sort](keeper, *args)


def _seen(keeper: Keeper, target: str, event: str, note: str) -> None:
    keeper.told(
        event,
        room_acts.seen(keeper.store, keeper.clock, keeper.who, target, event, note=note),
    )


def _ahead(keeper: Keeper, target: str, event: str, day: date, note: str) -> None:
    keeper.told(
        event,
        room_acts.seen(keeper.store, keeper.clock, keeper.who, target, event, day, note=note),
    )


def _out(how: str) -> Callable[[Keeper, str, int, str], None]:
    def do(keeper: Keeper, group: str, count: int, note: str) -> None:
        keeper.told(
            f"{how} {group}",
            fish.take_out(keeper.store, keeper.clock, keeper.who, group, count, how, note),
        )

    return do


def _move(keeper: Keeper, group: str, count: int, to: str, anyway: bool) -> None:
    keeper.told(
        f"move {group}",
        fish.move(keeper.store, keeper.clock, keeper.who, group, count, to, anyway),
    )


def _count(keeper: Keeper, group: str, count: int, known: str) -> None:
    keeper.told(
        f"count {group}",
        fish.recount(keeper.store, keeper.clock, keeper.who, group, count, known),
    )


def _fry(
    keeper: Keeper, code: str, line: str, tank: str, count: int, origin: str, born: date
) -> None:  # fmt: skip
    today = keeper.clock.date()
    group = Group(
        code=code, line=line, tank=tank, count=count, count_known="about", stage="fry",
        since=today, born=born, origin=origin,
    )  # fmt: skip
    keeper.told(code, fish.put_in(keeper.store, keeper.clock, keeper.who, group))
    keeper.spend(1)
    _seen(keeper, tank, "fry-in", f"{count} or so from {origin}")


def _hold(
    keeper: Keeper, target: str, kinds: str, reason: str, until: date, cause: str
) -> None:  # fmt: skip
    keeper.told(
        f"hold {target}",
        room_acts.set_hold(
            keeper.store, keeper.clock, keeper.who, target, kinds, reason, until, cause
        ),
    )


def _valve(keeper: Keeper, tank: str, state: str) -> None:
    keeper.told(
        f"valve {tank}",
        room_acts.turn_valve(keeper.store, keeper.clock, keeper.who, tank, state),
    )


def _blocked(keeper: Keeper, name: str, reason: str, note: str) -> None:
    keeper.say([name], "blocked", reason=reason, note=note)


def _lift(keeper: Keeper, target: str) -> None:
    """Lift every hold without an end that stands at a place."""
    for hold in keeper.seen().room.holds_at.get(target, ()):
        if hold.until is None:
            keeper.told(
                hold.code, room_acts.lift_hold(keeper.store, keeper.clock, keeper.who, hold.code)
            )


def _class(keeper: Keeper, tank: str, state: str, reason: str) -> None:
    keeper.told(
        f"class {tank}",
        room_acts.set_class(keeper.store, keeper.clock, keeper.who, tank, state, reason),
    )


_ACTS: dict[str, Callable[..., None]] = {
    "seen": _seen, "ahead": _ahead, "sold": _out("sold"), "died": _out("died"),
    "given": _out("given"), "move": _move, "count": _count, "fry": _fry,
    **ACTS, "release": Keeper.released, "grown": Keeper.grown, "hold": _hold,
    "valve": _valve, "class": _class,
    "round": Keeper.walk_round, "back": Keeper.back, "blocked": _blocked, "lift": _lift,
}  # fmt: skip
