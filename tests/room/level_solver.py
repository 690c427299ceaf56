"""An exact solver's opinion of a span: CP-SAT, one aim after the other (tests only).

The model is written from the span itself, not from the chains and ranges that
the levelling works on. Lateness is not modelled: every task in its days.
"""

from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from roomtasks.room.level_task import NEVER, Span


@dataclass(frozen=True, slots=True)
class Solved:
    """What a solver found: least supply over, minutes over, busiest day; bounds of the last."""

    status: str
    supply_over: int
    over: int
    busiest: int
    busiest_bound: int
    proven: bool
    days: dict[str, int]


def solved(span: Span, seconds: float = 60.0, workers: int = 1) -> Solved | None:
    """Lexicographically best placement, None where the days and gaps allow none at all."""
    model, lies, aims = _model(span)
    known: list[tuple[int, bool]] = []
    answer = None
    bound = 0
    for aim in aims:
        model.minimize(aim)
        answer = cp_model.CpSolver()
        answer.parameters.max_time_in_seconds = seconds
        answer.parameters.num_workers = workers
        answer.parameters.random_seed = 1
        status = answer.solve(model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        value = round(answer.objective_value)
        bound = round(answer.best_objective_bound)
        known.append((value, status == cp_model.OPTIMAL))
        model.add(aim <= value)
    if answer is None:
        return None
    days = {name: day for (name, day), here in lies.items() if answer.value(here)}
    (supply, _), (over, _), (busiest, _) = known
    proven = all(sure for _, sure in known)
    word = "optimal" if proven else "feasible"
    return Solved(word, supply, over, busiest, bound, proven, days)


def fewest_off(
    span: Span, most: tuple[int, int, int], seconds: float = 60.0, workers: int = 1
) -> tuple[int, int] | None:
    """Fewest days off the usual ones with at most so much supply over, minutes over, busiest.

    What was found, and what nothing can be below.
    """
    model, lies, aims = _model(span)
    for aim, value in zip(aims, most, strict=True):
        model.add(aim <= value)
    usual = {task.id: task.usual for task in span.tasks}
    model.minimize(sum(abs(day - usual[name]) * here for (name, day), here in lies.items()))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return round(solver.objective_value), round(solver.best_objective_bound)


def _model(span: Span) -> tuple[Any, dict[tuple[str, int], Any], list[Any]]:
    model = cp_model.CpModel()
    lies: dict[tuple[str, int], Any] = {}
    day_of: dict[str, Any] = {}
    for task in span.tasks:
        here = [model.new_bool_var("") for _ in task.days]
        model.add_exactly_one(here)
        lies.update({(task.id, day): one for day, one in zip(task.days, here, strict=True)})
        day_of[task.id] = sum(day * one for day, one in zip(task.days, here, strict=True))
    for task in span.tasks:
        if task.after:
            gap = day_of[task.id] - day_of[task.after]
            model.add(gap >= task.min_gap)
            if task.max_gap < NEVER:
                model.add(gap <= task.max_gap)
    _clashes(model, span, lies, day_of)
    loads = [_load(model, span, lies, day) for day in range(span.n_days)]
    busiest = model.new_int_var(0, 10**7, "")
    overs = []
    for day in range(span.n_days):
        if span.counted(day):
            model.add(busiest >= loads[day])
            overs.append(_above(model, loads[day], span.limits[day]))
    return model, lies, [_supply(model, span, lies), sum(overs), busiest]


def _clashes(model: Any, span: Span, lies: dict[tuple[str, int], Any], day_of: Any) -> None:
    days = {task.id: task.days for task in span.tasks}
    for clash in span.clashes:
        if clash.in_order:
            model.add(day_of[clash.first] + clash.days <= day_of[clash.second])
            continue
        for one in days[clash.first]:
            for other in days[clash.second]:
                if abs(one - other) < clash.days:
                    model.add_at_most_one([lies[clash.first, one], lies[clash.second, other]])


def _load(model: Any, span: Span, lies: dict[tuple[str, int], Any], day: int) -> Any:
    total: Any = 0
    sharers: dict[str, list[Any]] = {}
    for task in span.tasks:
        here = lies.get((task.id, day))
        if here is not None:
            total += task.size * here
            for name in task.shares:
                sharers.setdefault(name, []).append(here)
    for name, found in sorted(sharers.items()):
        if span.shared[name].cost:
            once = model.new_bool_var("")
            model.add_max_equality(once, found)
            total += span.shared[name].cost * once
    return total


def _above(model: Any, amount: Any, most: int) -> Any:
    above = model.new_int_var(0, 10**7, "")
    model.add(above >= amount - most)
    return above


def _supply(model: Any, span: Span, lies: dict[tuple[str, int], Any]) -> Any:
    total: Any = model.new_constant(0)
    for name, limits in span.supplies.items():
        for day, most in enumerate(limits):
            taken = [
                amount * lies[task.id, day]
                for task in span.tasks
                for supply, amount in task.uses
                if supply == name and (task.id, day) in lies
            ]
            if span.counted(day) and taken:
                total += _above(model, sum(taken), most)
    return total
