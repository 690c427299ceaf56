"""One look at the broods: what is read on the store thread, and what is judged beside it."""

from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.brood_now import leaving_sizes
from roomtasks.room.chain_room import reserved_by
from roomtasks.room.density import lodger_of
from roomtasks.room.destination import Answer, Judging, Mover, destinations
from roomtasks.room.problem import Problem
from roomtasks.room.room_full import WhatIf
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.work.brood_view import BroodsView, brood_view, judging_of


@dataclass(frozen=True, kw_only=True)
class BroodsRead:
    """What the store says of broods, before places are judged."""

    view: BroodsView
    judging: Judging
    what_if: WhatIf


def read_broods(store: Store, now: datetime, what_if: WhatIf) -> BroodsRead | Problem:
    """Broods, moves and weeks as one picture of the store."""
    with store.reading():
        view = brood_view(store, now, what_if)
        room = read.room(store)
        if isinstance(view, Problem):
            return view
        if isinstance(room, Problem):
            return room
        return BroodsRead(view=view, judging=judging_of(store, room, now), what_if=what_if)


def judge_places(found: BroodsRead) -> BroodsSeen:
    """Where each group of an open brood could go, every tank judged."""
    room = found.judging.room
    reserved = reserved_by(room.planned_moves)
    leaving = leaving_sizes(room, found.judging.lengths)
    places: dict[str, tuple[Mover, Answer]] = {}
    for now in found.view.broods:
        for part in now.parts:
            code = part.group.code
            own = lodger_of(room, code, found.judging.lengths)
            mover = Mover(now=own, from_tank=part.group.tank, leaving_cm=leaving.get(code))
            places[code] = (mover, part.answer or destinations(found.judging, mover, reserved))
    return BroodsSeen(view=found.view, room=room, places=places, what_if=found.what_if)
