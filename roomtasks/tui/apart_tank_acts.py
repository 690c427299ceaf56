"""Acts on the water of a tank kept apart: courses, valves, gear, what came in, who met whom."""

from datetime import datetime

from roomtasks.room.course import Course, Run
from roomtasks.room.course_days import CourseDay, day_of_run, last_day, steps_of
from roomtasks.room.problem import Problem
from roomtasks.room.transfer import GEAR
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.tui.apart_asks import USUAL_DAYS, Choices, PageAct, nothing, run, span_of
from roomtasks.tui.apart_met import met_lines
from roomtasks.tui.apart_words import dose_given
from roomtasks.tui.side_acts import Act, Ask, Do, First
from roomtasks.tui.water_asking import number
from roomtasks.work import course_acts, room_acts, seed_acts
from roomtasks.work.apart_view import ApartView, turn_words
from roomtasks.work.met import contact, met_view, watch_all
from roomtasks.work.stay_view import RunNow

WHY = Ask(text="Why, then Enter:")
NO_COURSE = "type it from its label first: on the walk e, then courses and course steps"
BROUGHT = ("plant", "snail", "wood", "water")
STRESSED = ("power-cut", "chill")


class TankActs:
    """The acts of one look that are on a tank and its water."""

    def __init__(self, seen: ApartView, ask: Choices) -> None:
        self.seen, self.ask = seen, ask

    # ---- courses ------------------------------------------------------------------------

    def courses(self, tank: str) -> tuple[Act, ...]:
        """Acts on the course running in a tank, and the start of one."""
        runs = [each for each in self.seen.fish.runs if each.run.tank == tank]
        return (
            *(act for each in runs for act in self.run_acts(each, len(runs) > 1)),
            self._start(tank),
        )

    def run_acts(self, found: RunNow, named: bool = False) -> tuple[Act, ...]:
        """What a running course wants, the next act first; `named` where there are others."""
        tank, name, code = found.run.tank, found.course.name, found.run.course
        tail = f": {name}" if named else ""
        dose = Act(
            label=f"dose given{tail}", make=lambda _, __: run(course_acts.give_dose, tank, code)
        )
        end = Act(
            label=f"course over{tail}",
            make=lambda _, __: run(course_acts.end_course, tank, "", code),
        )
        off = Act(
            label=f"break the course off{tail}", asks=(WHY,),
            sure=f"break {name} off: it starts again at its first day",
            make=lambda a, _: run(course_acts.interrupt_course, tank, a[0], code),
        )  # fmt: skip
        if found.missed:
            return off, dose, end
        if self.seen.today > found.last:
            return end, dose, off
        today = found.today
        wants = isinstance(today, CourseDay) and today.dose is not None
        return (
            (dose, off, end) if wants and not dose_given(self.seen, found.run) else (off, end, dose)
        )

    def _start(self, tank: str) -> Act:
        courses = self.seen.room.courses
        if not courses:
            none = Problem("course", "none is kept yet", NO_COURSE)
            return Act(label="start a course", make=lambda _, __: none)
        asks = [
            Ask(text="Which course:", values=tuple(each.code for each in courses), page=True,
                choices=tuple(self._course_words(each) for each in courses)),
        ]  # fmt: skip
        other = self._medicine_in(tank)
        if other:
            asks.append(Ask(text=f"{other} is in its water. Does the label allow both at once:",
                            choices=("no", "yes")))  # fmt: skip

        def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
            also = answers[1:] == ("yes",)
            return run(course_acts.start_course, tank, answers[0], also=also, anyway=anyway)

        return Act(
            label="start a course", asks=tuple(asks), make=make,
            first=lambda a: lambda store, now: self._begins(tank, a[0]),
            sure=f"begin it in {tank} today, its day 0",
        )  # fmt: skip

    def _medicine_in(self, tank: str) -> str:
        """What is dissolved in a tank today and hides signs; blank where nothing is."""
        today = self.seen.today
        levels = (level for level in self.seen.room.levels if level.tank == tank)
        return next((each.product for each in levels if each.medicine and each.on(today)), "")

    def _course_words(self, course: Course) -> str:
        steps = steps_of(self.seen.room.course_steps, course.code)
        days = max((step.day for step in steps), default=0) + 1
        product = f", {course.product}" if course.product else ""
        return f"{course.name}{product}, {days} day{'' if days == 1 else 's'}"

    def _begins(self, tank: str, code: str) -> tuple[str, ...] | Problem:
        """What a course would do today, its caution with it; shared water is for the act to say."""
        room, today = self.seen.room, self.seen.today
        course = next(each for each in room.courses if each.code == code)
        steps = steps_of(room.course_steps, code)
        if room.valve.open_to(tank, self.seen.now) is not None:
            return ()
        trial = Run(code="trial", course=code, tank=tank, since=today)
        day = day_of_run(trial, course, steps, room.tank_litres(tank), today)
        if isinstance(day, Problem):
            return day
        done = ", then ".join(day.words) or "nothing"
        words = [f"today, for {room.tank_litres(tank):.0f} L: {done}",
                 f"last day {day_words(last_day(trial, steps))}"]  # fmt: skip
        words += [course.caution] if course.caution else []
        return (*words, "extra air is part of it; no veterinary advice")

    # ---- valves and classes ---------------------------------------------------------------

    def turn(self, tank: str, state: str) -> Act:
        """Turn a valve, after what it changes was said."""
        verb = "open" if state == "open" else "shut"
        return Act(
            label=f"{verb} its valve", sure=f"{verb} the valve of {tank}",
            first=lambda _: lambda store, now: turn_words(store, now, tank, state),
            make=lambda _, anyway: run(room_acts.turn_valve, tank, state, anyway),
        )  # fmt: skip

    def valve(self, tank: str) -> tuple[Act, ...]:
        """The turn of a tank's valve that there is to make."""
        last = self.seen.room.valve.last(tank, self.seen.now)
        if last is None:
            return ()
        return (self.turn(tank, "shut" if last.state == "open" else "open"),)

    def shut_one(self, system: str, members: list[str]) -> tuple[Act, ...]:
        others = [code for code in self.ask.codes if code not in members]
        return (
            Act(
                label="shut a valve", sure="shut its valve",
                asks=(self.ask.tank(f"Which tank is cut off from {system}", others),),
                first=lambda a: lambda store, now: turn_words(store, now, a[0], "shut"),
                make=lambda a, anyway: run(room_acts.turn_valve, a[0], "shut", anyway),
            ),
        )  # fmt: skip

    def first_turn(self, system: str) -> tuple[Act, ...]:
        """Say that a tank whose valve was never turned is on this system, its valve open."""
        room, now = self.seen.room, self.seen.now
        has = [code for code in self.ask.codes if room.valve.last(code, now) is not None]
        if len(has) == len(self.ask.codes):
            return ()
        return (
            Act(
                label="open the first valve of a tank", sure="open its valve",
                asks=(self.ask.tank(f"Which tank joins {system}", has),),
                first=lambda a: lambda store, now: turn_words(store, now, a[0], "open", system),
                make=lambda a, anyway: run(
                    room_acts.turn_valve, a[0], "open", anyway, system
                ),
            ),
        )  # fmt: skip

    def health(self, tank: str) -> Act:
        state = Ask(text=f"{tank} is:", choices=("clean", "under watch", "sick"),
                    values=("clean", "watch", "sick"))  # fmt: skip
        return Act(label="set its class", asks=(state, WHY),
                   make=lambda a, _: run(room_acts.set_class, tank, a[0], a[1]))  # fmt: skip

    # ---- what came in and what was shared -------------------------------------------------

    def gear(self, tank: str) -> Act:
        return Act(
            label="net, hands or gear shared, uncleaned",
            asks=(self.ask.tank("Which tank did it come from", (tank,)),
                  Ask(text="What:", choices=GEAR)),
            make=lambda a, _: run(contact, a[0], tank, a[1]),
        )  # fmt: skip

    def brought(self, tank: str) -> Act:
        return Act(
            label="plant, snail, wood or water came in",
            asks=(Ask(text="What came in:", choices=BROUGHT),),
            sure=f"all in {tank} go back to day 0",
            make=lambda a, _: run(room_acts.seen, tank, a[0]),
        )  # fmt: skip

    def stress(self, tank: str) -> Act:
        asked = Ask(text="What:", choices=("power cut", "chill"), values=STRESSED)
        return Act(label="power cut or chill", asks=(asked,),
                   make=lambda a, _: run(room_acts.seen, tank, a[0]))  # fmt: skip

    def read(self, tank: str) -> tuple[Act, ...]:
        """Readings the release waits for, and the temperature."""

        def reading(what: str, unit: str) -> Act:
            def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
                value = number(answers[0], 0.0, 1000.0)
                if isinstance(value, Problem):
                    return value
                return run(room_acts.read_off, tank, what, value, unit, anyway)

            return Act(label=f"{what} read", asks=(Ask(text=f"{what} in {unit}, then Enter:"),),
                       make=make)  # fmt: skip

        return tuple(reading(*each) for each in (("ammonia", "mg/L"), ("nitrite", "mg/L"),
                                                 ("temperature", "C")))  # fmt: skip

    def seed(self, tank: str = "") -> Act:
        """A ripe sponge of another tank hung into this one, or into one that is asked for."""
        if tank:
            return Act(label="a seed sponge into here", asks=(self.ask.seed(tank),),
                       make=lambda a, anyway: run(
                           seed_acts.take_seed, a[0], tank, anyway))  # fmt: skip
        asks = (self.ask.seeded(), self.ask.seed())
        return Act(label="a seed sponge to start a tank", asks=asks,
                   make=lambda a, anyway: run(seed_acts.take_seed, a[1], a[0], anyway))  # fmt: skip

    # ---- who met whom -----------------------------------------------------------------------

    def met(self, tank: str) -> tuple[Act, ...]:
        span = Ask(text=f"Days back, or a first and last day (Enter: {USUAL_DAYS}):",
                   blank=USUAL_DAYS)  # fmt: skip

        def act(label: str, title: str, *, back: bool) -> PageAct:
            return PageAct(
                label=label, title=title, asks=(span,), make=nothing,
                first=lambda a: self._asked(tank, a[0], back=back),
                then=None if back else lambda a: self._watch_all(tank, a[0]),
            )  # fmt: skip

        return (
            act("who met whom", f"What {tank} could have reached", back=False),
            act("where it could have come from", f"What could have reached {tank}", back=True),
        )

    def _asked(self, tank: str, text: str, *, back: bool) -> First:
        def first(store: Store, now: datetime) -> tuple[str, ...] | Problem:
            span = span_of(text, self.seen.today)
            if isinstance(span, Problem):
                return span
            found = met_view(store, now, tank, *span, back=back)
            return found if isinstance(found, Problem) else met_lines(found, self.seen.room.zone)

        return first

    def _watch_all(self, tank: str, text: str) -> Act:
        """Watch and hold on all that was on the page, as one act."""

        def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
            span = span_of(text, self.seen.today)
            if isinstance(span, Problem):
                return span
            return run(watch_all, tank, answers[0], *span)

        return Act(
            label="watch all of these", asks=(Ask(text="What was seen, then Enter:"),), make=make,
            first=lambda _: self._places(tank, text),
            sure="set all of them under watch and hold moves and sales from them",
        )  # fmt: skip

    def _places(self, tank: str, text: str) -> First:
        """The tanks that would be watched."""

        def first(store: Store, now: datetime) -> tuple[str, ...] | Problem:
            span = span_of(text, self.seen.today)
            if isinstance(span, Problem):
                return span
            found = met_view(store, now, tank, *span)
            if isinstance(found, Problem):
                return found
            tanks = sorted({met.tank for met in found.reached.tanks})
            return (f"{len(tanks)} tank{'' if len(tanks) == 1 else 's'}: {', '.join(tanks)}",)

        return first
