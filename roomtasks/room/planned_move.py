"""Moves to come and tanks to be made over: facts of a plan under way.

A chain is moves that lean on one another, shown as one thing. A tank made over
for other fish goes through steps with gates; which of them are done is kept,
so that a half-done state survives the night.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column
from roomtasks.room.job import Between

MOVE_STATES = ("planned", "done", "dropped")
TUB = "tub"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedMove:
    """One link of a chain. A blank from or to is the holding tub where `tub` says so."""

    chain: str = column("code", "the chain's code")
    n: int = column("int", "its place in the chain, from 1", low=1, high=200)
    group: str = column("code", "the group that moves")
    count: int = column("int", "how many", low=1, high=1000000)
    from_tank: str = column("text", "the tank they leave, or tub")
    to_tank: str = column("text", "the tank they go to, or tub; blank: out of the room", default="")
    day: date = column("day", "the day it is planned for")
    state: str = column("word", "how it stands", words=MOVE_STATES, default="planned")
    why: str = column("text", "what makes it needed", default="")
    done_on: date | None = column("day", "the day it was done", default=None)
    counted_in: int | None = column(
        "int", "how many were counted in, where it was not all", low=0, high=1000000, default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rededication:
    """A tank being made over for other fish, step by step."""

    code: str = column("code", "its code")
    tank: str = column("code", "the tank")
    began: date = column("day", "the day it was begun")
    change_day: date = column("day", "the day its water is lowered")
    to_tank: str = column("text", "where the old group goes", default="")
    for_line: str = column("text", "the line it is made over for", default="")
    litres: float | None = column(
        "number", "prepared water it takes", unit="L", low=0, high=50000, default=None
    )
    ended: date | None = column("day", "the day it was ended or dropped", default=None)
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """A step of a make-over that was done."""

    rededication: str = column("code", "the make-over")
    step: int = column("int", "the step, 1 to 14", low=1, high=14)
    at: datetime = column("instant", "when")
    day: date = column("day", "the room day")
    note: str = column("text", "what was found or counted", default="")


PLANNED_MOVES = Sheet("planned_moves", PlannedMove, ("chain", "n"),
                      "Moves to come, in chains.")  # fmt: skip
REDEDICATIONS = Sheet("rededications", Rededication, ("code",), "Tanks being made over.")
GATES = Sheet("gates", Gate, ("rededication", "step"), "Steps of make-overs that were done.")


def links_in_order(moves: Iterable[PlannedMove], a_day: int) -> tuple[Between, ...]:
    """What holds between the links of a chain that are still to come.

    Each waits for the one before it, and of more than `a_day` links one after the
    other the first and the last are not of one day.
    """
    chains: dict[str, list[int]] = {}
    for move in moves:
        if move.state == "planned":
            chains.setdefault(move.chain, []).append(move.n)
    found = []
    for chain, numbers in sorted(chains.items()):
        numbers.sort()
        for step, relation in ((1, "before"), (a_day, "not-same-day")):
            for n, later in zip(numbers, numbers[step:], strict=False):
                found.append(
                    Between(code=f"{chain}-{n}-{later}", first=f"job {chain}-{n}",
                            relation=relation, second=f"job {chain}-{later}", scope="room")
                )  # fmt: skip
    return tuple(found)
