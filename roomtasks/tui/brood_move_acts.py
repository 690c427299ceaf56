"""What can be done to moves under way and to tanks made over; what may be asked of weeks. Pure."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from roomtasks.room.planned_move import TUB, PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.rededicate import GATES, MakeOver
from roomtasks.room.room_full import WEEKS, WhatIf
from roomtasks.tui.brood_typed import count_typed, day_typed
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.side_acts import Act, Ask, Do
from roomtasks.work import move_acts
from roomtasks.work.fish import OUT

ALL, NOTHING = "all", "-"

NOTED_AT = GATES | {7}
STEP_NOTES = {1: "where the old group goes", 7: "how many, and where to", 8: "how many stay",
              12: "what was seen", 13: "ammonia, and how many went in"}  # fmt: skip


# ---- chains --------------------------------------------------------------------------


def link_done(move: PlannedMove) -> Act:
    """A link was done: counted out, counted in."""

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        word = answers[0] if move.to_tank else ALL
        many = None if word == ALL else count_typed(word, 0)
        if isinstance(many, Problem):
            return many
        how = "sold" if move.to_tank else answers[0]
        return lambda store, now, who: move_acts.do_link(
            store, now, who, move.chain, move.n, many, how, anyway
        )

    ask = Ask(text=f"{move.count} out; how many counted in (Enter: all):", blank=ALL)
    if not move.to_tank:
        ask = Ask(text=f"{move.count} went out of the room:", choices=OUT)
    elif TUB in (move.to_tank, move.from_tank):
        ask = Ask(text=f"{move.count} netted; how many counted (Enter: all):", blank=ALL)
    return Act(label=f"link {move.n} done", make=make, asks=(ask,))


def slipped(move: PlannedMove, today: date) -> Act:
    """A link is done on another day, and all behind it with it."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        day = day_typed(answers[0], today, ahead=True)
        if isinstance(day, Problem):
            return day
        return lambda store, now, who: move_acts.slip(store, now, who, move.chain, move.n, day)

    ask = Ask(text=f"Link {move.n} on which day, as 13 or +7, then Enter:")
    return Act(label="slip to a day", make=make, asks=(ask,))


def dropped(chain: str) -> Act:
    """The links of a chain that are not done are given up."""
    return Act(label="drop the chain", sure=f"Drop what is not done of {chain}",
               make=lambda _, __: lambda store, now, who: move_acts.drop_chain(
                   store, now, who, chain))  # fmt: skip


def settled(move: PlannedMove) -> Act:
    """The difference of a link is settled: so many were seen."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        seen = move.count if answers[0] == ALL else count_typed(answers[0], 0)
        if isinstance(seen, Problem):
            return seen
        return lambda store, now, who: move_acts.settle(store, now, who, move.chain, move.n, seen)

    text = f"How many of the {move.count} are seen now (Enter: all {move.count}):"
    return Act(label="settle", make=make, asks=(Ask(text=text, blank=ALL),))


# ---- tanks made over -----------------------------------------------------------------


def step_done(made: MakeOver, step: int, noted: bool) -> Act:
    """A step of a make-over was done; where something is counted or found, it is asked."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        note = "" if not answers or answers[0] == NOTHING else answers[0]
        return lambda store, now, who: move_acts.tick(store, now, who, made.code, step, note)

    asks = (Ask(text=f"Step {step}: {STEP_NOTES.get(step, 'a note')} (Enter: nothing to note):",
                blank=NOTHING),) if noted else ()  # fmt: skip
    return Act(label=f"step {step} done", make=make, asks=asks)


def given_up(made: MakeOver) -> Act:
    """A make-over is ended as it stands."""
    return Act(label="end it here", sure=f"End the make-over of {made.tank} here",
               make=lambda _, __: lambda store, now, who: move_acts.end_make_over(
                   store, now, who, made.code))  # fmt: skip


def begun(seen: BroodsSeen) -> Act:
    """A tank is to be made over for other fish."""
    tanks = tuple(seen.room.tank)

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        tank, typed, to, line = answers
        day = day_typed(typed, seen.today, ahead=True)
        if isinstance(day, Problem):
            return day
        named = "" if line == NOTHING else line
        return lambda store, now, who: move_acts.begin_make_over(
            store, now, who, tank, day, to, named
        )

    return Act(
        label="make a tank over", make=make,
        asks=(
            Ask(text="Make over which tank", choices=tanks, page=True),
            Ask(text="Its water is lowered on which day, as 13 or +7, then Enter:"),
            Ask(text="The old group goes to", choices=("not known yet", *tanks),
                values=("", *tanks), page=True),
            Ask(text="For which line (Enter: not said):", blank=NOTHING),
        ),
    )  # fmt: skip


# ---- what if -------------------------------------------------------------------------


def _never(_: tuple[str, ...], __: bool) -> Problem:
    return Problem("what if", "it is only asked", "nothing is kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedAct(Act):
    """What if: the weeks as they would be. `wanted` is asked of the look, nothing is kept."""

    make: Callable[[tuple[str, ...], bool], Do | Problem] = _never
    wanted: Callable[[tuple[str, ...]], WhatIf | Problem]


def what_ifs(seen: BroodsSeen, week: int = 0) -> tuple[Act, ...]:
    """The questions that can be asked of the weeks; in a week, sold by its end."""
    what, found = seen.what_if, []
    pairs = sorted({brood.parents for brood in seen.room.broods if brood.parents})
    if pairs:
        ask = Ask(text="Which pair rests:", choices=tuple(pairs))
        found.append(
            AskedAct(label="what if a pair rests", asks=(ask,),
                     wanted=lambda answers: replace(what, rests=what.rests | {answers[0]}))
        )  # fmt: skip
    open_ = tuple(now.brood.code for now in seen.view.broods if now.parts)
    if open_:
        asks = [Ask(text="Which brood is sold:", choices=open_)]
        if not week:
            asks.append(Ask(text=f"By the end of which week, 1 to {WEEKS}, then Enter:"))
        label = f"what if sold in week {week}" if week else "what if sold by a week"
        found.append(
            AskedAct(label=label, asks=tuple(asks),
                     wanted=lambda answers: _sold(what, (*answers, f"{week}")))
        )  # fmt: skip
    if what != WhatIf():
        found.append(AskedAct(label="as it is", wanted=lambda _: WhatIf()))
    return tuple(found)


def _sold(what: WhatIf, answers: tuple[str, ...]) -> WhatIf | Problem:
    week = count_typed(answers[1], 1, "weeks")
    if isinstance(week, Problem):
        return week
    if week > WEEKS:
        return Problem("week", f"week {week} is not among the {WEEKS}", f"type 1 to {WEEKS}")
    return replace(what, sold_in={**(what.sold_in or {}), answers[0]: week})
