"""Raw forms that a keeper should never read: codes for words, Python for text, slips of number.

What stands in brackets is left out (a rule's name or a code, for scripts), and so is a
command that is named (`'roomtasks lift hold-1'`). Groups, filters, tanks and whatever
else the keeper gave a code to is called by it, and is no raw form.
"""

import re
from collections.abc import Iterable, Iterator

from roomtasks.room.journal import OUTCOMES
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import State
from roomtasks.room.pin import TROUBLES
from roomtasks.room.room import Room
from roomtasks.room.trigger import STATES
from roomtasks.room.vessel import STEPS

EVENTS = ("battery-air", "not-seen", "put-in", "moved-out", "fry-in", "hands-clean", "trouble-step",
          "first-count", "free-swimming", "sump-level")  # fmt: skip
RULES = ("not-yet-open", "not-in-the-future", "no-change", "largest-change", "step-order")
_LEFT_OUT = (
    re.compile(r"'(?:roomtasks [^']*|--[a-z-]+|[a-z]+(?:-[a-z]+)+)'"),
    re.compile(r"\broomtasks [a-z][^;.\]]*"),
    re.compile(r"\[[^\]\s][^\]]*\]"),
)
_FORMS = {
    "a sign of a code": re.compile(r"\S*@\S*"),
    "Python": re.compile(r"\bNone\b|\bTrue\b|\bFalse\b|datetime\.|\bDecimal\(|<class |\bnan\b"),
    "snake_case": re.compile(r"\b[a-z]+(?:_[a-z]+)+\b"),
    "a word twice": re.compile(r"\b([A-Za-z]{2,}) \1\b"),
    "one of many": re.compile(
        r"(?<![\d.,/-])\b1 (?:tanks|days|jobs|holds|links|lots|hours|troubles|changes|weeks|"
        r"minutes|samples|moves|fills|parts|others)\b"
    ),
    "a date without its weekday": re.compile(r"\b\d{4}-\d{2}-\d{2}\b"),
    "a doubled stop": re.compile(r"[;,.][;,]|[^.]\.\.(?!\.|\d)"),
}
TRADE_WORD = "top-off"
MOST_DIGITS = 4
_DECIMAL = re.compile(r"(?<![\d.])\d+\.(\d+)(?![\d.])")
_TOKEN = re.compile(r"(?<![\w-])[a-z0-9]+(?:-[a-z0-9]+)+(?![\w-])")


def codes_of(room: Room) -> frozenset[str]:
    """Codes with a hyphen that stand for words: of jobs, and of the program itself."""
    jobs = [job.code for job in room.jobs]
    states = [state.value for state in State]
    found = {*jobs, *states, *EVENTS, *RULES, *OUTCOMES, *KINDS, *STATES, *STEPS, *TROUBLES}
    return frozenset(code for code in found - {TRADE_WORD} if "-" in code)


def raw_forms(text: str, codes: Iterable[str]) -> Iterator[str]:
    """What is raw in a text, each with what it is, a line at a time."""
    known = frozenset(codes)
    for line in text.splitlines():
        plain = line
        for pattern in _LEFT_OUT:
            plain = pattern.sub("·", plain)
        for what, pattern in _FORMS.items():
            for found in pattern.finditer(plain):
                yield f"{what}: {found[0]!r} in {line.strip()!r}"
        for found in _DECIMAL.finditer(plain):
            if len(found[0].replace(".", "").lstrip("0")) > MOST_DIGITS and len(found[1]) > 1:
                yield f"a number not rounded: {found[0]!r} in {line.strip()!r}"
        for found in _TOKEN.finditer(plain):
            if found[0] in known:
                yield f"a code: {found[0]!r} in {line.strip()!r}"
