"""Whether newcomers may be put apart in a tank: every rule that says no, by name.

Apart is only apart where the water is shared with nobody, the tank was made
ready, its filter is ripe and somebody will be there. Common practice, no
published source. Does not live here: how long they stay (`stay_clock`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.naming import lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words

RIPE_DAYS = 28
DAYS_BEFORE_AWAY = 7
FULL_CHANGE = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """What the journal knows of a tank: when it was stripped, and what was changed since a turn.

    `changed_since_shut` is the share of its water replaced since its valve was
    shut, by the dilution sum.
    """

    stripped_on: date | None = None
    changed_since_shut: float = 0.0


def arrival_refusals(
    room: Room, tank: str, now: datetime, known: Readiness
) -> Iterator[Problem]:  # fmt: skip
    """Every rule against an arrival in a tank, each with what would make it possible."""
    today = room.day_at(now)
    yield from _water(room, tank, now, known)
    stay = room.stay_in(tank, today)
    if stay is not None:
        yield Problem(
            tank, f"{lot_words(stay.code)} is on day {(today - stay.since).days} of "
            f"{stay.days} there",
            "one lot to a tank: use another, or put them in and all start again at day 0",
            "two-lots",
        )  # fmt: skip
    elif room.heads_in(tank) and room.valve.shut_from(tank, now) is None:
        yield Problem(tank, f"{room.heads_in(tank)} fish live there",
                      "move them out, strip and dry it first", "not-empty")  # fmt: skip
    for brood in room.young_in(tank):
        yield Problem(tank, f"eggs or young of {brood.code} are in it", "use another tank",
                      "young-there")  # fmt: skip
    yield from _ready(room, tank, today, known)
    yield from _away(room, today)


def _water(room: Room, tank: str, now: datetime, known: Readiness) -> Iterator[Problem]:
    system = room.valve.open_to(tank, now)
    if system is not None:
        others = len(room.valve.members(system, now)) - 1
        yield Problem(
            tank, f"it shares water with {others} tanks and the sump of {system}",
            "shut its valve and empty it first, or use a tank that stands alone", "shared-water",
        )  # fmt: skip
        return
    left = room.valve.shut_from(tank, now)
    if left is None:
        return
    if room.heads_in(tank) and room.stay_in(tank, room.day_at(now)) is None:
        yield Problem(
            tank, f"{room.heads_in(tank)} fish of {left} are still in it",
            "move them out before anything new goes in", "fish-of-the-system",
        )  # fmt: skip
    if known.changed_since_shut < FULL_CHANGE:
        yield Problem(
            tank, f"its water was {left}'s: {100 * known.changed_since_shut:.0f} % of it was "
            "changed since its valve was shut",
            "change or strip it whole first, the old water to waste", "water-of-the-system",
        )  # fmt: skip


def _ready(room: Room, tank: str, today: date, known: Readiness) -> Iterator[Problem]:
    empty = room.empty_since(tank)
    if empty is not None and (known.stripped_on is None or known.stripped_on < empty):
        yield Problem(
            tank, f"its last fish left on {day_words(empty)} and it was not stripped and dried "
            "since", "mark the strip job done first", "not-stripped",
        )  # fmt: skip
    ripe = [
        item
        for item in room.filters
        if item.tank == tank and item.kind in ("sponge", "box", "canister")
        and item.since is not None and (today - item.since).days >= RIPE_DAYS
    ]  # fmt: skip
    if not ripe:
        yield Problem(
            tank, f"no filter in it has run for {RIPE_DAYS} days",
            "put a ripe sponge in and enter it among the filters", "no-ripe-filter",
        )  # fmt: skip


def _away(room: Room, today: date) -> Iterator[Problem]:
    for span in room.away:
        days = (span.first - today).days
        if -1 < days <= DAYS_BEFORE_AWAY or span.first <= today <= span.last:
            yield Problem(
                "arrival", f"the keeper is away from {day_words(span.first)} to "
                f"{day_words(span.last)}", f"let them come after {day_words(span.last)}, or more "
                f"than {DAYS_BEFORE_AWAY} days before", "before-away",
            )  # fmt: skip
