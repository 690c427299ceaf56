"""A reservoir that is empty, cold or untreated at the hour: who gets water, how much, or waits.

Its own water counts as none until it is dosed, mixed and checked. What other
reservoirs have ready goes round by need (`shortage.who_goes_first`); cold water
that is ready gives a smaller share within the temperature rule. Does not live
here: the plan of the change itself (`change`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.contents import contents_of
from roomtasks.room.heat import largest_fraction_for_step
from roomtasks.room.problem import Problem
from roomtasks.room.shortage import Given, who_goes_first
from roomtasks.room.trouble_cautions import CHEMICALS, COVERED, NOT_A_TEST, RAW_WATER
from roomtasks.room.trouble_holds import earlier
from roomtasks.room.trouble_steps import Look, Step, step
from roomtasks.room.water_plan import ChangePlan, Draw, RecipeDemand, Vessel
from roomtasks.room.why import day_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """What one kind of water comes to without the reservoir: who gets theirs, who goes without.

    `smaller` says which share of a tank's water the reservoir's cold water allows.
    `wait_until` is None where the steps noted do not tell when it can be ready.
    """

    recipe: str
    litres: float
    served: tuple[Given, ...]
    without: tuple[Given, ...]
    smaller: tuple[str, ...]
    wait_until: datetime | None

    @property
    def words(self) -> tuple[str, ...]:
        """The same in lines."""
        what = f" of {self.recipe}" if self.recipe else ""
        said = [f"{self.litres:.0f} L{what} can be had without it"]
        if self.served:
            said.append("by need: " + "; ".join(_draw_words(each) for each in self.served))
        if self.without:
            said.append("wait: " + "; ".join(_draw_words(each) for each in self.without))
        if self.smaller:
            said.append("or a smaller share now: " + ", ".join(self.smaller))
        at = self.wait_until
        if at is not None:
            said.append(f"or wait: ready {day_words(at.date())} {at:%H:%M} at the earliest")
        elif self.without:
            said.append("or wait: note what is in it with 'roomtasks step', and 'roomtasks water' "
                        "says until when")  # fmt: skip
        return tuple(said)


def reservoir_steps(look: Look) -> Iterator[Step]:
    """Nothing out of it, what is wrong, make it ready, check; the change is replanned meanwhile."""
    code, began = look.trouble.target, look.trouble.began
    yield step(look, "shut", f"Take nothing out of {code} until it is checked",
               "untreated water counts as none", RAW_WATER)  # fmt: skip
    yield step(
        look, "read", f"Read the temperature of {code} and look how full it is",
        "empty, cold and untreated have three ways out", NOT_A_TEST, places=[code],
        done_at=lambda at: look.read_since(at, "temperature", began),
        note_with=f"roomtasks read {code} temperature C",
    )  # fmt: skip
    for word, words, caution in (
        ("treated", "Condition what is raw in it", CHEMICALS),
        ("mixed", "Warm and mix it", COVERED),
        ("ready", "Check it: temperature, conditioner, no smell", NOT_A_TEST),
    ):
        yield step(
            look, word, words, "", caution, places=[code],
            done_at=lambda at, word=word: _stepped(look, at, word),  # type: ignore[misc]
            note_with=f"roomtasks step {code} {word}",
        )  # fmt: skip


def _stepped(look: Look, reservoir: str, word: str) -> bool:
    """Whether a step was noted at the reservoir since the trouble began."""
    return any(
        each.reservoir == reservoir and each.step == word
        and not earlier(each.at, look.trouble.began) and not earlier(look.now, each.at)
        for each in look.room.vessel_steps
    )  # fmt: skip


def shared_out(look: Look) -> tuple[Shared, ...]:
    """How the water of the planned change goes round without the reservoir; () without a plan."""
    plan = look.told.water
    if plan is None or look.over is not None:
        return ()
    return tuple(_shared(look, plan, demand) for demand in plan.demands if demand.draws)


def _shared(look: Look, plan: ChangePlan, demand: RecipeDemand) -> Shared:
    code = look.trouble.target
    ours = {draw.due_id for draw in demand.draws}
    draws = [draw for draw in plan.needs if draw.due_id in ours]
    litres = sum(_ready(look, vessel, demand.recipe) for vessel in plan.vessels)
    given = who_goes_first(draws, litres)
    served, without = ((), ()) if isinstance(given, Problem) else given
    waits = [
        batch.clock.ready_at
        for batch in plan.batches
        if batch.reservoir == code and batch.recipe == demand.recipe
        and batch.clock is not None and batch.clock.ready_at is not None
        and earlier(look.now, batch.clock.ready_at)
    ]  # fmt: skip
    return Shared(
        recipe=demand.recipe, litres=litres, served=served, without=without,
        smaller=_smaller(look, [each.draw for each in without]),
        wait_until=min(waits, default=None),
    )  # fmt: skip


def _ready(look: Look, vessel: Vessel, recipe: str) -> float:
    """Litres a reservoir has ready of a kind of water; none in the one in trouble until checked."""
    if vessel.code == look.trouble.target and not _stepped(look, vessel.code, "ready"):
        return 0.0
    if vessel.holds_recipe not in ("", recipe) or (vessel.recipes and recipe not in vessel.recipes):
        return 0.0
    return vessel.ready_litres


def _smaller(look: Look, draws: Sequence[Draw]) -> tuple[str, ...]:
    """Shares of each tank that treated but cold water allows, within its temperature limit."""
    held = contents_of(look.room, look.room.reservoir[look.trouble.target], look.now, look.readings)
    if held.celsius is None or held.treated_at is None or held.litres <= 0:
        return ()
    found = []
    for draw in draws:
        if draw.match is None or not draw.fraction:
            continue
        match = draw.match
        most = largest_fraction_for_step(
            match.before_celsius.value, held.celsius.value, match.limit
        )
        if not isinstance(most, Problem) and most > 0:
            found.append(f"{draw.place} {100 * min(most, draw.fraction):.0f} %")
    return tuple(found)


def _draw_words(given: Given) -> str:
    draw = given.draw
    reason = f" ({given.reason})" if given.reason else ""
    return f"{draw.place} {draw.from_reservoir:.0f} L{reason}"
