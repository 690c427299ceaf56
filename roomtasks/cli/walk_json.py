"""The walk as JSON: every worked-out number with what it was worked out from."""

from collections.abc import Sequence
from datetime import datetime

from roomtasks.cli.asked import Document, day, figure, instant
from roomtasks.room.caution import cautions_at
from roomtasks.room.course_days import doses_of
from roomtasks.room.fit import LeftOut
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.tank import drain_mark_cm, litres_of
from roomtasks.room.walk import Stop
from roomtasks.room.why import rule_words, why

AS_THE_JOB_SAYS = "as the job says"


def known_minutes(stop: Stop) -> str:
    """How the minutes of a stop are known."""
    return "recorded" if stop.from_record else AS_THE_JOB_SAYS


def due_document(room: Room, due: Due, now: datetime) -> Document:
    """One occurrence: what, where, which state, why, and how much."""
    return {
        "job": due.job.code, "target": due.target, "id": due.id, "name": due.job.name,
        "kind": due.job.kind, "tank": due.tank or None,
        "class": due.health.word if due.tank else None, "state": due.state.value,
        "due": day(due.slot.first), "placed": day(due.placed),
        "opens": day(due.opens), "closes": day(due.closes),
        "slot": day(due.slot.day), "first_slot": day(due.slot.first), "missed": due.slot.missed,
        "days_late": due.days_late, "forecast": due.slot.forecast, "rule": rule_words(due),
        "last_done": _last(due), "why": why(due), "moved": list(due.moved),
        "step_back": _step_back(due), "waits_for": due.waits_for or None, **amounts(room, due, now),
        "needs": due.job.needs or None,
        "cautions": list(cautions_at(room, due.job.kind, due.tank)),
    }  # fmt: skip


def minded(room: Room, due: Due) -> str:
    """What to mind at a job, as words behind its reason."""
    return "".join(f" Mind: {caution}" for caution in cautions_at(room, due.job.kind, due.tank))


def _last(due: Due) -> Document | None:
    mark = due.past.closing
    if mark is None:
        return None
    return {
        "outcome": mark.outcome, "day": day(mark.day), "at": instant(mark.at),
        "who": mark.who or None,
    }  # fmt: skip


def _step_back(due: Due) -> Document | None:
    back, last = due.step_back, due.past.closing
    if back is None:
        return None
    return {
        "day": day(back.day), "fraction": figure(back.fraction),
        "fraction_known": "computed" if back.fraction is not None else None,
        "fraction_from": {
            "fraction": figure(due.fraction),
            "usual_days": (due.slot.first - last.day).days,
            "days": (back.day - last.day).days,
        } if last is not None and back.fraction is not None else None,
    }  # fmt: skip


def amounts(room: Room, due: Due, now: datetime) -> Document:
    """Litres, shares and drain marks, each with how it is known and its inputs."""
    share = due.owed_fraction if due.owed_fraction is not None else due.fraction
    found: Document = {
        "litres": figure(due.litres, 3), "litres_known": due.litres_known or None,
        "litres_from": _litres_from(room, due, now, share), "fraction": figure(due.fraction),
        "fraction_known": AS_THE_JOB_SAYS if due.fraction is not None else None,
        "part_done_fraction": figure(due.part_done),
        "owed_fraction": figure(due.owed_fraction),
        "owed_fraction_known": "computed" if due.owed_fraction is not None else None,
        "drain_cm": None, "drain_cm_known": None, "drain_cm_from": None,
        "reservoir": due.job.reservoir or None,
    }  # fmt: skip
    if due.fraction is None or share is None:
        return found
    if due.tank:
        mark = _drain(room, due.tank, share)
        if mark is not None:
            found |= {
                "drain_cm": mark["cm"], "drain_cm_known": "computed",
                "drain_cm_from": mark["from"],
            }  # fmt: skip
    elif due.target in room.system:
        members = sorted(room.valve.members(due.target, now))
        found["drain_by_tank"] = [
            {"tank": code, **mark} for code in members if (mark := _drain(room, code, share))
        ]
    return found


def _litres_from(room: Room, due: Due, now: datetime, share: float | None) -> Document | None:
    """The inputs of a litres figure."""
    if due.litres is None:
        return None
    if due.fraction is None:
        return {"job_litres": figure(due.job.litres), "part_done_fraction": figure(due.part_done)}
    inputs: Document = {"fraction": figure(share)}
    if due.tank:
        body = litres_of(room.tank[due.tank])
        if not isinstance(body, Problem):
            inputs |= {
                "body_litres": figure(body.litres, 3), "body_known": body.known,
                "body_source": body.source,
            }  # fmt: skip
    else:
        members = sorted(room.valve.members(due.target, now))
        inputs |= {
            "body_litres": figure(room.open_litres(due.target, now), 3), "body_known": "computed",
            "body_source": "tanks open to the system", "tanks": members,
        }  # fmt: skip
    return inputs


def _drain(room: Room, code: str, share: float) -> Document | None:
    tank = room.tank[code]
    mark, litres = drain_mark_cm(tank, share), litres_of(tank)
    if isinstance(mark, Problem) or isinstance(litres, Problem):
        return None
    inputs = {
        "fraction": figure(share), "litres": figure(litres.litres, 3),
        "litres_known": litres.known, "length_cm": tank.length_cm, "width_cm": tank.width_cm,
    }  # fmt: skip
    return {"cm": figure(mark, 2), "known": "computed", "from": inputs}


def stop_document(room: Room, stop: Stop, now: datetime) -> Document:
    """One stop of the walk, with its minutes."""
    due = stop.due
    shared = due.owed_fraction / due.fraction if due.owed_fraction and due.fraction else 1.0
    return {
        **due_document(room, due, now),
        "minutes": figure(stop.minutes), "minutes_known": known_minutes(stop),
        "minutes_from": {
            "job_minutes": figure(due.job.minutes),
            "recorded_minutes": [figure(value) for value in stop.recorded],
            "share_left_fraction": figure(shared),
        },
        "setup_minutes": figure(stop.setup_minutes), "setup_minutes_known": AS_THE_JOB_SAYS,
        "way_minutes": figure(stop.way_minutes), "way_minutes_known": "the room's settings",
        "doses": list(doses_of(room, due, room.day_at(now))),
    }  # fmt: skip


def left_documents(room: Room, left: Sequence[LeftOut], now: datetime) -> list[Document]:
    """What a short walk leaves out, and what leaving costs."""
    return [{**stop_document(room, each.stop, now), "cost": each.cost} for each in left]


def pumps(room: Room, now: datetime) -> list[Document]:
    """The return pump of each system."""
    found = []
    for system in room.systems:
        turn = room.pump_state(system.code, now)
        found.append(
            {
                "system": system.code, "state": turn.state if turn else None,
                "since": instant(turn.at.astimezone(room.zone)) if turn else None,
                "system_litres": figure(room.system_litres(system.code, now), 3),
                "system_litres_known": "computed",
                "system_litres_from": {
                    "open_tanks_litres": figure(room.open_litres(system.code, now), 3),
                    "sump_litres": system.sump_litres, "sump_known": system.sump_known,
                    "pipes_litres": system.pipes_litres,
                },
            }
        )  # fmt: skip
    return found


def reservoirs(room: Room) -> list[Document]:
    """What each reservoir can give now."""
    return [
        {
            "reservoir": vessel.code, "name": vessel.name or None,
            "usable_litres": figure(vessel.usable_litres, 3), "usable_litres_known": "computed",
            "usable_litres_from": {
                "holds_litres": figure(vessel.holds_litres, 3),
                "dead_litres": vessel.dead_litres, "keep_back_litres": vessel.keep_back_litres,
            },
            "full_litres": vessel.full_litres,
        }
        for vessel in room.reservoirs
    ]  # fmt: skip
