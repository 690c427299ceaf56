"""Will the room be full: for each coming week, tanks wanted against tanks free, by kind.

A brood wants tanks of one kind from the day it moves there until the day it
moves on or is sold; pairs that spawn again bring broods to come. Levers are
tried, one by one, and said with what each gives back. Does not live here: when
a brood moves (`move_day`), and where (`destination`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

WEEKS = 16
RESTS, SELLS, FEWER = "pair rests", "sold earlier", "keep fewer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """So many tanks of a kind from a day until a day (not included), for a brood.

    `pair` is the pair that a brood to come hangs on; `expected` is one not yet spawned.
    `tank` is the one they are in already: fish that share it want it once.
    """

    brood: str
    kind: str
    first: date
    until: date
    tanks: int
    pair: str = ""
    expected: bool = False
    can_sell: bool = False
    tank: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever:
    """Something that would help: what, and how many tanks it gives back in that week."""

    sort: str
    about: str
    words: str
    gives: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One week and one kind of tank."""

    n: int
    first: date
    kind: str
    wanted: int
    there: int
    broods: tuple[str, ...]
    levers: tuple[Lever, ...] = ()

    @property
    def free(self) -> int:
        """Tanks left; below 0: so many are missing."""
        return self.there - self.wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """Pairs that rest from today, and broods sold in a week (1 is this one)."""

    rests: frozenset[str] = frozenset()
    sold_in: Mapping[str, int] | None = None


def weeks_of(
    wants: Iterable[Want], there: Mapping[str, int], first: date, weeks: int = WEEKS,
    what_if: WhatIf | None = None,
) -> tuple[Week, ...]:  # fmt: skip
    """Each week from `first` on and each kind that has tanks or is wanted, with levers if short.

    A brood counts in a week if it wants a tank on any day of it, with the most it
    wants on one day.
    """
    known = after(wants, first, what_if or WhatIf())
    kinds = sorted({*there, *(want.kind for want in known)})
    found = []
    for n in range(1, weeks + 1):
        begins = first + timedelta(days=7 * (n - 1))
        for kind in kinds:
            own = [want for want in known if want.kind == kind and _in_week(want, begins)]
            week = Week(
                n=n, first=begins, kind=kind, wanted=busiest(own, begins), there=there.get(kind, 0),
                broods=tuple(dict.fromkeys(want.brood for want in own)),
            )  # fmt: skip
            found.append(replace(week, levers=levers(own, begins)) if week.free < 0 else week)
    return tuple(found)


def after(wants: Iterable[Want], first: date, what_if: WhatIf) -> tuple[Want, ...]:
    """The wants once pairs rest and broods are sold at the end of the week that is said."""
    sold = what_if.sold_in or {}
    found = []
    for want in wants:
        if want.expected and want.pair in what_if.rests:
            continue
        if want.brood in sold:
            gone = first + timedelta(days=7 * sold[want.brood])
            want = replace(want, until=min(want.until, gone))
        if want.first < want.until:
            found.append(want)
    return tuple(found)


def _in_week(want: Want, begins: date) -> bool:
    return want.first < begins + timedelta(days=7) and want.until > begins


def busiest(wants: Sequence[Want], begins: date) -> int:
    """The most tanks wanted on one day of a week."""
    days = [begins + timedelta(days=n) for n in range(7)]
    return max(_on_day([w for w in wants if w.first <= day < w.until]) for day in days)


def _on_day(wants: Iterable[Want]) -> int:
    """The tanks wanted at once; a tank they share counts once."""
    shared: dict[str, int] = {}
    apart = 0
    for want in wants:
        if want.tank:
            shared[want.tank] = max(want.tanks, shared.get(want.tank, 0))
        else:
            apart += want.tanks
    return apart + sum(shared.values())


def levers(wants: Sequence[Want], begins: date) -> tuple[Lever, ...]:
    """What would give tanks back in a week, the most first: each tried against the same wants."""
    whole = busiest(wants, begins)
    found = []
    for want in wants:
        if want.expected and want.pair:
            left = [w for w in wants if not (w.expected and w.pair == want.pair)]
            found.append(Lever(sort=RESTS, about=want.pair, gives=whole - busiest(left, begins),
                               words=f"let {want.pair} rest"))  # fmt: skip
        elif want.can_sell:
            left = [w for w in wants if w.expected or w.brood != want.brood]
            found.append(Lever(sort=SELLS, about=want.brood, gives=whole - busiest(left, begins),
                               words=f"sell {want.brood} before this week"))  # fmt: skip
        if want.tanks > 1:
            fewer = [replace(w, tanks=w.tanks - 1) if w is want else w for w in wants]
            found.append(Lever(sort=FEWER, about=want.brood, gives=whole - busiest(fewer, begins),
                               words=f"keep fewer of {want.brood}, in one tank less"))  # fmt: skip
    helping = {lever for lever in found if lever.gives > 0}
    return tuple(sorted(helping, key=lambda lever: (-lever.gives, lever.sort, lever.about)))


def sentence(weeks: Iterable[Week], today: date) -> str:
    """The first week in which tanks are missing, as a keeper says it; "" where none are."""
    short = next((week for week in weeks if week.free < 0), None)
    if short is None:
        return ""
    away = max(0, (short.first - today).days // 7)
    when = "this week" if not away else "in a week" if away == 1 else f"in {away} weeks"
    many = len(short.broods)
    return (
        f"{when} {many} brood{'s' if many != 1 else ''} need{'s' if many == 1 else ''} "
        f"{short.wanted} {short.kind} tank{'s' if short.wanted != 1 else ''} and {short.there} "
        f"{'is' if short.there == 1 else 'are'} there"
    )
