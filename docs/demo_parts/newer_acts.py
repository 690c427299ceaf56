"""What the sorts of `broods_story` and `apart_story` do: acts of the program, one each."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from docs.demo_parts.apart_story import SPOTS, STEPS
from docs.demo_parts.keeper import Keeper
from docs.demo_parts.places import at
from roomtasks.room.stock import Group
from roomtasks.work import (
    ahead_view,
    brood_acts,
    course_acts,
    fish,
    met,
    move_acts,
    stay_acts,
    trouble_acts,
)  # fmt: skip


def _spawned(
    keeper: Keeper, code: str, tank: str, parents: str, day: date, count: int | None = None
) -> None:
    keeper.told(code, brood_acts.spawn(keeper.store, keeper.clock, keeper.who, code, tank, parents,
                                       day=day, count=count))  # fmt: skip


def _stage(
    keeper: Keeper, code: str, stage: str, count: int | None, lost: int = 0, note: str = ""
) -> None:
    answer = brood_acts.stage_seen(keeper.store, keeper.clock, keeper.who, code, stage,
                                   count=count, lost=lost, note=note)  # fmt: skip
    keeper.told(f"{code} {stage}", answer)


def _sample(keeper: Keeper, code: str, three: Sequence[float], many: int) -> None:
    keeper.told(f"sample {code}", brood_acts.sample(keeper.store, keeper.clock, keeper.who, code,
                                                    three, many))  # fmt: skip


def _grade(keeper: Keeper, code: str, count: int, to: str) -> None:
    keeper.told(f"grade {code}", brood_acts.part(keeper.store, keeper.clock, keeper.who, code,
                                                 [(count, to)], graded=True))  # fmt: skip


def _closed(keeper: Keeper, code: str, reason: str) -> None:
    keeper.told(f"close {code}", brood_acts.close(keeper.store, keeper.clock, keeper.who, code,
                                                  reason))  # fmt: skip


def _out(keeper: Keeper, group: str, count: int, how: str, note: str) -> None:
    keeper.told(f"{how} {group}", fish.take_out(keeper.store, keeper.clock, keeper.who, group,
                                                count, how, note))  # fmt: skip


def _over(keeper: Keeper, tank: str, day: date, line: str) -> None:
    keeper.told(f"over {tank}", move_acts.begin_make_over(keeper.store, keeper.clock, keeper.who,
                                                          tank, day, for_line=line))  # fmt: skip


def _step(keeper: Keeper, tank: str, step: int, note: str) -> None:
    made = next(row for row in keeper.seen().room.rededications if row.tank == tank)
    keeper.told(f"step {tank}", move_acts.tick(keeper.store, keeper.clock, keeper.who, made.code,
                                               step, note))  # fmt: skip


def _chain(
    keeper: Keeper, wants: Sequence[tuple[str, tuple[str, ...]]], sold: Sequence[str], first: date
) -> None:
    keeper.told("chain", move_acts.plan_chain(keeper.store, keeper.clock, keeper.who, wants, sold,
                                              first=first))  # fmt: skip


def _arrives(keeper: Keeper, code: str, line: str, tank: str, count: int, origin: str) -> None:
    group = Group(code=code, line=line, tank=tank, count=count, since=keeper.clock.date(),
                  origin=origin)  # fmt: skip
    keeper.told(code, stay_acts.arrive(keeper.store, keeper.clock, keeper.who, group))


def _looked(
    keeper: Keeper, tank: str, seen: str, count: int | None, explained: str, note: str
) -> None:
    answer = stay_acts.look(keeper.store, keeper.clock, keeper.who, tank, seen, count,
                            explained=explained, note=note)  # fmt: skip
    keeper.told(f"look {tank}", answer)


def _course(keeper: Keeper, tank: str) -> None:
    """The keeper types the label in, and begins."""
    keeper.told("spots", course_acts.keep_course(keeper.store, keeper.clock, keeper.who, SPOTS,
                                                 STEPS))  # fmt: skip
    keeper.spend(0.5)
    keeper.told(f"course {tank}", course_acts.start_course(keeper.store, keeper.clock, keeper.who,
                                                           tank, SPOTS.code))  # fmt: skip


def _contact(keeper: Keeper, tank: str, to: str, by: str) -> None:
    keeper.told(f"{by} {tank}", met.contact(keeper.store, keeper.clock, keeper.who, tank, to, by))


def _chain_of(keeper: Keeper, group: str) -> str:
    return next(move.chain for move in keeper.seen().room.planned_moves if move.group == group)


def _link(keeper: Keeper, group: str, number: int) -> None:
    keeper.told(f"link {number}", move_acts.do_link(keeper.store, keeper.clock, keeper.who,
                                                    _chain_of(keeper, group), number))  # fmt: skip


def _slip(keeper: Keeper, group: str, number: int, to: date) -> None:
    keeper.told(f"slip {number}", move_acts.slip(keeper.store, keeper.clock, keeper.who,
                                                 _chain_of(keeper, group), number, to))  # fmt: skip


def _power(keeper: Keeper, began: str, note: str) -> None:
    keeper.told("power cut", trouble_acts.trouble_begin(
        keeper.store, keeper.clock, keeper.who, "power-cut", "room", at(began), note
    ))  # fmt: skip


def _power_over(keeper: Keeper, ended: str) -> None:
    keeper.told("power back", trouble_acts.trouble_over(
        keeper.store, keeper.clock, keeper.who, "power-cut", at(ended)
    ))  # fmt: skip


def _done(keeper: Keeper, name: str) -> None:
    keeper.say([name], "done")


def _pin(keeper: Keeper, name: str, day: date) -> None:
    keeper.told(f"pin {name}", ahead_view.pin(keeper.store, keeper.clock, keeper.who, name, day))


ACTS: dict[str, Callable[..., None]] = {
    "spawned": _spawned, "stage": _stage, "sample": _sample, "grade": _grade, "closed": _closed,
    "out": _out, "over": _over, "step": _step, "chain": _chain, "arrives": _arrives,
    "looked": _looked, "course": _course, "contact": _contact, "power": _power,
    "power-over": _power_over, "pin": _pin, "link": _link, "slip": _slip, "done": _done,
}  # fmt: skip


def refusals(keeper: Keeper) -> list[Any]:
    """What the room refused, for whoever tries a new story."""
    return [(row.at, row.what, row.problem.sentence()) for row in keeper.refused]
