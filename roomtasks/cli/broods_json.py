"""Broods, moves to come and the coming weeks as JSON; `fish` holds the same."""

from roomtasks.cli.asked import Document, day, figure, instant
from roomtasks.room.amount import COMPUTED
from roomtasks.room.brood_growth import Growth, SizeDay
from roomtasks.room.brood_life import Step
from roomtasks.room.brood_now import BroodNow, Part
from roomtasks.room.density import Load
from roomtasks.room.destination import Answer, Place
from roomtasks.room.move_day import MoveDay
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.rededicate import STEPS, MakeOver
from roomtasks.room.room_full import Week
from roomtasks.work.brood_view import BroodsView


def broods_document(view: BroodsView) -> Document:
    """Keys broods, moves, make_overs and weeks; lengths in cm, weights in g, days room-local."""
    return {
        "today": day(view.today),
        "broods": [_brood(now, view) for now in view.broods],
        "closed": [
            {
                "brood": brood.code, "line": brood.line, "closed": day(brood.closed),
                "counted": brood.counted, "sold": brood.sold, "kept": brood.kept,
                "died": brood.died, "given": brood.given, "reason": brood.reason or None,
            }
            for brood in view.closed
        ],
        "moves": [_move(move) for move in view.moves],
        "make_overs": [_make_over(made) for made in view.make_overs],
        "weeks": [_week(week) for week in view.weeks],
        "weeks_known": "forecast",
        "weeks_from": "broods x growth, against tanks free or held by broods",
        "weeks_untold": list(view.untold), "weeks_say": view.says or None,
    }  # fmt: skip


def _brood(now: BroodNow, view: BroodsView) -> Document:
    brood, growth = now.brood, now.growth
    known = isinstance(growth, Growth)
    return {
        "brood": brood.code, "line": brood.line, "parents": brood.parents or None,
        "tank": brood.tank, "spawned": day(brood.spawned), "age_days": now.age_days,
        "counted": brood.counted, "group": brood.group or None,
        "size_cm": figure(now.size_cm, 3),
        "size_known": growth.known if isinstance(growth, Growth) else None,
        "size_from": growth.method if isinstance(growth, Growth) else None,
        "growth_mm_per_day": _rate(growth, view),
        "growth_problem": growth.sentence() if isinstance(growth, Problem) else None,
        "samples": [
            {
                "day": day(sample.day), "n": sample.n, "smallest_cm": sample.smallest_cm,
                "middle_cm": sample.middle_cm, "largest_cm": sample.largest_cm,
                "length": sample.length, "known": "measured",
            }
            for sample in (growth.used if isinstance(growth, Growth) else ())
        ],
        "stale": growth.stale(view.today) if isinstance(growth, Growth) else None,
        "at_move_size": _size_day(now.at_move) if known else None,
        "at_sale_size": _size_day(now.at_sale) if known else None,
        "next_spawn": day(now.next_spawn),
        "steps": [_step(step) for step in now.steps],
        "tanks": [_part(part, view) for part in now.parts],
        "remarks": list(now.remarks),
    }  # fmt: skip


def _rate(growth: Growth | Problem, view: BroodsView) -> float | None:
    if isinstance(growth, Problem):
        return None
    rate = growth.rate_mm_per_day(view.today)
    return None if isinstance(rate, Problem) else figure(rate, 4)


def _size_day(found: SizeDay | Problem | None) -> Document | None:
    if not isinstance(found, SizeDay):
        return None
    return {
        "cm": found.cm, "date": day(found.day), "earliest": day(found.earliest),
        "latest": day(found.latest), "date_known": found.known,
        "date_from": f"{found.method}, 20 % of the days left either way",
    }  # fmt: skip


def _step(step: Step) -> Document:
    return {
        "step": step.key, "what": step.what, "date": day(step.day), "at": instant(step.at),
        "daily": step.daily, "why": step.why,
    }  # fmt: skip


def _part(part: Part, view: BroodsView) -> Document:
    load, move = part.load, part.move
    return {
        "tank": part.group.tank, "group": part.group.code, "count": part.group.count,
        "count_known": part.group.count_known,
        "came_from": list(view.origins.get(part.group.code, ())),
        "g_per_l": figure(load.density.value, 4) if isinstance(load, Load) else None,
        "g_per_l_known": load.density.known if isinstance(load, Load) else None,
        "g_per_l_from": load.density.formula if isinstance(load, Load) else None,
        "limit_g_per_l": figure(load.limit.value) if isinstance(load, Load) else None,
        "limit_fraction": figure(load.share, 4) if isinstance(load, Load) else None,
        "full": _size_day(part.full), "full_by": part.full_by or None,
        "move_on": day(move.day) if isinstance(move, MoveDay) else None,
        "move_cause": move.cause if isinstance(move, MoveDay) else None,
        "move_why": move.why if isinstance(move, MoveDay) else move.sentence(),
        "move_known": "forecast",
        "move_causes": [
            {"cause": cause.name, "date": day(cause.day), "why": cause.why}
            for cause in (move.causes if isinstance(move, MoveDay) else ())
        ],
        "destination": _first(part.answer), "stop_gaps": list(part.gaps),
    }  # fmt: skip


def _first(answer: Answer | None) -> Document | None:
    if answer is None:
        return None
    best = answer.whole[0] if answer.whole else None
    return {
        "tank": best.tank if best is not None else None,
        "split": [{"tank": tank, "count": count} for tank, count in answer.split],
        "others": [place.tank for place in answer.whole[1:]],
        "refused": len(answer.refused),
    }  # fmt: skip


def places_document(group: str, leaving_cm: float | None, answer: Answer) -> Document:
    """Every tank judged for a group, best first, and those refused with their rules."""
    return {
        "group": group, "leaving_cm": figure(leaving_cm, 3),
        "places": [_place(place, whole=True) for place in answer.whole]
        + [_place(place, whole=False) for place in answer.partly],
        "split": [{"tank": tank, "count": count} for tank, count in answer.split],
        "refused": [
            {
                "tank": tank,
                "rules": [
                    {"rule": problem.rule or None, "what": problem.what, "remedy": problem.remedy}
                    for problem in problems
                ],
            }
            for tank, problems in answer.refused.items()
        ],
    }  # fmt: skip


def _place(place: Place, *, whole: bool) -> Document:
    return {
        "tank": place.tank, "holds": place.holds, "holds_all": whole, "holds_known": COMPUTED,
        "holds_from": place.fit.by if place.fit is not None else None,
        "beside": list(place.beside), "remarks": list(place.remarks),
    }  # fmt: skip


def _move(move: PlannedMove) -> Document:
    short = move.counted_in
    return {
        "chain": move.chain, "link": move.n, "group": move.group, "count": move.count,
        "from_tank": move.from_tank, "to_tank": move.to_tank or None, "date": day(move.day),
        "state": move.state, "done_on": day(move.done_on), "counted_in": short,
        "open_difference": None if short is None else move.count - short,
    }  # fmt: skip


def _make_over(made: MakeOver) -> Document:
    return {
        "make_over": made.code, "tank": made.tank, "done": list(made.done),
        "open": [{"step": step, "what": STEPS[step]} for step in made.open],
        "gate": made.waits_at, "must_not_stay_so": list(made.alarms),
    }  # fmt: skip


def _week(week: Week) -> Document:
    return {
        "week": week.n, "from": day(week.first), "kind": week.kind, "tanks_wanted": week.wanted,
        "tanks_there": week.there, "tanks_free": week.free, "broods": list(week.broods),
        "levers": [
            {"lever": lever.sort, "about": lever.about, "what": lever.words,
             "gives_tanks": lever.gives}
            for lever in week.levers
        ],
    }  # fmt: skip
