"""The list of fish kept apart: parts of lines that can be walked, each with its acts.

Pure: from a look to parts; what can be done at each line is in `apart_acts`.
"""

from collections.abc import Iterator

from roomtasks.room.course_days import CourseDay
from roomtasks.room.release import TICKED_BY_HAND, Line
from roomtasks.room.why import day_words
from roomtasks.tui.apart_acts import Acts
from roomtasks.tui.apart_words import (
    CAUTIONS,
    FULL_LIST_DAYS,
    clear_words,
    course_day,
    dose_given,
    full_day,
    looked_words,
    overdue,
    refusal,
    run_next,
    run_today,
    said_days,
    stay_next,
    watch_next,
)
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part
from roomtasks.work.apart_view import ApartView, Cut
from roomtasks.work.stay_view import RunNow, StayView, WatchView

IN = "    "
STATES = {"watch": "under watch", "sick": "SICK", "released": "just released to"}


def apart_parts(seen: ApartView, signs: Signs, opened: frozenset[str]) -> list[Part]:
    """Everything there is to say; `opened` are lots whose release list is shown in full."""
    made = _Lines(seen, signs, Acts(seen), opened)
    found = [
        Part("Lots", tuple(made.lots())),
        Part("Under watch, sick, just released to", tuple(made.watches())),
        Part("Courses", tuple(made.runs())),
        *made.release_lists(),
        Part("Valves", tuple(made.valves())),
        Part("Cautions", tuple(made.cautions())),
    ]
    return [part for part in found if part.items]


class _Lines:
    """The lines of one look."""

    def __init__(
        self, seen: ApartView, signs: Signs, acts: Acts, opened: frozenset[str]
    ) -> None:  # fmt: skip
        self.seen, self.signs, self.acts, self.opened = seen, signs, acts, opened
        self.late = overdue(seen)

    # ---- lots ---------------------------------------------------------------------------

    def lots(self) -> Iterator[Item]:
        for stay in self.seen.fish.stays:
            yield from self._lot(stay)
        ready = [taker.tank for taker in self.seen.takers if taker.refused is None]
        told = f"ready for it: {', '.join(ready)}" if ready else "no tank is ready for it"
        yield Item(key="arrival", text=f"An arrival ({told})", acts=self.acts.of_arrival(),
                   more=tuple(self._takers()))  # fmt: skip

    def _takers(self) -> Iterator[str]:
        for taker in self.seen.takers:
            no = taker.refused
            yield f"{taker.tank}: ready" if no is None else refusal(no)

    def _lot(self, stay: StayView) -> Iterator[Item]:
        now, lot = stay.now, stay.now.stay
        acts, more = self.acts.of_lot(stay), tuple(self._more(stay))
        late = "late" if lot.tank in self.late else ""
        found = stay_next(self.seen, stay)
        texts = (
            ("", f"{lot.tank}  day {now.day} of {now.days}  {self._heads(stay)}  {lot.code}", ""),
            (" free", f"{IN}free {full_day(now.release_on)}: {now.set_by.why}", ""),
            (" clear", f"{IN}{clear_words(self.seen, stay)}", "quiet"),
            *((f" warned {n}", f"{IN}{self.signs.late} {text}", "")
              for n, text in enumerate(now.warnings)),
            (" next", f"{IN}{self.signs.off} {found.words}; {looked_words(self.seen, lot.tank)}",
             late),
        )  # fmt: skip
        for key, text, weight in texts:
            yield Item(key=f"lot {lot.code}{key}", text=text, weight=weight, about=lot.code,
                       acts=acts, more=more)  # fmt: skip

    def _heads(self, stay: StayView) -> str:
        groups = self.seen.room.groups_in(stay.now.stay.tank)
        return ", ".join(f"{group.count} {group.line}" for group in groups) or "no fish"

    def _more(self, stay: StayView) -> Iterator[str]:
        """The dates a lot waits for, all of them, and its groups."""
        now = stay.now
        for group in self.seen.room.groups_in(now.stay.tank):
            origin = f", from {group.origin}" if group.origin else ""
            yield f"{group.count} {group.line}, group {group.code}{origin}"
        yield "It is free on the latest of these dates:"
        for each in now.candidates:
            sets = "  <- this sets it" if each == now.set_by else ""
            yield f"{full_day(each.day)}: {each.why}{sets}"
        if now.unlooked:
            yield "Nobody looked on " + ", ".join(day_words(day) for day in now.unlooked)
        if now.no_clear:
            yield "No clear days: " + ", ".join(day_words(day) for day in now.no_clear)
        if now.stay.note:
            yield f"Note: {now.stay.note}"

    # ---- watches ------------------------------------------------------------------------

    def watches(self) -> Iterator[Item]:
        for row in self.seen.fish.watches:
            yield from self._watch(row)

    def _watch(self, row: WatchView) -> Iterator[Item]:
        acts = self.acts.of_watch(row)
        reason = f": {row.reason}" if row.reason else ""
        late = "late" if row.tank in self.late and row.state != "released" else ""
        pushed = f"; unlooked {len(row.unlooked)} days, they push it" if row.unlooked else ""
        looks = f"; {looked_words(self.seen, row.tank)}" if row.state != "released" else ""
        texts = (
            ("", f"{row.tank}  {STATES[row.state]} since {day_words(row.since)}{reason}", ""),
            (" clear", f"{IN}clear {full_day(row.clear_on)}: {said_days(row.why)}{pushed}", ""),
            (" next", f"{IN}{self.signs.off} {watch_next(self.seen, row).words}{looks}", late),
        )
        unlooked = ", ".join(day_words(day) for day in row.unlooked)
        more = (f"Nobody looked on {unlooked}",) if unlooked else ()
        for key, text, weight in texts:
            yield Item(key=f"{row.state} {row.tank}{key}", text=text, weight=weight,
                       about=row.tank, acts=acts, more=more)  # fmt: skip

    # ---- courses ------------------------------------------------------------------------

    def runs(self) -> Iterator[Item]:
        for run in self.seen.fish.runs:
            yield from self._run(run)

    def _run(self, run: RunNow) -> Iterator[Item]:
        tank, key, acts = run.run.tank, f"run {run.run.code}", self.acts.of_run(run)
        dose = run.today.dose if isinstance(run.today, CourseDay) else None
        amounts = (("Dose today", dose.amount),) if dose is not None else ()
        more = (*self._course_days(run), *((run.course.caution,) if run.course.caution else ()))
        wants = run_next(self.seen, run)
        over = self.seen.today > run.last
        today = "over, not noted yet" if over else run_today(run, dose_given(self.seen, run.run))
        texts = [(key, f"{tank}  {run.course.name}, {course_day(run)}, last {day_words(run.last)}",
                  ""), (f"{key} today", f"{IN}today: {today}", "")]  # fmt: skip
        if run.missed:
            days = ", ".join(day_words(day) for day in run.missed)
            texts.append((f"{key} missed", f"{IN}{self.signs.late} missed: no dose noted on "
                          f"{days}. It counts as broken off and starts again at its first day",
                          "late"))  # fmt: skip
        elif wants is not None and over:
            texts.append((f"{key} next", f"{IN}{self.signs.off} {wants.words}", ""))
        if run.course.caution:
            texts.append((f"{key} caution", f"{IN}! {run.course.caution}", ""))
        for name, text, weight in texts:
            yield Item(key=name, text=text, weight=weight, about=tank, acts=acts, more=more,
                       amounts=amounts)  # fmt: skip

    def _course_days(self, run: RunNow) -> Iterator[str]:
        """The days of a course as they were typed from its label."""
        product = f" of {run.course.product}" if run.course.product else ""
        if run.course.amount is not None:
            yield (f"Label: {run.course.amount:g} {run.course.unit}{product} for "
                   f"{run.course.per_litres:g} L")  # fmt: skip
        for step in run.steps:
            share = f" {100 * step.share:g} %" if step.share is not None else ""
            heat = f" {step.celsius:g} C" if step.celsius is not None else ""
            yield f"day {step.day}: {step.action}{share}{heat}"

    # ---- release ------------------------------------------------------------------------

    def release_lists(self) -> Iterator[Part]:
        for stay in self.seen.fish.stays:
            lot = stay.now.stay
            lines = self.seen.lines[lot.code]
            to = self.seen.to.get(lot.code, "")
            held = sum(line.state != "open" for line in lines)
            title = f"Release of {lot.code} in {lot.tank}{' to ' + to if to else ''}: {held} of 12"
            near = (stay.now.release_on - self.seen.today).days <= FULL_LIST_DAYS
            if near or lot.code in self.opened:
                yield Part(title, tuple(self._release(stay, line) for line in lines))
            else:
                text = f"{held} of {len(lines)} lines hold; in full {FULL_LIST_DAYS} days before"
                yield Part(title, (Item(key=f"list {lot.code}", text=text, about=lot.code,
                                        acts=self.acts.of_short_list(stay)),))  # fmt: skip

    def _release(self, stay: StayView, line: Line) -> Item:
        sign = self.signs.open if line.state == "open" else self.signs.done
        how = "to be ticked: " if line.state == "open" and line.may_tick else ""
        how = "ticked " if line.state == "ticked" else how
        evidence = said_days(line.evidence) if line.evidence != TICKED_BY_HAND else ""
        return Item(
            key=f"line {stay.now.stay.code} {line.code}", about=stay.now.stay.code,
            text=f"{sign} {line.number:>2} {line.words}: {how}{evidence}".rstrip(" :"),
            weight="quiet" if line.state != "open" else "", acts=self.acts.of_line(stay, line),
        )  # fmt: skip

    # ---- valves -------------------------------------------------------------------------

    def valves(self) -> Iterator[Item]:
        for cut in self.seen.cuts:
            yield self._cut(cut)
        room, now = self.seen.room, self.seen.now
        for system in room.systems:
            members = sorted(room.valve.members(system.code, now), key=room.path_of)
            litres = room.system_litres(system.code, now)
            text = f"{system.code}: no valve is open"
            if members:
                text = (
                    f"{system.code}: {len(members)} valve{'s' if len(members) > 1 else ''} open, "
                    f"one water of {litres:.0f} L: "
                    f"{', '.join(members)}"
                )
            yield Item(
                key=f"system {system.code}", acts=self.acts.of_system(system.code, members),
                text=text,
            )  # fmt: skip

    def _cut(self, cut: Cut) -> Item:
        """A shut valve: since when, what was changed, and the check before it rejoins."""
        no = cut.refused[0] if cut.refused else None
        check = f"stays shut: {no.what}" if no is not None else "may rejoin"
        own = self.seen.room.tank_litres(cut.tank)
        more = [
            f"Shut since {full_day(cut.since.date())}, {cut.since:%H:%M}: {own:.0f} L apart from "
            f"{cut.system}. What it shared before stays shared."
        ]
        more += [refusal(problem) for problem in cut.refused]
        return Item(
            key=f"valve {cut.tank}", about=cut.tank, more=tuple(more),
            acts=self.acts.of_valve(cut.tank, "open"),
            text=f"{self.signs.shut} {cut.tank} shut from {cut.system} since "
            f"{day_words(cut.since.date())}, {100 * cut.changed:.0f} % changed since; {check}",
        )  # fmt: skip

    def cautions(self) -> Iterator[Item]:
        for n, text in enumerate(CAUTIONS):
            yield Item(key=f"caution {n}", text=text)
