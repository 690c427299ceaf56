"""Days on which an occurrence may not be done, and where that leaves it.

Holds and gaps both become spans of forbidden days. An occurrence is placed on
the first free day from the one wanted; its window is lengthened only by what
the spans took from it, so a job that was forbidden is never late for it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from roomtasks.room.occurrence import Block, Blocked, Due

AFTER_WINDOW = "after its window because of the "
STANDING = ("hold", "trouble")
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Free:
    """The first free day from one on, None where a span has no end; and the last span met."""

    day: date | None
    by: Block | None


def first_free(blocks: Iterable[Block], day: date) -> Free:
    """The first day from `day` on that no span forbids."""
    ordered = sorted(blocks, key=lambda block: (block.first, block.last or date.max))
    by: Block | None = None
    moved = True
    while moved:
        moved = False
        for block in ordered:
            if block.first <= day and (block.last is None or day <= block.last):
                by = block
                if block.last is None:
                    return Free(None, by)
                day, moved = block.last + ONE_DAY, True
    return Free(day, by)


def settle(due: Due) -> Due:
    """Place an occurrence by its forbidden days: placed day, end of window, what blocks it."""
    return _settled(due, due.blocks) if due.blocks else due


def _settled(due: Due, blocks: tuple[Block, ...]) -> Due:
    """The occurrence with these forbidden days for its own, at least one."""
    wanted = max(due.wanted, due.put_off_to) if due.put_off_to else due.wanted
    natural = first_free(blocks, due.wanted)
    today = first_free(blocks, due.today)
    advised = first_free(blocks, max(wanted, due.today))
    if natural.day is None or today.day is None or advised.day is None:
        by = today.by or advised.by or natural.by
        return replace(
            due, blocks=blocks, blocked=Blocked(by.reason, by.rule, None) if by else None
        )
    closes = max(first_free(blocks, due.window_closes).day or natural.day, natural.day)
    placed = advised.day if advised.day > due.today else max(natural.day, wanted)
    stands = today if today.by is not None else advised
    blocked = None
    if stands.by is not None and stands.day is not None:
        blocked = Blocked(stands.by.reason, stands.by.rule, stands.day - ONE_DAY)
    moved = due.moved
    if natural.day > due.window_closes and natural.by is not None:
        said = AFTER_WINDOW + (natural.by.rule if natural.by.rule in STANDING else "gap")
        moved = (*(m for m in moved if not m.startswith(AFTER_WINDOW)), said)
    return replace(due, blocks=blocks, placed=placed, closes=closes, blocked=blocked, moved=moved)


def with_blocks(due: Due, blocks: Iterable[Block]) -> Due:
    """The occurrence with further forbidden days, placed anew."""
    added = tuple(block for block in blocks if block not in due.blocks)
    return _settled(due, (*due.blocks, *added)) if added else due
