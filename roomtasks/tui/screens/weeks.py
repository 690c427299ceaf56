"""The weeks ahead: days as bars and lines, moves tried before they are kept, what-ifs, days away.

What is tried or asked lives here until it is kept or let go; it writes nothing,
acts are posted to the app. Words and lines are in the `weeks_` modules.
"""

from dataclasses import replace
from datetime import date, datetime
from typing import Any, ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from roomtasks.room.ahead_plan import PlannedJob, WhatIfAhead
from roomtasks.room.naming import job_there
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.tui import weeks_asking
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keys import bindings, key_line
from roomtasks.tui.screens.page import PageScreen, PickScreen
from roomtasks.tui.screens.side import ON_TO, Look, SideScreen, SideWanted
from roomtasks.tui.side_acts import Filling
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.water_items import Part
from roomtasks.tui.weeks_acts import AWAY, PULL, keep, last_day, stand_in_of, stepped
from roomtasks.tui.weeks_away import away_rows, away_title, keep_words, page_rows
from roomtasks.tui.weeks_back import back_title
from roomtasks.tui.weeks_lines import parts
from roomtasks.tui.weeks_seen import SPANS, AwayAsk, Planner, Trial, WeeksAsk, WeeksSeen, key_of
from roomtasks.tui.weeks_words import (
    asked_words,
    charts,
    next_line,
    short_day,
    top_line,
    trial_words,
)
from roomtasks.tui.widgets.bars_view import BarsView
from roomtasks.tui.widgets.lines_view import Row
from roomtasks.work.ahead_view import scene

FOOT = ("do", "later", "earlier", "open", "other", "close", "take_back", "what_if", "span",
        "part_next", "line_next", "page_next", "line_back")  # fmt: skip
FOOT_TRIED = ("do", "close", "later", "earlier", "open", "part_next", "line_next")
WAIT = "It is being worked out."


class WeeksScreen(SideScreen[WeeksSeen]):
    """The weeks ahead, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("weeks")
    side = "weeks"
    title_words = "The weeks ahead"
    foot: ClassVar[tuple[str, ...]] = FOOT

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.wanted = WeeksAsk()
        self.planner = Planner()
        self.said = "The weeks are being planned."
        self._told = WeeksAsk()
        self._waits = ""
        self._away: Filling | None = None

    # ---- what it shows ------------------------------------------------------------------

    def looker(self) -> Look:
        return look

    def thinker(self) -> Any:
        asked, number = self.wanted, self.planner.number()
        return lambda seen: self.planner.think(seen, asked, number)

    def show(self, seen: WeeksSeen) -> None:
        """A new look. What came of a question is told once."""
        new = seen.ask != self._told
        self._told = seen.ask
        super().show(seen)
        trial = seen.ask.trial
        if seen.ask != self.wanted:
            return
        if seen.fault is not None:
            self.wanted = self._told = seen.ask.as_it_is()
            self.say(f"{refused_here(seen.fault)} Nothing was asked.")
        elif trial is not None and seen.asked is None:
            self.wanted = self._told = seen.ask.as_it_is()
        elif seen.away is not None:
            self.wanted = self._told = seen.ask.as_it_is()
            self._show_away(seen)
        elif new and seen.asked is not None:
            words = trial_words if trial is not None else asked_words
            self.say(words(seen, self.size.width))
        elif self.said == self._waits:
            self.say("")
        self.draw_hand()

    def top(self, seen: WeeksSeen, width: int) -> str:
        return top_line(seen, self.signs, width)

    def next(self, seen: WeeksSeen, width: int) -> str:
        return next_line(seen, self.signs, width)

    def parts(self, seen: WeeksSeen, width: int) -> list[Part]:
        return parts(seen, self.signs)

    def picture(self) -> Widget | None:
        return BarsView(self.signs)

    def draw_picture(self, seen: WeeksSeen, wide: bool) -> None:
        self.query_one(BarsView).show(charts(seen.shown), seen.shown.first, self.day, wide)

    @property
    def day(self) -> date | None:
        """The day in hand; None on the lines about the whole."""
        item = self.item
        return date.fromisoformat(item.about) if item is not None and item.about else None

    @property
    def job(self) -> PlannedJob | None:
        """The occurrence in hand, as it is planned with nothing asked."""
        seen, item = self.seen, self.item
        return seen.job(item.key) if seen is not None and item is not None else None

    # ---- the foot -----------------------------------------------------------------------

    def labels(self) -> dict[str, str]:
        if self.wanted.what_if != WhatIfAhead():
            return {"close": "as it is"}
        return {}

    def stays(self) -> bool:
        """What would follow stays beside what is tried or asked."""
        return super().stays() or self.wanted != self.wanted.as_it_is()

    def foot_line(self) -> str:
        trial = self.wanted.trial
        if trial is None:
            return super().foot_line()
        labels = {"close": "let it go"}
        if trial.n == 0:
            labels["do"] = f"keep on {short_day(trial.day)}"
        actions = FOOT_TRIED if trial.n == 0 else FOOT_TRIED[1:]
        return key_line(actions, self.size.width, self.side, labels)

    # ---- asking -------------------------------------------------------------------------

    def want(self, asked: WeeksAsk, said: str = WAIT, stays: bool = False) -> None:
        """Ask the plan something else; what is said `stays`, or goes once it is worked out."""
        self.wanted, self._waits = asked, "" if stays else clean(said)
        self.say(said)
        self.draw_hand()
        self.post_message(SideWanted())

    def let_go(self) -> None:
        """Nothing is asked any more."""
        asked = self.wanted
        what = "It stays where it was" if asked.trial is not None else "As it is again"
        self.want(asked.as_it_is(), f"{what}; nothing was kept.", stays=True)

    def action_close(self) -> None:
        if self.wanted == self.wanted.as_it_is():
            super().action_close()
        elif not self.twice("close"):
            self.let_go()

    def action_take_back(self) -> None:
        self.wanted = self._told = self.wanted.as_it_is()
        super().action_take_back()

    def action_span(self) -> None:
        """The next span of days."""
        if self.seen is None or self.twice("span"):
            return
        at = SPANS.index(self.wanted.days)
        days = SPANS[(at + 1) % len(SPANS)]
        self.want(WeeksAsk(days=days, what_if=self.wanted.what_if), f"Planning {days} days.")

    # ---- moves --------------------------------------------------------------------------

    def action_later(self) -> None:
        self._move(1)

    def action_earlier(self) -> None:
        self._move(-1)

    def _move(self, step: int) -> None:
        """Try the job in hand on its next day; a day that is none is asked about."""
        seen, job, trial = self.seen, self.job, self.wanted.trial
        if seen is None:
            return
        if job is None:
            self.say("No job of one day is in hand: 2 and 8 go to one; 6 pulls one forward.")
            return
        going_on = trial is not None and (trial.id, trial.n) == (job.id, job.n)
        at = trial.day if trial is not None and going_on else job.day
        found = stepped(job, at, step, seen.base, seen.room)
        if isinstance(found, Problem):
            self.say(refused_here(found))
        elif found.why:
            question = weeks_asking.another_day(found.why)
            about = f"{found.day.isoformat()} {key_of(job)}"
            self.ask(replace(question, about=about))
        else:
            self._try(job, found.day)

    def _try(self, job: PlannedJob, day: date, anyway: bool = False) -> None:
        """What would be with the job on this day."""
        if day == job.day:
            said = f"{job_there(job.name, job.target)}: where it was."
            self.want(self.wanted.as_it_is(), said, stays=True)
            return
        trial = Trial(id=job.id, n=job.n, name=job.name, target=job.target, planned=job.day,
                      day=day, anyway=anyway)  # fmt: skip
        self.want(WeeksAsk(days=self.wanted.days, trial=trial),
                  f"{trial.words} on {day_words(day)}: it is being worked out.")  # fmt: skip

    def action_do(self) -> None:
        trial, seen = self.wanted.trial, self.seen
        if trial is None:
            super().action_do()
        elif self.twice("do"):
            return
        elif trial.n:
            self.say("It comes after the one that is next there, and follows that: only the next "
                     "one can be kept on a day. 0 lets it go.")  # fmt: skip
        elif seen is None or seen.ask != self.wanted:
            self.say("What would follow is not worked out yet: a moment, then 6.")
        else:
            self.begin(keep(trial))

    def action_other(self) -> None:
        item = self.item
        if item is None or len(item.acts) != 1 or self.wanted.trial is not None:
            super().action_other()
        elif not self.twice("other"):
            self._go_on(Filling(item.acts[0], agreed=bool(item.acts[0].sure)))

    # ---- acts that are shown before they are kept ---------------------------------------

    def _go_on(self, filling: Filling) -> None:
        if filling.ask is not None or filling.act.label not in (AWAY, PULL):
            super()._go_on(filling)
        elif filling.act.label == PULL:
            self._pull(filling.answers[0])
        elif (filling.agreed and filling == self._away) or self.day is None or self.seen is None:
            super()._go_on(filling)
        else:
            self._ask_away(filling, self.day, self.seen)

    def _pull(self, key: str) -> None:
        job = self.seen.job(key) if self.seen is not None else None
        if job is not None and self.day is not None:
            self._try(job, self.day)

    def _ask_away(self, filling: Filling, first: date, seen: WeeksSeen) -> None:
        last = last_day(filling.answers[0], first)
        if isinstance(last, Problem):
            self.say(refused_here(last))
            return
        self._away = replace(filling, agreed=True)
        away = AwayAsk(first, last, stand_in_of(filling.answers, seen.room))
        said = f"Away {day_words(first)} to {day_words(last)}: it is being worked out."
        self.want(WeeksAsk(days=self.wanted.days, away=away), said)

    def _show_away(self, seen: WeeksSeen) -> None:
        """The page of what days away would do; back from it, a yes is asked."""
        plan, room, filling = seen.away, seen.room, self._away
        if plan is None or filling is None:
            return
        self.say("")
        page = PageScreen(
            away_title(plan), lambda width: away_rows(plan, room, self.signs, width), ON_TO
        )

        def asked(_: None) -> None:
            self.filling = replace(filling, agreed=False)
            self.ask(Question("side-sure", clean(keep_words(plan, room)), ("yes",)))

        self.app.push_screen(page, asked)

    def foreseen(self, filling: Filling, lines: tuple[str, ...]) -> None:
        """What catching up would be: a page, then the yes."""
        page = PageScreen(back_title(lines), lambda width: page_rows(lines[1:], width), ON_TO)

        def asked(_: None) -> None:
            self.filling = filling
            self.ask(Question("side-sure", f"{clean(filling.act.sure)}?", ("yes",)))

        self.app.push_screen(page, asked)

    # ---- what if ------------------------------------------------------------------------

    def action_what_if(self) -> None:
        if self.seen is not None and not self.twice("what_if"):
            self.ask(weeks_asking.what_if())

    def answered_here(self, answer: Answer) -> None:
        if self.seen is None:
            return
        if answer.sort == "weeks-day":
            day, _, key = answer.about.partition(" ")
            job = self.seen.job(key)
            if job is not None:
                self._try(job, date.fromisoformat(day), anyway=True)
            return
        so_far = self.wanted.what_if
        match weeks_asking.asked(answer, so_far, self.seen.room):
            case Question() as question:
                self.ask(question)
            case weeks_asking.Pick() as pick:
                self._pick_code(pick)
            case Problem() as problem:
                self.say(refused_here(problem))
            case WhatIfAhead() as what_if:
                asked = WeeksAsk(days=self.wanted.days, what_if=what_if)
                self.want(asked, WAIT if what_if != WhatIfAhead() else "As it is.")

    def _pick_code(self, pick: weeks_asking.Pick) -> None:
        rows = [
            Row(clean(f"{code}  {word}")) for code, word in zip(pick.codes, pick.words, strict=True)
        ]  # fmt: skip

        def picked(at: int) -> None:
            self.answered_here(Answer(pick.sort, pick.codes[at], at + 1, ""))

        self.app.push_screen(PickScreen(pick.title, lambda _: rows, picked))


def look(store: Store, now: datetime) -> Any:
    """What the plans are made from."""
    return scene(store, now)
