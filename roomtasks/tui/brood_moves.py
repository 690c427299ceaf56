"""Moves to come, tanks made over and counts that are open, as lines of the list. Pure."""

from collections.abc import Iterator

from roomtasks.room.move_day import MoveDay
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.rededicate import GATES, STEPS, MakeOver
from roomtasks.room.why import day_words
from roomtasks.tui.brood_move_acts import (
    NOTED_AT,
    begun,
    dropped,
    given_up,
    link_done,
    settled,
    slipped,
    step_done,
)
from roomtasks.tui.brood_words import BroodsSeen, from_now
from roomtasks.tui.side_acts import Act
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part


def move_parts(seen: BroodsSeen, signs: Signs) -> list[Part]:
    """Chains, counts to be settled, tanks made over."""
    open_counts = tuple(_open_counts(seen, signs))
    return [
        Part("Counts that are open", open_counts),
        *(Part(_chain_title(moves), tuple(_chain(seen, moves, signs))) for moves in chains(seen)),
        *(Part(_over_title(made), tuple(_make_over(seen, made, signs)))
          for made in seen.view.make_overs),
    ]  # fmt: skip


def chains(seen: BroodsSeen) -> list[list[PlannedMove]]:
    """Chains with something left to do, the one whose next link is first to come first."""
    found: dict[str, list[PlannedMove]] = {}
    for move in seen.view.moves:
        found.setdefault(move.chain, []).append(move)
    open_ = [moves for moves in found.values() if any(m.state == "planned" for m in moves)]
    return sorted(open_, key=lambda moves: (next_link(moves).day, moves[0].chain))


def next_link(moves: list[PlannedMove]) -> PlannedMove:
    """The first link that is not done."""
    return next(move for move in moves if move.state == "planned")


def _chain_title(moves: list[PlannedMove]) -> str:
    done = sum(move.state == "done" for move in moves)
    last = max(move.day for move in moves if move.state == "planned")
    return f"{moves[0].chain}: {done} of {len(moves)} links done, the last {day_words(last)}"


def _chain(seen: BroodsSeen, moves: list[PlannedMove], signs: Signs) -> Iterator[Item]:
    first = next_link(moves)
    for move in moves:
        late = move.state == "planned" and move.day < seen.today
        acts = (link_done(move), slipped(move, seen.today), dropped(move.chain))
        yield Item(
            key=f"link {move.chain} {move.n}", about=move.group, weight="late" if late else "",
            text=f"{_sign(move, first, late, signs)} {link_words(seen, move, first)}",
            acts=acts if move.state == "planned" else (),
            more=_behind(moves, move),
        )  # fmt: skip
    for n, gap in enumerate(dict.fromkeys(_gaps(seen, moves))):
        yield Item(key=f"gap {first.chain} {n}", text=f"  until then: {gap}", weight="quiet")


def _sign(move: PlannedMove, first: PlannedMove, late: bool, signs: Signs) -> str:
    if move.state != "planned":
        return signs.done if move.state == "done" else signs.off
    if late:
        return signs.late
    return signs.due if move is first else signs.held


def link_words(seen: BroodsSeen, move: PlannedMove, first: PlannedMove) -> str:
    """One link: how many of what, from where to where, when, and how it stands."""
    told = f"{move.n}. {move.count} {move.group}  {move.from_tank} to {move.to_tank or 'a buyer'}"
    if move.state == "done":
        return f"{told}  done {day_words(move.done_on or move.day)}"
    if move.state == "dropped":
        return f"{told}  dropped"
    when = f"{day_words(move.day)}, {from_now(move.day, seen.today)}"
    late = " LATE" if move.day < seen.today else ""
    waits = f", waits for link {first.n}" if move is not first else ""
    return f"{told}  {when}{late}{waits}"


def _behind(moves: list[PlannedMove], move: PlannedMove) -> tuple[str, ...]:
    behind = [m.n for m in moves if m.n > move.n and m.state == "planned"]
    if move.state != "planned" or not behind:
        return ()
    return (f"If it slips, so do links {', '.join(map(str, behind))}.",)


def _gaps(seen: BroodsSeen, moves: list[PlannedMove]) -> Iterator[str]:
    """What tides the fish of a chain over, where it comes after the day they must leave."""
    days = {move.group: move.day for move in moves if move.state == "planned"}
    for now in seen.view.broods:
        for part in now.parts:
            day = days.get(part.group.code)
            if day is None or not isinstance(part.move, MoveDay) or day <= part.move.day:
                continue
            late = from_now(day, part.move.day).removeprefix("in ")
            for gap in part.gaps:
                told, _, rest = gap.partition(": ")
                yield f"{late} late: {rest}" if told.startswith("the destination is") else gap


def _open_counts(seen: BroodsSeen, signs: Signs) -> Iterator[Item]:
    for move in seen.view.moves:
        if move.counted_in is not None:
            short = move.count - move.counted_in
            yield Item(
                key=f"open {move.chain} {move.n}", about=move.group, acts=(settled(move),),
                weight="late",
                text=f"{signs.late} {move.group}: {move.count} in, {move.counted_in} seen, {short} "
                f"open, {move.to_tank or 'out of ' + move.from_tank} since "
                f"{day_words(move.done_on or move.day)} ({move.chain} link {move.n})",
            )  # fmt: skip


# ---- tanks made over -----------------------------------------------------------------


def _over_title(made: MakeOver) -> str:
    return f"{made.tank} is made over: {len(made.done)} of {len(STEPS)} steps done"


def _make_over(seen: BroodsSeen, made: MakeOver, signs: Signs) -> Iterator[Item]:
    facts = next(row for row in seen.room.rededications if row.code == made.code)
    next_ = made.open[0] if made.open else None
    acts_next = (*_step_acts(made, made.open), given_up(made))
    for n, alarm in enumerate(made.alarms):
        yield Item(key=f"alarm {made.code} {n}", text=f"{signs.late} {alarm}", weight="late",
                   about=made.tank, acts=acts_next)  # fmt: skip
    told = f"  water lowered {day_words(facts.change_day)}, {facts.litres or 0:.0f} L"
    told += f", for {facts.for_line}" if facts.for_line else ""
    told += f", the old group to {facts.to_tank}" if facts.to_tank else ""
    yield Item(key=f"over {made.code}", text=told, about=made.tank, acts=acts_next)
    for step, words in STEPS.items():
        gate = " GATE: nothing behind it first" if step in GATES and step not in made.done else ""
        sign = signs.held
        if step in made.done:
            sign = signs.done
        elif step in made.open:
            sign = signs.due if step == next_ else signs.open
        yield Item(
            key=f"step {made.code} {step}", text=f"{sign} {step}. {words}{gate}", about=made.tank,
            weight="quiet" if step in made.done else "",
            acts=(*_step_acts(made, (step,)), given_up(made)) if step not in made.done else (),
        )  # fmt: skip


def _step_acts(made: MakeOver, steps: tuple[int, ...]) -> list[Act]:
    return [step_done(made, step, step in NOTED_AT) for step in steps]


def begin_item(seen: BroodsSeen) -> Item:
    """The line that begins a make-over."""
    return Item(key="begin over", text="A tank is to be made over for other fish",
                acts=(begun(seen),))  # fmt: skip
