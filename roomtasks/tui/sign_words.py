"""What each sign in view means, by screen, for the page of keys. Pure."""

from roomtasks.room.health import Health
from roomtasks.tui.signs import PLAIN, Signs
from roomtasks.tui.water_words import LEGEND, STEP_WORDS
from roomtasks.tui.widgets.day_line import AHEAD, FREE, LOOKED, UNLOOKED
from roomtasks.tui.widgets.day_line import LETTERS as DAY_LETTERS
from roomtasks.tui.widgets.growth_view import SAMPLE
from roomtasks.tui.widgets.timeline import LETTERS, RUNS
from roomtasks.tui.widgets.vessel_view import pen_for
from roomtasks.tui.widgets.weeks_strip import OVER, PLAIN_OVER

Meanings = tuple[tuple[str, str], ...]


def meanings(screen: str, signs: Signs) -> Meanings:
    """Each sign of a screen and what it means, in the order they meet the eye."""
    match screen:
        case "water":
            return (*_common(signs), *_water(signs))
        case "apart":
            return (*_common(signs), *_apart(signs))
        case "broods":
            return (*_common(signs), *_broods(signs))
        case "weeks":
            return (*_common(signs), *_weeks(signs))
        case "trouble":
            return (*_common(signs), *_trouble(signs))
        case _:
            return _walk(signs)


def _common(signs: Signs) -> Meanings:
    return ((signs.hand, "the line in hand"), (signs.late, "late, short or over: look at it"))


def _walk(signs: Signs) -> Meanings:
    classes = tuple((health.letter, f"health class: {health.word}") for health in Health)
    return (
        ("B2 c12", "in a box: the tank, the letter of its health class, fish by the book"),
        *classes,
        ("1k", "a thousand fish or more, in thousands"),
        (signs.due, "due; with a figure, so many jobs"),
        (signs.late, "late; in the top line, more water is wanted than there is"),
        (signs.held, "held: it must not be done now"),
        (signs.open, "from a later time of today"),
        (signs.done, "done"),
        (signs.off, "put off, left out, or kept for another day"),
        (signs.shut, "its valve is shut: cut off from its system"),
        (signs.empty * 2, "no fish"),
        ("d12", "day 12 of a stay kept apart; the day it came is day 0"),
        ("[ ]", "the tank in hand"),
        (signs.hand, "the line in hand"),
        ("^", "before a shelf: it needs the steps"),
        ("_", "before a shelf: it is at the floor"),
        (".", "in a rack: a place without a tank"),
        ("> C", "at the end of the racks: more of them to the right"),
        ("!", "a caution: people can be hurt"),
    )


def _water(signs: Signs) -> Meanings:
    letters = tuple(
        (letter, f"on the line of time: {STEP_WORDS[step]}")
        for step, letter in LETTERS.items()
        if step != "ready"
    )
    runs = tuple(
        (sign, f"on the line of time, while it lasts: {STEP_WORDS[step]}")
        for step, sign in RUNS.items()
    )
    pen = pen_for(signs)
    return (
        *((part.split(" ", 1)[0], f"behind a number: {part.split(' ', 1)[1]}")
          for part in LEGEND.split("  ")),
        (signs.now, "on the line of time: now"), (signs.done, "done"),
        *letters, *runs,
        ("d", "in a reservoir: dead, the pump cannot reach it"),
        ("k", "in a reservoir: the keep-back, for emergencies"),
        (pen.water, "in a reservoir: water that may be planned"),
        (pen.surface, "in a reservoir: where the water stands now"),
        (pen.planned, "in a reservoir: where it will stand after the next fill"),
    )  # fmt: skip


def _apart(signs: Signs) -> Meanings:
    letters = tuple((letter, f"on the line of days: {word}") for letter, word in DAY_LETTERS)
    return (
        (signs.off, "what is to be done next"), (signs.shut, "its valve is shut"),
        (signs.done, "so, or done"), (signs.open, "not so yet"),
        *letters,
        (LOOKED, "on the line of days: looked at"),
        (UNLOOKED, "on the line of days: nobody looked, so no clear day"),
        (AHEAD, "on the line of days: still to come"),
        (FREE, "on the line of days: free"), (signs.now, "on the line of days: today"),
    )  # fmt: skip


def _broods(signs: Signs) -> Meanings:
    return (
        (signs.off, "what is next"), (signs.done, "done"), (signs.open, "still to be done"),
        (SAMPLE, "in the picture of growth: measured"),
        (PLAIN_OVER if signs == PLAIN else OVER, "in the weeks: more tanks wanted than there are"),
    )  # fmt: skip


def _weeks(signs: Signs) -> Meanings:
    return (
        (signs.edge, "across a bar: the minutes, or litres, there are that day"),
        ("/" if signs == PLAIN else "╱", "a day away: the stand-in's minutes"),
        (signs.off, "off its usual day"), (signs.held, "waits, or is held"),
        (signs.now, "today"),
    )  # fmt: skip


def _trouble(signs: Signs) -> Meanings:
    return (
        (signs.due, "a step to be done now"), (signs.done, "a step that is done"),
        (signs.empty, "a step for a later day"), (signs.off, "its time went by"),
        (signs.held, "what rests meanwhile, and until when"),
    )  # fmt: skip
