"""One batch in lines: what runs in, heat, doses, the clock as it goes by, and its tanks."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.amount import Amount
from roomtasks.room.kind import KINDS
from roomtasks.room.water_plan import NO_HEAT_KWH, Batch, Clock, ClockStep, Dose, Draw, Match, Share
from roomtasks.room.why import day_words
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.signs import Signs, fitted
from roomtasks.tui.water_items import Item, note_items
from roomtasks.tui.water_words import STEP_WORDS, TO_DO, amount, clock_words, long, num, percent


def batch_title(batch: Batch) -> str:
    """The batch's number, reservoir, recipe, litres and hour."""
    recipe = f" {batch.recipe}" if batch.recipe else ""
    wanted = f" for {batch.clock.wanted_at:%a %H:%M}" if batch.clock is not None else ""
    return f"Batch {batch.n}: {batch.reservoir}{recipe}, {num(batch.used_litres)} L{wanted}"


@dataclass(frozen=True, slots=True)
class BatchLines:
    """The lines of one batch at an instant."""

    batch: Batch
    now: datetime
    signs: Signs

    def _item(
        self, key: str, text: str, weight: str = "",
        amounts: tuple[tuple[str, Amount], ...] = (), more: tuple[str, ...] = (),
    ) -> Item:  # fmt: skip
        return Item(key=f"batch {self.batch.n} {key}", text=text, weight=weight, amounts=amounts,
                    more=more, reservoir=self.batch.reservoir)  # fmt: skip

    def items(self) -> Iterator[Item]:
        """All of them, in the order they are wanted."""
        batch = self.batch
        stands = num(batch.added_litres + batch.left_litres)
        text = f"{num(batch.used_litres)} L used of what stands in it"
        if batch.added_litres:
            text = (f"{num(batch.added_litres)} L run in onto {num(batch.left_litres)} L: "
                    f"{stands} L; {num(batch.used_litres)} L used")  # fmt: skip
        yield self._item("run in", text)
        yield from self._heat()
        for dose in batch.doses:
            yield self._dose(dose)
        yield from self._blend()
        if batch.clock is not None:
            yield from self._clock(batch.clock)
            yield from self._after(batch.clock)
        text = "Tanks in walking order: health class, litres, cm to lower, share, dose"
        yield self._item("tanks", text, "quiet")
        for share in batch.shares:
            yield self._share(share)

    def _heat(self) -> Iterator[Item]:
        batch = self.batch
        text, amounts = [], []
        if batch.mix_celsius is not None:
            text.append(f"mixes to {amount(batch.mix_celsius)}")
            amounts.append(("Mixed", batch.mix_celsius))
        if batch.target_celsius is not None:
            text.append(f"wanted {num(batch.target_celsius)} C")
        if batch.heat_kwh is not None:
            none = batch.heat_kwh.value < NO_HEAT_KWH
            text.append("no heating needed" if none else f"heat {amount(batch.heat_kwh, 2)}")
            amounts.append(("Heat", batch.heat_kwh))
        if batch.heat_minutes is not None and batch.heat_minutes.value > 0:
            text.append(f"{long(batch.heat_minutes.value)} of heating")
            amounts.append(("Heating", batch.heat_minutes))
        if text:
            yield self._item("heat", ", ".join(text), amounts=tuple(amounts))

    def _dose(self, dose: Dose) -> Item:
        more = (dose.caution,) if dose.caution else ()
        return self._item(
            f"dose {dose.product}", f"add {amount(dose.amount)} {dose.product}: {dose.why}",
            amounts=(("Dose", dose.amount),), more=(*more, KINDS["treat"].caution),
        )  # fmt: skip

    def _blend(self) -> Iterator[Item]:
        blend = self.batch.blend
        if blend is not None:
            yield self._item(
                "blend",
                f"{num(blend.ro_litres)} L RO ({percent(blend.ro_fraction.value)}) with "
                f"{num(blend.source_litres)} L of the source; RO runs {amount(blend.hours)}, "
                f"{num(blend.waste_litres)} L to the drain",
                amounts=(("Share of RO", blend.ro_fraction), ("Running RO", blend.hours)),
            )

    def _clock(self, clock: Clock) -> Iterator[Item]:
        """The steps as they go by: what is done by its time, days parted, now between."""
        first = "advised" if clock.refused is None else "earliest"
        last = "latest" if clock.refused is None else "wanted by"
        yield self._item("clock", f"  {first:<9}  {last:<9}  step", "quiet")
        day: date | None = None
        told_now = False
        for step in sorted(clock.steps, key=lambda step: step.done_at or step.latest):
            at = step.done_at or step.latest
            if not told_now and at > self.now and step.done_at is None:
                told_now = True
                yield self._divider("now", f"{self.signs.hand} now {self.now:%a %H:%M}")
            if day is not None and at.date() != day:
                yield self._divider(f"day {at.date()}", day_words(at.date()))
            day = at.date()
            yield self._clock_step(step)

    def _divider(self, key: str, text: str) -> Item:
        bar = self.signs.bar * 2
        return self._item(key, f"{bar} {text} {bar * 6}", "quiet")

    def _clock_step(self, step: ClockStep) -> Item:
        if step.done_at is not None:
            words = STEP_WORDS.get(step.step, step.step)
            text = f"{self.signs.done} {'done':<9}  {step.done_at:%a %H:%M}  {words}"
            weight = "quiet"
        else:
            late = step.latest < self.now and step.step != "rest"
            sign = self.signs.late if late else self.signs.open
            lasts = f", {long(step.minutes.value)}" if step.minutes.value else ""
            words = TO_DO.get(step.step, step.step)
            text = f"{sign} {step.advised:%a %H:%M}  {step.latest:%a %H:%M}  {words}{lasts}"
            weight = "late" if late else ""
        meant = (
            f"Latest {step.latest:%a %H:%M} still makes it; advised {step.advised:%a %H:%M} "
            "leaves a margin."
        )
        if self.batch.clock is not None and self.batch.clock.refused is not None:
            meant = (
                f"It was wanted by {step.latest:%a %H:%M}; the earliest now is "
                f"{step.advised:%a %H:%M}."
            )
        more = (*([step.why] if step.why else []), meant)
        return self._item(f"step {step.step}", text, weight, (("It lasts", step.minutes),), more)

    def _after(self, clock: Clock) -> Iterator[Item]:
        """When it is ready and free again, and what stands against it."""
        batch = self.batch
        yield self._item(
            "ready", "never ready as it is" if clock.ready_at is None
            else f"ready at the earliest {clock_words(clock.ready_at, self.now)}",
        )  # fmt: skip
        if clock.refused is not None:
            text = f"{self.signs.late} {refused_here(clock.refused)}"
            yield self._item("refused", text, "late")
        yield from note_items(f"batch {batch.n} note", clock.notes, batch.reservoir)
        if batch.emptied_at is not None:
            free = clock_words(batch.emptied_at, self.now)
            yield self._item("free", f"{batch.reservoir} is free again about {free}")

    def _share(self, share: Share) -> Item:
        draw = share.draw
        part = abs(share.litres - draw.from_reservoir) > 0.05
        text = _draw_text(draw, self.signs, share.litres if part else None)
        from_here = f"{num(share.litres)} L out of {self.batch.reservoir}, with what hoses lose" + (
            f", a part of its {num(draw.from_reservoir)}" if part else ""
        )
        refused = draw.match is not None and not draw.match.allowed
        return self._item(
            f"{draw.due_id} {draw.tank or draw.place}", text, "late" if refused else "",
            tuple(_draw_amounts(draw)), (from_here, *_draw_more(draw)),
        )  # fmt: skip


def _draw_text(draw: Draw, signs: Signs, part: float | None) -> str:
    litres = amount(draw.litres) if part is None else f"{num(part)} of {amount(draw.litres)}"
    told = [f"{draw.health.letter} {fitted(draw.tank or draw.place, 5)} {litres}"]
    if draw.drain_cm is not None:
        told.append(f"lower {num(draw.drain_cm)} cm")
    if draw.fraction is not None:
        told.append(percent(draw.fraction))
    if draw.sort != "change":
        told.append(draw.name)
    told += [f"add {amount(dose.amount)} {dose.product}" for dose in draw.doses]
    if draw.match is not None and not draw.match.allowed:
        told.append(f"{signs.late} REFUSED at {num(draw.match.new_celsius)} C")
    return "  ".join(told)


def _draw_amounts(draw: Draw) -> Iterator[tuple[str, Amount]]:
    yield "Litres", draw.litres
    for dose in draw.doses:
        yield f"Dose of {dose.product}", dose.amount
    if draw.match is not None:
        yield "Temperature before", draw.match.before_celsius


def _draw_more(draw: Draw) -> Iterator[str]:
    yield f"{draw.name}; need {draw.need}" + (f": {draw.need_reason}" if draw.need_reason else "")
    if draw.missed:
        yield f"Missed {draw.missed} before."
    for dose in draw.doses:
        yield f"{dose.product}: {dose.why}. {dose.caution}".rstrip(" ")
    if draw.match is not None:
        yield _match_words(draw.match)


def _match_words(match: Match) -> str:
    verdict = "" if match.allowed else "REFUSED: "
    purpose = ", on purpose" if match.deliberate else ""
    return (
        f"{verdict}new water of {num(match.new_celsius)} C brings it from "
        f"{num(match.before_celsius.value)} to {num(match.after_celsius)} C, a step of "
        f"{num(abs(match.step))} K where {num(match.limit)} is the limit{purpose}. Its own share "
        f"allows {num(match.coldest_new_celsius)} to {num(match.warmest_new_celsius)} C, or at "
        f"this temperature {percent(match.most_fraction)} at the most."
    )
