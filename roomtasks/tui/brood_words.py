"""Broods in words: stage, sample, forecast, move, place, what is next. Pure, from one look."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from roomtasks.room.brood import Sample
from roomtasks.room.brood_growth import Growth, SizeDay
from roomtasks.room.brood_now import BroodNow, Part
from roomtasks.room.density import Load
from roomtasks.room.destination import NEEDED_ROLES, Answer, Mover, Place
from roomtasks.room.line import STAGE_WORDS
from roomtasks.room.move_day import SIZE, MoveDay
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.room_full import WhatIf
from roomtasks.room.stock import Group
from roomtasks.room.why import day_words
from roomtasks.tui.water_words import num
from roomtasks.work.brood_view import BroodsView

STAGES = {"spawn": "eggs", "hatch": "hatched", "free-swimming": "free swimming",
          "first-count": "counted", "measure": "measured"}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class BroodsSeen:
    """One look: broods, moves and weeks, the room, where each group of a brood could go."""

    view: BroodsView
    room: Room
    places: Mapping[str, tuple[Mover, Answer]]
    what_if: WhatIf

    @property
    def today(self) -> date:
        return self.view.today

    def move_of(self, group: str) -> PlannedMove | None:
        """The move that is planned for a group."""
        return next((m for m in self.view.moves if m.group == group and m.state == "planned"), None)

    def samples(self, code: str) -> list[Sample]:
        """The samples of a brood, oldest first."""
        return sorted((s for s in self.room.samples if s.brood == code), key=lambda s: s.day)


def mm(cm: float) -> str:
    """A length as it is read off a ruler: 26, 14.5."""
    return num(10 * cm)


def from_now(day: date, today: date) -> str:
    """How far off a day is."""
    days = (day - today).days
    if not days:
        return "today"
    many = "1 day" if abs(days) == 1 else f"{abs(days)} days"
    return f"in {many}" if days > 0 else f"{many} ago"


def stage_of(seen: BroodsSeen, now: BroodNow) -> str:
    """The furthest stage that was seen, as a keeper says it."""
    known = {row.stage for row in seen.room.sightings if row.brood == now.brood.code}
    furthest = next((word for word in reversed(STAGE_WORDS) if word in known), "spawn")
    return STAGES[furthest]


def count_words(group: Group) -> str:
    """So many, and how sure."""
    return f"about {group.count}" if group.count_known == "about" else f"{group.count} counted"


def sample_words(seen: BroodsSeen, now: BroodNow) -> str:
    """The last sample: how many, their sizes, which length, how old."""
    own = seen.samples(now.brood.code)
    if not own:
        return "not measured yet"
    last = own[-1]
    told = (
        f"{last.n} measured {day_words(last.day)}, {from_now(last.day, seen.today)}: smallest "
        f"{mm(last.smallest_cm)}, middle {mm(last.middle_cm)}, largest {mm(last.largest_cm)} mm, "
        f"{last.length} length"
    )
    if isinstance(now.growth, Growth) and now.growth.stale(seen.today):
        told += "; STALE, measure again"
    return told


def forecast_words(seen: BroodsSeen, now: BroodNow) -> str:
    """Its size today, and the day of the next size with its spread."""
    growth = now.growth
    if isinstance(growth, Problem):
        return f"no forecast: {growth.what}; {growth.remedy}"
    rate = growth.rate_mm_per_day(seen.today)
    fast = f", {rate:.2g} mm a day" if isinstance(rate, float) else ""
    today = f"{mm(now.size_cm)} mm today" if now.size_cm is not None else "size not known"
    told = [f"{today} by {growth.method}{fast}"]
    for found, name in ((now.at_move, "to move"), (now.at_sale, "to sell")):
        if isinstance(found, SizeDay):
            told.append(_size_day(found, name, seen.today))
        elif isinstance(found, Problem):
            told.append(f"{name}: {found.what}")
    return "; ".join(told)


def _size_day(found: SizeDay, name: str, today: date) -> str:
    if found.day <= today:
        return f"{mm(found.cm)} mm {name} since {day_words(found.day)}"
    told = f"{mm(found.cm)} mm {name} {day_words(found.day)}"
    if found.earliest == found.latest:
        return told
    return f"{told}, between {day_words(found.earliest)} and {day_words(found.latest)}"


def load_words(part: Part) -> str:
    """How full its tank is."""
    if not isinstance(part.load, Load):
        return ""
    return f"{100 * part.load.share:.0f} % of {part.load.limit.value:g} g/L"


def move_words(seen: BroodsSeen, part: Part) -> str:
    """The day it must leave, the reason, and where to."""
    if isinstance(part.move, Problem):
        return f"no day to move: {part.move.what}; {part.move.remedy}"
    planned = seen.move_of(part.group.code)
    if planned is None and to_be_sold(seen, part):
        return f"to sell {day_words(part.move.day)}: {part.move.why}"
    told = f"leaves {day_words(part.move.day)} ({part.move.cause}): {part.move.why}"
    if planned is not None:
        return f"{told}; planned for {day_words(planned.day)} as {planned.chain} link {planned.n}"
    found = seen.places.get(part.group.code)
    return f"{told}; {where_words(found[1])}" if found is not None else told


def to_be_sold(seen: BroodsSeen, part: Part) -> bool:
    """Whether they stay in this tank until they have the size of sale."""
    if not isinstance(part.move, MoveDay) or part.move.cause != SIZE:
        return False
    return seen.room.tank[part.group.tank].role not in NEEDED_ROLES


def where_words(answer: Answer) -> str:
    """The tank that would do best, or how to share the fish out."""
    if answer.whole:
        more = len(answer.whole) - 1
        others = f", or {more} other{'s' * (more > 1)}" if more else ""
        return f"to {answer.whole[0].tank}{others}"
    if answer.split:
        return f"no one tank holds them: split {split_words(answer)}"
    return "no tank will do as it is: a chain may make room"


def split_words(answer: Answer) -> str:
    """How the fish are shared out."""
    return ", ".join(f"{count} to {tank}" for tank, count in answer.split)


def place_words(place: Place, count: int) -> str:
    """A tank that would do, with what speaks for it."""
    by = f" by {place.fit.by}" if place.fit is not None else ""
    holds = f"holds {place.holds}" if place.holds < count else f"holds all {count}"
    tail = f"; {', '.join(place.remarks)}" if place.remarks else ""
    return f"{place.tank}  {holds}{by}{tail}"


def place_lines(found: tuple[Mover, Answer]) -> Iterator[tuple[str, str]]:
    """Every tank with its words: those that do, best first, then those refused and why."""
    mover, answer = found
    for place in (*answer.whole, *answer.partly):
        yield place.tank, place_words(place, mover.count)
    for tank, problems in answer.refused.items():
        yield tank, f"not {tank}: " + "; ".join(f"{p.what} [{p.rule}]" for p in problems)


def why_lines(seen: BroodsSeen, now: BroodNow) -> Iterator[str]:
    """What a brood opens to: its samples, each cause of a move, every tank judged."""
    for row in seen.samples(now.brood.code):
        yield (f"{day_words(row.day)}: {row.n} measured, {mm(row.smallest_cm)} / "
               f"{mm(row.middle_cm)} / {mm(row.largest_cm)} mm {row.length}")  # fmt: skip
    if isinstance(now.growth, Growth):
        yield (f"The forecast is a {now.growth.method} through {len(now.growth.used)} samples; the "
               "days between are 20 % of those left, either way.")  # fmt: skip
    for part in now.parts:
        yield from part_lines(seen, part)
    for step in now.steps:
        when = f" {step.at:%H:%M}" if step.at is not None else ""
        daily = "daily from " if step.daily else ""
        yield f"{daily}{day_words(step.day)}{when}: {step.what} ({step.why})"
    origin = seen.view.origins.get(now.brood.group, ())
    if origin:
        yield f"Comes of {', of '.join(origin)}."


def part_lines(seen: BroodsSeen, part: Part) -> Iterator[str]:
    """What the fish in one tank open to."""
    if isinstance(part.move, MoveDay):
        for cause in part.move.causes:
            yield f"{part.group.tank}: {cause.name} on {day_words(cause.day)}: {cause.why}"
    yield from part.gaps
    found = seen.places.get(part.group.code)
    if found is not None:
        if found[1].split:
            yield f"No one tank holds all: split {split_words(found[1])}."
        yield from (words for _, words in place_lines(found))
