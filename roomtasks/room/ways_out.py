"""The four ways out where there is too little water for the day, each only where it would do.

Several days; one batch with every change scaled; tanks alone in full and
systems in two parts; the keep-back. What will not do comes back as a note that
says why. Common practice, no published source.
"""

from collections.abc import Sequence
from math import fsum

from roomtasks.room.batches import filled_split, split_walking
from roomtasks.room.body import SYSTEM
from roomtasks.room.draw import CHANGE
from roomtasks.room.short_of_water import (
    TOLERANCE,
    Short,
    count_words,
    eligible,
    joined,
    litres_words,
    one_round,
    percent_words,
    scaled,
    stretch,
)
from roomtasks.room.water import LARGEST_CHANGE, owed_after_part
from roomtasks.room.water_plan import Choice, Draw, Note, Split

DAYS, SMALLER, PARTS, KEEP_BACK = "two-days", "smaller", "parts", "keep-back"
MOST_DAYS = 7  # then the next week's change has come; common practice, no published source
_TRIES = 200
_LESS, _HALVINGS = 0.99, 12
GRAIN_LITRES = 1e-6  # draws are shared out in whole microlitres
_Days = tuple[list[list[Draw]], tuple[float, ...]]  # the draws of each day, the litres made for it


# --- several days -----------------------------------------------------------------------


def several_days(short: Short) -> Choice | Note:
    """One fill of each reservoir a day, in the order of the walk."""
    days, litres = _by_round(short) if short.means.ready_litres is None else _by_ready(short)
    if len(days) > MOST_DAYS:
        text = f"over several days it would take {len(days)}, and the next change has come by then"
        return Note(about=short.about, text=text, rule=DAYS)
    fractions = short.over_days(days)
    lost = [
        f"{code} then gets {percent_words(fractions[code])} in all, not {percent_words(was)}"
        for code, was in short.each(short.demand.draws).items()
        if was - fractions[code] > 1e-4
    ]
    if len(days) == 1:
        text = f"wait for the next fill, {litres_words(litres[0])}"
    else:
        text = f"{count_words(len(days))} days: {joined([litres_words(each) for each in litres])}"
    if 1 < len(days) <= 3:
        named = [f"{stretch(day)} on day {n}" for n, day in enumerate(days, 1)]
        text += f"; in walking order {joined(named)}"
    return Choice(sort=DAYS, text="; ".join([text, *lost]), needs_yes=False, litres=litres,
                  prices=short.prices(fractions))  # fmt: skip


def _by_round(short: Short) -> _Days:
    """The draws of each round of a sharing-out, and the litres run in for it."""
    walked = split_walking(short.demand.draws, short.pool)
    if not isinstance(walked, Split):
        raise ValueError(walked.sentence())
    days: list[list[Draw]] = []
    litres: list[float] = []
    used: set[str] = set()
    run_in = filled_split(walked, short.pool)
    for fill, code, added in zip(walked.fills, walked.reservoirs, run_in, strict=True):
        if code in used or not days:
            used = set()
            days.append([])
            litres.append(0.0)
        used.add(code)
        litres[-1] += added
        days[-1] += [scaled(share.draw, share.litres / share.draw.from_reservoir) for share in fill]
    return days, tuple(litres)


def _by_ready(short: Short) -> _Days:
    """What is ready on the first day, a fill of each reservoir on each further one."""
    days: list[list[Draw]] = [[]]
    left = short.once
    for draw in short.walk:
        owed = draw.from_reservoir
        while owed > TOLERANCE:
            # Only a draw that no day could serve whole is begun with what is left.
            whole = left + TOLERANCE < owed <= short.later + TOLERANCE
            if whole or left <= TOLERANCE:
                days.append([])
                left = short.later
            now = min(owed, left)
            days[-1].append(scaled(draw, now / draw.from_reservoir))
            owed, left = owed - now, left - now
    days = [day for day in days if day]
    return days, tuple(fsum(draw.from_reservoir for draw in day) for day in days)


# --- one batch, smaller -----------------------------------------------------------------


def smaller(short: Short) -> Choice | Note:
    """Every draw scaled by the same share, so that it is done at once."""
    share = _largest_share(short)
    if share > 0:
        return _smaller(short, share)
    text = "one smaller batch will not do: there is no water for it"
    return Note(about=short.about, text=text, rule=SMALLER)


def _largest_share(short: Short) -> float:
    """The largest share of every draw that goes into one round of fills; 0 where none does.

    Mostly what there is over what is wanted. A walk over several reservoirs cannot
    always be parted so; then it is looked for below.
    """
    grain = len(short.demand.draws) * GRAIN_LITRES  # each draw is rounded to so much
    most = min(1.0, max(0.0, short.once - grain) / short.total)
    share = most
    for _ in range(_TRIES):
        if share <= 0 or _goes(short, share):
            break
        share *= _LESS
    else:
        return 0.0
    if share in (0.0, most):
        return share
    fits, over = share, min(most, share / _LESS)
    for _ in range(_HALVINGS):
        half = (fits + over) / 2
        fits, over = (half, over) if _goes(short, half) else (fits, half)
    return fits


def _goes(short: Short, share: float) -> bool:
    return short.in_one([scaled(draw, share) for draw in short.demand.draws])


def _smaller(short: Short, share: float) -> Choice:
    fractions = {code: was * share for code, was in short.each(short.demand.draws).items()}
    asked = sorted(
        {round(d.fraction, 6) for d in short.demand.draws if d.fraction and d.sort == CHANGE}
    )
    if 0 < len(asked) <= 3:
        each = [f"{percent_words(fraction * share)} instead of {percent_words(fraction)}"
                for fraction in asked]  # fmt: skip
        told = f"{joined(each)} of each tank"
    else:
        told = f"every change at {percent_words(share)} of what was planned"
    litres = short.total * share
    text = "; ".join([f"one batch of {litres_words(litres)}: {told}", *_passed(short, fractions)])
    return Choice(sort=SMALLER, text=text, needs_yes=False, litres=(litres,),
                  prices=short.prices(fractions, share))  # fmt: skip


def _passed(short: Short, fractions: dict[str, float]) -> list[str]:
    """Of each body that usual changes hold at its limit and such ones do not."""
    usual = short.each(short.demand.draws)
    told = []
    for code, fraction in fractions.items():
        known = short.forecasts.get(code)
        if known is None or known.least_fraction is None or known.limit is None:
            continue
        least = known.least_fraction.value
        if fraction < least <= usual[code] + TOLERANCE:
            told.append(
                f"{code} needs {percent_words(least)} each time to stay under its limit of "
                f"{known.limit:g} mg/L, and would get {percent_words(fraction)}"
            )
    return told


# --- systems in two parts ---------------------------------------------------------------


def second_part(litres: float, wanted_fraction: float, first_litres: float) -> float:
    """Litres of the second of two changes of one body that together make a wanted fraction.

    Of 2 412 L, 430 L and then 230 L make 25.7 %; for the 27.4 % of 660 L at once
    the second must be 280 L. `water.owed_after_part`, in litres. Raises
    ValueError for fractions outside 0 to 1.
    """
    return litres * owed_after_part(first_litres / litres, wanted_fraction)


def parts(short: Short) -> Choice | Note | None:
    """Tanks alone in full and as many tanks of systems as go in; the others the day after.

    Fewer of them where the others would then have too much in one day. None where
    no system is changed.
    """
    shared = [draw for draw in short.walk if _of_system(short, draw)]
    one = [draw for draw in short.walk if not _of_system(short, draw)]
    if not shared:
        return None
    used = fsum(draw.from_reservoir for draw in one)
    most = 0
    for draw in shared:
        used += draw.from_reservoir
        if used > short.once + TOLERANCE:
            break
        most += 1
    why = ""
    for count in range(min(most, len(shared) - 1), -1, -1):
        first, two = [*one, *shared[:count]], shared[count:]
        factors = _factors(short, first, two)
        more = [scaled(draw, factors[draw.body]) for draw in two]
        found = _no_parts(short, first, more)
        if not found:
            return _parts(short, first, two, more)
        why = why or found
    text = f"systems in two parts will not do: {why}"
    return Note(about=short.about, text=text, rule=PARTS)


def _of_system(short: Short, draw: Draw) -> bool:
    body = short.bodies.get(draw.body)
    return body is not None and body.sort == SYSTEM and draw.sort == CHANGE and bool(draw.tank)


def _factors(short: Short, one: Sequence[Draw], two: Sequence[Draw]) -> dict[str, float]:
    """How much larger the second part of each system must be for the whole to be as planned."""
    done, usual = short.each(one), short.each(short.demand.draws)
    factors = {}
    for code in {draw.body for draw in two}:
        litres = short.bodies[code].litres.value
        plain = fsum(draw.litres.value for draw in two if draw.body == code)
        first = done.get(code, 0.0) * litres
        factors[code] = second_part(litres, usual[code], first) / plain if plain else 1.0
    return factors


def _no_parts(short: Short, one: Sequence[Draw], more: Sequence[Draw]) -> str:
    """Why two parts will not do, "" where they will."""
    if not any(_of_system(short, draw) for draw in one):
        return "the others leave no water for a tank of theirs on the day"
    if not short.in_one(one):
        return "the first goes into no one fill in walking order"
    for draw in more:
        most = short.means.limits.get(draw.tank, LARGEST_CHANGE)
        if draw.fraction is not None and draw.fraction > most + TOLERANCE:
            return (
                f"the second would take {percent_words(draw.fraction)} of {draw.tank}, and "
                f"{percent_words(most)} a day is its most"
            )
    if not short.in_one(more, 2):
        litres = fsum(draw.from_reservoir for draw in more)
        return f"the second takes {litres_words(litres)}, more than a day's fill"
    return ""


def _parts(
    short: Short, one: Sequence[Draw], two: Sequence[Draw], more: Sequence[Draw]
) -> Choice:  # fmt: skip
    plain = short.over_days([one, two])
    usual = short.each(short.demand.draws)
    told = []
    for code in dict.fromkeys(draw.body for draw in two):
        before = fsum(draw.litres.value for draw in two if draw.body == code)
        after = fsum(draw.litres.value for draw in more if draw.body == code)
        if after - before > 0.05:
            told.append(
                f"into {code} the second time {litres_words(after)}, for with "
                f"{litres_words(before)} it would get {percent_words(plain[code])} and not "
                f"{percent_words(usual[code])}"
            )
    litres = tuple(fsum(draw.from_reservoir for draw in part) for part in (one, more))
    inside = [draw for draw in one if _of_system(short, draw)]
    others = "all others in full and " if len(inside) < len(one) else ""
    text = (
        f"systems in two parts: {others}{stretch(inside)} on the day, {litres_words(litres[0])}; "
        f"{stretch(more)} the day after, {litres_words(litres[1])}"
    )
    return Choice(sort=PARTS, text="; ".join([text, *told]), needs_yes=False, litres=litres,
                  prices=short.prices(short.over_days([one, more]), None))  # fmt: skip


# --- the keep-back ----------------------------------------------------------------------


def keep_back(short: Short) -> Choice | Note | None:
    """All at once with some of the keep-back; None where there is none to use."""
    with_it = eligible(short.demand.draws, short.means.with_keep_back)
    more = fsum(vessel.most_litres for vessel in with_it) - short.later
    if more <= TOLERANCE:
        return None
    there, wanted = short.once + more, short.total
    if wanted > there + TOLERANCE:
        text = (
            f"the keep-back will not do: with it there are {litres_words(there)}, and "
            f"{litres_words(wanted)} are wanted"
        )
        return Note(about=short.about, text=text, rule=KEEP_BACK)
    if short.means.ready_litres is None and not one_round(short.demand.draws, with_it):
        text = "the keep-back will not do: in walking order the draws go into no one fill with it"
        return Note(about=short.about, text=text, rule=KEEP_BACK)
    taken = max(0.0, wanted - short.once)
    text = (
        f"all at once with {litres_words(taken)} of the keep-back; "
        f"{litres_words(max(0.0, more - taken))} of it stay for an emergency"
    )
    return Choice(sort=KEEP_BACK, text=text, needs_yes=True, litres=(wanted,),
                  prices=short.prices(short.each(short.demand.draws)))  # fmt: skip
