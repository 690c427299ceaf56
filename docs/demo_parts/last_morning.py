"""The evening before and the morning on which the demo opens, as they were left.

The keeper is at the sump at seven; the walk has not begun.
"""

from datetime import date, timedelta

from docs.demo_parts.keeper import Keeper
from docs.demo_parts.places import at
from roomtasks.room.occurrence import State

LAST = date(2027, 5, 15)
LEAVE: dict[str, tuple[date, date]] = {
    "fill-v1@V1": (LAST, LAST),
    "floss@LOOP": (date(2027, 5, 12), LAST),
    "net-dip@room": (date(2027, 5, 7), LAST),
    "strainers@LOOP": (date(2027, 5, 6), LAST),
    "hard-change@Y22": (LAST, LAST),
    "squeeze@W11-1": (date(2027, 4, 26), date(2027, 5, 11)),
    "wipe@W22": (date(2027, 5, 1), date(2027, 5, 7)),
    "look-q@P11": (date(2027, 5, 9), date(2027, 5, 9)),
    "evening@room": (date(2027, 5, 9), date(2027, 5, 9)),
    "squeeze@P21-1": (date(2027, 4, 26), LAST),
}
EARLY = (
    "wipe-rack@Y", "wipe-rack@T", "siphon@L", "siphon@T", "measure@L13", "measure@T11",
    "vac@T31", "squeeze@W12-2", "squeeze@W13-2", "squeeze@W21-2",
    "squeeze@W23-2", "ripe@T22-1", "cultures@room", "wipe@W11", "wipe@W12", "wipe@W13",
    "soft-change@W12", "soft-change@W13", "top-loop@LOOP", "dead-test@P21",
    "ripe-test@P21",
)  # fmt: skip
LATER = ("other", "equipment", "air", "record", "count", "wipe")
MONDAY = LAST + timedelta(days=2)
EVENING_LITRES = 482.0
CHANGED = ("hard-change@Y22", "hard-change@Y21", "hard-change@T31")


def last_evening(keeper: Keeper) -> None:
    """Saturday: some of Sunday done early, one change begun and not finished, one job put off."""
    open_now = keeper.seen().due
    may = {name for name, due in open_now.items()
           if due.state in (State.OPEN, State.DUE, State.LATE)}  # fmt: skip
    half, *whole = (name for name in CHANGED if name in may)
    for name in (*EARLY, *whole):
        due = open_now.get(name)
        if due is not None and name in may:
            keeper.spend(due.job.minutes)
            keeper.say([name], "done")
    keeper.wait_until(at("2027-05-15 20:20"))
    vat = keeper.seen().room.reservoir["V1"]
    poured = max(20.0, EVENING_LITRES - round(vat.holds_litres))
    keeper.say(["fill-v1@V1"], "done", litres=poured, note="pressure low, hose off early")
    keeper.spend(3)
    keeper.say(["treat-v1@V1"], "done")
    keeper.wait_until(at("2027-05-15 20:30"))
    keeper.say(["heat-v1@V1"], "done")
    keeper.wait_until(at("2027-05-15 20:40"))
    keeper.say([half], "partly", fraction=0.12, note="hose was wanted elsewhere")
    keeper.spend(1)
    keeper.say([_can_wait(keeper)], "put-off", until=MONDAY, reason="no time")


def _can_wait(keeper: Keeper) -> str:
    """A small job that is open and may as well be done next week: one that is due, if any is."""
    waits = [
        due
        for due in keeper.seen().dues
        if due.job.kind in LATER and due.state in (State.DUE, State.OPEN) and due.closes > MONDAY
    ]
    return min(waits, key=lambda due: (due.state is State.OPEN, due.closes, due.id)).id


def last_morning(keeper: Keeper) -> None:
    """Sunday before ten past seven: floss out, pump on again, nothing walked yet."""
    keeper.wait_until(at("2027-05-16 06:46"))
    keeper.say(["door@room"], "done")
    keeper.wait_until(at("2027-05-16 06:53"))
    keeper.say(["floss@LOOP"], "done", minutes=6.0, note="overflow had begun")
    keeper.wait_until(at("2027-05-16 07:01"))
    keeper.say(["pump-on@LOOP"], "done", anyway=True, note="change comes later this morning")
    keeper.clock += timedelta(minutes=1)
