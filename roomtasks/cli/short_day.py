"""`short-day`: only so many minutes today; what must be done stays, the rest is replanned.

The choice and the days are `room.short_day`; here they are asked and said.
"""

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, number
from roomtasks.room.problem import Problem
from roomtasks.room.short_day import ShortDay, minutes_words
from roomtasks.work.short_day import short_day_view, take_short_day


def _words(parser: Parser) -> None:
    parser.add_argument(
        "minutes", type=number("min", 1, 1440), metavar="MINUTES", help="minutes there are today"
    )
    parser.add_argument(
        "--show", action="store_true", help="show what would come of it, and change nothing"
    )


def _short_day(asked: Asked) -> Answer | Problem:
    minutes, show = asked.args.minutes, asked.args.show

    def do(scene: Scene) -> Answer | Problem:
        if show:
            seen = short_day_view(scene.store, scene.now, minutes)
            if isinstance(seen, Problem):
                return seen
            return Answer(_document(seen, None), lambda page: _write(page, seen, None))
        done = take_short_day(scene.store, scene.now, scene.who, minutes)
        if isinstance(done, Problem):
            return done
        return Answer(
            _document(done.day, done.act), lambda page: _write(page, done.day, done.act)
        )  # fmt: skip

    return in_room(asked, do)


def _document(found: ShortDay, act: int | None) -> Document:
    return {
        "changed": act is not None, "act": act, "words": found.words, "fits": found.fits,
        "minutes_there_are": figure(found.minutes), "minutes_there_are_known": "as asked",
        "kept_minutes": figure(found.kept.minutes), "kept_minutes_known": "computed",
        "kept_now_minutes": figure(found.now_minutes),
        "kept_later_today_minutes": figure(found.later_minutes),
        "must_minutes": figure(found.must_minutes), "over_minutes": figure(found.over_minutes),
        "must_not_slip_minutes": figure(found.limit_minutes),
        "kept": [
            {"id": stop.due.id, "minutes": figure(stop.total_minutes),
             "must": stop.due.id in found.must, "for": found.must.get(stop.due.id) or None}
            for stop in found.kept.stops
        ],
        "no_time_though_must_not_slip": [each.due.id for each in found.slipping],
        "put_off": [
            {"id": each.due.id, "minutes": figure(each.minutes), "until": day(each.until),
             "closes": day(each.due.closes), "late_days": each.late_days, "daily": each.daily,
             "must_not_slip": each.must_not_slip, "brings": list(each.brings),
             "words": each.words}
            for each in found.put_off
        ],
        "days": [
            {"day": day(each.day), "put_off": each.put_off, "minutes": figure(each.minutes),
             "minutes_there_are": figure(each.minutes_there_are)}
            for each in found.days
        ],
    }  # fmt: skip


def _write(page: Page, found: ShortDay, act: int | None) -> None:
    lead = f"Act {act}: " if act is not None else "" if found.fits else "Would be: "
    page.line(f"{lead}{found.words}", hang=4)
    if found.over_minutes:
        page.line(
            f"What must be done takes {found.must_minutes:.0f} minutes: "
            f"{found.over_minutes:.0f} over. Looks are never shortened.",
            hang=4, style="late",
        )  # fmt: skip
    if found.fits:
        return
    if found.slipping:
        _write_slipping(page, found, act)
    page.head("Kept, in walking order")
    for stop in found.kept.stops:
        must = "*" if stop.due.id in found.must else "-"
        why = found.must.get(stop.due.id)
        page.line(f"{must} {stop.due.said}, {stop.total_minutes:.1f} min"
                  f"{f', {why}' if why else ''}", hang=4)  # fmt: skip
    page.line("* never put off", style="quiet")
    page.head("Put off")
    for each in found.put_off:
        late = each.late_days or each.must_not_slip
        page.line(each.words, hang=4, style="late" if late else "")
    for there in found.days:
        page.line(there.words, style="quiet")


def _write_slipping(page: Page, found: ShortDay, act: int | None) -> None:
    """What must not slip and has no time, before anything else."""
    page.head(f"No time for {len(found.slipping)} that must not slip")
    for each in found.slipping:
        page.line(f"! {each.name}: {each.limit_words}", hang=4, style="late")
    again = "give that many" if act is None else (
        "'roomtasks undo' and give that many, or mark what was done all the same")  # fmt: skip
    page.line(f"{minutes_words(found.limit_minutes)} min would hold them: {again}.", hang=4)


COMMANDS = {
    "short-day": Command(
        _short_day, _words, writes=True,
        more="Looks, room checks, pumps, doses and fry are never put off, nor what makes ready "
        "for a dated event and has no later day. Then comes what is late or on its last day; "
        "what of it has no time is named. The rest is laid over the coming days as the plan of "
        "the weeks has it, in one act: one undo takes it back. The day has so many minutes from "
        "then on.",
    ),
}  # fmt: skip
