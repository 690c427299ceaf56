"""Whether fish may join those in a tank, asked again as they are moved: harm nobody can undo."""

from dataclasses import replace
from datetime import date

from roomtasks.room.brood_now import sizes_on
from roomtasks.room.density import lodger_of, lodgers_in
from roomtasks.room.destination import company_refusals
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room

REFILLED = 12  # the step of a make-over from which on the tank takes fish again


def company_refusal(room: Room, group: str, to: str, today: date) -> Problem | None:
    """Why a group may not go among the fish of a tank, or into one half made over.

    Lengths are of today, by growth where a brood has one, else grown.
    """
    making = next((r for r in room.rededications if r.tank == to and r.ended is None), None)
    if making is not None:
        steps = {gate.step for gate in room.gates if gate.rededication == making.code}
        if REFILLED not in steps:
            return Problem(to, f"it is being made over ({making.code})",
                           f"wait for its step {REFILLED}, or say --anyway",
                           "being-made-over")  # fmt: skip
    lengths = sizes_on(room, today)
    mover = lodger_of(room, group, lengths)
    for other in lodgers_in(room, to, lengths, without=[group]):
        for problem in company_refusals(mover, other, to):
            return replace(problem, remedy=f"{problem.remedy}, or say --anyway")
    return None
