"""`tank`: one tank's page - water, who lives there, jobs, holds, readings, the last events."""

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, instant
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.page import number as digits
from roomtasks.cli.said import group_document, group_words, mark_document, mark_words
from roomtasks.cli.walk import SIGNS
from roomtasks.cli.walk_json import due_document
from roomtasks.cli.words import Parser, name
from roomtasks.room.amount import MEASURED
from roomtasks.room.journal import Event, Reading
from roomtasks.room.naming import happened, kinds_words, many, reading_words
from roomtasks.room.problem import Problem
from roomtasks.room.tank import Litres, drain_mark_cm, litres_by_size
from roomtasks.room.why import day_words, why
from roomtasks.work.pages import TankPage, tank_page

SHARES = (0.10, 0.25, 0.50)


def words(parser: Parser) -> None:
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank's code")


def run(asked: Asked) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        found = tank_page(scene.store, scene.now, asked.args.tank)
        if isinstance(found, Problem):
            return found
        return Answer(document(found), lambda page: write(page, found))

    return in_room(asked, do)


def document(found: TankPage) -> Document:
    """The page as JSON."""
    tank, room = found.tank, found.room
    return {
        "tank": tank.code, "at": instant(found.now), "role": tank.role, "rack": tank.rack,
        "shelf": tank.shelf, "place": tank.place, "class": found.health.word,
        "length_cm": tank.length_cm, "width_cm": tank.width_cm, "height_cm": tank.height_cm,
        "water_cm": tank.water_cm, "bottom": tank.bottom, "heater": tank.heater, "lid": tank.lid,
        "note": tank.note or None, **_water(found), "count": room.heads_in(tank.code),
        "empty_since": day(room.empty_since(tank.code)),
        "groups": [group_document(group) for group in found.groups],
        "filters": [
            {"filter": item.code, "kind": item.kind, "since": day(item.since)}
            for item in found.filters
        ],
        "stay": _stay(found),
        "holds": [
            {"hold": hold.code, "target": hold.target, "kinds": hold.kinds, "cause": hold.cause,
             "reason": hold.reason, "since": day(hold.since), "until": day(hold.until)}
            for hold in found.holds
        ],
        "jobs": [due_document(room, due, found.now) for due in found.dues],
        "readings": [_reading(found, reading) for reading in found.readings],
        "events": [_event(found, event) for event in found.events],
        "marks": [mark_document(room, mark) for mark in found.marks],
    }  # fmt: skip


def _water(found: TankPage) -> Document:
    litres, valve = found.litres, found.valve
    known = None if isinstance(litres, Problem) else litres
    by_size = litres_by_size(found.tank)
    return {
        "litres": figure(known.litres, 3) if known else None,
        "litres_known": known.known if known else None,
        "litres_source": known.source if known else None,
        "computed_litres": figure(by_size.litres, 3) if isinstance(by_size, Litres) else None,
        "drain_marks": [
            {"fraction": share, "drain_cm": figure(mark, 2), "known": "computed"}
            for share, mark in _drain_marks(found)
        ],
        "system": valve.system if valve and valve.state == "open" else None,
        "cut_off_from": valve.system if valve and valve.state == "shut" else None,
        "valve_since": instant(found.room.valve.since(found.tank.code, found.now)),
    }  # fmt: skip


def _drain_marks(found: TankPage) -> list[tuple[float, float]]:
    """How far to lower the water for the jobs' own shares, or for usual ones."""
    shares = {due.fraction for due in found.dues if due.fraction is not None}
    if found.valve is not None and found.valve.state == "open":
        of_all = f"system {found.valve.system}"
        shares |= {
            job.fraction
            for job in found.room.jobs
            if job.active and job.fraction is not None and job.where == of_all
        }
    shares = shares or set(SHARES)
    marks = []
    for share in sorted(shares):
        mark = drain_mark_cm(found.tank, share)
        if not isinstance(mark, Problem):
            marks.append((share, mark))
    return marks


def _stay(found: TankPage) -> Document | None:
    stay = found.stay
    if stay is None:
        return None
    return {
        "stay": stay.code, "since": day(stay.since), "day": (found.today - stay.since).days,
        "days": stay.days, "note": stay.note or None,
    }  # fmt: skip


def _reading(found: TankPage, reading: Reading) -> Document:
    return {
        "target": reading.target, "what": reading.what, "value": reading.value,
        "unit": reading.unit or None, "day": day(reading.day),
        "at": instant(reading.at.astimezone(found.room.zone)),
        "age_days": (found.today - reading.day).days, "known": "measured",
    }  # fmt: skip


def _event(found: TankPage, event: Event) -> Document:
    at = event.at.astimezone(found.room.zone) if event.at is not None else None
    return {
        "event": event.event, "target": event.target, "day": day(event.day), "at": instant(at),
        "count": event.count, "who": event.who or None, "note": event.note or None,
    }  # fmt: skip


def write(page: Page, found: TankPage) -> None:
    """The page as text."""
    tank = found.tank
    page.head(f"{tank.code}  {tank.role}  {found.health.word}")
    page.line(f"rack {tank.rack}, shelf {tank.shelf}, place {tank.place}")
    _write_water(page, found)
    if tank.note:
        page.line(tank.note)
    page.head("Who lives here" if found.groups else "Nobody lives here")
    for group in found.groups:
        page.line(group_words(group), hang=4)
    empty = found.room.empty_since(tank.code)
    if empty is not None:
        page.line(f"empty since {day_words(empty)} {empty.year}")
    _write_work(page, found)
    _write_record(page, found)


def _write_water(page: Page, found: TankPage) -> None:
    litres, valve, stay = found.litres, found.valve, found.stay
    if isinstance(litres, Problem):
        page.line(litres.sentence(), style="late")
    else:
        page.line(f"{digits(litres.litres)} L, {litres.known} ({litres.source})", hang=4)
        by_size = litres_by_size(found.tank)
        if litres.known == MEASURED and isinstance(by_size, Litres):
            page.line(f"by its sizes {digits(by_size.litres)} L, not used", hang=4)
    marks = [f"{100 * share:.3g} % = {digits(mark)} cm" for share, mark in _drain_marks(found)]
    if marks:
        page.line("lower by: " + ", ".join(marks), hang=4)
    since = found.room.valve.since(found.tank.code, found.now)
    if valve is None:
        page.line("stands alone")
    elif since is not None:
        on = since.astimezone(found.room.zone)
        how = "shares the water of" if valve.state == "open" else "valve shut, cut off from"
        page.line(f"{how} {valve.system} since {day_words(on.date())} {on.year}")
    if stay is not None:
        page.line(f"quarantine day {(found.today - stay.since).days} of {stay.days}")


def _write_work(page: Page, found: TankPage) -> None:
    page.head("Jobs")
    for due in found.dues:
        page.line(f"{SIGNS[due.state]} {due.said}: {why(due)} [{due.id}]", hang=4)
    if not found.dues:
        page.line("none is open or to come")
    if found.holds:
        page.head("Holds")
    for hold in found.holds:
        until = f"until {day_words(hold.until)}" if hold.until else "until lifted"
        what = f"{kinds_words(found.room.job, hold.kinds)} at {hold.target}"
        page.line(f"{what}, {until}: {hold.reason} [{hold.code}]", hang=4, style="held")


def _write_record(page: Page, found: TankPage) -> None:
    if found.readings:
        page.head("Readings")
    for reading in found.readings:
        age = (found.today - reading.day).days
        old = "today" if age == 0 else f"{many(age, 'day')} old"
        at = f" at {reading.target}" if reading.target != found.tank.code else ""
        what = reading_words(reading.what)
        page.line(f"{what} {reading.value:g} {reading.unit} ({old}){at}", hang=4)
    if found.events or found.marks:
        page.head("Last events and marks")
    for event in found.events:
        note = f": {event.note}" if event.note else ""
        on = f"{day_words(event.day)} {event.day.year}"
        page.line(f"{on} {happened(event.event, event.count)}{note}", hang=4)
    for mark in found.marks:
        page.line(f"{day_words(mark.day)} {mark.day.year} {mark_words(found.room, mark)}", hang=4)


COMMANDS = {"tank": Command(run, words)}
