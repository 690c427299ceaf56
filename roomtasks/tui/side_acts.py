"""Acts that a line of a side list offers: what is asked for each, and what comes of the answers.

Pure, as `asking`. A line has its acts in order: the first is the one that is
next to do, all of them are offered in a list.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Protocol

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.tui.asking import Question
from roomtasks.tui.here_words import refused_here

MOST_BY_DIGIT = 9


class HasWords(Protocol):
    """An act that is on the disk, as its sentence."""

    @property
    def words(self) -> str: ...


Do = Callable[[Store, datetime, str], HasWords | Problem]
First = Callable[[Store, datetime], tuple[str, ...] | Problem]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One thing an act asks. `values` are what the choices mean, else the words themselves.

    Without choices it is typed; `blank` is what Enter alone means. `page`: the
    choices are long, and are read on a page of their own however few they are.
    """

    text: str
    choices: tuple[str, ...] = ()
    values: tuple[str, ...] = ()
    blank: str = ""
    page: bool = False

    @property
    def by_digit(self) -> bool:
        """Whether one digit answers it; longer lists have a page of their own."""
        return not self.page and len(self.choices) <= MOST_BY_DIGIT

    def value(self, number: int) -> str:
        """What a choice means, counted from 0."""
        return self.values[number] if self.values else self.choices[number]


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something that can be done to a line.

    `make` gets the answers in the order of `asks` and whether a refusal that may
    be overruled is, and gives what to run on the store, or what is wrong with an
    answer. With `sure` a yes is asked before it is run. `first` is asked of the
    store before that, with the answers: lines to be shown with the question, or why
    it cannot be.
    """

    label: str
    make: Callable[[tuple[str, ...], bool], Do | Problem]
    asks: tuple[Ask, ...] = ()
    sure: str = ""
    first: Callable[[tuple[str, ...]], First] | None = None


@dataclass(frozen=True, slots=True)
class Filling:
    """An act with the answers so far."""

    act: Act
    answers: tuple[str, ...] = ()
    anyway: bool = False
    agreed: bool = field(default=False)

    @property
    def ask(self) -> Ask | None:
        """What is to be asked next."""
        left = self.act.asks[len(self.answers) :]
        return left[0] if left else None

    @property
    def question(self) -> Question | None:
        """The question at the foot; none where a page asks, or nothing is left to ask."""
        ask = self.ask
        if ask is not None:
            if not ask.by_digit:
                return None
            return Question("side-ask", ask.text, ask.choices, blank=ask.blank)
        if self.act.sure and not self.agreed:
            return Question("side-sure", f"{self.act.sure}?", ("yes",))
        return None

    @property
    def first(self) -> First | None:
        """What is to be asked of the store before the yes."""
        if self.act.first is None or self.agreed or self.ask is not None:
            return None
        return self.act.first(self.answers)

    def answered(self, text: str) -> "Filling":
        """With one answer more."""
        return replace(self, answers=(*self.answers, text))

    def do(self) -> Do | Problem:
        """What to run, or what is wrong with an answer."""
        return self.act.make(self.answers, self.anyway)


def overruling(filling: Filling, problem: Problem) -> Question:
    """A refusal that the keeper may overrule."""
    return Question("side-anyway", f"{refused_here(problem)}. Do it all the same?", ("yes",))


def acts_question(acts: tuple[Act, ...]) -> Question:
    """The list of acts at the foot."""
    return Question("side-acts", "Do:", tuple(act.label for act in acts))
