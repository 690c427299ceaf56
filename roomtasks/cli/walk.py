"""`walk`: what is due today in the order to go, and what is not to be done and why.

Which jobs come, in which order, and what fits is worked out in `room.walk` and
`room.fit`; here it is only said. JSON parts are in `walk_json`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, instant
from roomtasks.cli.command import Command
from roomtasks.cli.page import Col, Page, Row
from roomtasks.cli.page import number as digits
from roomtasks.cli.said import mark_document, mark_words
from roomtasks.cli.walk_json import (
    amounts,
    due_document,
    left_documents,
    minded,
    pumps,
    reservoirs,
    stop_document,
)  # fmt: skip
from roomtasks.cli.walk_planned import planned_document, planned_for, write_planned
from roomtasks.cli.words import Parser, number
from roomtasks.room.course_days import doses_of
from roomtasks.room.day_minutes import short_minutes
from roomtasks.room.fit import Fitted, LeftOut, fit
from roomtasks.room.naming import clock_words
from roomtasks.room.occurrence import Due, State
from roomtasks.room.plan_today import PlanToday
from roomtasks.room.problem import Problem
from roomtasks.room.setup import WEEKDAYS
from roomtasks.room.tank import drain_mark_cm
from roomtasks.room.trigger import Every
from roomtasks.room.walk import Stop, Walk
from roomtasks.room.why import day_words, rule_words, why
from roomtasks.work.picture import Picture, picture

if TYPE_CHECKING:
    from roomtasks.room.trouble import TroublePlan

SIGNS = {
    State.LATE: "!", State.DUE: "*", State.HELD: "=", State.OPEN: "o", State.NOT_YET_OPEN: "-",
}  # fmt: skip
SIGN_WORDS = "! late   * due   = held   o open early   - not yet open"


@dataclass(frozen=True)
class Others:
    """What is not on the walk, each in one list only."""

    held: tuple[Due, ...]
    put_off: tuple[Due, ...]
    later_today: tuple[Due, ...]
    open: tuple[Due, ...]
    not_yet_open: tuple[Due, ...]


def others_of(dues: Sequence[Due]) -> Others:
    """Sort what is not on the walk by what stands in its way."""
    found: dict[str, list[Due]] = {}
    for due in dues:
        if due.on_walk:
            continue
        if due.state is State.HELD:
            name = "held"
        elif due.put_off_to is not None and due.put_off_to > due.today:
            name = "put_off"
        elif due.later_today is not None and due.state in (State.DUE, State.LATE):
            name = "later_today"
        else:
            name = "open" if due.state is State.OPEN else "not_yet_open"
        found.setdefault(name, []).append(due)
    return Others(
        *(
            tuple(sorted(found.get(name, []), key=lambda due: (due.placed, due.id)))
            for name in ("held", "put_off", "later_today", "open", "not_yet_open")
        )
    )


def words(parser: Parser) -> None:
    parser.add_argument(
        "--minutes", type=number("min", 0, 1440), metavar="N",
        help="fit the walk into so many minutes, and say what is left out",
    )  # fmt: skip
    parser.add_argument("--why", action="store_true", help="the whole reason under each job")
    parser.add_argument(
        "--planned", action="store_true",
        help="also what the weeks' plan has for today, and what could come forward",
    )  # fmt: skip
    parser.add_argument(
        "--all", action="store_true",
        help="also what is open early, what is not yet open, and what was marked today",
    )  # fmt: skip


def run(asked: Asked) -> Answer | Problem:
    return in_room(asked, lambda scene: _walk(asked, scene))


def _walk(asked: Asked, scene: Scene) -> Answer | Problem:
    seen = picture(scene.store, scene.now)
    if isinstance(seen, Problem):
        return seen
    minutes: float | None = asked.args.minutes
    fitted = fit(seen.room, seen.walk, minutes) if minutes is not None else None
    plan = planned_for(scene) if asked.args.planned else None
    if isinstance(plan, Problem):
        return plan
    others = others_of(seen.dues)
    said = _Said(seen, others, fitted, bool(asked.args.why), bool(asked.args.all), plan,
                 _troubles(scene, seen))  # fmt: skip
    return Answer(said.document(), said.write)


def _troubles(scene: Scene, seen: Picture) -> "tuple[TroublePlan, ...]":
    """The troubles that say something today; a room without any loads nothing for them."""
    if not seen.room.troubles:
        return ()
    from roomtasks.cli.walk_trouble import troubles_of

    return troubles_of(scene)


@dataclass(frozen=True)
class _Said:
    """One walk, said as JSON or as text."""

    seen: Picture
    others: Others
    fitted: Fitted | None
    with_why: bool
    with_all: bool
    plan: PlanToday | None
    troubles: "tuple[TroublePlan, ...]" = ()

    @property
    def walk(self) -> Walk:
        return self.fitted.walk if self.fitted is not None else self.seen.walk

    @property
    def left(self) -> tuple[LeftOut, ...]:
        return self.fitted.left if self.fitted is not None else ()

    def document(self) -> Document:
        seen, room, now = self.seen, self.seen.room, self.seen.now
        weekday = WEEKDAYS[seen.today.weekday()]
        return {
            "room": room.setup.name, "day": day(seen.today), "at": instant(now),
            "minutes_needed": figure(self.walk.minutes), "minutes_needed_known": "computed",
            "minutes_needed_from": "the sum of minutes, setup_minutes and way_minutes of the stops",
            "minutes_there_are": figure(self.walk.minutes_there_are),
            "minutes_there_are_known": (
                "as asked" if self.fitted is not None
                else "as the short day was taken" if short_minutes(room, seen.today) is not None
                else f"the room's setting for {weekday}"
            ),
            "must_minutes": figure(self.fitted.must_minutes) if self.fitted else None,
            "over_minutes": figure(self.fitted.over_minutes) if self.fitted else None,
            "must_minutes_known": "computed" if self.fitted else None,
            "touched_class": seen.touched.word if seen.touched is not None else None,
            "pumps": pumps(room, now), "reservoirs": reservoirs(room),
            "stops": [stop_document(room, stop, now) for stop in self.walk.stops],
            "held": [_held_document(self.seen, due) for due in self.others.held],
            "put_off": [
                {**due_document(room, due, now), "put_off_to": day(due.put_off_to)}
                for due in self.others.put_off
            ],
            "later_today": [
                {**due_document(room, due, now), "opens_at": instant(due.later_today)}
                for due in self.others.later_today
            ],
            "left_out": left_documents(room, self.left, now),
            "marked_today": [mark_document(room, mark) for mark in seen.marks],
            **({"planned": planned_document(self.plan)} if self.plan is not None else {}),
            "troubles": self._trouble_documents(),
            **self._more(),
        }  # fmt: skip

    def _trouble_documents(self) -> list[Document]:
        if not self.troubles:
            return []
        from roomtasks.cli.walk_trouble import trouble_documents

        return trouble_documents(self.troubles)

    def _write_troubles(self, page: Page) -> None:
        if self.troubles:
            from roomtasks.cli.walk_trouble import write_troubles

            write_troubles(page, self.troubles)

    def _more(self) -> Document:
        if not self.with_all:
            return {}
        room, now = self.seen.room, self.seen.now
        return {
            "open": [due_document(room, due, now) for due in self.others.open],
            "not_yet_open": [due_document(room, due, now) for due in self.others.not_yet_open],
        }

    def write(self, page: Page) -> None:
        seen = self.seen
        page.head(f"{seen.room.setup.name}  {day_words(seen.today)} {seen.today.year} "
                  f"{clock_words(seen.now, seen.today)}")  # fmt: skip
        self._write_top(page)
        self._write_troubles(page)
        if self.walk.stops:
            page.line()
            page.line(SIGN_WORDS, style="quiet")
            page.table(_STOP_COLS, self._stop_rows())
        else:
            page.line("Nothing is due now.")
        self._write_left(page)
        if self.plan is not None:
            write_planned(page, self.plan)
        _write_others(page, "Held", self.others.held, seen.now)
        _write_others(page, "Put off", self.others.put_off, seen.now)
        _write_others(page, "Later today", self.others.later_today, seen.now)
        if self.with_all:
            _write_others(page, "Open early", self.others.open, seen.now)
            _write_others(page, "Not yet open", self.others.not_yet_open, seen.now)
            self._write_marked(page)
        elif self.seen.marks:
            page.line()
            page.line(f"Marked today: {len(self.seen.marks)} ('--all' lists them)", style="quiet")

    def _write_top(self, page: Page) -> None:
        seen, room = self.seen, self.seen.room
        late = sum(stop.due.state is State.LATE for stop in self.walk.stops)
        parts = [
            f"{digits(self.walk.minutes)} of {digits(self.walk.minutes_there_are, 0)} minutes",
            f"{len(self.walk.stops)} to do",
            *([f"{late} late"] if late else []),
            *([f"{len(self.others.held)} held"] if self.others.held else []),
        ]
        page.line(", ".join(parts))
        if self.fitted is not None and self.fitted.over_minutes:
            page.line(
                f"What must be done today takes {digits(self.fitted.must_minutes)} minutes: "
                f"{digits(self.fitted.over_minutes)} over.", style="late",
            )  # fmt: skip
        for system in room.systems:
            turn = room.pump_state(system.code, seen.now)
            if turn is not None:
                state = "PUMP OFF" if turn.state == "off" else "pump running"
                since = turn.at.astimezone(room.zone)
                page.line(f"{system.code} {state} since {day_words(since.date())} {since:%H:%M}",
                          style="late" if turn.state == "off" else "")  # fmt: skip
        for vessel in room.reservoirs:
            page.line(f"{vessel.code} {digits(vessel.usable_litres, 0)} L usable "
                      f"of {digits(vessel.full_litres, 0)} L")  # fmt: skip

    def _stop_rows(self) -> list[Row]:
        rows, place = [], ""
        for stop in self.walk.stops:
            due = stop.due
            here = due.tank or due.target
            cells = (
                SIGNS[due.state], due.health.letter if due.tank else " ",
                "" if here == place else here, job_words(due), digits(stop.total_minutes),
                digits(due.litres) if due.litres else "", _drain(self.seen, due),
            )  # fmt: skip
            doses = doses_of(self.seen.room, due, self.seen.today)
            below = "; ".join(part for part in (*doses, _extra(stop), self._why(due)) if part)
            rows.append(Row(cells, below, "late" if due.state is State.LATE else ""))
            place = here
        return rows

    def _why(self, due: Due) -> str:
        if not self.with_why:
            return short_why(due)
        return f"{why(due)}{self._lower(due)} [{due.id}]{minded(self.seen.room, due)}"

    def _lower(self, due: Due) -> str:
        """How far to lower each tank of a system."""
        marks = amounts(self.seen.room, due, self.seen.now).get("drain_by_tank", [])
        told = ", ".join(f"{mark['tank']} {digits(mark['cm'])}" for mark in marks)
        return f" Lower by cm: {told}." if told else ""

    def _write_left(self, page: Page) -> None:
        if self.fitted is None:
            return
        page.head(f"Left out for want of time: {len(self.left)}")
        for each in self.left:
            due = each.stop.due
            page.line(f"{due.said}, {digits(each.stop.minutes)} min: {each.cost}", hang=4)

    def _write_marked(self, page: Page) -> None:
        if self.seen.marks:
            page.head("Marked today")
        for mark in self.seen.marks:
            page.line(mark_words(self.seen.room, mark), hang=4)


_STOP_COLS = (
    Col(), Col(), Col("place"), Col("job", stretch=True), Col("min", right=True),
    Col("L", right=True), Col("cm", right=True),
)  # fmt: skip


def job_words(due: Due) -> str:
    """The job's name, with the filter or system where that is not the place itself."""
    name = due.job.name
    if due.tank and due.target != due.tank:
        name += f" {due.target}"
    return f"{name}, every day" if _plain_daily(due) else name


def _extra(stop: Stop) -> str:
    """What of its minutes is set-up, and what washing and steps."""
    parts = []
    if stop.setup_minutes:
        parts.append(f"{digits(stop.setup_minutes)} min of it set-up")
    if stop.way_minutes:
        parts.append(f"{digits(stop.way_minutes)} min of it washing and steps")
    return ", ".join(parts)


def _plain_daily(due: Due) -> bool:
    calm = due.state is State.DUE and not due.slot.missed and due.owed_fraction is None
    return calm and not (due.waits_for or due.moved) and rule_words(due) == "every day"


def short_why(due: Due) -> str:
    """The reason in a few words, "" where the job's line says it already."""
    if _plain_daily(due):
        return ""
    last, rule = due.past.closing, rule_words(due)
    parts = [rule.partition(",")[0] if isinstance(due.trigger, Every) else rule]
    if due.state is State.LATE:
        parts.append(f"{due.days_late} day{'s' if due.days_late > 1 else ''} late")
    if due.slot.missed:
        parts.append(f"{due.slot.missed} missed")
    if last is not None:
        verb = "done" if last.outcome == "done" else "left out"
        parts.append(f"{verb} {day_words(last.day)}")
    parts += due.moved
    if due.owed_fraction is not None:
        owed = f"{100 * due.owed_fraction:.1f} %"
        parts.append(f"{owed} still owed" if due.part_done else f"{owed} now for those missed")
    if due.waits_for:
        parts.append(f"waits for “{due.waits_name or due.waits_for}”")
    return "; ".join(parts)


def _drain(seen: Picture, due: Due) -> str:
    share = due.owed_fraction if due.owed_fraction is not None else due.fraction
    if not due.tank or due.fraction is None or share is None:
        return ""
    mark = drain_mark_cm(seen.room.tank[due.tank], share)
    return "" if isinstance(mark, Problem) else digits(mark)


def _write_others(page: Page, title: str, dues: Sequence[Due], now: datetime) -> None:
    if not dues:
        return
    page.head(title)
    for due in dues:
        page.line(f"{SIGNS[due.state]} {due.said}: {_standing(due)}", hang=4,
                  style="held" if due.state is State.HELD else "")  # fmt: skip


def _standing(due: Due) -> str:
    """What stands in the way of it."""
    if due.state is State.HELD and due.blocked is not None:
        free = f"free from {day_words(due.placed)}" if due.blocked.until else "until lifted"
        return f"{due.blocked.reason}, {free}"
    if due.put_off_to is not None and due.put_off_to > due.today:
        return f"to {day_words(due.put_off_to)}"
    if due.later_today is not None and due.state in (State.DUE, State.LATE):
        return f"from {due.later_today:%H:%M}"
    return f"due {day_words(due.placed)}, may be done from {day_words(due.opens)}"


def _held_document(seen: Picture, due: Due) -> Document:
    blocked = due.blocked
    return {
        **due_document(seen.room, due, seen.now),
        "reason": blocked.reason if blocked else None,
        "rule_of_hold": blocked.rule if blocked else None,
        "until": day(blocked.until) if blocked else None,
        "free_from": day(due.placed) if blocked and blocked.until else None,
    }


COMMANDS = {
    "walk": Command(
        run,
        words,
        more="Signs: ! late, * due, = held, o open early, - not yet open. The letter is the "
        "tank's health class: f eggs and fry, c clean, w under watch, q quarantine, s sick. "
        "Minutes are the job's, plus set-up, washing and steps where it is the first to need "
        "them; cm is how far to lower the water.",
    ),
}
