"""When a lot kept apart is free: the latest of several dates, each with its reason.

Day 0 is the day of arrival, counted by calendar dates of the room. The lot's own
days run from the last arrival into its water. A sign of illness or a death nobody
can explain asks for clear days after it: days on which somebody looked and no
medicine was in the water. Sources: 4 to 6 weeks, counted anew from a sign, is
common practice, no published source; the periods are the keeper's. Pure counting:
what the journal says of a lot is gathered in `stay_facts`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from roomtasks.room.stock import Stay
from roomtasks.room.why import day_words

STRESS_DAYS = 7
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Periods:
    """The keeper's periods in days, and the temperature below which water is cool."""

    clear_days: int = 28
    clear_days_after_death: int = 14
    after_dose_days: int = 14
    cool_celsius: float = 22.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """Something that happened in the lot's water on a day, in words."""

    day: date
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Days under medicine, both included, given or still to come; no `last`: no end is set."""

    first: date
    last: date | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedWith:
    """Water, a net or hands shared with another lot, and that lot's own date."""

    tank: str
    day: date
    by: str
    release_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class StayFacts:
    """What the journal says of a lot. `looked` are the days on which somebody looked at it.

    `doses` are days on which medicine was or will be given, `courses` their spans.
    """

    arrivals: tuple[Dated, ...] = ()
    signs: tuple[Dated, ...] = ()
    deaths: tuple[Dated, ...] = ()
    doses: tuple[Dated, ...] = ()
    courses: tuple[Span, ...] = ()
    contacts: tuple[SharedWith, ...] = ()
    stress: tuple[Dated, ...] = ()
    looked: frozenset[date] = frozenset()
    celsius: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One date the lot has to wait for: what asks for it, and why in words."""

    cause: str  # arrival, sign, death, dose, course or shared
    day: date
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StayNow:
    """How a lot stands on a day. `set_by` is the candidate that sets `release_on`.

    `unlooked` are days since it came on which nobody looked; `no_clear` those that
    pushed the date, for want of a look or because of medicine.
    """

    stay: Stay
    day: int
    days: int
    release_on: date
    set_by: Candidate
    candidates: tuple[Candidate, ...]
    unlooked: tuple[date, ...] = ()
    no_clear: tuple[date, ...] = ()
    under_medicine: bool = False
    look_twice_until: date | None = None
    warnings: tuple[str, ...] = ()

    def free(self, today: date) -> bool:
        """Whether the latest of the dates has come."""
        return today >= self.release_on


def stay_now(stay: Stay, facts: StayFacts, today: date, periods: Periods) -> StayNow:
    """The day of a lot, and the latest of the dates it waits for.

    What is dated after `today` does not count yet, save doses of a course that is
    running. Of two candidates on one day the first in the order of `Candidate` sets it.
    """
    arrivals = [Dated(day=stay.since, words="it came"), *_gone(facts.arrivals, today)]
    last = max(arrivals, key=lambda item: item.day)
    medicine = _medicine_days(facts, today)
    found = [
        Candidate(
            cause="arrival", day=last.day + timedelta(days=stay.days),
            why=f"{last.words} on {day_words(last.day)}, and {stay.days} days",
        )
    ]  # fmt: skip
    clear = _Clear(facts, medicine, today)
    found += clear.candidates("sign", facts.signs, periods.clear_days)
    found += clear.candidates("death", facts.deaths, periods.clear_days_after_death)
    found += _dose_candidates(facts, today, periods)
    found += _shared_candidates(facts.contacts, today)
    setting = max(found, key=lambda item: item.day)
    stressed = [item.day + timedelta(days=STRESS_DAYS) for item in _gone(facts.stress, today)]
    twice = max(stressed, default=None)
    return StayNow(
        stay=stay, day=(today - last.day).days, days=stay.days, release_on=setting.day,
        set_by=setting, candidates=tuple(sorted(found, key=lambda item: item.day, reverse=True)),
        unlooked=unlooked_days(stay.first_day, facts.looked, today),
        no_clear=tuple(sorted(clear.pushed)), under_medicine=today in medicine,
        look_twice_until=twice if twice is not None and twice >= today else None,
        warnings=tuple(_warnings(facts, today, periods)),
    )  # fmt: skip


def unlooked_days(came: date, looked: frozenset[date], today: date) -> tuple[date, ...]:
    """Days after arrival and before today on which nobody looked."""
    days = (came + timedelta(days=n) for n in range(1, (today - came).days))
    return tuple(day for day in days if day not in looked)


def _gone(items: Iterable[Dated], today: date) -> list[Dated]:
    return [item for item in items if item.day <= today]


def _medicine_days(facts: StayFacts, today: date) -> frozenset[date]:
    """Days under medicine; a span without an end reaches to today only."""
    days = {item.day for item in facts.doses}
    for span in facts.courses:
        last = span.last if span.last is not None else today
        days |= {span.first + timedelta(days=n) for n in range((last - span.first).days + 1)}
    return frozenset(days)


class _Clear:
    """Counts clear days: looked at, no medicine, no sign, no death; today and later are owed."""

    def __init__(self, facts: StayFacts, medicine: frozenset[date], today: date) -> None:
        self._looked, self._medicine, self._today = facts.looked, medicine, today
        self._ill = {item.day for item in (*facts.signs, *facts.deaths) if item.day <= today}
        self.pushed: set[date] = set()

    def candidates(self, cause: str, items: Iterable[Dated], wanted: int) -> Iterator[Candidate]:
        last = max(_gone(items, self._today), key=lambda item: item.day, default=None)
        if last is None:
            return
        day, pushed = last.day, []
        for _ in range(wanted):
            day += ONE_DAY
            while not self._is_clear(day):
                pushed.append(day)
                day += ONE_DAY
        self.pushed |= set(pushed)
        why = f"{last.words} on {day_words(last.day)}, and {wanted} clear days"
        if pushed:
            why += f", {len(pushed)} more for days that were not clear"
        yield Candidate(cause=cause, day=day, why=why)

    def _is_clear(self, day: date) -> bool:
        if day in self._medicine or day in self._ill:
            return False
        return day >= self._today or day in self._looked


def _dose_candidates(facts: StayFacts, today: date, periods: Periods) -> Iterator[Candidate]:
    last = max(facts.doses, key=lambda item: item.day, default=None)
    if last is not None:
        yield Candidate(
            cause="dose", day=last.day + timedelta(days=periods.after_dose_days),
            why=f"{last.words} on {day_words(last.day)}, and {periods.after_dose_days} days",
        )  # fmt: skip
    spans = [(span.last or today, span.words) for span in facts.courses if span.first <= today]
    if spans:
        end, words = max(spans)
        yield Candidate(
            cause="course", day=end + ONE_DAY, why=f"{words} ends on {day_words(end)}"
        )  # fmt: skip


def _shared_candidates(contacts: Iterable[SharedWith], today: date) -> Iterator[Candidate]:
    known = [item for item in contacts if item.day <= today]
    last = max(known, key=lambda item: item.release_on, default=None)
    if last is not None:
        yield Candidate(
            cause="shared", day=last.release_on,
            why=f"shared {last.by} with {last.tank} on {day_words(last.day)}, whose lot is free "
            f"on {day_words(last.release_on)}",
        )  # fmt: skip


def _warnings(facts: StayFacts, today: date, periods: Periods) -> Iterator[str]:
    if facts.celsius is not None and facts.celsius < periods.cool_celsius:
        yield (
            f"the water is cool, {facts.celsius:g} C: parasites live slower below "
            f"{periods.cool_celsius:g} C, so keep them longer than the days set"
        )
    for span in facts.courses:
        if span.last is None and span.first <= today:
            yield f"{span.words} has no end yet: no day under it is a clear day"
