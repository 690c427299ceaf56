"""Numbers, times and notes of a plan as text: the same wherever a plan is said.

A letter behind a number says how it is known.
"""

from collections.abc import Iterable
from datetime import datetime

from roomtasks.cli.page import Page
from roomtasks.cli.page import number as digits
from roomtasks.room.amount import ASSUMED, COMPUTED, FORECAST, MEASURED, SET, Amount, Input
from roomtasks.room.water_plan import Dose, NextStep, Note
from roomtasks.room.why import day_words

LETTERS = {MEASURED: "m", COMPUTED: "c", ASSUMED: "a", FORECAST: "f", SET: "s"}
LEGEND = "m measured   c computed   a assumed   f forecast   s as set"
_HOUR = 60


def when(at: datetime) -> str:
    """A day and time: Fri 12 Mar 18:46."""
    return f"{day_words(at.date())} {at:%H:%M}"


def letter(amount: Amount) -> str:
    """How a number is known, as one letter."""
    return LETTERS.get(amount.known, "")


def told(amount: Amount | None, places: int = 1) -> str:
    """A number and its letter, "-" where nothing is known."""
    return "-" if amount is None else f"{digits(amount.value, places)}{letter(amount)}"


def percent(fraction: float) -> str:
    """A fraction as a number of per cent, without the sign."""
    return digits(100 * fraction)


def long(amount: Amount, minutes_each: int = 1) -> str:
    """So many hours and minutes, and the letter."""
    hours, rest = divmod(round(minutes_each * amount.value), _HOUR)
    parts = [*([f"{hours} h"] if hours else []), *([f"{rest} min"] if rest or not hours else [])]
    return f"{' '.join(parts)} {letter(amount)}".strip()


def because(amount: Amount | None) -> str:
    """A number's formula and what went in."""
    if amount is None:
        return ""
    inputs = ", ".join(_input(each) for each in amount.inputs)
    parts = [part for part in (amount.formula, inputs, amount.source) if part]
    return f"{amount.known}: {'; '.join(parts)}" if parts else ""


def _input(each: Input) -> str:
    value = each.value if isinstance(each.value, str) else f"{each.value:.4g}"
    unit = f" {each.unit}" if each.unit else ""
    source = f", {each.source}" if each.source else ""
    return f"{each.name} {value}{unit} ({each.known}{source})"


def opened(page: Page, why: bool, *amounts: Amount | None) -> None:
    """The formulas and inputs of numbers, where they were asked for."""
    for amount in amounts:
        if why and (words := because(amount)):
            page.line(words, indent=4, style="quiet")


def note_words(note: Note) -> str:
    """One thing to be told: about what, unless it says so itself, and the rule that refuses."""
    rule = f" [{note.rule}]" if note.rule and note.sort == "refused" else ""
    named = not note.about or note.about in note.text.replace(":", " ").split()
    alike = note.text.startswith(note.about)
    return f"{note.text}{rule}" if named or alike else f"{note.about}: {note.text}{rule}"


def dose_words(dose: Dose, known: Iterable[str] = ()) -> str:
    """What to add; its caution unless that is among those said elsewhere."""
    caution = f" ({dose.caution})" if dose.caution and dose.caution not in known else ""
    amount = f"{told(dose.amount)} {dose.amount.unit}"
    return f"add {amount} {dose.product}: {dose.why}{caution}"


def next_words(step: NextStep) -> str:
    """The next thing to do about water, and by when."""
    late = " (late)" if step.late else ""
    return f"{when(step.at)}{late} {step.text}"
