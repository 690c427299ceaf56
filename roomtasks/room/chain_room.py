"""A room as a puzzle of moves: which group may go where, the chain found, or why there is none.

Where nothing can be, the smallest thing that would make it possible is looked
for: something at one tank, the tub, one group sold, a split, another tank.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from roomtasks.room.chain import OUT, TUB, Found, Puzzle
from roomtasks.room.chain_search import MOST_STATES, one_by_one, shortest
from roomtasks.room.density import Lodger, fit_in, limit_of, lodger_of
from roomtasks.room.destination import (
    APART_ROLES,
    Judging,
    Mover,
    at_leaving,
    company_refusals,
    destinations,
    tank_refusals,
)
from roomtasks.room.health import Health
from roomtasks.room.planned_move import TUB as IN_TUB
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.tank import litres_of

PERHAPS = ("no-lid", "outlet", "no-ripe-filter", "to-be-stripped", "held", "temperature")
FEWER_STATES = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a chain is asked for: groups to place, in named tanks or any that would do.

    `leaving_cm` by group; `sold`: groups that may leave the room; `stay`: groups
    that are not moved; `reserved`: tanks that planned moves go to.
    """

    groups: tuple[tuple[str, tuple[str, ...]], ...]
    leaving_cm: Mapping[str, float]
    sold: frozenset[str] = frozenset()
    stay: frozenset[str] = frozenset()
    reserved: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One move of a chain in the room's own names; "tub" is the holding tub, "" out of the room."""

    n: int
    group: str
    count: int
    from_tank: str
    to_tank: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A chain of moves: its links, and whether no shorter one can be."""

    links: tuple[Link, ...]
    proven: bool
    states: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Board:
    """The puzzle with the names behind its numbers."""

    puzzle: Puzzle
    groups: tuple[str, ...]
    tanks: tuple[str, ...]
    movers: tuple[Mover, ...]


def chain_for(
    judging: Judging, wanted: Wanted, states: int = MOST_STATES
) -> Chain | Problem:  # fmt: skip
    """The shortest chain that brings the wanted groups to their tanks.

    A Problem says why there is none and the smallest thing that would do. A
    chain not proven shortest came from bringing the groups one after the other.
    """
    known = {group.code for group in judging.room.groups if group.count}
    for code, tanks in wanted.groups:
        if code not in known:
            return Problem(code, "there is no such group with fish", "'roomtasks racks' shows them")
        wrong = next((tank for tank in tanks if tank not in judging.room.tank), None)
        if wrong is not None:
            return Problem(wrong, "there is no such tank", "'roomtasks racks' shows them")
    board = board_of(judging, wanted)
    found = shortest(board.puzzle, states)
    if found.moves is None and not found.proven:
        found = one_by_one(board.puzzle, states)
    if found.moves is None:
        return _impossible(judging, wanted, board, found)
    return Chain(links=tuple(_links(board, found)), proven=found.proven, states=found.states)


def _links(board: _Board, found: Found) -> Iterator[Link]:
    names = {OUT: "", TUB: IN_TUB}
    for n, move in enumerate(found.moves or (), 1):
        yield Link(
            n=n, group=board.groups[move.group], count=board.movers[move.group].count,
            from_tank=names.get(move.from_tank) or board.tanks[move.from_tank],
            to_tank=names[move.to_tank] if move.to_tank < 0 else board.tanks[move.to_tank],
        )  # fmt: skip


def board_of(judging: Judging, wanted: Wanted) -> _Board:
    """The room as a puzzle: every group with fish, every tank."""
    room = judging.room
    asked = dict(wanted.groups)
    groups = [group for group in room.groups if group.count and group.tank in room.tank]
    codes = tuple(group.code for group in groups)
    tanks = tuple(room.tank)
    number = {tank: n for n, tank in enumerate(tanks)}
    movers = tuple(
        Mover(now=lodger_of(room, group.code, judging.lengths), from_tank=group.tank,
              leaving_cm=wanted.leaving_cm.get(group.code))
        for group in groups
    )  # fmt: skip
    fits = [
        frozenset(number[tank] for tank in _homes(judging, wanted, mover, asked))
        for mover in movers
    ]
    goals = []
    for code, named in asked.items():
        at = codes.index(code)
        goal = frozenset(number[tank] for tank in named) if named else fits[at]
        goals.append((at, goal - {number[movers[at].from_tank]}))
    puzzle = Puzzle(
        tanks=len(tanks), at=tuple(number[mover.from_tank] for mover in movers), fits=tuple(fits),
        apart=frozenset(_apart(movers)), load=_loads(judging, movers, tanks), goals=tuple(goals),
        out=frozenset(n for n, code in enumerate(codes) if code in wanted.sold),
        tub=frozenset(n for n, mover in enumerate(movers) if _in_tub(judging, mover)),
        tub_between=tub_between(judging), parted=False,
    )  # fmt: skip
    return _Board(puzzle=puzzle, groups=codes, tanks=tanks, movers=movers)


def tub_between(judging: Judging) -> int:
    """How many other moves may lie between into the tub and out of it, all on one day."""
    setup = judging.room.setup
    if setup.tub_litres <= 0:
        return 0
    by_time = math.floor(setup.tub_minutes / setup.net_job_minutes + 1e-9) - 1
    return max(0, min(by_time, setup.net_jobs_a_day - 2))


def _in_tub(judging: Judging, mover: Mover) -> bool:
    """Whether the tub can take a group: its litres, and no risk to the next in it."""
    setup, day = judging.room.setup, judging.today
    litres = setup.tub_litres
    if litres <= 0 or judging.room.health_of(mover.from_tank, day) > Health.CLEAN:
        return False
    return mover.now.grams <= setup.tub_g_per_l * litres


def _homes(
    judging: Judging, wanted: Wanted, mover: Mover, asked: Mapping[str, tuple[str, ...]]
) -> Iterator[str]:
    """The tanks a group may live in by itself: its own, and those no rule refuses."""
    room = judging.room
    yield mover.from_tank
    if mover.code not in asked and (
        mover.code in wanted.stay or room.tank[mover.from_tank].role in APART_ROLES
    ):
        return
    if any(
        hold.on(judging.today) and {"move", "all"} & set(hold.kinds.split())
        for hold in room.holds_at.get(mover.from_tank, ())
    ):
        return
    for tank in room.tank:
        if tank == mover.from_tank or tank in wanted.reserved:
            continue
        if next(tank_refusals(judging, mover, tank), None) is None and _holds(judging, mover, tank):
            yield tank


def _holds(judging: Judging, mover: Mover, tank: str) -> bool:
    then = at_leaving(mover)
    if then.length_cm is None:
        return True
    fit = fit_in(judging.room, tank, then.line, then.length_cm, (), judging.at)
    return not isinstance(fit, Problem) and fit.heads >= mover.count


def _apart(movers: tuple[Mover, ...]) -> Iterator[tuple[int, int]]:
    for n, one in enumerate(movers):
        for m in range(n + 1, len(movers)):
            if next(company_refusals(one.now, movers[m].now, ""), None) is not None:
                yield n, m


def _loads(
    judging: Judging, movers: tuple[Mover, ...], tanks: tuple[str, ...]
) -> tuple[tuple[float, ...], ...]:
    """The share of each tank that each group takes up when it leaves."""
    room = judging.room
    holds = []
    for tank in tanks:
        litres = litres_of(room.tank[tank])
        known = 0.0 if isinstance(litres, Problem) else litres.litres
        holds.append((known, limit_of(room, tank, judging.at).value * known))
    return tuple(tuple(_share(at_leaving(mover), *held) for held in holds) for mover in movers)


def _share(lodger: Lodger, litres: float, grams: float) -> float:
    if litres <= 0 or grams <= 0:
        return 1.0
    return max(lodger.grams / grams, lodger.litres / litres)


# --- what would make it possible ------------------------------------------------------


def _impossible(judging: Judging, wanted: Wanted, board: _Board, found: Found) -> Problem:
    first = wanted.groups[0][0]
    what = (
        "no chain of moves brings it to a tank" if found.proven
        else f"no chain was found in {found.states:,} tries, and none of under {found.bound} moves "
        "can be"
    )  # fmt: skip
    what += _named_refuses(judging, wanted)
    ways = (_at_a_tank(judging, wanted), _by_tub(judging, wanted, board),
            _by_split(judging, wanted), _by_sale(board), _elsewhere(judging, wanted),
            _by_tank(judging, wanted))  # fmt: skip
    remedy = next((way for way in ways if way), "another tank, or fewer fish")
    return Problem(first, what, f"the least that would do: {remedy}", "no-chain")


def _mover_of(judging: Judging, wanted: Wanted) -> Mover:
    code = wanted.groups[0][0]
    group = next(group for group in judging.room.groups if group.code == code)
    return Mover(now=lodger_of(judging.room, code, judging.lengths), from_tank=group.tank,
                 leaving_cm=wanted.leaving_cm.get(code))  # fmt: skip


def _at_a_tank(judging: Judging, wanted: Wanted) -> str:
    """A tank that only one small thing speaks against."""
    mover, named = _mover_of(judging, wanted), set(wanted.groups[0][1])
    answer = destinations(judging, mover, wanted.reserved)
    for tank, wrong in answer.refused.items():
        small = len(wrong) == 1 and wrong[0].rule in PERHAPS and (not named or tank in named)
        if small and _holds(judging, mover, tank):
            return f"{tank}: {wrong[0].remedy}"
    return ""


def _named_refuses(judging: Judging, wanted: Wanted) -> str:
    """What speaks against the one tank that was named, whoever else lives in it."""
    mover, named = _mover_of(judging, wanted), wanted.groups[0][1]
    if len(named) != 1:
        return ""
    wrong = next(tank_refusals(judging, mover, named[0]), None)
    if wrong is not None:
        return f"; {named[0]}: {wrong.what}"
    if named[0] in wanted.reserved:
        return f"; {named[0]}: a planned move goes there"
    if not _holds(judging, mover, named[0]):
        return f"; {named[0]}: it does not hold all {mover.count} at the length they leave at"
    return ""


def _elsewhere(judging: Judging, wanted: Wanted) -> str:
    """Another tank than those named, that would do as the room stands."""
    if not wanted.groups[0][1]:
        return ""
    whole = destinations(judging, _mover_of(judging, wanted), wanted.reserved).whole
    return f"another tank, as {whole[0].tank}" if whole else ""


def _by_tub(judging: Judging, wanted: Wanted, board: _Board) -> str:
    """A tub large enough, and as many moves a day as the circle takes."""
    clean = frozenset(
        n for n, mover in enumerate(board.movers)
        if judging.room.health_of(mover.from_tank, judging.today) <= Health.CLEAN
    )  # fmt: skip
    puzzle = replace(board.puzzle, tub=clean, tub_between=3)
    found = shortest(puzzle, FEWER_STATES)
    if found.moves is None:
        return ""
    into = [n for n, move in enumerate(found.moves) if move.to_tank == TUB]
    out = [n for n, move in enumerate(found.moves) if move.from_tank == TUB]
    together = max(b - a + 1 for a, b in zip(into, out, strict=True))
    setup = judging.room.setup
    grams = max(board.movers[found.moves[n].group].now.grams for n in into)
    litres = max(10.0, grams / setup.tub_g_per_l)
    minutes = (together - 1) * setup.net_job_minutes
    return (
        f"a holding tub of {math.ceil(litres)} L with air and lid for {minutes:.0f} min, "
        f"and {together} moves on one day"
    )


def _by_split(judging: Judging, wanted: Wanted) -> str:
    if wanted.groups[0][1]:
        return ""
    split = destinations(judging, _mover_of(judging, wanted), wanted.reserved).split
    return "split it: " + ", ".join(f"{many} to {tank}" for tank, many in split) if split else ""


def _by_sale(board: _Board) -> str:
    """The group with the fewest fish that would make it possible by leaving the room."""
    asked = {group for group, _ in board.puzzle.goals}
    for n in sorted(range(len(board.groups)), key=lambda n: (board.movers[n].count, n)):
        if n in asked:
            continue
        found = shortest(replace(board.puzzle, out=board.puzzle.out | {n}), FEWER_STATES)
        if found.moves is not None:
            mover = board.movers[n]
            return f"sell or give away the {mover.count} of {mover.code} in {mover.from_tank}"
    return ""


def _by_tank(judging: Judging, wanted: Wanted) -> str:
    then = at_leaving(_mover_of(judging, wanted))
    grams = then.grams
    if grams <= 0:
        return ""
    alone = judging.room.setup.alone_g_per_l
    return f"one free tank of {math.ceil(grams / alone)} L that stands alone"


def reserved_by(moves: Iterable[PlannedMove]) -> frozenset[str]:
    """Tanks that planned moves still go to."""
    return frozenset(
        move.to_tank
        for move in moves
        if move.state == "planned" and move.to_tank not in ("", IN_TUB)
    )
