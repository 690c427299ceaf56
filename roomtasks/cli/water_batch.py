"""One batch of a plan as text: its tanks, what goes in, its heat, and its steps by the clock."""

from roomtasks.cli.page import Col, Page, Row
from roomtasks.cli.page import number as digits
from roomtasks.cli.water_signs import (
    because,
    dose_words,
    letter,
    long,
    note_words,
    opened,
    percent,
    told,
    when,
)
from roomtasks.room.naming import spaced
from roomtasks.room.water_plan import NO_HEAT_KWH, Batch, Clock, ClockStep, Share

_CLOCK_COLS = (Col("latest", right=True), Col("advised", right=True), Col("step", stretch=True))
_HALF_A_TENTH = 0.05


def write_batch(page: Page, batch: Batch, why: bool, cautions: tuple[str, ...]) -> None:
    """A batch on a page; `cautions` are said elsewhere and not again."""
    page.head(f"Batch {batch.n}: {batch.reservoir} {batch.recipe}".rstrip())
    page.line(
        f"{digits(batch.used_litres)} L used; {digits(batch.added_litres)} L run in onto "
        f"{digits(batch.left_litres)} L", hang=4,
    )  # fmt: skip
    page.line(f"for {' '.join(_place(share) for share in batch.shares)}", hang=4)
    for dose in batch.doses:
        page.line(dose_words(dose, cautions), hang=4)
        opened(page, why, dose.amount)
    _write_heat(page, batch, why)
    _write_blend(page, batch, why)
    if batch.clock is not None:
        _write_clock(page, batch.clock, why)
    if batch.emptied_at is not None:
        page.line(f"free again about {when(batch.emptied_at)}", hang=4)


def _place(share: Share) -> str:
    """Who gets it; how much of it where the rest comes out of another fill."""
    place, whole = share.draw.tank or share.draw.place, share.draw.from_reservoir
    if share.litres > whole - _HALF_A_TENTH:
        return place
    return f"{place} ({digits(share.litres)} of {digits(whole)} L)"


def _write_heat(page: Page, batch: Batch, why: bool) -> None:
    parts = []
    if batch.mix_celsius is not None:
        parts.append(f"mixes to {told(batch.mix_celsius)} C")
    if batch.target_celsius is not None:
        parts.append(f"wanted {digits(batch.target_celsius)} C")
    if batch.heat_kwh is not None and batch.heat_kwh.value < NO_HEAT_KWH:
        parts.append("no heating needed")
    elif batch.heat_kwh is not None:
        parts.append(f"heat {told(batch.heat_kwh, 2)} kWh")
    if batch.heat_minutes is not None and batch.heat_minutes.value > 0:
        parts.append(f"{long(batch.heat_minutes)} of heating")
    if parts:
        page.line(", ".join(parts), hang=4)
    opened(page, why, batch.mix_celsius, batch.heat_kwh, batch.heat_minutes)


def _write_blend(page: Page, batch: Batch, why: bool) -> None:
    blend = batch.blend
    if blend is None:
        return
    page.line(
        f"{digits(blend.ro_litres)} L RO ({percent(blend.ro_fraction.value)} % "
        f"{letter(blend.ro_fraction)}) and {digits(blend.source_litres)} L of the source; RO "
        f"takes {long(blend.hours, 60)}, {digits(blend.waste_litres)} L to the drain", hang=4,
    )  # fmt: skip
    opened(page, why, blend.ro_fraction, blend.hours)


def _write_clock(page: Page, clock: Clock, why: bool) -> None:
    page.table(_CLOCK_COLS, [_step(step, why) for step in clock.steps])
    if clock.ready_at is not None:
        page.line(f"ready at the earliest {when(clock.ready_at)}", hang=4)
    if clock.refused is not None:
        rule = f" [{clock.refused.rule}]" if clock.refused.rule else ""
        page.line(f"REFUSED {clock.refused.sentence()}{rule}", style="late", hang=4)
    for note in clock.notes:
        page.line(note_words(note), hang=4)


def _step(step: ClockStep, why: bool) -> Row:
    done = f", done {when(step.done_at)}" if step.done_at is not None else ""
    length = f", {long(step.minutes)}" if step.minutes.value else ""
    below = "; ".join(filter(None, (step.why, because(step.minutes)))) if why else ""
    word = f"{spaced(step.step)}{length}{done}"
    return Row((when(step.latest), when(step.advised), word), below, "quiet" if done else "")
