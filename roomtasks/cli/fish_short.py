"""`fish` on one screen: lots, courses, watches and broods, each with its next act.

Everything else, the table of the weeks too, is in `fish_text` and `broods_text`.
"""

from collections.abc import Iterator
from datetime import date
from functools import partial

from roomtasks.cli.fish_text import stay_head, watch_state, write_apart, write_line
from roomtasks.cli.page import Page
from roomtasks.room.brood_now import BroodNow
from roomtasks.room.move_day import MoveDay
from roomtasks.room.naming import day_words, many
from roomtasks.room.rededicate import STEPS
from roomtasks.work.brood_view import BroodsView
from roomtasks.work.stay_view import FishView, StayView, WatchView

WHOLE = "'roomtasks fish --all' has every date, sample, tank and week."


def write_short(page: Page, view: FishView, young: BroodsView, asked: bool) -> None:
    """What stands apart, what grows, and what is next. `asked`: for a destination."""
    write_apart(page, view, partial(_stay, asked=asked), _watch)
    if young.broods or young.moves or young.make_overs:
        page.head("Broods, moves and tanks made over")
        for line in (*_broods(young), *_moves(young)):
            page.line(line, hang=4)
        _made_over(page, young)
        page.line(weeks_line(young), hang=4, style="late" if _short(young) else "")
    page.line(WHOLE, style="quiet", hang=4)


def _stay(page: Page, stay: StayView, asked: bool) -> None:
    now = stay.now
    stay_head(page, stay)
    if now.unlooked:
        page.line(f"nobody looked on {many(len(now.unlooked), 'day')}, the last "
                  f"{day_words(now.unlooked[-1])}", indent=2, hang=2)  # fmt: skip
    for words in now.warnings:
        page.line(words, indent=2, hang=2)
    page.line(f"next: {stay.next_act}", indent=2, hang=2)
    if now.day >= now.days or asked:
        still = [line for line in stay.lines if line.state == "open"]
        page.line(f"{len(stay.lines) - len(still)} of {len(stay.lines)} lines of its release hold",
                  indent=2, hang=2)  # fmt: skip
        for line in still:
            write_line(page, line)


def _watch(page: Page, row: WatchView) -> None:
    reason = f" ({row.reason})" if row.reason else ""
    page.line(f"{row.tank}  {watch_state(row)} since {day_words(row.since)}{reason}; clear on "
              f"{day_words(row.clear_on)}; next: {row.next_act}", hang=4)  # fmt: skip


def _broods(young: BroodsView) -> Iterator[str]:
    for now in young.broods:
        tanks = " ".join(dict.fromkeys(part.group.tank for part in now.parts)) or now.brood.tank
        heads = sum(part.group.count for part in now.parts)
        text = f"{now.brood.code}  {now.brood.line}, day {now.age_days}, {tanks}"
        if heads:
            text += f", {heads} fish"
        if now.size_cm is not None:
            text += f", {now.size_cm:.2g} cm"
        following = _next(now)
        if following is not None:
            since = "since " if following[0] < young.today else ""
            text += f"; next: {following[1]}, {since}{day_words(following[0])}"
        yield text
        yield from now.remarks


def _next(now: BroodNow) -> tuple[date, str] | None:
    """The first step of a brood, or its move where that comes sooner."""
    steps = [(step.day, step.what) for step in now.steps[:1]]
    steps += [
        (part.move.day, f"move {part.group.count} out of {part.group.tank}")
        for part in now.parts
        if isinstance(part.move, MoveDay)
    ]
    return min(steps, default=None)


def _moves(young: BroodsView) -> Iterator[str]:
    coming: dict[str, list[str]] = {}
    for move in young.moves:
        if move.state == "planned":
            coming.setdefault(move.chain, []).append(
                f"{move.count} {move.group} {move.from_tank} to {move.to_tank or 'a buyer'}, "
                f"{day_words(move.day)}"
            )
        elif move.state == "done" and move.counted_in is not None:
            lost = many(move.count - move.counted_in, "fish", "fish")
            yield f"{move.chain}  {move.group}: {lost} not seen since the move"
    for code, links in coming.items():
        more = f"; then {many(len(links) - 1, 'move')}" if len(links) > 1 else ""
        yield f"{code}  next: {links[0]}{more}"


def _made_over(page: Page, young: BroodsView) -> None:
    for made in young.make_overs:
        following = f"; next: {STEPS[made.open[0]]}" if made.open else ""
        page.line(f"{made.tank}  is being made over, {len(made.done)} of {len(STEPS)} steps done"
                  f"{following}", hang=4)  # fmt: skip
        for alarm in made.alarms:
            page.line(alarm, style="late", indent=2, hang=2)


def _short(young: BroodsView) -> bool:
    return any(week.free < 0 for week in young.weeks)


def weeks_line(young: BroodsView) -> str:
    """The weeks that are short of tanks, in one sentence."""
    short: dict[str, list[str]] = {}
    for week in young.weeks:
        if week.free < 0:
            when = "this week" if week.n == 1 else day_words(week.first)
            short.setdefault(week.kind, []).append(f"{when} {week.wanted} of {week.there}")
    if not short:
        weeks = max((week.n for week in young.weeks), default=0)
        return f"No week is short of tanks, {many(weeks, 'week')} ahead."
    told = "; ".join(f"{kind}: {', '.join(weeks)}" for kind, weeks in short.items())
    return f"Short of tanks, wanted of there, by week from: {told}."
