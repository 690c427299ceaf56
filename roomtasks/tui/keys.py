"""Every key of the interface, in one table: bindings, the key line and docs/keys.md are made of it.

The number pad alone walks a morning. The same key means the same thing on
every screen that knows it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from rich.cells import cell_len
from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Key:
    """An action, its keys (the first is shown), a short label and what it does."""

    action: str
    keys: tuple[str, ...]
    label: str
    doc: str
    screens: tuple[str, ...] = ("walk",)


WATER = ("water",)
WATER_KEYS: tuple[Key, ...] = (
    Key("step", ("6", "d"), "mark",
        "Mark the next step at the reservoir in hand, as the foot of the screen names it: now, "
        "by you, the planned litres. The ready check asks for the temperature.", WATER),
    Key("other_step", ("4", "p"), "other step",
        "Mark another step there: not ready, emptied, raw water in, or one done earlier.", WATER),
    Key("open", ("5", "enter"), "open",
        "Open the line in hand: each number's formula, what went in and where it is from.", WATER),
    Key("line_next", ("2", "down", "j"), "down", "A line down.", WATER),
    Key("line_back", ("8", "up", "k"), "up", "A line up.", WATER),
    Key("part_next", ("1", "end"), "next part", "To the next part of the list.", WATER),
    Key("part_back", ("7", "home"), "part before", "To the part before.", WATER),
    Key("page_next", ("3", "pagedown", "space"), "page on", "A page on.", WATER),
    Key("page_back", ("9", "pageup"), "page back", "A page back.", WATER),
    Key("day_next", ("plus", "f"), "a day on", "What if it were a day later? Nothing is kept.",
        WATER),
    Key("day_back", ("minus", "m"), "a day back", "What if it were a day earlier?", WATER),
    Key("what_if", ("asterisk", "g"), "what if",
        "What if: another hour, fraction, fill rate, one tank more, other water; 9 as it is.",
        WATER),
    Key("choose", ("slash", "h"), "choose",
        "Keep a choice for this change day, on a yes: hour, share of each change, keep-back.",
        WATER),
    Key("take_back", ("u",), "take back",
        "Take back the last act, as 0 does on the walk; one made elsewhere is asked about.",
        WATER),
    Key("done_before", ("b",), "done before",
        "The next step was done earlier: type the time as 2000, then Enter.", WATER),
    Key("close", ("0", "escape", "q", "full_stop", "c"), "back", "Back to the walk.", WATER),
)  # fmt: skip

SIDES = ("apart", "broods", "weeks", "trouble")
SIDE_KEYS: tuple[Key, ...] = (
    Key("do", ("6", "d"), "do", "Do what is next at the line in hand, as the foot names it.",
        SIDES),
    Key("other", ("4", "p"), "other", "Choose from all that can be done at the line in hand.",
        SIDES),
    Key("open", ("5", "enter"), "open", "Open the line in hand: the rest of it, and why.", SIDES),
    Key("line_next", ("2", "down", "j"), "down", "A line down.", SIDES),
    Key("line_back", ("8", "up", "k"), "up", "A line up.", SIDES),
    Key("part_next", ("1", "end"), "next part", "To the next part of the list.", SIDES),
    Key("part_back", ("7", "home"), "part before", "To the part before.", SIDES),
    Key("page_next", ("3", "pagedown", "space"), "page on", "A page on.", SIDES),
    Key("page_back", ("9", "pageup"), "page back", "A page back.", SIDES),
    Key("take_back", ("u",), "take back",
        "Take back the last act, as 0 does on the walk; one made elsewhere is asked about.",
        SIDES),
    Key("close", ("0", "escape", "q", "full_stop"), "back", "Back to the walk.", SIDES),
)  # fmt: skip

WEEKS = ("weeks",)
WEEKS_KEYS: tuple[Key, ...] = (
    Key("later", ("plus", "f"), "later",
        "Try the job in hand on the next day it may be done; what follows is said. Nothing is kept "
        "until 6; 0 lets it go.", WEEKS),
    Key("earlier", ("minus", "m"), "earlier", "Try the job in hand on the day before.", WEEKS),
    Key("what_if", ("asterisk", "g"), "what if",
        "What if: minutes of a weekday, litres, tanks less or more, a helper; 7 as it is.", WEEKS),
    Key("span", ("slash", "h"), "14 28 56", "Show 14, 28 or 56 days.", WEEKS),
)  # fmt: skip

KEYS: tuple[Key, ...] = (
    Key(
        "done",
        ("5", "enter", "d"),
        "done",
        "Mark the job in hand done: now, by you, the planned litres. Yes to the hands question.",
    ),
    Key(
        "next",
        ("2", "down", "j"),
        "next",
        "Go to the next job; in another list, a page on.",
        ("walk", "list"),
    ),
    Key(
        "back",
        ("8", "up", "k"),
        "back",
        "Go to the job before; in another list, a page back.",
        ("walk", "list"),
    ),
    Key("not_today", ("1", "n"), "not today", "Not today: it stays due and is back tomorrow."),
    Key("problem", ("4", "p"), "seen", "Say what you see at this tank, or that it cannot be done."),
    Key("partly", ("6", "l"), "partly", "Part of it is done: type the share in %, then Enter."),
    Key("put_off", ("3", "o"), "put off", "Put it off: type how many days, then Enter."),
    Key("leave_out", ("7", "x"), "leave out", "Give this one up, with a reason from a short list."),
    Key(
        "undo",
        ("0", "u"),
        "undo",
        "Take back the last act; once more takes back the one before. One that was not made here "
        "just now is named first, and asked about.",
    ),
    Key("tank", ("9", "t"), "tank", "The job in hand whole, and the page of its tank."),
    Key(
        "cycle",
        ("full_stop", "w"),
        "list",
        "Turn the list: the walk, what is held, what is done; once more asks which list to open.",
    ),
    Key(
        "fit",
        ("plus", "f"),
        "fit",
        "Fit the walk to the minutes there are; again, or from today by the plan, show all.",
    ),
    Key("jump", ("asterisk", "g"), "go to", "Go to a tank: type or scan its code, then Enter."),
    Key("journal", ("slash", "h"), "journal", "Open the journal.", ("walk", "tank")),
    Key(
        "timer", ("minus", "m"), "time it", "Start timing the job in hand; done writes the minutes."
    ),
    Key(
        "shelf",
        ("a",),
        "shelf",
        "Mark the job in hand done at every tank of its shelf and health class, as one act.",
    ),
    Key(
        "done_at",
        ("b",),
        "done before",
        "It was done earlier: type the time as 2000 (the last 20:00 gone by), then Enter.",
    ),
    Key("reading", ("r",), "reading", "Note a reading at this tank: choose which, type it, Enter."),
    Key("note", ("i",), "note", "Write a note at this tank; Enter keeps it."),
    Key("left", ("left",), "left", "The tank to the left on the racks."),
    Key("right", ("right",), "right", "The tank to the right on the racks."),
    Key(
        "water",
        ("c",),
        "water",
        "Open the water: reservoirs, the batches of the next change and their clock.",
    ),
    Key(
        "apart",
        ("s",),
        "kept apart",
        "Open fish kept apart: stays, looks, courses, watches, who met whom.",
    ),
    Key("broods", ("v",), "broods", "Open the broods: growth, moves to come, tanks by week."),
    Key("weeks", ("y",), "weeks", "Open the weeks ahead: each day's minutes and litres."),
    Key(
        "trouble",
        ("z",),
        "bad day",
        "Open bad days: a short day, a power cut, a pump, a heater, a leak, an outbreak.",
    ),
    Key(
        "facts",
        ("e",),
        "facts",
        "The facts of the room, sheet by sheet, and its settings: look, add, change.",
    ),
    Key(
        "keys",
        ("question_mark", "f1"),
        "keys",
        "Show all keys.",
        ("walk", "tank", "list", "water", *SIDES),
    ),
    Key("leave", ("q",), "leave", "Leave the program. Everything marked is on the disk already."),
    *WATER_KEYS,
    *SIDE_KEYS,
    *WEEKS_KEYS,
)

SHOWN = {"full_stop": ".", "plus": "+", "asterisk": "*", "slash": "/", "minus": "-",
         "question_mark": "?", "enter": "Enter", "down": "↓", "up": "↑", "left": "←",
         "right": "→", "f1": "F1", "escape": "Esc", "home": "Home", "end": "End",
         "pagedown": "PageDown", "pageup": "PageUp", "space": "Space"}  # fmt: skip


def bindings(screen: str) -> list[BindingType]:
    """Bindings of one screen; each has an id, so that keys can be changed."""
    return [
        Binding(",".join(key.keys), key.action, key.label, show=False, id=f"{screen}.{key.action}",
                tooltip=key.doc)
        for key in KEYS
        if screen in key.screens
    ]  # fmt: skip


def key_line(
    actions: tuple[str, ...], width: int, screen: str = "walk",
    labels: Mapping[str, str] | None = None,
) -> str:  # fmt: skip
    """The one line of keys at the foot of a screen: as many as fit, and how to see the rest.

    `labels` say what a key does just now, where that changes.
    """
    by_action = {key.action: key for key in KEYS if screen in key.screens}
    tail = "? keys"
    text = ""
    for action in actions:
        key = by_action[action]
        label = (labels or {}).get(action, key.label)
        part = f"{SHOWN.get(key.keys[0], key.keys[0])} {label}  "
        if cell_len(text) + cell_len(part) + len(tail) > width:
            break
        text += part
    return text + tail


TABLE = ["| key | also | what it does |", "| --- | --- | --- |"]


def markdown() -> str:
    """docs/keys.md as the program would write it."""
    lines = [
        "# Keys", "",
        "Made from the program by `python -m roomtasks.tui.keys`. Digits and signs are on the "
        "number pad, which alone walks a morning; letters are for the keyboard.", "",
        "## The walk", "", *TABLE, *_table("walk"), "",
        "In a question the digits answer it: a number from the list, where `0` leaves it,",
        "or an amount and `Enter`. `Esc` leaves any question, and `Backspace` an empty one.",
        "While a yes is asked on a list, `2` `8` `3` `9` still move it. What is typed while a",
        "page opens is meant for that page. A key hit twice within a second counts once.", "",
        "## The water", "", *TABLE, *_table("water"), "",
        "## Lists beside the walk", "",
        "Fish kept apart, broods, the weeks, bad days. What `6` does is named at the foot, by the "
        "line in hand.", "", *TABLE, *_table("apart"), "",
        "The weeks also:", "", *TABLE, *(line for line in _table("weeks")
                                        if line not in _table("apart")), "",
        "## Pages", "", "A tank, the journal, a number, these keys, the facts.", "", *TABLE,
        "| `2` | `↓` `j` | A line down. |", "| `8` | `↑` `k` | A line up. |",
        "| `3` | `Space` | A page on. |", "| `9` | `PageUp` | A page back. |",
        "| `0` | `Esc` `q` | Back to where it was opened. |", "| `/` | `*` | Journal: search. |",
        "| `5` | `Enter` | Facts: change this row. A list of tanks: take this one. |",
        "| `+` | `a` | Facts: add a row. |",
        "| `6` `4` | `→` `←` | Facts: the next sheet, the sheet before. |",
        "| `*` | `g` | Facts: choose a sheet from all of them. |",
        "| `F2` | `Ctrl+S` | A form, or the guided start: save. |",
        "| `F3` | | The guided start: look round the demo room. |",
        "| `Esc` | | A form: back, nothing saved. |", "",
    ]  # fmt: skip
    return "\n".join(lines)


def _table(screen: str) -> list[str]:
    lines = []
    for key in KEYS:
        if screen in key.screens:
            first, *others = (SHOWN.get(name, name) for name in key.keys)
            also = " ".join(f"`{name}`" for name in others)
            lines.append(f"| `{first}` | {also} | {key.doc} |")
    return lines


if __name__ == "__main__":
    import sys

    sys.stdout.write(markdown())
