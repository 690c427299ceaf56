"""The plan of a change as text for 60 columns: what, where, how much, by when, and how known.

A letter behind a number says how it is known; `--why` opens every number to its
formula and what went in. Nothing is worked out here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from roomtasks.cli.page import Col, Page, Row
from roomtasks.cli.page import number as digits
from roomtasks.cli.water_json import all_draws, tanks_of
from roomtasks.room.amount import ASSUMED, COMPUTED, FORECAST, MEASURED, SET, Amount, Input
from roomtasks.room.water_plan import (
    Batch,
    BodyChange,
    ChangePlan,
    Choice,
    ClockStep,
    Contents,
    Draw,
    Match,
    NextStep,
    Note,
    Price,
    RecipeDemand,
)
from roomtasks.room.why import day_words

LETTERS = {MEASURED: "m", COMPUTED: "c", ASSUMED: "a", FORECAST: "f", SET: "s"}
LEGEND = "m measured   c computed   a assumed   f forecast   s as set"
SORTS = {"system": "system", "alone": "alone", "cut-off": "cut off"}
_HOURS = 60


@dataclass(frozen=True)
class PlanText:
    """One plan, written on a page. `why` opens the numbers; `cautions` stand last."""

    plan: ChangePlan
    cautions: tuple[str, ...] = ()
    why: bool = False

    def write(self, page: Page) -> None:
        plan = self.plan
        at = plan.wanted_at
        page.head(f"Change of {day_words(at.date())} {at.year}, {at:%H:%M}")
        page.line(_wanted(plan.demands), hang=4)
        for note in plan.refused:
            page.line(f"REFUSED {_note(note)}", style="late", hang=4)
        if plan.next_step is not None:
            page.line(f"Next: {next_words(plan.next_step)}", hang=4,
                      style="late" if plan.next_step.late else "")  # fmt: skip
        page.line(LEGEND, style="quiet")
        page.line("without a letter: worked out from these", style="quiet")
        self._wanted(page)
        self._bodies(page)
        self._tanks(page)
        self._batches(page)
        self._matches(page)
        self._short(page)
        self._nitrate(page)
        self._vessels(page)
        self._end(page)

    def _wanted(self, page: Page) -> None:
        if not self.plan.demands:
            return
        page.head("Wanted")
        for demand in self.plan.demands:
            page.line(
                f"{demand.recipe or 'water'} {_amount(demand.litres)} L: "
                f"{digits(demand.drained_litres)} drained, {digits(demand.top_off_litres)} "
                f"top-off, {digits(demand.other_litres)} other, {digits(demand.loss_litres)} "
                "lost in hoses", hang=4,
            )  # fmt: skip
            self._open(page, demand.litres)
        fills = [
            f"{recipe or 'water'} {' + '.join(digits(each) for each in litres)} L"
            for recipe, litres in self.plan.by_litres
        ]
        if fills:
            page.line(f"By litres, in fills: {'; '.join(fills)}", hang=4)

    def _bodies(self, page: Page) -> None:
        if not self.plan.bodies:
            return
        page.head("Bodies of water")
        page.table(_BODY_COLS, [self._body(body) for body in self.plan.bodies])

    def _body(self, body: BodyChange) -> Row:
        below = _because(body.fraction) if self.why else ""
        return Row((
            body.body, SORTS.get(body.sort, body.sort), _amount(body.litres),
            digits(body.drained_litres), _percent(body.tanks_fraction),
            f"{_percent(body.fraction.value)}{_letter(body.fraction)}",
        ), below)  # fmt: skip

    def _tanks(self, page: Page) -> None:
        draws = all_draws(self.plan)
        if not draws:
            return
        page.head("By tank, in walking order")
        page.table(_TANK_COLS, [self._draw(draw) for draw in draws])

    def _draw(self, draw: Draw) -> Row:
        told = [
            *([draw.name] if draw.sort != "change" else []),
            *(f"add {_amount(dose.amount)} {dose.amount.unit} {dose.product}: {dose.why}"
              for dose in draw.doses),
            *([f"missed {draw.missed}"] if draw.missed else []),
            *([_step_refused(draw.match)] if draw.match and not draw.match.allowed else []),
            *([_because(draw.litres)] if self.why else []),
            *(_because(dose.amount) for dose in draw.doses if self.why),
        ]  # fmt: skip
        cells = (
            draw.tank or draw.place, draw.recipe, _amount(draw.litres),
            digits(draw.drain_cm) if draw.drain_cm is not None else "",
            _percent(draw.fraction) if draw.fraction is not None else "", draw.health.letter,
        )  # fmt: skip
        return Row(cells, "; ".join(part for part in told if part))

    def _batches(self, page: Page) -> None:
        for batch in self.plan.batches:
            self._batch(page, batch)

    def _batch(self, page: Page, batch: Batch) -> None:
        page.head(f"Batch {batch.n}: {batch.reservoir} {batch.recipe}".rstrip())
        page.line(
            f"{digits(batch.used_litres)} L used; {digits(batch.added_litres)} L run in onto "
            f"{digits(batch.left_litres)} L", hang=4,
        )  # fmt: skip
        page.line(f"for {' '.join(tanks_of(batch.shares))}", hang=4)
        for dose in batch.doses:
            caution = f" ({dose.caution})" if dose.caution else ""
            page.line(f"add {_amount(dose.amount)} {dose.amount.unit} {dose.product}: "
                      f"{dose.why}{caution}", hang=4)  # fmt: skip
            self._open(page, dose.amount)
        self._heat(page, batch)
        self._blend(page, batch)
        if batch.clock is not None:
            page.table(_CLOCK_COLS, [self._clock_step(step) for step in batch.clock.steps])
            if batch.clock.ready_at is not None:
                page.line(f"ready at the earliest {_when(batch.clock.ready_at)}", hang=4)
            if batch.clock.refused is not None:
                page.line(f"REFUSED {batch.clock.refused.sentence()} "
                          f"[{batch.clock.refused.rule}]", style="late", hang=4)  # fmt: skip
            for note in batch.clock.notes:
                page.line(_note(note), hang=4)
        if batch.emptied_at is not None:
            page.line(f"free again about {_when(batch.emptied_at)}", hang=4)

    def _heat(self, page: Page, batch: Batch) -> None:
        parts = []
        if batch.mix_celsius is not None:
            parts.append(f"mixes to {_amount(batch.mix_celsius)} C")
        if batch.target_celsius is not None:
            parts.append(f"wanted {digits(batch.target_celsius)} C")
        if batch.heat_kwh is not None:
            parts.append(f"heat {_amount(batch.heat_kwh, 2)} kWh")
        if batch.heat_minutes is not None:
            parts.append(f"{_long(batch.heat_minutes)} of heating")
        if parts:
            page.line(", ".join(parts), hang=4)
        for amount in (batch.mix_celsius, batch.heat_kwh, batch.heat_minutes):
            self._open(page, amount)

    def _blend(self, page: Page, batch: Batch) -> None:
        blend = batch.blend
        if blend is None:
            return
        page.line(
            f"{digits(blend.ro_litres)} L RO ({_percent(blend.ro_fraction.value)} % "
            f"{_letter(blend.ro_fraction)}) and {digits(blend.source_litres)} L of the source; "
            f"RO takes {_long(blend.hours, _HOURS)}, "
            f"{digits(blend.waste_litres)} L to the drain", hang=4,
        )  # fmt: skip
        self._open(page, blend.ro_fraction)
        self._open(page, blend.hours)

    def _clock_step(self, step: ClockStep) -> Row:
        done = f", done {_when(step.done_at)}" if step.done_at is not None else ""
        length = f", {_long(step.minutes)}"
        below = "; ".join(filter(None, (step.why, _because(step.minutes)))) if self.why else ""
        word = f"{step.step.replace('-', ' ')}{length if step.minutes.value else ''}{done}"
        return Row((_when(step.latest), _when(step.advised), word), below,
                   "quiet" if done else "")  # fmt: skip

    def _matches(self, page: Page) -> None:
        """Tanks that meet the new water alike stand on one line."""
        alike: dict[tuple[str, ...], list[str]] = {}
        for draw in all_draws(self.plan):
            if draw.match is not None:
                alike.setdefault(_match_cells(draw.match), []).append(draw.match.tank)
        if alike:
            page.head("Temperature, C: new water and each tank")
            page.table(_MATCH_COLS, [Row((*cells, " ".join(dict.fromkeys(tanks))))
                                     for cells, tanks in alike.items()])  # fmt: skip

    def _short(self, page: Page) -> None:
        if not self.plan.choices:
            return
        page.head("The water does not do for the day: choices")
        for number, choice in enumerate(self.plan.choices, 1):
            _write_choice(page, number, choice)
        page.head("Who goes first")
        page.table(_NEED_COLS, [
            Row((str(draw.need), draw.tank or draw.place, digits(draw.from_reservoir),
                 draw.need_reason))
            for draw in self.plan.needs
        ])  # fmt: skip

    def _nitrate(self, page: Page) -> None:
        if not self.plan.forecasts:
            return
        page.head("Nitrate, mg/L as NO3")
        rows = []
        for each in self.plan.forecasts:
            told = [
                *([f"crosses its limit on {day_words(each.crosses_on)}"] if each.crosses_on
                  else []),
                *(["change now"] if each.change_now else []),
                *([f"hold it with {_percent(each.least_fraction.value)} % "
                   f"{_letter(each.least_fraction)}"] if each.least_fraction else []),
                *(_note(note) for note in each.notes),
                *([_because(each.now), _because(each.production_per_week)] if self.why else []),
            ]  # fmt: skip
            rows.append(Row((
                each.body, _amount(each.reading), _amount(each.now), _amount(each.before_next),
                _amount(each.settles), digits(each.limit, 0) if each.limit else "",
            ), "; ".join(part for part in told if part),
                "late" if each.change_now else ""))  # fmt: skip
        page.table(_NITRATE_COLS, rows)
        page.line("A forecast is not a test.", style="quiet")

    def _vessels(self, page: Page) -> None:
        if not self.plan.vessels:
            return
        page.head("Reservoirs now")
        held = {contents.reservoir: contents for contents in self.plan.contents}
        for vessel in self.plan.vessels:
            page.line(
                f"{vessel.code} {_holds(vessel.holds_litres, held.get(vessel.code))}; "
                f"{digits(vessel.ready_litres)} L ready, a fill gives "
                f"{digits(vessel.most_litres)} L", hang=4,
            )  # fmt: skip
        for sump in self.plan.sumps:
            page.line(
                f"Sump of {sump.system}: running {digits(sump.running_cm)} cm, resting "
                f"{digits(sump.resting_cm)} cm, as {_amount(sump.back_litres)} L run back; at "
                f"most {digits(sump.highest_running_cm)} cm running", hang=4,
                style="late" if sump.overflows else "",
            )  # fmt: skip
            self._open(page, sump.back_litres)

    def _end(self, page: Page) -> None:
        told = [note for note in self.plan.notes if note.sort != "refused"]
        if told:
            page.head("To be told")
        for note in told:
            page.line(_note(note), hang=4, style="held" if note.sort == "warned" else "")
        if self.cautions:
            page.head("Cautions")
        for caution in self.cautions:
            page.line(caution, hang=4)

    def _open(self, page: Page, amount: Amount | None) -> None:
        """A number's formula and inputs, where they were asked for."""
        if self.why and amount is not None and (told := _because(amount)):
            page.line(told, indent=4, style="quiet")


_BODY_COLS = (
    Col("body"), Col("water", stretch=True), Col("holds L", right=True), Col("out L", right=True),
    Col("tanks %", right=True), Col("body %", right=True),
)  # fmt: skip
_TANK_COLS = (
    Col("place"), Col("water", stretch=True), Col("L", right=True), Col("cm", right=True),
    Col("%", right=True), Col(),
)  # fmt: skip
_CLOCK_COLS = (Col("latest", right=True), Col("advised", right=True), Col("step", stretch=True))
_MATCH_COLS = (
    Col("tank", right=True), Col("new", right=True), Col("after", right=True),
    Col("coldest", right=True), Col("most %", right=True), Col(), Col("tanks", stretch=True),
)  # fmt: skip
_NEED_COLS = (Col(right=True), Col("place"), Col("L", right=True), Col("why", stretch=True))
_NITRATE_COLS = (
    Col("body", stretch=True), Col("read", right=True), Col("now", right=True),
    Col("before", right=True), Col("settles", right=True), Col("limit", right=True),
)  # fmt: skip


def _wanted(demands: Sequence[RecipeDemand]) -> str:
    if not demands:
        return "No water is wanted that day."
    return "Wanted: " + ", ".join(
        f"{demand.recipe or 'water'} {_amount(demand.litres, 0)} L" for demand in demands
    )


def next_words(step: NextStep) -> str:
    """The next thing to do about water, and by when."""
    late = " (late)" if step.late else ""
    return f"{_when(step.at)}{late} {step.text}"


def _when(at: datetime) -> str:
    return f"{day_words(at.date())} {at:%H:%M}"


def _letter(amount: Amount) -> str:
    return LETTERS.get(amount.known, "")


def _amount(amount: Amount | None, places: int = 1) -> str:
    """A number and the letter of how it is known, "-" where nothing is."""
    return "-" if amount is None else f"{digits(amount.value, places)}{_letter(amount)}"


def _percent(fraction: float) -> str:
    return digits(100 * fraction)


def _long(amount: Amount, minutes_each: int = 1) -> str:
    """So many hours and minutes, and the letter of how they are known."""
    hours, rest = divmod(round(minutes_each * amount.value), _HOURS)
    told = f"{hours} h {rest} min" if hours else f"{rest} min"
    return f"{told} {_letter(amount)}".strip()


def _because(amount: Amount | None) -> str:
    """A number's formula and what went in."""
    if amount is None:
        return ""
    inputs = ", ".join(_input(each) for each in amount.inputs)
    told = [part for part in (amount.formula, inputs, amount.source) if part]
    return f"{amount.known}: {'; '.join(told)}" if told else ""


def _input(each: Input) -> str:
    value = each.value if isinstance(each.value, str) else f"{each.value:.4g}"
    unit = f" {each.unit}" if each.unit else ""
    source = f", {each.source}" if each.source else ""
    return f"{each.name} {value}{unit} ({each.known}{source})"


def _note(note: Note) -> str:
    rule = f" [{note.rule}]" if note.rule else ""
    return f"{note.about}: {note.text}{rule}" if note.about else f"{note.text}{rule}"


def _step_refused(match: Match) -> str:
    return (
        f"REFUSED at {digits(match.new_celsius)} C: {digits(match.before_celsius.value)} to "
        f"{digits(match.after_celsius)} C is a step of {digits(abs(match.step))}, limit "
        f"{digits(match.limit)}; coldest {digits(match.coldest_new_celsius)} C, or at most "
        f"{_percent(match.most_fraction)} %"
    )


def _match_cells(match: Match) -> tuple[str, ...]:
    verdict = "" if match.allowed else "no"
    return (
        _amount(match.before_celsius), digits(match.new_celsius), digits(match.after_celsius),
        digits(match.coldest_new_celsius), _percent(match.most_fraction),
        "on purpose" if match.deliberate else verdict,
    )  # fmt: skip


def _write_choice(page: Page, number: int, choice: Choice) -> None:
    yes = " Only with a yes." if choice.needs_yes else ""
    page.line(f"{number} {choice.text}{yes}", hang=2)
    for price in choice.prices:
        page.line(_price(price), indent=4, hang=2)


def _price(price: Price) -> str:
    told = f"{price.body} {_percent(price.fraction)} %"
    if price.settles_mg_per_l is None or price.was_mg_per_l is None:
        return told
    return (
        f"{told}: nitrate settles {digits(price.settles_mg_per_l)} mg/L above the source, not "
        f"{digits(price.was_mg_per_l)}"
    )


def _holds(litres: float, held: Contents | None) -> str:
    if held is None:
        return f"holds {digits(litres)} L"
    warm = f" at {_amount(held.celsius)} C" if held.celsius is not None else ""
    recipe = f" {held.recipe}" if held.recipe else ""
    return f"holds {digits(held.litres)} L{recipe}{warm}, {held.state}"
