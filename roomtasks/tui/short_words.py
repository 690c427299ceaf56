"""What a short day would bring, in the few lines there are above the keys before its yes."""

from collections.abc import Sequence

from roomtasks.room.short_day import PutOff, ShortDay, days_words, minutes_words

MOST = 360  # characters: seven lines of 60 as words wrap, less the question itself


def short_lines(found: ShortDay, most: int = MOST) -> tuple[str, ...]:
    """What is kept, by how much that is over, what must not slip and has no time, what that brings.

    Names that do not go in are counted.
    """
    late = f", {len(found.late)} late then" if found.late else ""
    lines = [f"{found.kept_words}; {len(found.put_off)} put off{late}"]
    if found.over_minutes:
        lines.append(f"must-dos {minutes_words(found.over_minutes)} min over")
    if found.slipping:
        head = f"no time for {len(found.slipping)} that must not slip: "
        tail = f" ({minutes_words(found.limit_minutes)} min hold all)"
        left = most - sum(len(line) + 2 for line in lines) - len(head) - len(tail)
        lines.append(f"{head}{_as_many(_named(found.slipping), left)}{tail}")
    brings = [f"{each.name}: {', '.join(each.brings)}" for each in found.put_off if each.brings]
    left = most - sum(len(line) + 2 for line in lines)
    if brings and (told := _as_many(brings, left)):
        lines.append(told)
    return tuple(lines)


def _named(slipping: Sequence[PutOff]) -> list[str]:
    """Each job with its places, longest late first."""
    places: dict[tuple[int, str], list[str]] = {}
    for each in slipping:
        places.setdefault((-each.due.days_late, each.due.job.name), []).append(each.due.target)
    return [
        f"{name} {' '.join(where)}" + (f" {days_words(-late)} late" if late else "")
        for (late, name), where in sorted(places.items())
    ]


def _as_many(names: Sequence[str], most: int) -> str:
    """As many of them as go into so many characters, and how many more there are."""
    for count in range(len(names), 0, -1):
        more = f", and {len(names) - count} more" if count < len(names) else ""
        text = "; ".join(names[:count]) + more
        if len(text) <= most:
            return text
    return f"{len(names)} more"
