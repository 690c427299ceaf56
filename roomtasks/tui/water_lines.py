"""The list of the water screen: parts of lines that can be walked, each number opening to its why.

Pure: from a look at the water to parts; the screen lays them out and keeps which is in hand.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.treatment import Choice
from roomtasks.room.water_plan import ChangePlan, ClockStep, Forecast, Price
from roomtasks.room.why import day_words
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_batch import BatchLines, batch_title
from roomtasks.tui.water_items import Item, Part, note_items
from roomtasks.tui.water_words import (
    LEGEND,
    STEP_WORDS,
    Expected,
    WaterSeen,
    amount,
    away,
    clock_words,
    expected,
    held_words,
    looks,
    num,
    percent,
)
from roomtasks.tui.widgets.timeline import LETTERS
from roomtasks.tui.widgets.vessel_view import gauge

PRICES_SHOWN = 3
NO_RECIPE = (
    "No recipe is entered, so no temperature, dose or blend is planned: add sources, recipes and "
    "label rates to the room's folder."
)
KIND_OF_STEP = {"hose-out": "fill", "fill-start": "fill", "full": "fill", "treated": "treat",
                "heat-on": "heat", "change": "change"}  # fmt: skip


def parts(seen: WaterSeen, signs: Signs) -> list[Part]:
    """Everything there is to say of the water, what is next first."""
    plan = seen.plan
    if isinstance(plan, Problem):
        found = [_to_do_first(seen, plan), Part("Reservoirs", tuple(_reservoirs(seen, signs)))]
    else:
        made = _Lines(seen, plan, signs)
        found = [_to_do_first(seen, None), *made.parts()]
    return [part for part in found if part.items]


def _to_do_first(seen: WaterSeen, problem: Problem | None) -> Part:
    """What a room lacks before there is anything to plan."""
    texts = [refused_here(problem)] if problem is not None else []
    if not seen.room.reservoirs:
        texts.append("No reservoir is entered yet. Back on the walk: e, then 6 to reservoirs, "
                     "+ adds one.")  # fmt: skip
    drawing = [job for job in seen.room.jobs if job.active and KINDS[job.kind].water]
    if not drawing:
        texts.append("No job changes water yet. Back on the walk: e, then + adds a job of kind "
                     "change, with its fraction.")  # fmt: skip
    return Part("First", tuple(Item(key=f"first {n}", text=text) for n, text in enumerate(texts)))


def _reservoirs(seen: WaterSeen, signs: Signs) -> Iterator[Item]:
    for look in looks(seen, ""):
        vessel, held = seen.room.reservoir[look.code], seen.contents.get(look.code)
        planned = f", {num(look.planned, 0)} planned" if look.planned is not None else ""
        words = "  ".join(held_words(held, seen.now))
        kept = f"keep-back {num(vessel.keep_back_litres, 0)}, dead {num(vessel.dead_litres, 0)}"
        most = (
            f"One fill gives at most {num(vessel.fill_most_litres)} L: full "
            f"{num(vessel.full_litres)} less dead {num(vessel.dead_litres)} less keep-back "
            f"{num(vessel.keep_back_litres)}."
        )
        warm = held.celsius if held is not None else None
        yield Item(
            key=f"reservoir {look.code}", reservoir=look.code,
            text=f"{look.code} {gauge(look, signs)} {num(look.now, 0)} of {num(look.full, 0)} L"
            f"{planned}  {words}  {kept}",
            amounts=(("Temperature", warm),) if warm is not None else (),
            more=(most, *_usable(seen, look.code)),
        )  # fmt: skip


def _usable(seen: WaterSeen, code: str) -> list[str]:
    if isinstance(seen.plan, Problem):
        return []
    return [
        f"{num(vessel.ready_litres)} L may be used now; {num(vessel.left_litres)} L stay in it."
        for vessel in seen.plan.vessels
        if vessel.code == code
    ]


NEEDS = (
    "By need: 1 a course, 2 eggs and fry, 3 nitrate over its limit, 4 missed last time, "
    "5 days since"
)


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of one plan."""

    seen: WaterSeen
    plan: ChangePlan
    signs: Signs

    def parts(self) -> Iterator[Part]:
        plan = self.plan
        yield Part("Refused", tuple(note_items("refused", plan.refused)))
        yield Part("Next", tuple(self._next()))
        yield Part("Chosen for this day; / then 4 takes it back", tuple(self._chosen()))
        yield Part("Reservoirs", tuple(_reservoirs(self.seen, self.signs)))
        for batch in plan.batches:
            lines = BatchLines(batch, self.seen.now, self.signs)
            yield Part(batch_title(batch), tuple(lines.items()))
        yield Part("It does not do for the day: / chooses", tuple(self._choices()))
        yield Part("Who goes first where it is short", tuple(self._needs()))
        yield Part("Wanted", tuple(self._wanted()))
        yield Part("Bodies of water", tuple(self._bodies()))
        yield Part("Nitrate as NO3; a forecast is not a test", tuple(self._nitrate()))
        yield Part("Sumps", tuple(self._sumps()))
        told = [note for note in plan.notes if note.sort != "refused"]
        lacks = [] if self.seen.room.recipes else [Item(key="no recipe", text=NO_RECIPE)]
        yield Part("To be told", (*note_items("note", told), *lacks))
        yield Part("Cautions", tuple(
            Item(key=f"caution {n}", text=text) for n, text in enumerate(self.seen.cautions)
        ))  # fmt: skip
        yield Part("Letters", (Item(key="legend", text=f"Behind numbers: {LEGEND}"),
                               Item(key="strip", text=_strip_legend())))  # fmt: skip

    # ---- next ----

    def _next(self) -> Iterator[Item]:
        step = self.plan.next_step
        codes = [vessel.code for vessel in self.seen.room.reservoirs]
        if step is not None and step.reservoir in codes:
            codes = [step.reservoir, *(code for code in codes if code != step.reservoir)]
        for code in codes:
            found = expected(self.seen, code)
            if found is None or (found.clock is None and found.step == "fill-start"):
                continue
            text = f"{code}: {found.to_do}"
            if found.clock is None:
                yield Item(key=f"next {code}", text=text, reservoir=code)
            else:
                yield self._next_step(found, found.clock)
        yield from self._caution_now()

    def _next_step(self, found: Expected, clock: ClockStep) -> Item:
        now, late = self.seen.now, clock.latest < self.seen.now
        sign = f"{self.signs.late} " if late else ""
        text = f"{sign}{found.reservoir}: {found.to_do}"
        if found.batch is not None and found.batch.clock and found.batch.clock.refused:
            text += f" {clock_words(clock.advised, now)} at the earliest; the hour cannot be kept"
        else:
            text += (
                f" by {clock_words(clock.latest, now)} at the latest ({away(clock.latest, now)}), "
                f"advised {clock_words(clock.advised, now)}"
            )
        return Item(
            key=f"next {found.reservoir}", text=text, weight="late" if late else "",
            reservoir=found.reservoir, amounts=(("It lasts", clock.minutes),),
            more=(clock.why,) if clock.why else (),
        )  # fmt: skip

    def _caution_now(self) -> Iterator[Item]:
        """The caution that belongs to the step that is next."""
        step = self.plan.next_step
        if step is not None and step.step in KIND_OF_STEP:
            yield Item(key="caution now", text="! " + KINDS[KIND_OF_STEP[step.step]].caution,
                       reservoir=step.reservoir)  # fmt: skip

    def _chosen(self) -> Iterator[Item]:
        for choice in self.seen.room.choices:
            if choice.day == self.plan.day:
                yield Item(key="chosen", text=choice_words(choice))

    # ---- short, wanted, bodies, nitrate, sumps ----

    def _choices(self) -> Iterator[Item]:
        for n, choice in enumerate(self.plan.choices, 1):
            yes = " (only on a yes)" if choice.needs_yes else ""
            prices = tuple(_price(choice.prices))
            yield Item(key=f"choice {n}", text=f"{n} {choice.text}{yes}", more=prices)
            for m, price in enumerate(prices[:PRICES_SHOWN]):
                yield Item(key=f"price {n} {m}", text=f"  {price}", weight="quiet", more=prices)

    def _needs(self) -> Iterator[Item]:
        if not self.plan.choices:
            return
        yield Item(key="needs", text=NEEDS, weight="quiet")
        for draw in self.plan.needs:
            yield Item(
                key=f"need {draw.due_id} {draw.tank or draw.place}",
                text=f"{draw.need} {draw.tank or draw.place}  {num(draw.from_reservoir)} L  "
                f"{draw.need_reason}",
                amounts=(("Litres", draw.litres),),
            )  # fmt: skip

    def _wanted(self) -> Iterator[Item]:
        for demand in self.plan.demands:
            named = demand.recipe or "water"
            yield Item(
                key=f"wanted {named}", amounts=(("Wanted", demand.litres),),
                text=f"{named} {amount(demand.litres)}: {num(demand.drained_litres)} drained, "
                f"{num(demand.top_off_litres)} top-off, {num(demand.other_litres)} other, "
                f"{num(demand.loss_litres)} lost in hoses",
            )  # fmt: skip
        for recipe, litres in self.plan.by_litres:
            yield Item(key=f"fills {recipe}",
                       text=f"{recipe or 'water'} by litres, in fills: "
                            f"{' + '.join(num(each) for each in litres)} L")  # fmt: skip

    def _bodies(self) -> Iterator[Item]:
        for body in self.plan.bodies:
            yield Item(
                key=f"body {body.body}",
                text=f"{body.body}: {num(body.drained_litres)} of {amount(body.litres)} out, "
                f"{percent(body.fraction.value)} of the body, {percent(body.tanks_fraction)} of "
                "each tank",
                amounts=(("Holds", body.litres), ("Share of the body", body.fraction)),
            )  # fmt: skip

    def _nitrate(self) -> Iterator[Item]:
        for each in self.plan.forecasts:
            yield _forecast(each)

    def _sumps(self) -> Iterator[Item]:
        for sump in self.plan.sumps:
            yield Item(
                key=f"sump {sump.system}", weight="late" if sump.overflows else "",
                text=f"{sump.system}: running {num(sump.running_cm)} cm, resting "
                f"{num(sump.resting_cm)} cm; never above {num(sump.highest_running_cm)} running"
                + (": IT OVERFLOWS" if sump.overflows else ""),
                amounts=(("Runs back", sump.back_litres),),
            )  # fmt: skip


def _strip_legend() -> str:
    letters = "  ".join(f"{letter} {STEP_WORDS[step]}" for step, letter in LETTERS.items()
                        if step not in ("ready", "heat-off"))  # fmt: skip
    return f"On the line of time: {letters}"


def _price(prices: Sequence[Price]) -> Iterator[str]:
    """What a choice costs, bodies that pay alike told together."""
    alike: dict[tuple[float, float | None, float | None], list[str]] = {}
    for price in prices:
        cost = (price.fraction, price.settles_mg_per_l, price.was_mg_per_l)
        alike.setdefault(cost, []).append(price.body)
    for (fraction, settles, was), bodies in alike.items():
        text = f"{' '.join(bodies)}: {percent(fraction)}"
        if settles is not None and was is not None:
            text += f", nitrate settles {num(settles)} mg/L above the source"
            text += f", not {num(was)}" if num(settles) != num(was) else ""
        yield text


def _forecast(each: Forecast) -> Item:
    named = (("Read", each.reading), ("Made in a week", each.production_per_week),
             ("Now", each.now), ("Before the next change", each.before_next),
             ("Settles", each.settles), ("Least share", each.least_fraction))  # fmt: skip
    known = (("read", each.reading), ("now", each.now), ("before the next", each.before_next),
             ("settles", each.settles))  # fmt: skip
    told = [f"{word} {amount(value, unit=False)}" for word, value in known if value is not None]
    told = told if each.reading is not None else ["not read yet", *told]
    if each.limit is not None:
        told.append(f"limit {num(each.limit)}")
    if each.crosses_on is not None:
        told.append(f"crosses it {day_words(each.crosses_on)}")
    if each.change_now:
        told.append("CHANGE NOW")
    more = tuple(f"{note.about}: {note.text}" if note.about else note.text for note in each.notes)
    amounts = tuple((name, value) for name, value in named if value is not None)
    return Item(key=f"nitrate {each.body}", text=f"{each.body}: " + ", ".join(told), more=more,
                amounts=amounts, weight="late" if each.change_now else "")  # fmt: skip


def choice_words(choice: Choice) -> str:
    """What the keeper chose for a day."""
    told = [f"the change begins {choice.hour:%H:%M}"] if choice.hour is not None else []
    if choice.share is not None:
        told.append(f"every change at {percent(choice.share)} of what is planned")
    told += ["the keep-back may be used"] if choice.keep_back else []
    return ", ".join(told) or "as planned"
