"""The weeks ahead as JSON: each day with its minutes, litres and jobs, and how they are known."""

from roomtasks.cli.asked import Document, day, figure
from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob, WaterUse
from roomtasks.room.water_plan import Note


def ahead_document(ahead: Ahead) -> Document:
    """The whole plan of a span."""
    return {
        "first": day(ahead.first), "last": day(ahead.last), "days_count": len(ahead.days),
        "busiest_minutes": figure(ahead.busiest_minutes, 3), "busiest_minutes_known": "computed",
        "busiest_minutes_from": "own minutes, set-up once a day and way of the day's jobs",
        "cannot_be_below_minutes": figure(ahead.bound_minutes, 3),
        "cannot_be_below_minutes_known": "computed",
        "cannot_be_below_minutes_from": "windows, holds, pairs and days away, by counting alone",
        "proven": ahead.proven, "over_minutes": figure(ahead.over_minutes, 3),
        "over_cannot_be_below_minutes": figure(ahead.over_bound_minutes, 3),
        "over_litres": figure(ahead.over_litres, 3),
        "over_cannot_be_below_litres": figure(ahead.over_bound_litres, 3),
        "heaviest": [_use(use) for use in ahead.litres], "moved": ahead.moved,
        "late": sum(job.late_days > 0 for job in ahead.jobs),
        "cannot": [_note(note) for note in ahead.cannot],
        "notes": [_note(note) for note in ahead.notes],
        "helps": [
            {
                "sort": one.sort, "about": one.about, "amount": figure(one.amount, 3),
                "text": one.text, "saves_minutes": figure(one.saves_minutes, 3),
                "saves_litres": figure(one.saves_litres, 3),
            }
            for one in ahead.helps
        ],
        "days": [day_document(each) for each in ahead.days],
    }  # fmt: skip


def day_document(planned: PlannedDay) -> Document:
    """One day of the plan."""
    return {
        "day": day(planned.day), "minutes": figure(planned.minutes, 3),
        "minutes_known": "computed",
        "minutes_from": {
            "own_minutes": figure(
                planned.minutes - planned.setup_minutes - planned.way_minutes, 3
            ),
            "setup_minutes": figure(planned.setup_minutes, 3),
            "way_minutes": figure(planned.way_minutes, 3),
        },
        "minutes_there_are": figure(planned.minutes_there_are, 3),
        "over_minutes": figure(planned.over_minutes, 3), "away": planned.away,
        "stand_in": planned.stand_in or None,
        "stand_in_minutes": figure(planned.stand_in_minutes, 3),
        "litres": [_use(use) for use in planned.litres],
        "jobs": [job_document(job) for job in planned.jobs],
        "overdue": [job.id for job in planned.overdue],
        "could_be_pulled_forward": [
            {"id": job.id, "from": day(job.day), "minutes": figure(job.minutes, 3)}
            for job in planned.could
        ],
    }  # fmt: skip


def job_document(job: PlannedJob) -> Document:
    """One occurrence on its planned day."""
    return {
        "id": job.id, "n": job.n, "name": job.name, "kind": job.kind, "target": job.target,
        "tank": job.tank or None, "day": day(job.day), "usual": day(job.usual),
        "moved_days": job.moved_days, "opens": day(job.opens), "due": day(job.slot),
        "closes": day(job.closes), "late_days": job.late_days,
        "minutes": figure(job.minutes, 3), "litres": figure(job.litres, 3),
        "reservoir": job.reservoir or None, "by": job.by, "must": job.must,
        "pinned": job.pinned, "why": job.why or None, "waits_for": job.waits or None,
    }  # fmt: skip


def _use(use: WaterUse) -> Document:
    return {
        "reservoir": use.reservoir, "litres": figure(use.litres, 3),
        "most_litres": figure(use.most_litres, 3), "over_litres": figure(use.over_litres, 3),
        "litres_known": "computed", "most_litres_known": "computed",
    }  # fmt: skip


def _note(note: Note) -> Document:
    return {
        "about": note.about, "text": note.text, "rule": note.rule or None,
        "proven_impossible": note.sort == "refused",
    }  # fmt: skip
