"""Entries of every sort a keeper can make, for the sequences that `undo` takes back.

Does not live here: what must hold after an undo.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from roomtasks.room.problem import Problem
from roomtasks.room.tank import TANKS as TANKS_SHEET
from roomtasks.room.tank import Tank
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.editing import put_fact
from roomtasks.work.fish import move, recount, take_out
from roomtasks.work.marking import How, mark
from roomtasks.work.met import contact
from roomtasks.work.room_acts import read_off, set_class, set_hold, turn_valve
from roomtasks.work.water import choose, end_level, set_level, step, top_off
from tests.rooms import ALONE, ON_SYSTEM, QUARANTINE

TANKS = (*ON_SYSTEM[:3], *ALONE, QUARANTINE)
Entry = Callable[[Store, datetime], str | None]


@dataclass(frozen=True)
class Told:
    """An entry as it is shown in a failure, and the act it is."""

    words: str
    do: Entry = field(compare=False, repr=False)


def _marking(name: str, outcome: str, **told: Any) -> Told:
    def do(store: Store, now: datetime) -> str | None:
        until = now.date() + timedelta(days=2) if outcome == "put-off" else None
        how = How(who="mk", until=until, anyway=True, hands_clean=True, **told)
        answer = mark(store, now, [name], outcome, how)
        return None if isinstance(answer, Problem) or answer.act is None else answer.words

    return Told(f"{outcome} {name} {told}", do)


def _other(words: str, do: Callable[[Store, datetime], Any]) -> Told:
    def told(store: Store, now: datetime) -> str | None:
        answer = do(store, now)
        return None if isinstance(answer, Problem) else str(answer.words)

    return Told(words, told)


def _move(group: str, count: int, to: str) -> Told:
    return _other(
        f"move {count} {group} to {to}",
        lambda store, now: move(store, now, "mk", group, count, to, anyway=True),
    )


def _out(group: str, count: int, how: str) -> Told:
    return _other(
        f"{count} {group} {how}", lambda store, now: take_out(store, now, "mk", group, count, how)
    )


def _hold(target: str, kinds: str) -> Told:
    return _other(
        f"hold {kinds} on {target}",
        lambda store, now: set_hold(store, now, "mk", target, kinds, "to see"),
    )


def _valve(tank: str, state: str) -> Told:
    return _other(
        f"valve {tank} {state}", lambda store, now: turn_valve(store, now, "mk", tank, state)
    )


def _reading(target: str, value: float) -> Told:
    return _other(
        f"nitrate {value:g} at {target}",
        lambda store, now: read_off(store, now, "mk", target, "nitrate", value, "mg/L"),
    )


def _step(word: str, litres: float | None) -> Told:
    return _other(
        f"R1 {word} {litres}",
        lambda store, now: step(store, now, "mk", "R1", word, litres=litres, anyway=True),
    )


def _choose(days: int, **told: Any) -> Told:
    return _other(
        f"choose {days} {told}",
        lambda store, now: choose(store, now, "mk", now.date() + timedelta(days=days), **told),
    )


def _level(tank: str, per_litre: float) -> Told:
    if not per_litre:
        return _other(
            f"no salt in {tank}", lambda store, now: end_level(store, now, "mk", tank, "salt")
        )
    return _other(
        f"salt in {tank} {per_litre}",
        lambda store, now: set_level(store, now, "mk", tank, "salt", per_litre),
    )


def _contact(from_tank: str, to_tank: str) -> Told:
    return _other(
        f"net {from_tank} to {to_tank}",
        lambda store, now: contact(store, now, "mk", from_tank, to_tank, "net"),
    )


def _top_off(target: str, litres: float) -> Told:
    return _other(
        f"top off {target} {litres}", lambda store, now: top_off(store, now, "mk", target, litres)
    )


def _class(tank: str, state: str) -> Told:
    return _other(
        f"{tank} {state}", lambda store, now: set_class(store, now, "mk", tank, state, "to see")
    )


def _count(group: str, count: int) -> Told:
    return _other(
        f"count {group} {count}", lambda store, now: recount(store, now, "mk", group, count)
    )


def _edit(tank: str, **told: Any) -> Told:
    def do(store: Store, now: datetime) -> Any:
        row: Tank = read.rows(store, TANKS_SHEET, 'WHERE "code" = ?', (tank,))[0]
        return put_fact(store, now, "mk", "tanks", replace(row, **told))

    return _other(f"edit {tank} {told}", do)


TASKS = (
    "look@A1", "look@B1", "feed@B1", "check@room", "change-s@S", "refill@S", "change-alone@B1",
    "change-alone@B2", "squeeze-1@B1-1", "squeeze-2@B1-2", "fill-r1@R1", "service@room",
)  # fmt: skip
GROUPS = ("calvus", "lelupi", "young-calvus", "young-lelupi", "new-1")
_task, _tank, _group = (st.sampled_from(names) for names in (TASKS, TANKS, GROUPS))
entries = st.one_of(
    st.builds(lambda name: _marking(name, "done"), _task),
    st.builds(
        lambda name, share: _marking(name, "partly", fraction=share), _task,
        st.sampled_from([0.05, 0.1, 0.5]),
    ),
    st.builds(lambda name: _marking(name, "put-off"), _task),
    st.builds(
        lambda name, outcome: _marking(name, outcome, reason="no water"), _task,
        st.sampled_from(["left-out", "blocked"]),
    ),
    st.builds(_move, _group, st.integers(1, 12), _tank),
    st.builds(_out, _group, st.integers(1, 12), st.sampled_from(["sold", "died"])),
    st.builds(_hold, _tank, st.sampled_from(["all", "filter", "change vac"])),
    st.builds(_valve, st.sampled_from(ON_SYSTEM), st.sampled_from(["open", "shut"])),
    st.builds(_reading, _tank, st.sampled_from([5.0, 10.0, 20.0])),
    st.builds(
        _step,
        st.sampled_from(["hose-out", "fill-start", "full", "treated", "used", "raw-in", "emptied"]),
        st.sampled_from([25.0, 400.0]),
    ),
    st.builds(_step, st.sampled_from(["hose-out", "full", "treated", "mixed"]), st.none()),
    st.builds(_choose, st.integers(3, 4), share=st.sampled_from([0.5, 0.75])),
    st.builds(_choose, st.integers(3, 4), keep_back=st.booleans()),
    st.builds(_choose, st.integers(3, 4), as_planned=st.just(True)),
    st.builds(_level, st.sampled_from(ALONE[:2]), st.sampled_from([0.0, 1.0, 2.0])),
    st.builds(_contact, _tank, _tank),
    st.builds(_top_off, st.sampled_from(["S", "B1"]), st.sampled_from([5.0, 8.0])),
    st.builds(_class, _tank, st.sampled_from(["clean", "watch", "sick"])),
    st.builds(_count, _group, st.integers(0, 12)),
    st.builds(_edit, st.sampled_from(ALONE[:2]), note=st.sampled_from(["one", "two", ""])),
    st.builds(_edit, st.sampled_from(ALONE[:2]), feed_g_per_day=st.sampled_from([1.0, 2.0])),
)  # fmt: skip
sequences = st.lists(
    st.tuples(entries, st.sampled_from([1, 7, 60, 1440, 2880])), min_size=1, max_size=8
)
Sequence = list[tuple[Told, int]]
