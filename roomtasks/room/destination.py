"""Where fish can go: every tank judged by every rule, at the size they will have on leaving it.

A tank is refused by name of the rule, with what would make it possible. Those
that would do are ranked; where none holds all, the fish are split over the
fewest tanks. Common practice, no published source. Does not live here: tanks
that must be emptied first (`chain_room`).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from roomtasks.room.arrival import RIPE_DAYS
from roomtasks.room.density import Fit, Lodger, fit_in, lodgers_in
from roomtasks.room.health import Health
from roomtasks.room.line import eats, look_alike
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.trouble_holds import leaks_now

APART_ROLES = ("quarantine", "hospital", "isolation")
NEEDED_ROLES = ("breeding", "nursery")
FILTERED = ("sponge", "box", "canister")


@dataclass(frozen=True, kw_only=True)
class Judging:
    """What tanks are judged by: the room at an instant, and what else is known of it.

    `celsius` by tank as read; `to_strip` tanks that are due to be stripped;
    `lengths` by group, in cm.
    """

    room: Room
    at: datetime
    celsius: Mapping[str, float] = field(default_factory=dict)
    to_strip: frozenset[str] = frozenset()
    lengths: Mapping[str, float] = field(default_factory=dict)

    @property
    def today(self) -> date:
        return self.room.day_at(self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mover:
    """The fish that are to go: their size now, and when they will leave the next tank."""

    now: Lodger
    leaving_cm: float | None
    from_tank: str

    @property
    def code(self) -> str:
        return self.now.group

    @property
    def count(self) -> int:
        return self.now.count


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A tank that would do: how many it holds at the leaving size, and what speaks for it."""

    tank: str
    fit: Fit | None
    holds: int
    beside: tuple[str, ...]
    remarks: tuple[str, ...]
    rank: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Tanks that hold all, best first; those that hold a part; those refused, by tank."""

    whole: tuple[Place, ...]
    partly: tuple[Place, ...]
    refused: Mapping[str, tuple[Problem, ...]]
    split: tuple[tuple[str, int], ...]


def water_of(room: Room, tank: str, at: datetime) -> str:
    """The recipe of a tank's water: its own, its system's, else the room's first."""
    system = room.valve.open_to(tank, at)
    of_system = room.system[system].recipe if system in room.system else ""
    first = room.recipes[0].code if room.recipes else ""
    return room.tank[tank].recipe or of_system or first


def celsius_of(judging: Judging, tank: str) -> float | None:
    """The temperature of a tank: as read, else as its recipe is wanted."""
    if tank in judging.celsius:
        return judging.celsius[tank]
    recipe = judging.room.recipe.get(water_of(judging.room, tank, judging.at))
    return recipe.celsius if recipe is not None else None


def tank_refusals(judging: Judging, mover: Mover, tank: str) -> Iterator[Problem]:
    """Every rule of the tank itself that says no, whoever else lives in it."""
    yield from _purpose(judging, tank)
    yield from _class(judging, mover, tank)
    yield from _water(judging, mover, tank)
    yield from _gear(judging, mover, tank)


def _purpose(judging: Judging, tank: str) -> Iterator[Problem]:
    room, facts = judging.room, judging.room.tank[tank]
    if facts.role in APART_ROLES or room.stay_in(tank, judging.today) is not None:
        yield Problem(tank, f"it is kept for {facts.role}", "use another tank", "kept-apart")
    making = next((r for r in room.rededications if r.tank == tank and r.ended is None), None)
    if making is not None:
        yield Problem(tank, "it is being made over for other fish", "wait for its last step",
                      "being-made-over")  # fmt: skip
    for brood in room.young_in(tank):
        yield Problem(tank, f"eggs or young of {brood.code} are in it, not counted yet",
                      "count them, or close the brood", "young-there")  # fmt: skip
    if making is None and tank in judging.to_strip:
        yield Problem(tank, "it is due to be stripped", "strip it first", "to-be-stripped")
    leak = leaks_now(room, tank, judging.at)
    if leak is not None:
        yield Problem(tank, "it leaks", "repair it, then say that the leak is over", "held")
    for hold in room.holds_at.get(tank, ()):
        if hold.on(judging.today) and {"move", "all"} & set(hold.kinds.split()):
            yield Problem(tank, hold.reason,
                          f"lift the hold first: 'roomtasks lift {hold.code}'", "held")  # fmt: skip


def _class(judging: Judging, mover: Mover, tank: str) -> Iterator[Problem]:
    """Only like to like: clean fish never into watch, watched ones never to clean."""
    room, day = judging.room, judging.today
    here, there = room.health_of(mover.from_tank, day), room.health_of(tank, day)
    if max(here, Health.CLEAN) != max(there, Health.CLEAN):
        yield Problem(
            tank, f"it is {there.word}, and {mover.from_tank} is {here.word}",
            "wait until both are of one class", "other-class",
        )  # fmt: skip


def _water(judging: Judging, mover: Mover, tank: str) -> Iterator[Problem]:
    room, line = judging.room, mover.now.line
    here = water_of(room, mover.from_tank, judging.at)
    there = water_of(room, tank, judging.at)
    if line.recipe and there != line.recipe:
        yield Problem(tank, f"its water is {there or 'not named'}, and {line.name} needs "
                      f"{line.recipe}", f"a tank of {line.recipe}", "other-water")  # fmt: skip
    elif not line.recipe and here != there:
        yield Problem(tank, f"its water is {there or 'not named'}, theirs is {here or 'not named'}",
                      f"a tank of {here}", "other-water")  # fmt: skip
    from_c, to_c = celsius_of(judging, mover.from_tank), celsius_of(judging, tank)
    if to_c is None:
        return
    low, high = line.celsius_from, line.celsius_to
    if (low is not None and to_c < low) or (high is not None and to_c > high):
        yield Problem(tank, f"it stands at {to_c:g} C, outside {low or 0:g} to {high or 45:g} C",
                      "heat or cool it first", "temperature")  # fmt: skip
    limit = room.setup.wide_step_celsius
    if from_c is not None and abs(to_c - from_c) > limit + 1e-9:
        yield Problem(tank, f"a step of {abs(to_c - from_c):.1f} K, more than {limit:g}",
                      "bring the two nearer first", "temperature")  # fmt: skip


def _gear(judging: Judging, mover: Mover, tank: str) -> Iterator[Problem]:
    room, facts = judging.room, judging.room.tank[tank]
    if room.valve.open_to(tank, judging.at) is None:
        ripe = any(
            item.since is not None and (judging.today - item.since).days >= RIPE_DAYS
            for item in room.filters
            if item.tank == tank and item.kind in FILTERED
        )
        if not ripe:
            yield Problem(tank, f"no filter in it has run for {RIPE_DAYS} days",
                          "put a ripe sponge in", "no-ripe-filter")  # fmt: skip
    if mover.now.line.jumps and not facts.lid:
        yield Problem(tank, "it has no lid", "put a lid on", "no-lid")
    small = mover.now.length_cm
    if small is not None and small < mover.now.line.guard_below_cm and not facts.guarded:
        yield Problem(tank, f"its outlet is not guarded for fish of {small:g} cm", "guard it",
                      "outlet")  # fmt: skip


def company_refusals(first: Lodger, second: Lodger, tank: str) -> Iterator[Problem]:
    """Why two groups must not meet in one tank."""
    if look_alike(first.line, second.line):
        yield Problem(tank, f"{second.line.name} ({second.group}) looks like {first.line.name}",
                      "keep them in two tanks for ever", "look-alike")  # fmt: skip
    for hunter, prey in ((first, second), (second, first)):
        if eats(hunter.line, prey.line, hunter.length_cm, prey.length_cm):
            yield Problem(tank, f"{hunter.line.name} ({hunter.group}) eats {prey.line.name} "
                          f"({prey.group})", "wait until they are larger, or part them",
                          "eaten")  # fmt: skip


def at_leaving(mover: Mover) -> Lodger:
    """The fish at the size on the day they leave the next tank."""
    length = mover.leaving_cm if mover.leaving_cm is not None else mover.now.length_cm
    return Lodger(group=mover.code, line=mover.now.line, count=mover.count, length_cm=length)


def destinations(
    judging: Judging, mover: Mover, reserved: Iterable[str] = ()
) -> Answer:  # fmt: skip
    """Every tank of the room judged for these fish, save the one they are in."""
    room, taken = judging.room, set(reserved)
    refused: dict[str, tuple[Problem, ...]] = {}
    places = []
    for tank in room.tank:
        if tank == mover.from_tank:
            continue
        others = lodgers_in(room, tank, judging.lengths, without=[mover.code])
        wrong = list(tank_refusals(judging, mover, tank))
        if tank in taken:
            wrong.append(Problem(tank, "a planned move goes there", "wait for it, or drop it",
                                 "spoken-for"))  # fmt: skip
        for other in others:
            wrong += company_refusals(mover.now, other, tank)
        place = _place(judging, mover, tank, others)
        if isinstance(place, Problem):
            wrong.append(place)
        if wrong:
            refused[tank] = tuple(wrong)
        elif isinstance(place, Place):
            places.append(place)
    ranked = sorted(places, key=lambda place: place.rank)
    whole = tuple(place for place in ranked if place.holds >= mover.count)
    partly = tuple(place for place in ranked if place.holds < mover.count)
    split = () if whole else split_over([(p.tank, p.holds) for p in partly], mover.count)
    return Answer(whole=whole, partly=partly, refused=refused, split=split)


def _place(
    judging: Judging, mover: Mover, tank: str, others: Sequence[Lodger]
) -> Place | Problem:  # fmt: skip
    room, then = judging.room, at_leaving(mover)
    fit: Fit | None = None
    holds = mover.count
    remarks = []
    if then.length_cm is None:
        remarks.append("their length is not known, so nothing tells how many it holds")
    else:
        found = fit_in(room, tank, then.line, then.length_cm, others, judging.at)
        if isinstance(found, Problem):
            return found
        fit, holds = found, found.heads
        if not holds:
            return Problem(tank, f"not one fits at {then.length_cm:g} cm ({fit.by})",
                           "a larger tank, or fewer beside them", "room-at-leaving")  # fmt: skip
    system = room.valve.open_to(mover.from_tank, judging.at)
    same = system is not None and system == room.valve.open_to(tank, judging.at)
    needed = room.tank[tank].role in NEEDED_ROLES and then.line.adult_cm != then.length_cm
    if others:
        remarks.append("beside " + ", ".join(other.group for other in others))
    remarks += ["no step in water"] * same + ["by the steps"] * room.needs_steps(tank)
    rank = (int(needed), int(bool(others)), int(not same), int(room.needs_steps(tank)), holds)
    return Place(
        tank=tank, fit=fit, holds=holds, beside=tuple(other.group for other in others),
        remarks=tuple(remarks), rank=(*rank, *room.path_of(tank)[2:]),
    )  # fmt: skip


def split_over(holds: Iterable[tuple[str, int]], count: int) -> tuple[tuple[str, int], ...]:
    """How to share so many fish over the fewest tanks, each as full as the others.

    Empty where all tanks together do not hold them.
    """
    ordered = sorted(holds, key=lambda pair: -pair[1])
    chosen: list[tuple[str, int]] = []
    for tank, most in ordered:
        if sum(held for _, held in chosen) >= count:
            break
        if most > 0:
            chosen.append((tank, most))
    total = sum(held for _, held in chosen)
    if total < count or not chosen:
        return ()
    shares = [count * held // total for _, held in chosen]
    for index in range(len(chosen)):
        if sum(shares) < count:
            shares[index] += min(count - sum(shares), chosen[index][1] - shares[index])
    return tuple((tank, share) for (tank, _), share in zip(chosen, shares, strict=True))
