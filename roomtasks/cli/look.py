"""Looking things up: `tank`, `racks`, `jobs`, `journal`, `shared`."""

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, instant
from roomtasks.cli.command import Command
from roomtasks.cli.page import Col, Page, Row
from roomtasks.cli.page import number as digits
from roomtasks.cli.said import act_document
from roomtasks.cli.words import Parser, name, text, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.job import Job, parse_window
from roomtasks.room.naming import job_said, many, spaced
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.slots import trigger_of
from roomtasks.room.tank import litres_of
from roomtasks.room.targets import targets
from roomtasks.room.trigger import Follows
from roomtasks.room.why import day_words, rule_said
from roomtasks.work.pages import Line, Shared, journal, shared_water


def _racks(asked: Asked) -> Answer | Problem:
    return in_room(asked, lambda scene: Answer(
        {"room": scene.room.setup.name, "at": instant(scene.now), "racks": _rack_documents(scene)},
        lambda page: _write_racks(page, scene),
    ))  # fmt: skip


def _in_order(room: Room) -> list[tuple[str, str]]:
    """Racks in the keeper's order, with their names."""
    ordered = sorted(room.racks, key=lambda rack: (rack.path, rack.code))
    return [(rack.code, rack.name) for rack in ordered]


def _rack_documents(scene: Scene) -> list[Document]:
    room = scene.room
    found = []
    for rack, named in _in_order(room):
        tanks = [tank for tank in room.tanks if tank.rack == rack]
        tanks.sort(key=lambda tank: (tank.shelf, tank.place))
        found.append(
            {"rack": rack, "name": named or None,
             "tanks": [_tank_document(scene, tank.code) for tank in tanks]}
        )  # fmt: skip
    return found


def _tank_document(scene: Scene, code: str) -> Document:
    room, tank = scene.room, scene.room.tank[code]
    litres = litres_of(tank)
    stay = room.stay_in(code, scene.today)
    known = None if isinstance(litres, Problem) else litres
    return {
        "tank": code, "shelf": tank.shelf, "place": tank.place, "role": tank.role,
        "reach": room.reach.get((tank.rack, tank.shelf)),
        "class": room.health_of(code, scene.today).word, "count": room.heads_in(code),
        "litres": figure(known.litres, 3) if known else None,
        "litres_known": known.known if known else None,
        "litres_source": known.source if known else None,
        "system": room.valve.open_to(code, scene.now),
        "cut_off_from": room.valve.shut_from(code, scene.now),
        "quarantine_day": (scene.today - stay.since).days if stay else None,
    }  # fmt: skip


_TANK_COLS = (
    Col("tank"), Col(), Col("shelf", right=True), Col("place", right=True), Col("role"),
    Col("fish", right=True), Col("L", right=True), Col("water", stretch=True),
)  # fmt: skip


def _write_racks(page: Page, scene: Scene) -> None:
    room = scene.room
    for rack in _rack_documents(scene):
        page.head(f"Rack {rack['rack']}" + (f"  {rack['name']}" if rack["name"] else ""))
        rows = []
        for tank in rack["tanks"]:
            water = f"on {tank['system']}" if tank["system"] else "alone"
            if tank["cut_off_from"]:
                water = f"shut off {tank['cut_off_from']}"
            if tank["quarantine_day"] is not None:
                water += f", day {tank['quarantine_day']}"
            rows.append(
                Row((
                    tank["tank"], room.health_of(tank["tank"], scene.today).letter,
                    str(tank["shelf"]), str(tank["place"]), tank["role"],
                    str(tank["count"] or "-"),
                    digits(tank["litres"]) if tank["litres"] is not None else "?", water,
                ))
            )  # fmt: skip
        page.table(_TANK_COLS, rows)
    page.line()
    for system in room.systems:
        named = f" {system.name}" if system.name else ""
        litres = digits(room.system_litres(system.code, scene.now), 0)
        page.line(f"System {system.code}{named}: {litres} L with its sump and pipes", hang=4)
    for vessel in room.reservoirs:
        named = f" {vessel.name}" if vessel.name else ""
        page.line(f"Reservoir {vessel.code}{named}: {digits(vessel.usable_litres, 0)} L usable "
                  f"of {digits(vessel.full_litres, 0)} L", hang=4)  # fmt: skip


def _jobs_words(parser: Parser) -> None:
    parser.add_argument("--find", type=text, default="", metavar="TEXT", help="with this text")


def _jobs(asked: Asked) -> Answer | Problem:
    return in_room(asked, lambda scene: _jobs_answer(scene, asked.args.find.lower()))


def _rule(room: Room, job: Job) -> str:
    """When a job is done, in words, and how many days early and late it may be."""
    trigger, window = trigger_of(job), parse_window(job.window)
    if isinstance(trigger, Problem) or isinstance(window, Problem):
        return f"{job.rule} {job.window}".rstrip()
    follows = job_said(room.job, trigger.job) if isinstance(trigger, Follows) else ""
    said = rule_said(trigger, job.starts, follows)
    spans = ((window.early, "early"), (window.late, "late")) if window is not None else ()
    about = " or ".join(f"{many(days, 'day')} {word}" for days, word in spans if days)
    return f"{said}; may be {about}" if about else said


def _jobs_answer(scene: Scene, wanted: str) -> Answer:
    room = scene.room
    jobs = [
        job for job in room.jobs if wanted in f"{job.code} {job.name} {job.kind}".lower()
    ]  # fmt: skip
    documents = [
        {
            "job": job.code, "name": job.name, "kind": job.kind, "where": job.where,
            "targets": list(targets(room, job, scene.now)), "rule": job.rule,
            "window": job.window or None, "starts": day(job.starts),
            "from_time": job.from_time.strftime("%H:%M") if job.from_time else None,
            "setup_minutes": job.setup_minutes, "minutes": job.minutes, "fraction": job.fraction,
            "litres": job.litres, "reservoir": job.reservoir or None,
            "effects": job.effects or None, "needs": job.needs or None,
            "stand_in": job.stand_in, "active": job.active, "note": job.note or None,
        }
        for job in jobs
    ]  # fmt: skip

    def write(page: Page) -> None:
        if not jobs:
            page.line("There is no such job." if wanted else "The room has no jobs yet.")
        cols = (Col("job"), Col("name", stretch=True), Col("kind"), Col("min", right=True))
        page.table(cols if jobs else (), [
            Row((job.code, job.name, spaced(job.kind), digits(job.minutes)),
                f"{job.where}; {_rule(room, job)}{'' if job.active else '; rests'}")
            for job in jobs
        ])  # fmt: skip

    return Answer({"room": room.setup.name, "jobs": documents}, write)


def _journal_words(parser: Parser) -> None:
    parser.add_argument(
        "--find", type=text, default="", metavar="TEXT", help="lines with this text or doer"
    )
    parser.add_argument("--day", type=day_word, metavar="DATE", help="lines of this room day")
    parser.add_argument(
        "--most", type=whole(1, 10_000), default=20, metavar="N", help="at most so many; else 20"
    )


def _journal(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer:
        lines = journal(scene.store, text=args.find, day=args.day, most=args.most)
        document = {
            "room": scene.room.setup.name,
            "acts": [act_document(scene.room, line.act, line.undone_by) for line in lines],
        }
        return Answer(document, lambda page: _write_journal(page, scene.room, lines))

    return in_room(asked, do)


def _write_journal(page: Page, room: Room, lines: tuple[Line, ...]) -> None:
    if not lines:
        page.line("The journal has no such line.")
    for line in lines:
        act = line.act
        at = act.at.astimezone(room.zone)
        by = f" {act.who}" if act.who else ""
        gone = f" (taken back by act {line.undone_by})" if line.undone_by else ""
        page.line(f"{act.id}  {day_words(at.date())} {at.year} {at:%H:%M}{by}: {act.words}{gone}",
                  hang=4, style="quiet" if line.undone_by else "")  # fmt: skip


def _shared_words(parser: Parser) -> None:
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank")
    parser.add_argument(
        "--from", dest="first", type=day_word, metavar="DATE", help="the first room day; else --to"
    )
    parser.add_argument(
        "--to", dest="last", type=day_word, metavar="DATE", help="the last, included; else today"
    )


def _shared(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        found = shared_water(scene.store, scene.now, args.tank, args.first, args.last)
        if isinstance(found, Problem):
            return found
        document = {
            "tank": args.tank, "from": day(found.first), "to": day(found.last),
            "systems": list(found.systems),
            "tanks": [{"tank": tank, "systems": list(on)} for tank, on in found.tanks],
            "known": "computed", "known_from": "the turns of the valves",
        }  # fmt: skip
        return Answer(document, lambda page: _write_shared(page, args.tank, found))

    return in_room(asked, do)


def _write_shared(page: Page, tank: str, found: Shared) -> None:
    span = f"{day_words(found.first)} {found.first.year}"
    if found.last != found.first:
        span += f" to {day_words(found.last)} {found.last.year}"
    if not found.systems:
        page.line(f"{tank} shared its water with no tank, {span}.")
        return
    page.line(f"{tank} was open to {', '.join(found.systems)}, {span}. "
              f"Its water was one with that of {len(found.tanks)} tanks:")  # fmt: skip
    page.line(" ".join(other for other, _ in found.tanks) or "none", indent=2)


COMMANDS = {
    "racks": Command(_racks),
    "jobs": Command(_jobs, _jobs_words),
    "journal": Command(_journal, _journal_words),
    "shared": Command(_shared, _shared_words),
}
