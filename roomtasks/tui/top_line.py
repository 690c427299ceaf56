"""The top of the walk: what one looks at from the door. No widgets here.

What matters is never cut: shorter words first, then a line more, and at the last
pumps that run and reservoirs that have enough are counted instead of named.
"""

from dataclasses import dataclass

from rich.cells import cell_len

from roomtasks.room.naming import clock_words, day_words
from roomtasks.room.occurrence import State
from roomtasks.tui.round import Round
from roomtasks.tui.signs import Signs, clean, fitted
from roomtasks.work.picture import Picture

GAP = "  "


@dataclass(frozen=True, slots=True)
class Part:
    """A few words of the top; `well` where nothing is amiss in them."""

    text: str
    well: bool = False


def top_lines(
    picture: Picture, round_: Round, signs: Signs, width: int, warnings: tuple[str, ...],
    view: tuple[str, float] | None = None, most: int = 2,
) -> list[str]:  # fmt: skip
    """Day, alarms, minutes, pumps, reservoirs, in at most so many lines of `width`.

    `view` names what the walk is seen by, where not whole, and its minutes.
    """
    long, short = (
        _parts(picture, round_, signs, warnings, is_short, view) for is_short in (False, True)
    )
    for parts, lines in ((long, 1), (short, 1), (short, most), (_counted(short), most)):
        found = _laid([part.text for part in parts], width)
        if len(found) <= lines:
            return found
    return [fitted(line, width) for line in [*found[: most - 1], GAP.join(found[most - 1 :])]]


def _laid(texts: list[str], width: int) -> list[str]:
    """The words in lines, none of them broken unless it is wider than a line."""
    lines: list[str] = []
    for text in texts:
        joined = lines[-1] + GAP + text if lines else text
        if lines and cell_len(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(text)
    return [fitted(line, width) if cell_len(line) > width else line for line in lines]


def _counted(parts: list[Part]) -> list[Part]:
    """What is as it should be, as a number at the end."""
    well = sum(part.well for part in parts)
    return [*(part for part in parts if not part.well), Part(f"+{well} well")]


def _parts(
    picture: Picture, round_: Round, signs: Signs, warnings: tuple[str, ...], short: bool,
    view: tuple[str, float] | None,
) -> list[Part]:  # fmt: skip
    late = sum(due.state is State.LATE for due in picture.dues)
    held = sum(due.state is State.HELD for due in picture.dues)
    name, needed = view or ("", round_.minutes_left)
    of = "/" if short else " of "
    parts = [Part(f"{day_words(picture.today)} {clock_words(picture.now, picture.today)}")]
    parts += [Part(text) for text in warnings]
    parts.append(Part(f"{name} {needed:.0f}{of}{picture.walk.minutes_there_are:.0f} min".lstrip()))
    parts += [Part(f"{signs.late}{late}" + ("" if short else " late"))] if late else []
    parts += [Part(f"{signs.held}{held}" + ("" if short else " held"))] if held else []
    return [*parts, *_pumps(picture, short), *_reservoirs(picture, round_, signs)]


def _pumps(picture: Picture, short: bool) -> list[Part]:
    found = []
    for system in picture.room.systems:
        turn = picture.room.pump_state(system.code, picture.now)
        if turn is not None:
            runs = turn.state != "off"
            word = ("on" if short else "pump on") if runs else "pump OFF"
            found.append(Part(f"{clean(system.code)} {word}", runs))
    return found


def _reservoirs(picture: Picture, round_: Round, signs: Signs) -> list[Part]:
    found = []
    for vessel in picture.room.reservoirs:
        wanted = picture.room.setup.with_loss(round_.litres_wanted(vessel.code))
        enough = wanted <= vessel.usable_litres
        tail = "" if enough else f" of {wanted:.0f}{signs.late}"
        found.append(Part(f"{clean(vessel.code)} {vessel.usable_litres:.0f}{tail} L", enough))
    return found
