"""What the journal knows of one job at one target, as far as due dates need it.

A `Past` is small: the newest closing mark and what came after it. The store
picks these out of a long journal; the core never sees the rest.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from roomtasks.room.journal import CLOSING, Mark


@dataclass(frozen=True, slots=True)
class Past:
    """The newest done or left-out mark, the newest done, and open marks after it.

    `since` holds partly and put-off marks that serve a later slot than the
    closing one, oldest first. `left_out` counts occurrences given up since the
    last one done.
    """

    closing: Mark | None = None
    done: Mark | None = None
    since: tuple[Mark, ...] = ()
    left_out: int = 0


NOTHING = Past()
Pasts = Mapping[tuple[str, str], Past]


def fold(marks: Iterable[Mark]) -> Past:
    """The past of one job at one target from all its marks (a reference for tests)."""
    ordered = sorted(marks, key=lambda mark: (mark.day, mark.id))
    closing = [mark for mark in ordered if mark.outcome in CLOSING]
    done = [mark for mark in closing if mark.outcome == "done"]
    last = closing[-1] if closing else None
    since = [
        mark
        for mark in sorted(ordered, key=lambda mark: mark.id)
        if mark.outcome not in CLOSING and (last is None or mark.slot > last.slot)
    ]
    last_done = done[-1] if done else None
    left = 0
    for mark in reversed(closing):
        if mark.outcome == "done":
            break
        left += 1
    return Past(last, last_done, tuple(since), left)
