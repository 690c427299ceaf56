"""Every key of the interface, in one table: bindings, the key line and docs/keys.md are made of it.

The number pad alone walks a morning. The same key means the same thing on
every screen that knows it.
"""

from dataclasses import dataclass

from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Key:
    """An action, its keys (the first is shown), a short label and what it does."""

    action: str
    keys: tuple[str, ...]
    label: str
    doc: str
    screens: tuple[str, ...] = ("walk",)


KEYS: tuple[Key, ...] = (
    Key("done", ("5", "enter", "d"), "done",
        "Mark the job in hand done: now, by you, the planned litres. Yes to the hands question."),
    Key("next", ("2", "down", "j"), "next", "Go to the next job.", ("walk", "list")),
    Key("back", ("8", "up", "k"), "back", "Go to the job before.", ("walk", "list")),
    Key("not_today", ("1", "n"), "not today", "Not today: it stays due and is back tomorrow."),
    Key("problem", ("4", "p"), "seen", "Say what you see at this tank, or that it cannot be done."),
    Key("partly", ("6", "l"), "partly", "Part of it is done: type the share in %, then Enter."),
    Key("put_off", ("3", "o"), "put off", "Put it off: type how many days, then Enter."),
    Key("leave_out", ("7", "x"), "leave out", "Give this one up, with a reason from a short list."),
    Key("undo", ("0", "u"), "undo", "Take back the last act; once more takes back the one before."),
    Key("tank", ("9", "t"), "tank", "Open the page of the tank in hand."),
    Key("cycle", ("full_stop", "w"), "list",
        "Turn the list: the walk, what is held, what is done."),
    Key("fit", ("plus", "f"), "fit", "Fit the walk to the minutes there are; again shows all."),
    Key("jump", ("asterisk", "g"), "go to", "Go to a tank: type or scan its code, then Enter."),
    Key("journal", ("slash", "h"), "journal", "Open the journal.", ("walk", "tank")),
    Key("timer", ("minus", "m"), "time it",
        "Start timing the job in hand; done writes the minutes."),
    Key("shelf", ("a",), "shelf",
        "Mark the job in hand done at every tank of its shelf and health class, as one act."),
    Key("done_at", ("b",), "done before",
        "It was done earlier: type the time as 2000 (the last 20:00 gone by), then Enter."),
    Key("reading", ("r",), "reading", "Note a reading at this tank: choose which, type it, Enter."),
    Key("note", ("i",), "note", "Write a note at this tank; Enter keeps it."),
    Key("left", ("left",), "left", "The tank to the left on the racks."),
    Key("right", ("right",), "right", "The tank to the right on the racks."),
    Key("facts", ("e",), "facts", "Standing jobs and tanks: look, add, change."),
    Key("keys", ("question_mark", "f1"), "keys", "Show all keys.", ("walk", "tank", "list")),
    Key("leave", ("q",), "leave", "Leave the program. Everything marked is on the disk already."),
)  # fmt: skip

SHOWN = {"full_stop": ".", "plus": "+", "asterisk": "*", "slash": "/", "minus": "-",
         "question_mark": "?", "enter": "Enter", "down": "↓", "up": "↑", "left": "←",
         "right": "→", "f1": "F1", "escape": "Esc"}  # fmt: skip


def bindings(screen: str) -> list[BindingType]:
    """Bindings of one screen; each has an id, so that keys can be changed."""
    return [
        Binding(",".join(key.keys), key.action, key.label, show=False, id=f"{screen}.{key.action}",
                tooltip=key.doc)
        for key in KEYS
        if screen in key.screens
    ]  # fmt: skip


def key_line(actions: tuple[str, ...], width: int) -> str:
    """The one line of keys at the foot of a screen: as many as fit, and how to see the rest."""
    by_action = {key.action: key for key in KEYS}
    tail = "? all keys"
    text = ""
    for action in actions:
        key = by_action[action]
        part = f"{SHOWN.get(key.keys[0], key.keys[0])} {key.label}  "
        if len(text) + len(part) + len(tail) > width:
            break
        text += part
    return text + tail


def markdown() -> str:
    """docs/keys.md as the program would write it."""
    lines = [
        "# Keys", "",
        "Made from the program by `python -m roomtasks.tui.keys`. Digits and signs are on the "
        "number pad, which alone walks a morning; letters are for the keyboard.", "",
        "## The walk", "",
        "| key | also | what it does |", "| --- | --- | --- |",
    ]  # fmt: skip
    for key in KEYS:
        first, *others = (SHOWN.get(name, name) for name in key.keys)
        lines.append(f"| `{first}` | {' '.join(f'`{name}`' for name in others)} | {key.doc} |")
    lines += [
        "", "In a question the digits answer it: a number from the list, where `0` leaves it,",
        "or an amount and `Enter`. `Esc` leaves any question, and `Backspace` an empty one.",
        "A key hit twice within a second counts once.", "", "## Pages", "",
        "A tank, the journal, these keys, the facts.", "", "| key | also | what it does |",
        "| --- | --- | --- |", "| `2` | `↓` `j` | A line down. |", "| `8` | `↑` `k` | A line up. |",
        "| `3` | `Space` | A page on. |", "| `9` | `PageUp` | A page back. |",
        "| `0` | `Esc` `q` | Back to the walk. |", "| `/` | `*` | Journal: search. |",
        "| `5` | `Enter` | Facts: change this row. |", "| `+` | `a` | Facts: add a row. |",
        "| `6` `4` | `→` `←` | Facts: the next sheet, the sheet before. |",
        "| `F2` | `Ctrl+S` | A form, or the guided start: save. |",
        "| `F3` | | The guided start: look round the demo room. |",
        "| `Esc` | | A form: back, nothing saved. |", "",
    ]  # fmt: skip
    return "\n".join(lines)


if __name__ == "__main__":
    import sys

    sys.stdout.write(markdown())
