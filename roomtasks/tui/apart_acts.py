"""What can be done at each line of the list of fish kept apart, the likeliest act first.

Each act hands its answers to a function of `work`; no rule is kept here. Acts on a
tank's water, courses and who met whom are in `apart_tank_acts`.
"""

from dataclasses import dataclass

from roomtasks.room.problem import Problem
from roomtasks.room.release import KNOWN_ONLY, Line
from roomtasks.room.stock import Group
from roomtasks.tui.apart_asks import (
    DIED_OF,
    NOT_SAID,
    SIGNS_SEEN,
    Choices,
    HereAct,
    code_of,
    counted,
    day_of,
    made_code,
    nothing,
    run,
    whole,
)
from roomtasks.tui.apart_tank_acts import TankActs
from roomtasks.tui.side_acts import Act, Ask, Do
from roomtasks.work import fish, stay_acts
from roomtasks.work.apart_view import ApartView, release_words
from roomtasks.work.stay_view import RunNow, StayView, WatchView

HOW_MANY = Ask(text="How many, then Enter:")
WHAT_CAME = Ask(text="What came, the line or kind, then Enter:")
FROM_WHOM = Ask(text="From whom (Enter: not said):", blank=NOT_SAID)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Coming:
    """An arrival as it was answered."""

    tank: str
    line: str
    count: str
    origin: str
    came: str = "today"
    days: str = "as set"
    code: str = "-"


class Acts:
    """The acts of one look."""

    def __init__(self, seen: ApartView) -> None:
        self.seen = seen
        self.ask = Choices(seen)
        self.water = TankActs(seen, self.ask)
        self._clean = tuple(taker.tank for taker in seen.takers if taker.refused is None)

    # ---- lines --------------------------------------------------------------------------

    def of_lot(self, stay: StayView) -> tuple[Act, ...]:
        tank, code = stay.now.stay.tank, stay.now.stay.code
        return (
            *self._looks(tank), self._part(tank), self._move_lot(code), self._release(stay),
            *self.water.courses(tank), *self.water.met(tank), self.water.gear(tank),
            self._counts(tank), *self.water.read(tank), self._added(tank), self.water.brought(tank),
            self.water.stress(tank), *self.water.valve(tank), *self._out(tank),
            self.water.seed(tank), *self.of_short_list(stay),
        )  # fmt: skip

    def of_watch(self, row: WatchView) -> tuple[Act, ...]:
        tank = row.tank
        return (
            *self._looks(tank), self.water.health(tank), *self.water.valve(tank),
            *self.water.met(tank), *self.water.courses(tank), self.water.gear(tank),
            self._counts(tank),
            *self.water.read(tank), *self._out(tank), self.water.seed(tank),
        )  # fmt: skip

    def of_run(self, found: RunNow) -> tuple[Act, ...]:
        return (*self.water.run_acts(found), *self._looks(found.run.tank)[:2])

    def of_system(self, system: str, members: list[str]) -> tuple[Act, ...]:
        shut = self.water.shut_one(system, members) if members else ()
        return (*shut, *self.water.first_turn(system))

    def of_valve(self, tank: str, state: str) -> tuple[Act, ...]:
        return (self.water.turn(tank, state), *self.water.met(tank), self.water.health(tank))

    def of_short_list(self, stay: StayView) -> tuple[Act, ...]:
        code = stay.now.stay.code
        shown = HereAct(label="show its release list", make=nothing, here="list", lot=code,
                        first=lambda _: lambda store, now: ())  # fmt: skip
        return (shown, self._destination(stay))

    def of_line(self, stay: StayView, line: Line) -> tuple[Act, ...]:
        """A line of the release: what settles it first, then the release itself."""
        lot, found = stay.now.stay, []
        to = self.seen.to.get(lot.code, "")
        ticks = line.may_tick or line.code in KNOWN_ONLY
        if ticks:
            meant = to if line.code == "destination" else ""
            found.append(
                Act(label=f"tick {meant}" if meant else "tick",
                    make=lambda _, __: run(stay_acts.tick, lot.code, line.code, "", meant))
            )  # fmt: skip
        match line.code:
            case "destination":
                found.insert(len(found) if to else 0, self._destination(stay))
            case "count":
                found.insert(0 if line.state == "open" else len(found), self._counts(lot.tank))
            case "tests":
                found += self.water.read(lot.tank)
            case "looked":
                found = [*self._looks(lot.tank)[:1], *found]
        return (*found, self._release(stay))

    def of_arrival(self) -> tuple[Act, ...]:
        whole_tale = (
            Ask(text="Came when: Enter today, -2 or 2027-03-06:", blank="today"),
            Ask(text=f"Days apart (Enter: {self.seen.room.setup.quarantine_days}, as set):",
                blank="as set"),
            Ask(text="A code for the group (Enter: made from its kind):", blank="-"),
        )  # fmt: skip
        short = (self.ask.taker(), WHAT_CAME, HOW_MANY, FROM_WHOM)

        def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
            names = ("tank", "line", "count", "origin", "came", "days", "code")
            return self._arrive(_Coming(**dict(zip(names, answers, strict=False))), anyway)

        return (
            Act(label="an arrival", make=make, asks=short),
            Act(label="an arrival of an earlier day, or for other days", make=make,
                asks=(*short, *whole_tale)),
            self.water.seed(),
        )  # fmt: skip

    # ---- arrivals -----------------------------------------------------------------------

    def _arrive(self, coming: _Coming, anyway: bool) -> Do | Problem:
        found = counted(coming.count)
        came = day_of(coming.came, self.seen.today)
        typed = made_code(self.seen.room, coming.line) if coming.code == "-" else coming.code
        code = code_of(typed)
        days = None if coming.days == "as set" else whole(coming.days, "days")
        for each in (found, came, code, days):
            if isinstance(each, Problem):
                return each
        assert not isinstance(found, Problem)
        assert not isinstance(came, Problem)
        assert not isinstance(code, Problem)
        assert not isinstance(days, Problem)
        if days is not None and not 1 <= days <= 400:
            return Problem("days", f"{days} days are none to keep fish apart", "give 1 to 400")
        origin = "" if coming.origin == NOT_SAID else coming.origin
        group = Group(code=code, line=coming.line, tank=coming.tank, count=found[0],
                      count_known=found[1], since=came, origin=origin)  # fmt: skip
        return run(stay_acts.arrive, group, days, anyway)

    def _added(self, tank: str) -> Act:
        def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
            line, count, origin = answers
            return self._arrive(_Coming(tank=tank, line=line, count=count, origin=origin), anyway)

        return Act(label="fish added to this lot", make=make,
                   asks=(WHAT_CAME, HOW_MANY, FROM_WHOM))  # fmt: skip

    # ---- looks --------------------------------------------------------------------------

    def _looks(self, tank: str) -> tuple[Act, ...]:
        look = stay_acts.look
        group = self.ask.group(tank)

        def died(answers: tuple[str, ...], why: str) -> Do | Problem:
            code, left = self.ask.named(tank, answers)
            many = whole(left[0])
            if isinstance(many, Problem):
                return many
            return run(look, tank, "dead", many, code, why)

        def missing(answers: tuple[str, ...], _: bool) -> Do | Problem:
            many = whole(answers[0])
            return many if isinstance(many, Problem) else run(look, tank, "not-seen", many)

        sign = Ask(text="What sign:", choices=SIGNS_SEEN)
        why = Ask(text="They died of:", choices=DIED_OF)
        return (
            Act(label="looked: fine", make=lambda _, __: run(look, tank)),
            Act(label="sign of illness", asks=(sign,),
                make=lambda a, _: run(look, tank, "sign", note=_sign(a[0]))),
            Act(label="dead, explained", asks=(*group, HOW_MANY, why),
                make=lambda a, _: died(a[:-1], a[-1])),
            Act(label="dead, unexplained", asks=(*group, HOW_MANY),
                make=lambda a, _: died(a, "")),
            Act(label="not seen", asks=(HOW_MANY,), make=missing),
            Act(label="a sign, in your own words", asks=(Ask(text="What was seen, then Enter:"),),
                make=lambda a, _: run(look, tank, "sign", note=a[0])),
        )  # fmt: skip

    def _counts(self, tank: str) -> Act:
        def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
            code, left = self.ask.named(tank, answers)
            found = counted(left[0])
            if isinstance(found, Problem):
                return found
            return run(fish.recount, code, *found)

        many = Ask(text="Counted, as 8 or about 30, then Enter:")
        return Act(label="counted today", asks=(*self.ask.group(tank), many), make=make)

    # ---- going elsewhere ----------------------------------------------------------------

    def _part(self, tank: str) -> Act:
        def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
            code, left = self.ask.named(tank, answers)
            many = whole(left[0])
            if isinstance(many, Problem):
                return many
            return run(stay_acts.part, code, many, left[1], left[2])

        where = self.ask.tank("Which tank does the part go to", (tank,), self._clean)
        why = Ask(text="Why must they leave, then Enter:")
        return Act(label="part out, with a reason", make=make,
                   asks=(*self.ask.group(tank), HOW_MANY, where, why))  # fmt: skip

    def _move_lot(self, code: str) -> Act:
        where = self.ask.tank("Which clean tank does the whole lot go to", (), self._clean)
        return Act(label="move the whole lot", asks=(where,),
                   make=lambda a, _: run(stay_acts.move_lot, code, a[0]))  # fmt: skip

    def _release(self, stay: StayView) -> Act:
        lot, to = stay.now.stay, self.seen.to.get(stay.now.stay.code, "")
        asks = () if to else (self.ask.tank("Which tank are they released to"),)

        def where(answers: tuple[str, ...]) -> str:
            return to or answers[0]

        return Act(
            label=f"release to {to}" if to else "release to a tank", asks=asks,
            first=lambda a: lambda store, now: release_words(store, now, lot.code, where(a)),
            sure=f"release {lot.code} out of {lot.tank}: looks set for day 1, 2, 3 and 7, own net "
            "back, bag water to waste",
            make=lambda a, _: run(stay_acts.release, lot.code, where(a)),
        )  # fmt: skip

    def _destination(self, stay: StayView) -> HereAct:
        lot = stay.now.stay
        return HereAct(
            label="name the destination", make=nothing, here="to", lot=lot.code,
            asks=(self.ask.tank("Where will they go? It is looked at, nothing is moved"),),
            first=lambda _: lambda store, now: (),
        )  # fmt: skip

    def _out(self, tank: str) -> tuple[Act, ...]:
        """Ways out that a lot not released is refused, said with the rule."""

        def gone(answers: tuple[str, ...], _: bool) -> Do | Problem:
            code, left = self.ask.named(tank, answers[1:])
            many = whole(left[0])
            if isinstance(many, Problem):
                return many
            whom = "" if left[1] == NOT_SAID else left[1]
            return run(fish.take_out, code, many, answers[0], whom)

        def moved(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
            code, left = self.ask.named(tank, answers)
            many = whole(left[0])
            if isinstance(many, Problem):
                return many
            return run(fish.move, code, many, left[1], anyway)

        group = self.ask.group(tank)
        how = Ask(text="How:", choices=("sold", "given"))
        whom = Ask(text="To whom (Enter: not said):", blank=NOT_SAID)
        where = self.ask.tank("Which tank do they go to", (tank,))
        return (
            Act(label="sold or given away", asks=(how, *group, HOW_MANY, whom), make=gone),
            Act(label="moved to a tank, to breed or grow", asks=(*group, HOW_MANY, where),
                make=moved),
        )  # fmt: skip


def _sign(words: str) -> str:
    return "" if words == SIGNS_SEEN[-1] else words
