"""Labels of tanks: each code as text and as a QR symbol, by rack, as text and as a page to print.

A symbol holds exactly the tank's code and nothing else, so that a scanner that
types what it reads types the code. Plain QR, never Micro QR, which many
scanners do not read; error correction M or better, and a quiet zone of four
modules on each side, as ISO/IEC 18004 asks. The page needs nothing from elsewhere.
"""

import io
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

import segno

from roomtasks.files.whole import not_ours, write_whole
from roomtasks.room.column import harmless, shown
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room

QUIET_MODULES = 4
BEGINS = "<!doctype html>"
STYLE = """
@page { size: A4; margin: 10mm }
body { font: 10pt/1.2 sans-serif; color: #000; background: #fff; margin: 0 }
h1 { font-size: 14pt; margin: 0 0 2mm }
h2 { font-size: 11pt; margin: 4mm 0 1mm }
ul { list-style: none; margin: 0; padding: 0; display: flex; flex-wrap: wrap }
li { box-sizing: border-box; width: 60mm; height: 30mm; border: 0.2mm dashed #888;
     display: flex; align-items: center; break-inside: avoid }
li svg { width: 28mm; height: 28mm; flex: none }
li b { display: block; font-size: 18pt; overflow-wrap: anywhere }
li b.long { font-size: 9pt }
li small { color: #333 }
"""
_LARGE_LETTERS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The label of one tank."""

    code: str
    shelf: int
    place: int
    symbol: segno.QRCode


@dataclass(frozen=True, slots=True, kw_only=True)
class RackOfLabels:
    """The labels of one rack, shelf by shelf from the top, each from the left."""

    rack: str
    name: str
    labels: tuple[Label, ...]


def labels_of(room: Room, only: Collection[str] = ()) -> tuple[RackOfLabels, ...] | Problem:
    """The labels of every tank, or of some, in the order of the keeper's way.

    Refuses tanks that are not there, and a room without tanks.
    """
    for code in only:
        if code not in room.tank:
            found = near(code, room.tank)
            remedy = or_words(found) if found else "'roomtasks racks' shows them"
            return Problem("labels", f"there is no tank “{shown(code)}”", remedy)
    tanks = [tank for tank in room.tanks if not only or tank.code in only]
    if not tanks:
        return Problem("labels", "there are no tanks yet", "enter some first")
    tanks.sort(key=lambda tank: room.path_of(tank.code))
    names = {rack.code: rack.name for rack in room.racks}
    return tuple(
        RackOfLabels(
            rack=rack, name=names.get(rack, ""),
            labels=tuple(
                Label(code=t.code, shelf=t.shelf, place=t.place, symbol=symbol_of(t.code))
                for t in tanks
                if t.rack == rack
            ),
        )
        for rack in dict.fromkeys(tank.rack for tank in tanks)
    )  # fmt: skip


def symbol_of(code: str) -> segno.QRCode:
    """The QR symbol that holds exactly this code."""
    return segno.make_qr(code, error="m", boost_error=True)


def labels_text(racks: Sequence[RackOfLabels], *, drawn: bool) -> str:
    """The codes by rack and shelf; each symbol drawn in blocks where that is asked."""
    lines: list[str] = []
    for rack in racks:
        lines += [harmless(f"{rack.rack} {rack.name}".strip())]
        shelves = dict.fromkeys(label.shelf for label in rack.labels)
        for shelf in shelves:
            here = [label for label in rack.labels if label.shelf == shelf]
            if not drawn:
                lines.append(f"   {shelf}: {' '.join(label.code for label in here)}")
            for label in here if drawn else ():
                lines += [f"   {label.code}", *drawing(label.symbol)]
    return "\n".join(lines)


def drawing(symbol: segno.QRCode) -> Iterator[str]:
    """A symbol in half blocks, two modules high each: light where the terminal writes."""
    out = io.StringIO()
    symbol.terminal(out, border=QUIET_MODULES, compact=True)
    yield from out.getvalue().rstrip("\n").split("\n")


def labels_html(racks: Sequence[RackOfLabels], title: str) -> str:
    """One page of HTML to print on A4 and cut: 30 by 60 mm each, the symbol 28 mm wide."""
    parts = [
        f'{BEGINS}\n<html lang="en"><head><meta charset="utf-8">',
        f"<title>{_safe(title)}</title><style>{STYLE}</style></head><body>",
        f"<h1>{_safe(title)}</h1>",
    ]
    for rack in racks:
        parts.append(f"<h2>{_safe(f'{rack.rack} {rack.name}'.strip())}</h2><ul>")
        parts += [_item(rack, label) for label in rack.labels]
        parts.append("</ul>")
    return "\n".join([*parts, "</body></html>", ""])


def _item(rack: RackOfLabels, label: Label) -> str:
    svg = label.symbol.svg_inline(border=QUIET_MODULES, omitsize=True, svgclass=None,
                                  lineclass=None, light="#fff")  # fmt: skip
    sort = ' class="long"' if len(label.code) > _LARGE_LETTERS else ""
    where = f"rack {rack.rack}, shelf {label.shelf}, place {label.place}"
    return (
        f"<li>{svg}<span><b{sort}>{_safe(label.code)}</b><small>{_safe(where)}</small></span></li>"
    )


def _safe(text: str) -> str:
    return escape(harmless(text))


def write_page(path: Path, text: str, *, over: bool = False) -> Problem | None:
    """Write a page whole or not at all; a file that is no page is not written over."""
    fault = None if over else not_ours(path, BEGINS.encode(), "no page of HTML")
    if fault is not None:
        return fault
    return write_whole(path, text.encode())
