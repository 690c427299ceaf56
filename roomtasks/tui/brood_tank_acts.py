"""What can be done to the fish of a brood in one tank: count, part, move, plan, sell. Pure.

Where they could go is asked on a page of every tank, judged and ranked; those
that are refused say why, and may be taken all the same where fish move at once.
"""

from collections.abc import Sequence
from datetime import datetime

from roomtasks.room.brood_now import Part
from roomtasks.room.destination import Answer, Mover
from roomtasks.room.problem import Problem
from roomtasks.room.stock import Group
from roomtasks.store.base import Store
from roomtasks.tui.brood_typed import count_typed, shares_typed
from roomtasks.tui.brood_words import BroodsSeen, place_lines, split_words
from roomtasks.tui.side_acts import Act, Ask, Do, First
from roomtasks.work import brood_acts, fish, move_acts

ALL, ANY, SPLIT = "all", "", ":split"
Judged = tuple[Mover, Answer]


def counted(group: Group) -> Act:
    """A later count of a group."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        many = count_typed(answers[0], 0)
        if isinstance(many, Problem):
            return many
        return lambda store, now, who: fish.recount(store, now, who, group.code, many, answers[1])

    return Act(
        label="count", make=make,
        asks=(Ask(text=f"{group.tank}: how many now ({group.count} before), then Enter:"),
              Ask(text="Counted:", choices=("one by one", "about"), values=("exact", "about"))),
    )  # fmt: skip


def out(group: Group, how: str) -> Act:
    """So many were sold, given, died or were lost."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        many = group.count if answers[0] == ALL else count_typed(answers[0])
        if isinstance(many, Problem):
            return many
        return lambda store, now, who: fish.take_out(store, now, who, group.code, many, how)

    blank = ALL if how in ("sold", "given") else ""
    tail = f" (Enter: all {group.count})" if blank else ""
    asks = (Ask(text=f"{group.tank}: how many {how}{tail}, then Enter:", blank=blank),)
    return Act(label=how, make=make, asks=asks)


def where_ask(judged: Judged, code: str, chain: bool = False) -> Ask:
    """A page of every tank, judged and ranked; those refused say why."""
    mover, answer = judged
    lines = list(place_lines(judged))
    if chain:
        lines.insert(len(answer.whole), (ANY, "any tank that will do, by the shortest chain"))
        if answer.split:
            lines.insert(0, (SPLIT, f"split now: {split_words(answer)}"))
    return Ask(text=f"Where {mover.count} of {code} can go", page=True,
               choices=tuple(words for _, words in lines),
               values=tuple(tank for tank, _ in lines))  # fmt: skip


def refused_there(answer: Answer, tank: str) -> Problem | None:
    """What speaks against a tank, as one refusal that may be overruled."""
    wrong = answer.refused.get(tank)
    if not wrong:
        return None
    return Problem(tank, "; ".join(problem.what for problem in wrong),
                   f"{wrong[0].remedy}, or say --anyway", wrong[0].rule)  # fmt: skip


def moved(group: Group, judged: Judged, label: str = "moved", graded: bool = False) -> Act:
    """So many go to another tank now: all of them, a share split off, or the large ones."""

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        tank = answers[1]
        many = group.count if answers[0] == ALL else count_typed(answers[0])
        if isinstance(many, Problem):
            return many
        fault = None if anyway else refused_there(judged[1], tank)
        if fault is not None and many <= group.count:
            return fault
        if label == "moved":
            return lambda store, now, who: fish.move(
                store, now, who, group.code, many, tank, anyway
            )
        return lambda store, now, who: brood_acts.part(
            store, now, who, group.code, [(many, tank)], graded, anyway
        )

    blank = ALL if label == "moved" else ""
    which = {"grade": "how many large ones go", "split": "how many are split off"}
    text = f"{group.tank}: {which.get(label, f'how many (Enter: all {group.count})')}, then Enter:"
    return Act(label=label, make=make,
               asks=(Ask(text=text, blank=blank), where_ask(judged, group.code)))  # fmt: skip


def split_typed(group: Group, label: str = "split over several", graded: bool = False) -> Act:
    """Shares to several tanks as one act."""

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        shares = shares_typed(answers[0])
        if isinstance(shares, Problem):
            return shares
        return lambda store, now, who: brood_acts.part(
            store, now, who, group.code, shares, graded, anyway
        )

    asks = (Ask(text=f"{group.count} in {group.tank}: as 40 D3 20 D4, then Enter:"),)
    return Act(label=label, make=make, asks=asks)


# ---- chains --------------------------------------------------------------------------


def planned(group: Group, judged: Judged, others: Sequence[Group] = ()) -> Act:
    """Plan the chain that brings a group to a tank; with `others` one of them may be sold."""

    def wants(answers: tuple[str, ...]) -> tuple[list[tuple[str, tuple[str, ...]]], list[str]]:
        tanks = (answers[0],) if answers[0] else ()
        return [(group.code, tanks)], list(answers[1:])

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        if answers[0] == SPLIT:
            shares = [(count, tank) for tank, count in judged[1].split]
            return lambda store, now, who: brood_acts.part(
                store, now, who, group.code, shares, False, anyway
            )
        wanted, sold = wants(answers)
        return lambda store, now, who: move_acts.plan_chain(store, now, who, wanted, sold)

    def first(answers: tuple[str, ...]) -> First:
        wanted, sold = wants(answers)
        return lambda store, now: _foreseen(store, now, answers, judged, wanted, sold)

    asks = [where_ask(judged, group.code, chain=True)]
    if others:
        asks.append(
            Ask(text="Which may be sold to make room",
                choices=tuple(f"{g.count} {g.line} ({g.code}) in {g.tank}" for g in others),
                values=tuple(g.code for g in others), page=True)
        )  # fmt: skip
    return Act(label="plan a move with a sale" if others else "plan move", make=make,
               asks=tuple(asks), sure="Do that", first=first)  # fmt: skip


def _foreseen(
    store: Store, now: datetime, answers: tuple[str, ...], judged: Judged,
    wanted: list[tuple[str, tuple[str, ...]]], sold: list[str],
) -> tuple[str, ...] | Problem:  # fmt: skip
    if answers[0] == SPLIT:
        return (f"split now: {split_words(judged[1])}",)
    found = move_acts.foresee_chain(store, now, wanted, sold)
    if isinstance(found, Problem):
        return found
    many = len(found.links)
    sure = "no shorter chain can be" if found.proven else "a shorter chain may be"
    return (*found.said(), f"{many} link{'s' if many != 1 else ''}, {sure}")


def in_tank(seen: BroodsSeen, part: Part) -> list[Act]:
    """What can be done to the fish in one tank."""
    group, judged = part.group, seen.places.get(part.group.code)
    found = [counted(group)]
    if judged is not None:
        grading = moved(group, judged, "grade", graded=True)
        found += [grading, moved(group, judged, "split"), split_typed(group)]
        if seen.move_of(group.code) is None:
            others = [g for g in seen.room.groups if g.count and g.code != group.code]
            found += [planned(group, judged)]
            found += [planned(group, judged, others)] if others else []
        found.append(moved(group, judged))
    return [*found, *(out(group, how) for how in ("sold", "given", "died"))]
