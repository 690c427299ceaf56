"""Broods, moves to come and the coming weeks as text."""

from datetime import date

from roomtasks.cli.page import Col, Page, Row
from roomtasks.room.brood_growth import Growth, SizeDay
from roomtasks.room.brood_now import BroodNow, Part
from roomtasks.room.density import Load
from roomtasks.room.destination import Answer
from roomtasks.room.move_day import MoveDay
from roomtasks.room.rededicate import STEPS
from roomtasks.room.why import day_words
from roomtasks.work.brood_view import BroodsView

NEXT_STEPS = 4


def write_broods(page: Page, view: BroodsView) -> None:
    """The page of `broods`."""
    if not view.broods:
        page.line("No brood is open; 'roomtasks spawn CODE TANK' opens one.")
    for now in view.broods:
        _brood(page, now, view.today)
    _moves(page, view)
    for made in view.make_overs:
        page.head(f"{made.tank} is being made over [{made.code}]")
        page.line(f"steps done: {', '.join(map(str, made.done)) or 'none'}", indent=2)
        for step in made.open:
            page.line(f"{step}. {STEPS[step]}", indent=2, hang=3)
        for alarm in made.alarms:
            page.line(alarm, style="late", indent=2, hang=2)
    _weeks(page, view)


def _brood(page: Page, now: BroodNow, today: date) -> None:
    brood = now.brood
    parents = f", of {brood.parents}" if brood.parents else ""
    page.head(f"{brood.code}: {brood.line}{parents}, day {now.age_days}")
    page.line(_size_words(now), indent=2, hang=2)
    for found, name in ((now.at_move, "to move"), (now.at_sale, "to sell")):
        if isinstance(found, SizeDay) and found.latest < today:
            page.line(f"{found.cm:g} cm {name} since {day_words(found.day)}", indent=2, hang=2)
        elif isinstance(found, SizeDay):
            page.line(
                f"{found.cm:g} cm {name} on {day_words(found.day)} "
                f"({day_words(found.earliest)} to {day_words(found.latest)})", indent=2, hang=2,
            )  # fmt: skip
    for part in now.parts:
        _part(page, part)
    for remark in now.remarks:
        page.line(remark, style="late", indent=2, hang=2)
    for step in now.steps[:NEXT_STEPS]:
        when = f" {step.at:%H:%M}" if step.at is not None else ""
        daily = "daily from " if step.daily else ""
        page.line(f"{daily}{day_words(step.day)}{when}: {step.what}", indent=2, hang=2)


def _size_words(now: BroodNow) -> str:
    if not isinstance(now.growth, Growth) or now.size_cm is None:
        found = now.growth
        return "no growth known" if isinstance(found, Growth) else found.what
    last = now.growth.last
    told = f"; measured {last.middle_cm:g} cm on {day_words(last.day)}" if last is not None else ""
    return f"{now.size_cm:.2g} cm now, by {now.growth.method}{told}"


def _part(page: Page, part: Part) -> None:
    load = ""
    if isinstance(part.load, Load):
        load = f", {100 * part.load.share:.0f} % of {part.load.limit.value:g} g/L"
    page.line(f"{part.group.count} in {part.group.tank} ({part.group.code}){load}", indent=2,
              hang=2)  # fmt: skip
    if isinstance(part.move, MoveDay):
        page.line(f"move on {day_words(part.move.day)}: {part.move.why}", indent=4, hang=2)
    else:
        page.line(part.move.what, indent=4, hang=2)
    if part.answer is not None:
        page.line(f"to: {_where_words(part.answer)}", indent=4, hang=2)
    for gap in part.gaps:
        page.line(gap, indent=4, hang=2)


def _where_words(answer: Answer) -> str:
    if answer.whole:
        more = len(answer.whole) - 1
        return answer.whole[0].tank + (f", or {more} other{'s' * (more > 1)}" if more else "")
    if answer.split:
        return "split, " + ", ".join(f"{count} to {tank}" for tank, count in answer.split)
    return "no tank will do; 'roomtasks places GROUP' says why"


def _moves(page: Page, view: BroodsView) -> None:
    chains: dict[str, list[Row]] = {}
    for move in view.moves:
        if move.state == "dropped" or (move.state == "done" and move.counted_in is None):
            continue
        short = move.counted_in
        told = day_words(move.day) if short is None else f"{move.count - short} not seen"
        chains.setdefault(move.chain, []).append(
            Row((f"{move.n}.", f"{move.count} {move.group}",
                 f"{move.from_tank} to {move.to_tank or 'a buyer'}", told))
        )  # fmt: skip
    for code, rows in chains.items():
        page.head(f"Moves of {code}")
        page.table([Col(), Col(stretch=True), Col(), Col()], rows)


def _weeks(page: Page, view: BroodsView) -> None:
    wanted = [week for week in view.weeks if week.wanted]
    if not wanted:
        return
    page.head("Tanks wanted and there, by week")
    rows = [
        Row(
            (f"{week.n}", day_words(week.first), week.kind, "#" * min(week.wanted, 12),
             f"{week.wanted} of {week.there}"),
            style="late" if week.free < 0 else "",
        )
        for week in wanted
    ]  # fmt: skip
    page.table([Col("week", right=True), Col("from"), Col("kind"), Col(stretch=True),
                Col("wanted", right=True)], rows)  # fmt: skip
    if view.says:
        page.line(f"{view.says[0].upper()}{view.says[1:]}.", style="late")
    short = next((week for week in view.weeks if week.free < 0), None)
    for lever in short.levers if short is not None else ():
        page.line(f"{lever.words}: gives {lever.gives} back", indent=2, hang=2)
    for told in view.untold:
        page.line(told, indent=2, hang=2)


def write_places(page: Page, group: str, answer: Answer) -> None:
    """Tanks that would do for a group, best first, then those refused and why."""
    page.head(f"Where {group} can go")
    for place in (*answer.whole, *answer.partly):
        by = f" by {place.fit.by}" if place.fit is not None else ""
        tail = f"; {', '.join(place.remarks)}" if place.remarks else ""
        page.line(f"{place.tank} holds {place.holds}{by}{tail}", indent=2, hang=2)
    if answer.split:
        page.line("split: " + ", ".join(f"{n} to {tank}" for tank, n in answer.split), indent=2)
    for tank, problems in answer.refused.items():
        said = "; ".join(f"{problem.what} [{problem.rule}]" for problem in problems)
        page.line(f"not {tank}: {said}", indent=2, hang=2)
