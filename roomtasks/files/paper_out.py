"""A sheet as text for a printer, and as one page of HTML that prints on A4.

The HTML holds all it needs, and no room text in it is not escaped. In the text
each line to tick has a box and, at its end, the job it stands for, so that what
was ticked can be read back.
"""

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from roomtasks.room.column import harmless
from roomtasks.room.paper import Paper, PaperLine
from roomtasks.room.problem import Problem

WIDTH = 60
SHORTEST = 24  # of a line to tick, before it goes on below
BOX = "[ ]"
_TICKED = re.compile(
    r"\s*\[(?P<mark>[^\]]?)\]\s+(?P<text>.*?)\s*<(?P<name>[^<>@\s]+@[^<>\s]+)>"
    r"(?:\s+(?P<time>\d{1,2}:\d{2}))?\s*"
)
_TIME = re.compile(r"([01]?\d|2[0-3]):[0-5]\d")
STYLE = """
@page { size: A4; margin: 12mm }
body { font: 11pt/1.35 sans-serif; color: #000; background: #fff; margin: 0 }
h1 { font-size: 15pt; margin: 0 0 2mm }
h2 { font-size: 12pt; margin: 4mm 0 1mm; border-bottom: 0.3mm solid #000 }
ul { list-style: none; margin: 0; padding: 0; columns: 2; column-gap: 8mm }
li { break-inside: avoid; padding: 0.4mm 0; white-space: pre-wrap }
li.tick::before { content: "\\2610"; font-size: 13pt; margin-right: 2mm }
small { display: block; color: #333; margin-left: 6mm }
"""


@dataclass(frozen=True, slots=True)
class Tick:
    """A ticked line: its number in the file, the job@target, and the time written behind it."""

    line: int
    name: str
    time: str


def paper_text(paper: Paper) -> str:
    """The sheet as text."""
    lines = [harmless(paper.title), ""]
    for section in paper.sections:
        lines += [harmless(section.head), "-" * min(WIDTH, len(section.head))]
        for line in section.lines:
            lines += _text_line(line)
        lines.append("")
    return "\n".join(lines)


def _text_line(line: PaperLine) -> Iterator[str]:
    text = harmless(line.text)
    if not line.tick:
        lead = len(text) - len(text.lstrip())
        yield from textwrap.wrap(text, WIDTH, initial_indent=" " * lead,
                                 subsequent_indent=" " * (lead + 2)) or [""]  # fmt: skip
        return
    end = f"  <{line.name}>"
    most = max(SHORTEST, WIDTH - len(BOX) - 1 - len(end))
    first, *more = textwrap.wrap(text, most) if len(text) > most else [text]
    yield f"{BOX} {first}{end}"
    for below in (" ".join(more), harmless(line.note)):
        indent = "      " if not below.startswith("[") else "      - "
        yield from textwrap.wrap(below, WIDTH, initial_indent=indent,
                                 subsequent_indent="      ")  # fmt: skip


def paper_html(paper: Paper) -> str:
    """The sheet as one page of HTML."""
    parts = [
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">',
        f"<title>{_safe(paper.title)}</title><style>{STYLE}</style></head><body>",
        f"<h1>{_safe(paper.title)}</h1>",
    ]
    for section in paper.sections:
        parts.append(f"<h2>{_safe(section.head)}</h2><ul>")
        parts += [_item(line) for line in section.lines]
        parts.append("</ul>")
    return "\n".join([*parts, "</body></html>", ""])


def _item(line: PaperLine) -> str:
    note = f"<small>{_safe(line.note)}</small>" if line.note else ""
    sort = ' class="tick"' if line.tick else ""
    return f"<li{sort}>{_safe(line.text)}{note}</li>"


def _safe(text: str) -> str:
    return escape(harmless(text))


def ticks_of(text: str) -> list[Tick] | list[Problem]:
    """The ticked lines of a sheet, or every fault in it, by line.

    A box with any sign in it is ticked. A time may stand behind the line, as 07:40.
    """
    ticks: list[Tick] = []
    faults: list[Problem] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not re.match(r"\s*\[[^\]]*\]", line):
            continue
        match = _TICKED.fullmatch(line)
        if match is None:
            faults.append(Problem(f"line {number}", "it has a box but no job in < >",
                                  "leave the end of the line as it was printed"))  # fmt: skip
        elif match["time"] and not _TIME.fullmatch(match["time"]):
            faults.append(Problem(f"line {number}", f"{match['time']} is no time of day",
                                  "write it as 07:40"))  # fmt: skip
        elif match["mark"].strip():
            ticks.append(Tick(number, match["name"], match["time"] or ""))
    return faults or ticks
