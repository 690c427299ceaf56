"""Questions at the foot of the walk: one at a time, answered by digits, never a dialog.

A question is opened by a key of the keeper's and holds what was typed so far.
Pure: `typed` gives the next state, or the answer.
"""

import textwrap
from dataclasses import dataclass, replace

from rich.cells import cell_len

from roomtasks.room.journal import REASONS

SEEN = (
    ("fine", "fine"), ("dirty", "dirty"), ("fungus", "fungus"), ("fighting", "fighting"),
    ("eggs", "spawn"), ("fry", "fry"), ("dead", "dead"), ("not seen", "not-seen"),
    ("cannot do", ""),
)  # fmt: skip


READINGS = (
    ("temperature", "C"), ("nitrate", "mg/L"), ("nitrite", "mg/L"), ("ammonia", "mg/L"),
    ("ph", ""), ("gh", "dGH"), ("kh", "dKH"), ("conductivity", "uS/cm"), ("sump-level", "cm"),
)  # fmt: skip
LONGEST_NOTE = 200
TAKE_BACK = "take-back"
LEAVES = "."  # on the number pad, and no number, time or code begins with it


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked. `choices` are answered by one digit, otherwise text and Enter.

    `blank` is what Enter alone means; without it Enter alone leaves the question.
    """

    sort: str
    text: str
    choices: tuple[str, ...] = ()
    so_far: str = ""
    about: str = ""
    blank: str = ""

    def shown(self, width: int) -> str:
        """The question in lines, no choice broken from its number where that can be."""
        if not self.choices:
            return self.line()
        listed = [f"{n} {word}" for n, word in enumerate(self.choices, start=1)]
        lines = textwrap.wrap(self.text, width) or [""]
        for part, gap in zip((*listed, "0 leaves it"), (" ", *["  "] * len(listed)), strict=True):
            if cell_len(lines[-1] + gap + part) <= width:
                lines[-1] += gap + part
            else:
                lines += textwrap.wrap(part, width) or [""]
        return "\n".join(lines)

    def line(self) -> str:
        """The question as one line."""
        if self.choices:
            listed = "  ".join(f"{n} {word}" for n, word in enumerate(self.choices, start=1))
            return f"{self.text} {listed}  0 leaves it"
        tail = "" if self.so_far else f"  ({self.leaves or 'Esc'} leaves it)"
        return f"{self.text} {self.so_far}_{tail}"

    @property
    def leaves(self) -> str:
        """What leaves it while nothing is typed, besides Escape; free text may begin with any."""
        return "" if self.sort == "note" else LEAVES


def key_words(question: Question) -> str:
    """What the keys do while it is open, for the foot of the screen."""
    if len(question.choices) == 1:
        return f"1 {question.choices[0]}  0 or Esc leaves it"
    if question.choices:
        return f"1 to {len(question.choices)} take one  0 or Esc leaves it"
    leaves = f"{question.leaves} or Esc" if question.leaves and not question.so_far else "Esc"
    if question.so_far:
        return f"Enter takes it  Backspace back  {leaves} leaves it"
    return f"{'Enter takes ' + question.blank if question.blank else 'type it'}  {leaves} leaves it"


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered: the question's sort, the text or the number of the choice."""

    sort: str
    text: str
    number: int
    about: str


def typed(question: Question, key: str, character: str | None) -> Question | Answer | None:
    """The question after one key; None when it was left with Escape, by sign, or emptied."""
    if key == "escape":
        return None
    if not question.choices and not question.so_far and character and character == question.leaves:
        return None
    if question.choices:
        if character is not None and character.isdigit():
            number = int(character)
            if 1 <= number <= len(question.choices):
                return Answer(question.sort, question.choices[number - 1], number, question.about)
            if number == 0:
                return None
        return question
    if key in ("backspace", "delete"):
        return replace(question, so_far=question.so_far[:-1]) if question.so_far else None
    if key == "enter":
        text = question.so_far.strip() or question.blank
        return Answer(question.sort, text, 0, question.about) if text else None
    if character is not None and character.isprintable() and len(question.so_far) < LONGEST_NOTE:
        return replace(question, so_far=question.so_far + character)
    return question


def partly(about: str, owed_percent: str) -> Question:
    return Question("partly", f"Share done, in % (owed {owed_percent}), then Enter:", about=about)


def put_off(about: str) -> Question:
    return Question("put-off", "Put off by how many days, then Enter:", about=about)


def leave_out(about: str) -> Question:
    return Question("leave-out", "Left out, because:", REASONS[:9], about=about)


def seen(about: str) -> Question:
    return Question("seen", "Seen:", tuple(word for word, _ in SEEN), about=about)


def cannot(about: str) -> Question:
    return Question("cannot", "Cannot be done, because:", REASONS[:9], about=about)


def how_many(about: str, sort: str) -> Question:
    word = "dead" if sort == "dead" else "not seen"
    return Question(sort, f"How many {word}, then Enter:", about=about)


LISTS = (
    ("water", "water"), ("fish kept apart", "apart"), ("broods", "broods"), ("weeks", "weeks"),
    ("bad day", "trouble"), ("today by the plan", "planned"), ("journal", "journal"),
    ("facts", "facts"),
)  # fmt: skip


def where() -> Question:
    return Question("where", "Open:", tuple(word for word, _ in LISTS))


def jump() -> Question:
    return Question("jump", "Tank, typed or scanned, then Enter:")


def done_at(about: str) -> Question:
    return Question("done-at", "Done at what time, as 2000, then Enter:", about=about)


def reading(about: str) -> Question:
    return Question("reading", "Reading:", tuple(word for word, _ in READINGS), about=about)


def value(about: str, number: int) -> Question:
    what, unit = READINGS[number - 1]
    return Question(
        f"value-{number}", f"{what}{' in ' + unit if unit else ''}, Enter:", about=about
    )


def note(about: str) -> Question:
    return Question("note", "Note, then Enter:", about=about)
