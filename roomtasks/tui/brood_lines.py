"""The list of the broods: each with its growth, what it must do next, and by what day. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from roomtasks.room.brood_life import Step
from roomtasks.room.brood_now import BroodNow
from roomtasks.room.brood_now import Part as InTank
from roomtasks.room.move_day import MoveDay
from roomtasks.room.room_full import WhatIf
from roomtasks.room.why import day_words
from roomtasks.tui.brood_move_acts import link_done, slipped
from roomtasks.tui.brood_moves import begin_item, chains, move_parts, next_link
from roomtasks.tui.brood_side_acts import brood_own, first_count, sample, spawn, stage_now
from roomtasks.tui.brood_tank_acts import in_tank, moved, out, planned
from roomtasks.tui.brood_weeks import week_parts
from roomtasks.tui.brood_words import (
    BroodsSeen,
    count_words,
    forecast_words,
    from_now,
    load_words,
    move_words,
    part_lines,
    sample_words,
    stage_of,
    to_be_sold,
    why_lines,
)
from roomtasks.tui.side_acts import Act
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part

STAGE_OF_STEP = {"hatch": "hatch", "culture": "culture-started", "brine": "brine-started",
                 "swim": "free-swimming"}  # fmt: skip
CLOSED_SHOWN = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """What is next for a brood: the day, in words, the act that enters it."""

    day: date
    words: str
    act: Act


def parts(seen: BroodsSeen, signs: Signs) -> list[Part]:
    """Everything there is to say of broods, moves and weeks."""
    broods = tuple(item for now in seen.view.broods for item in brood_items(seen, now, signs))
    begin = Item(key="begin spawn", text="A spawn was seen", acts=spawn(seen))
    if not broods:
        begin = Item(key="begin spawn", text="No brood is open; 6 notes a spawn that was seen",
                     acts=spawn(seen))  # fmt: skip
    found = [
        Part("Broods", (*broods, begin)),
        *move_parts(seen, signs),
        Part("Tanks made over", (begin_item(seen),)),
        *week_parts(seen, signs),
        Part("Closed, the newest first", tuple(_closed(seen))),
    ]
    return [part for part in found if part.items]


def top(seen: BroodsSeen) -> str:
    """Where one is, and how much there is of it."""
    open_, moving = len(seen.view.broods), len(chains(seen))
    counts = sum(move.counted_in is not None for move in seen.view.moves)
    told = [f"Broods {day_words(seen.today)}"]
    told += ["WHAT IF, not kept"] if seen.what_if != WhatIf() else []
    told += [f"{open_} open"]
    told += [f"{moving} chain{'s' * (moving != 1)}"] if moving else []
    told += [f"{counts} count{'s' * (counts != 1)} open"] if counts else []
    told += [f"{len(seen.view.make_overs)} made over"] if seen.view.make_overs else []
    return "  ".join(told)


def next_line(seen: BroodsSeen, signs: Signs) -> str:
    """What counts most: what must not stay so, what is late, the first that is next."""
    for made in seen.view.make_overs:
        for alarm in made.alarms:
            return f"{signs.late} {alarm.replace(': this must not stay so', ', not so')}"
    coming: list[tuple[date, str]] = []
    for moves in chains(seen):
        link = next_link(moves)
        coming.append((link.day, f"move {link.count} {link.group} {link.from_tank} to "
                       f"{link.to_tank or 'a buyer'}"))  # fmt: skip
    for now in seen.view.broods:
        found = nexts(seen, now)
        if found:
            coming.append((found[0].day, f"{now.brood.code}: {found[0].words}"))
    if not coming:
        return "Nothing is next."
    day, words = min(coming)
    sign = f"{signs.late} " if day < seen.today else ""
    return f"{sign}Next {day_words(day)}, {from_now(day, seen.today)}: {words}"


# ---- one brood -----------------------------------------------------------------------


def brood_items(seen: BroodsSeen, now: BroodNow, signs: Signs) -> Iterator[Item]:
    """The lines of one brood; each does the same, those of a tank what is done there."""
    brood, code = now.brood, now.brood.code
    coming = nexts(seen, now)
    acts = brood_acts(seen, now, coming)
    tanks = " ".join(dict.fromkeys(part.group.tank for part in now.parts)) or brood.tank
    heads = sum(part.group.count for part in now.parts)
    about = any(part.group.count_known == "about" for part in now.parts)
    many = f"{'about ' if about else ''}{heads} fish" if heads else "not counted"
    of = f" of {brood.parents}" if brood.parents else ""
    yield Item(
        key=f"brood {code}", about=code, acts=acts, more=tuple(why_lines(seen, now)),
        text=f"{code}  {brood.line}{of}  {tanks}  day {now.age_days}, {stage_of(seen, now)}  "
        f"{many}",
    )  # fmt: skip
    if coming:
        late = coming[0].day < seen.today
        sign = signs.late if late else signs.due if coming[0].day == seen.today else signs.open
        yield Item(
            key=f"next {code}", about=code, acts=acts, weight="late" if late else "",
            text=f"  {sign} next: {coming[0].words}, {day_words(coming[0].day)}, "
            f"{from_now(coming[0].day, seen.today)}",
        )  # fmt: skip
    yield from _grown(seen, now, acts)
    for part in now.parts:
        yield from _in_tank(seen, now, part, acts, signs)
    for n, remark in enumerate(now.remarks):
        yield Item(key=f"remark {code} {n}", text=f"  {signs.late} {remark}", weight="late",
                   about=code, acts=acts)  # fmt: skip


def _grown(seen: BroodsSeen, now: BroodNow, acts: tuple[Act, ...]) -> Iterator[Item]:
    """Its last sample and its forecast, once there is something to measure."""
    code = now.brood.code
    if now.brood.counted is None and not seen.samples(code):
        return
    yield Item(key=f"sample {code}", text=f"  {sample_words(seen, now)}", about=code, acts=acts)
    yield Item(key=f"size {code}", text=f"  {forecast_words(seen, now)}", about=code, acts=acts)


def _in_tank(
    seen: BroodsSeen, now: BroodNow, part: InTank, acts: tuple[Act, ...], signs: Signs
) -> Iterator[Item]:
    group, own = part.group, tuple(in_tank(seen, part))
    first = next_of_part(seen, now, part)
    mine = (*([first.act] if first is not None else []), *own)
    offered = acts if len(now.parts) == 1 else _each_once(mine)
    load = load_words(part)
    late = first is not None and first.day < seen.today
    named = f" ({group.code})" if group.code != now.brood.code else ""
    yield Item(
        key=f"tank {now.brood.code} {group.code}", about=now.brood.code, acts=offered,
        weight="late" if late else "", more=tuple(part_lines(seen, part)),
        text=f"  {signs.late + ' ' if late else ''}{group.tank}{named}: {count_words(group)}"
        f"{', ' + load if load else ''}; {move_words(seen, part)}",
    )  # fmt: skip
    if seen.move_of(group.code) is None:
        for n, gap in enumerate(part.gaps):
            yield Item(key=f"gap {group.code} {n}", text=f"    until then: {gap}", weight="quiet",
                       about=now.brood.code, acts=offered)  # fmt: skip


def brood_acts(seen: BroodsSeen, now: BroodNow, coming: list[Next]) -> tuple[Act, ...]:
    """What can be done to a brood, what is next first."""
    found = [each.act for each in coming[:1]] + brood_own(seen, now)[:-1]
    if len(now.parts) == 1:
        found += in_tank(seen, now.parts[0])
    return _each_once((*found, brood_own(seen, now)[-1]))


def _each_once(acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """Acts by their name, the first of each."""
    found: dict[str, Act] = {}
    for act in acts:
        found.setdefault(act.label, act)
    return tuple(found.values())


# ---- what is next --------------------------------------------------------------------


def nexts(seen: BroodsSeen, now: BroodNow) -> list[Next]:
    """What is next for a brood, the first first."""
    found = [each for step in now.steps if (each := _of_step(seen, now, step)) is not None]
    found += [each for part in now.parts if (each := next_of_part(seen, now, part)) is not None]
    return sorted(found, key=lambda each: each.day)


def _of_step(seen: BroodsSeen, now: BroodNow, step: Step) -> Next | None:
    """A step as the act that enters it; those done every day stand in the walk."""
    code = now.brood.code
    when = f" at {step.at:%H:%M}" if step.at is not None else ""
    words = step.what[0].lower() + step.what[1:] + when
    if step.key in STAGE_OF_STEP:
        return Next(day=step.day, words=words, act=stage_now(code, STAGE_OF_STEP[step.key]))
    if step.key == "count":
        return Next(day=step.day, words=words, act=first_count(code))
    if step.key == "measure":
        return Next(day=step.day, words=words, act=sample(now, bool(seen.samples(code))))
    if step.key == "grade" and now.parts:
        group = now.parts[0].group
        judged = seen.places[group.code]
        return Next(day=step.day, words=f"{words}: {step.why}",
                    act=moved(group, judged, "grade", graded=True))  # fmt: skip
    return None


def next_of_part(seen: BroodsSeen, now: BroodNow, part: InTank) -> Next | None:
    """What is next for the fish in one tank: a link, a move to plan, a sale."""
    group, link = part.group, seen.move_of(part.group.code)
    if link is not None:
        first = next_link([m for m in seen.view.moves if m.chain == link.chain])
        if first is link:
            return Next(day=link.day, act=link_done(link),
                        words=f"move {link.count} to {link.to_tank or 'a buyer'}, link {link.n} of "
                        f"{link.chain}")  # fmt: skip
        return Next(day=link.day, act=slipped(link, seen.today),
                    words=f"link {link.n} of {link.chain}, after link {first.n}")  # fmt: skip
    if not isinstance(part.move, MoveDay):
        return None
    if to_be_sold(seen, part):
        return Next(day=part.move.day, words=f"sell from {group.tank}", act=out(group, "sold"))
    return Next(day=part.move.day, words=f"plan a move out of {group.tank}",
                act=planned(group, seen.places[group.code]))  # fmt: skip


def _closed(seen: BroodsSeen) -> Iterator[Item]:
    """Accounts of closed broods."""
    known = [brood for brood in seen.view.closed if brood.closed is not None]
    known.sort(key=lambda brood: (brood.closed or brood.spawned, brood.code), reverse=True)
    for brood in known[:CLOSED_SHOWN]:
        told = "not counted"
        if brood.counted is not None:
            told = (f"{brood.counted} counted = {brood.sold} sold + {brood.kept} kept + "
                    f"{brood.died} died + {brood.given} given")  # fmt: skip
        reason = f"; {brood.reason}" if brood.reason else ""
        yield Item(key=f"closed {brood.code}", weight="quiet", about=brood.code,
                   text=f"{brood.code}  {brood.line}  closed "
                   f"{day_words(brood.closed or seen.today)}: {told}{reason}")  # fmt: skip
