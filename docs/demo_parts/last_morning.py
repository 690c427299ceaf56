"""The evening before and the morning on which the demo opens, as they were left.

The keeper is at the sump at seven; the walk has not begun.
"""

from datetime import date, timedelta

from docs.demo_parts.keeper import Keeper
from docs.demo_parts.places import at

LEAVE: dict[str, tuple[date, date]] = {}


def last_evening(keeper: Keeper) -> None:
    """Saturday evening: one change begun and not finished, one job put off."""
    keeper.wait_until(at("2027-05-15 20:05"))
    keeper.say(["hard-change@Y22"], "partly", fraction=0.12, note="hose was wanted elsewhere")


def last_morning(keeper: Keeper) -> None:
    """Sunday before ten past seven: floss out, pump on again, nothing walked yet."""
    keeper.wait_until(at("2027-05-16 06:46"))
    keeper.say(["door@room"], "done")
    keeper.wait_until(at("2027-05-16 06:53"))
    keeper.say(["floss@LOOP"], "done", minutes=6.0, note="overflow had begun")
    keeper.wait_until(at("2027-05-16 07:01"))
    keeper.say(["pump-on@LOOP"], "done", anyway=True, note="change comes later this morning")
    keeper.clock += timedelta(minutes=1)
