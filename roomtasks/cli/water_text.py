"""The plan of a change as text for 60 columns: what, where, how much, by when, and how known.

A letter behind a number says how it is known; `--why` opens every number to its
formula and what went in. Nothing is worked out here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from roomtasks.cli.page import Col, Page, Row
from roomtasks.cli.page import number as digits
from roomtasks.cli.water_batch import write_batch
from roomtasks.cli.water_json import all_draws
from roomtasks.cli.water_signs import (
    LEGEND,
    because,
    dose_words,
    letter,
    next_words,
    note_words,
    opened,
    percent,
    told,
)
from roomtasks.room.water_plan import (
    BodyChange,
    ChangePlan,
    Choice,
    Contents,
    Draw,
    Forecast,
    Match,
    Price,
    RecipeDemand,
)
from roomtasks.room.why import day_words

SORTS = {"system": "system", "alone": "alone", "cut-off": "cut off"}


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
            page.line(f"REFUSED {note_words(note)}", style="late", hang=4)
        if plan.next_step is not None:
            page.line(f"Next: {next_words(plan.next_step)}", hang=4,
                      style="late" if plan.next_step.late else "")  # fmt: skip
        page.line(LEGEND, style="quiet")
        page.line("without a letter: worked out from these", style="quiet")
        self._wanted(page)
        self._bodies(page)
        self._tanks(page)
        for batch in plan.batches:
            write_batch(page, batch, self.why, self.cautions)
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
                f"{demand.recipe or 'water'} {told(demand.litres)} L: "
                f"{digits(demand.drained_litres)} drained, {digits(demand.top_off_litres)} "
                f"top-off, {digits(demand.other_litres)} other, {digits(demand.loss_litres)} "
                "lost in hoses", hang=4,
            )  # fmt: skip
            opened(page, self.why, demand.litres)
        walking, any_order = dict(self.plan.walking), dict(self.plan.any_order)
        for recipe, litres in self.plan.by_litres:
            counts = [
                f"{word} {len(split.fills)}"
                for word, split in (
                    ("in walking order", walking.get(recipe)), ("in any order",
                    any_order.get(recipe)),
                )
                if split is not None
            ]  # fmt: skip
            fills = " + ".join(digits(each) for each in litres)
            page.line(f"{recipe or 'water'} in fills: by litres {fills}"
                      f"{''.join(f'; {count}' for count in counts)}", hang=4)  # fmt: skip

    def _bodies(self, page: Page) -> None:
        if not self.plan.bodies:
            return
        page.head("Bodies of water")
        alike: dict[tuple[str, ...], list[BodyChange]] = {}
        for body in self.plan.bodies:
            alike.setdefault(_body_cells(body), []).append(body)
        page.table(_BODY_COLS, [
            Row((*cells, " ".join(body.body for body in bodies)),
                because(bodies[0].fraction) if self.why else "")
            for cells, bodies in alike.items()
        ])  # fmt: skip

    def _tanks(self, page: Page) -> None:
        draws = all_draws(self.plan)
        if draws:
            page.head("By tank, in walking order")
            page.table(_TANK_COLS, [self._draw(draw) for draw in draws])

    def _draw(self, draw: Draw) -> Row:
        below = [
            *([draw.name] if draw.sort != "change" else []),
            *(dose_words(dose, self.cautions) for dose in draw.doses),
            *([f"missed {draw.missed}"] if draw.missed else []),
            *([_step_refused(draw.match)] if draw.match and not draw.match.allowed else []),
            *([because(draw.litres)] if self.why else []),
            *(because(dose.amount) for dose in draw.doses if self.why),
        ]
        cells = (
            draw.tank or draw.place, draw.recipe, told(draw.litres),
            digits(draw.drain_cm) if draw.drain_cm is not None else "",
            percent(draw.fraction) if draw.fraction is not None else "", draw.health.letter,
        )  # fmt: skip
        return Row(cells, "; ".join(part for part in below if part))

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
        for (need, reason), run in groupby(
            self.plan.needs, key=lambda draw: (draw.need, draw.need_reason)
        ):
            page.line(_first(need, reason, tuple(run)), hang=4)

    def _nitrate(self, page: Page) -> None:
        if self.plan.forecasts:
            page.head("Nitrate, mg/L as NO3")
            page.table(_NITRATE_COLS, [self._forecast(each) for each in self.plan.forecasts])
            page.line("A forecast is not a test.", style="quiet")

    def _forecast(self, each: Forecast) -> Row:
        below = [
            *([f"crosses its limit on {day_words(each.crosses_on)}"] if each.crosses_on else []),
            *(["change now"] if each.change_now else []),
            *([f"hold it with {percent(each.least_fraction.value)} % "
               f"{letter(each.least_fraction)}"] if each.least_fraction else []),
            *(note_words(note) for note in each.notes),
            *([because(each.now), because(each.production_per_week)] if self.why else []),
        ]  # fmt: skip
        cells = (
            each.body, told(each.reading), told(each.now), told(each.before_next),
            told(each.settles), digits(each.limit, 0) if each.limit else "",
        )  # fmt: skip
        style = "late" if each.change_now else ""
        return Row(cells, "; ".join(part for part in below if part), style)

    def _vessels(self, page: Page) -> None:
        if self.plan.vessels:
            page.head("Reservoirs now")
        held = {contents.reservoir: contents for contents in self.plan.contents}
        for vessel in self.plan.vessels:
            page.line(
                f"{vessel.code} {_holds(vessel.holds_litres, held.get(vessel.code))}; "
                f"{digits(vessel.ready_litres)} L to use now, a fill gives "
                f"{digits(vessel.most_litres)} L", hang=4,
            )  # fmt: skip
        if self.plan.sumps:
            page.head("Sumps")
        for sump in self.plan.sumps:
            page.line(
                f"{sump.system} {digits(sump.running_cm)} cm running, "
                f"{digits(sump.resting_cm)} cm at rest, as {told(sump.back_litres)} L run back; "
                f"running at most {digits(sump.highest_running_cm)} cm", hang=4,
                style="late" if sump.overflows else "",
            )  # fmt: skip
            opened(page, self.why, sump.back_litres)

    def _end(self, page: Page) -> None:
        notes = [note for note in self.plan.notes if note.sort != "refused"]
        if notes:
            page.head("To be told")
        for note in notes:
            page.line(note_words(note), hang=4, style="held" if note.sort == "warned" else "")
        if self.cautions:
            page.head("Cautions")
        for caution in self.cautions:
            page.line(caution, hang=4)


_BODY_COLS = (
    Col("water"), Col("holds L", right=True), Col("out L", right=True),
    Col("tanks %", right=True), Col("body %", right=True), Col("body", stretch=True),
)  # fmt: skip
_TANK_COLS = (
    Col("place"), Col("water", stretch=True), Col("L", right=True), Col("cm", right=True),
    Col("%", right=True), Col(),
)  # fmt: skip
_MATCH_COLS = (
    Col("tank", right=True), Col("new", right=True), Col("after", right=True),
    Col("coldest", right=True), Col("most %", right=True), Col(), Col("tanks", stretch=True),
)  # fmt: skip
_NITRATE_COLS = (
    Col("body", stretch=True), Col("read", right=True), Col("now", right=True),
    Col("before", right=True), Col("settles", right=True), Col("limit", right=True),
)  # fmt: skip


def _wanted(demands: Sequence[RecipeDemand]) -> str:
    if not demands:
        return "No water is wanted that day."
    return "Wanted: " + ", ".join(
        f"{demand.recipe or 'water'} {told(demand.litres, 0)} L" for demand in demands
    )


def _body_cells(body: BodyChange) -> tuple[str, ...]:
    return (
        SORTS.get(body.sort, body.sort), told(body.litres), digits(body.drained_litres),
        percent(body.tanks_fraction), f"{percent(body.fraction.value)}{letter(body.fraction)}",
    )  # fmt: skip


def _step_refused(match: Match) -> str:
    return (
        f"REFUSED at {digits(match.new_celsius)} C: {digits(match.before_celsius.value)} to "
        f"{digits(match.after_celsius)} C is a step of {digits(abs(match.step))}, limit "
        f"{digits(match.limit)}; coldest {digits(match.coldest_new_celsius)} C, or at most "
        f"{percent(match.most_fraction)} %"
    )


def _match_cells(match: Match) -> tuple[str, ...]:
    verdict = "" if match.allowed else "no"
    return (
        told(match.before_celsius), digits(match.new_celsius), digits(match.after_celsius),
        digits(match.coldest_new_celsius), percent(match.most_fraction),
        "on purpose" if match.deliberate else verdict,
    )  # fmt: skip


def _first(need: int, reason: str, draws: Sequence[Draw]) -> str:
    """Places of one need, in order, and their litres together."""
    litres = sum(draw.from_reservoir for draw in draws)
    places = " ".join(dict.fromkeys(draw.tank or draw.place for draw in draws))
    return f"{need} {reason + ', ' if reason else ''}{digits(litres)} L: {places}"


def _write_choice(page: Page, number: int, choice: Choice) -> None:
    yes = ". Only with a yes" if choice.needs_yes else ""
    page.line(f"{number} {choice.text}{yes}", hang=2)
    for words, bodies in _alike(choice.prices).items():
        page.line(f"{' '.join(bodies)} {words}", indent=4, hang=2)


def _alike(prices: Iterable[Price]) -> dict[str, list[str]]:
    """Bodies that pay the same, by the price in words."""
    found: dict[str, list[str]] = {}
    for price in prices:
        found.setdefault(_price(price), []).append(price.body)
    return found


def _price(price: Price) -> str:
    now = percent(price.fraction)
    was = now if price.was_fraction is None else percent(price.was_fraction)
    changed = f"{now} %" if was == now else f"{now} %, not {was} %"
    if price.settles_mg_per_l is None or price.was_mg_per_l is None:
        return changed
    settles, before = digits(price.settles_mg_per_l), digits(price.was_mg_per_l)
    tail = "" if before == settles else f", not {before}"
    return f"{changed}: nitrate settles {settles} mg/L above the source{tail}"


def _holds(litres: float, held: Contents | None) -> str:
    if held is None:
        return f"holds {digits(litres)} L"
    warm = f" at {told(held.celsius)} C" if held.celsius is not None else ""
    recipe = f" {held.recipe}" if held.recipe else ""
    return f"holds {digits(held.litres)} L{recipe}{warm}, {held.state}"
