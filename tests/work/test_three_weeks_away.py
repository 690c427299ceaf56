"""Three weeks away from the demo room, lived day by day: the sheet, the stand-in, the return.

The stand-in does what the sheet asks on each day and nothing else. The keeper
comes home, keeps the plan of the return and does each day what is laid on it, and
what is on the walk and laid on no later day, until nothing is late.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from math import prod
from pathlib import Path

import pytest

from roomtasks.cli.back import write_back
from roomtasks.cli.page import Page
from roomtasks.files.paper_out import paper_html, paper_text
from roomtasks.room.away_back import Back
from roomtasks.room.away_plan import AwayPlan
from roomtasks.room.journal import MARKS, Mark
from roomtasks.room.occurrence import Due, State
from roomtasks.room.paper import Paper, away_paper
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import SHEET, Room
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.away_view import away_view, back_view, catch_up, keep_away
from roomtasks.work.care import check
from roomtasks.work.demo import demo_store
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.picture import Picture, picture

DAYS = 21
HOURS = (8, 20, 21, 22, 23)  # the evening jobs, and what follows one another by minutes


@dataclass
class Life:
    """A store lived in, and what came of it."""

    store: Store
    room: Room
    plan: AwayPlan
    paper: Paper
    asked: dict[date, set[str]] = field(default_factory=dict)
    refused: list[tuple[date, str, str]] = field(default_factory=list)
    ticked: list[Mark] = field(default_factory=list)
    late_at: dict[date, list[str]] = field(default_factory=dict)

    def at(self, day: date, hour: int) -> datetime:
        return datetime.combine(day, time(hour)).replace(tzinfo=self.room.zone)

    def seen(self, day: date, hour: int) -> Picture:
        found = picture(self.store, self.at(day, hour))
        assert isinstance(found, Picture)
        return found

    def live(self, day: date, names: Iterable[str], who: str, **each: float) -> set[str]:
        """Do the jobs named on a day, as they open through it; gives those that were done."""
        left, done, told = set(names), set[str](), dict[str, str]()
        for hour in HOURS:
            for due in sorted(self.seen(day, hour).dues, key=lambda due: due.id):
                if due.id not in left or due.later_today is not None:
                    continue
                found = mark(self.store, self.at(day, hour), [due.id], "done",
                             How(who=who, hands_clean=True, fraction=each.get(due.id),
                                 anyway=_only_advice(due, hour)))  # fmt: skip
                if isinstance(found, Marked):
                    left.discard(due.id)
                    done.add(due.id)
                else:
                    told[due.id] = found.rule
        self.refused += [(day, name, told[name]) for name in sorted(left & told.keys())]
        return done


def _only_advice(due: Due, hour: int) -> bool:
    """Which of two open jobs goes first is advice; by night, what it waits for is for later."""
    first = due.blocked is not None and due.blocked.reason.endswith("goes first")
    return first or (bool(due.waits_for) and hour == HOURS[-1])


@pytest.fixture(scope="module")
def life(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Life]:
    """The demo room up to the morning of the return."""
    path = demo_store(tmp_path_factory.mktemp("three-weeks"))
    assert isinstance(path, Path)
    with Store.open(path) as store:
        room = read.room(store)
        assert isinstance(room, Room)
        now = datetime.fromisoformat(room.setup.demo_opens_at).replace(tzinfo=room.zone)
        first, last = _span(room, room.day_at(now))
        found = away_view(store, now, first, last)
        assert not isinstance(found, Problem)
        _, plan = found
        readings = Readings.of(read.newest_readings(store, until=room.day_at(now)))
        paper = away_paper(room, plan, (), readings, "Three weeks")
        assert not isinstance(keep_away(store, now, "keeper", first, last), Problem)
        made = Life(store=store, room=room, plan=plan, paper=paper)
        day = room.day_at(now)
        while day < plan.first:
            planned = plan.ahead.day(day)
            assert planned is not None
            made.live(day, {job.id for job in planned.jobs}, "keeper")
            day += timedelta(days=1)
        made.refused.clear()
        while day <= plan.last:
            made.asked[day] = {job.id for job in plan.on(day)}
            made.live(day, made.asked[day], plan.stand_in)
            day += timedelta(days=1)
        made.ticked = [m for m in read.rows(store, MARKS) if plan.first <= m.day <= plan.last]
        yield made


def _span(room: Room, today: date) -> tuple[date, date]:
    """Three weeks that end with the next days away of the room, else from the fifth day on."""
    ahead = [span for span in room.away if span.first > today]
    last = min((span.last for span in ahead), default=today + timedelta(days=4 + DAYS))
    return max(last - timedelta(days=DAYS - 1), today + timedelta(days=2)), last


@pytest.fixture(scope="module")
def home(life: Life) -> Back:
    """The return, its plan kept and lived to its last day."""
    morning = life.plan.last + timedelta(days=1)
    found = back_view(life.store, life.at(morning, 7))
    assert isinstance(found, Back)
    kept = catch_up(life.store, life.at(morning, 7), "keeper")
    assert not isinstance(kept, Problem)
    first_parts = {one.due.id: one.fraction for one in found.changes if not one.often}
    for planned in found.plan.days:
        names = {job.id for job in planned.jobs}
        later = {job.id for job in found.plan.jobs if job.day > planned.day}
        names |= {due.id for due in life.seen(planned.day, 12).dues
                  if due.id not in later and due.on_walk}  # fmt: skip
        for name in life.live(planned.day, names, "keeper", **first_parts):
            first_parts.pop(name, None)
        life.late_at[planned.day] = [
            due.id
            for due in life.seen(planned.day, 23).dues
            if due.state is State.LATE and due.later_today is None
        ]
    return found


def test_the_sheet_asks_only_what_a_stand_in_may_do(life: Life) -> None:
    assert (life.plan.last - life.plan.first).days + 1 == DAYS
    names = [line.name for section in life.paper.sections for line in section.lines if line.tick]
    assert len(names) == len(life.plan.stand_in_jobs) > DAYS
    assert all(life.room.job[name.split("@")[0]].stand_in for name in names)
    text = paper_text(life.paper)
    assert "Ring" in text
    assert "If in doubt: air on, no food, ring." in text
    assert paper_html(life.paper).count('class="tick"') == len(names)


def test_what_falls_on_the_days_away_has_a_place_or_is_to_be_decided(life: Life) -> None:
    plan = life.plan
    assert all(moved.job.day < plan.first for moved in plan.before)
    assert all(moved.job.day > plan.last and not moved.job.late_days for moved in plan.wait)
    assert {moved.job.id for moved in plan.no_place}  # three weeks are longer than most windows


def test_the_stand_in_could_do_all_that_was_asked_and_did_nothing_else(life: Life) -> None:
    assert [row for row in life.refused if row[0] <= life.plan.last] == []
    done: dict[date, set[str]] = defaultdict(set)
    for one in life.ticked:
        assert one.who == life.plan.stand_in
        done[one.day].add(f"{one.job}@{one.target}")
    assert done == {day: names for day, names in life.asked.items() if names}


def test_the_return_names_all_that_was_missed_and_all_that_was_done(life: Life, home: Back) -> None:
    assert home.ticked == tuple(sorted(life.ticked, key=lambda one: one.id))
    assert not any(one.stand_in and one.lapsed for one in home.missed)  # each day was ticked
    missed = {moved.job.id for moved in life.plan.no_place if moved.job.day > life.plan.last}
    named = {one.id for one in home.missed}
    # What the plan saw no place for was missed, but for what is held or follows another job.
    assert len(missed & named) > 0.8 * len(missed)
    assert [step.sort for step in home.before][:2] == ["look", "count"]
    assert any(step.sort == "read" for step in home.before)


def test_all_that_is_late_has_a_day_and_no_day_is_over_unsaid(life: Life, home: Back) -> None:
    open_now = {one.id for one in home.missed if not one.lapsed}
    planned = {job.id: job.day for job in home.late}
    assert open_now == planned.keys() | {one.id for one in home.later}
    page = Page()
    write_back(page, home, life.room)
    text = " ".join(" ".join(page.lines).split())
    for day in home.plan.days:
        if day.over_minutes >= 1 and any(job.day == day.day for job in home.late):
            said = f"{day.minutes:.0f} of {day.minutes_there_are:.0f} min, {day.over_minutes:.0f}"
            assert f"{said} over" in text
    assert home.plan.over_minutes == pytest.approx(
        sum(day.over_minutes for day in home.plan.days), abs=1.0
    )
    days = sorted(planned.values())
    assert sum(day == days[0] for day in days) < len(days) / 2  # not all on one morning


def test_a_missed_change_is_made_up_for_in_parts_a_day_apart(life: Life, home: Back) -> None:
    split = [one for one in home.changes if one.changes > 1]
    assert split
    for one in split:
        usual = one.due.fraction or 0.0
        assert one.fraction <= one.plan.limit + 1e-9
        assert 1 - (1 - one.fraction) ** one.changes < (one.missed + 1) * usual
    days = {job.code: job.rule.split()[-1] for job in home.parts}
    first = {job.id: job.day.isoformat() for job in home.plan.jobs if job.n == 0}
    for one in split:
        own = sorted(day for code, day in days.items()
                     if code.startswith(f"{one.due.job.code}.{one.due.target}."))  # fmt: skip
        assert len({first[one.due.id], *own}) == len(own) + 1 == one.changes


def test_no_tank_had_more_changed_in_a_day_than_it_bears(life: Life, home: Back) -> None:
    kept: dict[tuple[str, date], list[float]] = defaultdict(list)
    room = read.room(life.store)
    assert isinstance(room, Room)
    for one in read.rows(life.store, MARKS):
        job = room.job[one.job]
        if one.day > life.plan.last and one.fraction and job.kind == "change":
            kept[one.target, one.day].append(one.fraction)
    assert any(job.code in {m.job for m in read.rows(life.store, MARKS)} for job in home.parts)
    for (place, day), fractions in kept.items():
        tank = room.tank.get(place)
        most = (tank.largest_change if tank else None) or room.setup.largest_change
        assert 1 - prod(1 - f for f in fractions) <= most + 1e-6, (place, day, fractions)


def test_once_lived_nothing_is_late(life: Life, home: Back) -> None:
    """Jobs that open some minutes after another of that day are not on its morning's walk."""
    last = max(job.day for job in home.late)
    jobs = {job.code: job for job in read.rows(life.store, SHEET["jobs"])}
    late = [name.partition("@")[0] for name in life.late_at[last]]
    assert [code for code in late if not jobs[code].rule.startswith("follows ")] == []


def test_the_journal_is_complete_and_the_store_whole(life: Life, home: Back) -> None:
    acts = read.rows(life.store, SHEET["acts"])
    assert [act.id for act in acts] == list(range(1, len(acts) + 1))
    known = {act.id: act for act in acts}
    assert [act.verb for act in acts].count("catch-up") == 1
    new = [one for one in read.rows(life.store, MARKS) if one.day >= life.plan.first]
    assert new
    for one in new:
        assert one.act is not None
        assert known[one.act].who == one.who
    assert home.last == life.plan.last
    found = check(life.store.path)
    assert (found.damage, found.rules) == ((), ())
