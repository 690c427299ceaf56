"""The water of one fill: what it mixes to, and how long its heater takes.

Both the litres and the temperature are those of all that stands in the
reservoir, so what is left from the last fill counts. Litres, degrees C, kWh,
minutes. Does not live here: clock times (`ready`) and doses (`dosing`).
"""

from dataclasses import dataclass

from roomtasks.room.amount import ASSUMED, COMPUTED, SET, Amount, Input, weakest
from roomtasks.room.flow import fill_time
from roomtasks.room.heat import heat_energy, heat_time, mix_temp, temp_after
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import first, refuse, within, zero_or_more
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.water_plan import Contents

TOO_COLD, TOO_WARM, NO_RATE = "cold", "too-warm", "no-fill-rate"
NEAR_ENOUGH = 0.5  # kelvin above the wanted temperature that are let be; common practice
LONGEST_HEATING = 60 * 24 * 14.0  # minutes; a heater that takes longer is no heater
_SLACK = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class FillNeed:
    """One fill of a reservoir: what runs in, on top of what, and how warm it shall be.

    `fill_rate` in L/min goes before the reservoir's own. `ro_hours` is how long an
    RO unit makes its part of the water. `dosed`: a conditioner goes in.
    """

    reservoir: Reservoir
    added_litres: float
    left_litres: float = 0.0
    left_celsius: Amount | None = None
    source_celsius: Amount | None = None
    target_celsius: float | None = None
    room_celsius: Amount | None = None
    fill_rate: float | None = None
    ro_hours: float = 0.0
    dosed: bool = True

    @property
    def rate(self) -> float | None:
        """L/min, None where none was ever measured."""
        return self.reservoir.fill_litres_per_min if self.fill_rate is None else self.fill_rate

    @property
    def fills(self) -> bool:
        """Whether anything runs in; else the water stands there already."""
        return self.added_litres > _SLACK

    @property
    def litres(self) -> float:
        """All that stands in it when it is full."""
        return self.added_litres + self.left_litres


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """What a fill mixes to and what it takes to warm it. Blank where no temperature is wanted."""

    mix: Amount | None
    kwh: Amount | None = None
    minutes: Amount | None = None
    above_kelvin: float = 0.0  # warmer than wanted by so much, near enough to be let be


def need_fault(need: FillNeed) -> Problem | None:
    """The first number of a fill that cannot be, by its field, with what would be possible."""
    facts, code = need.reservoir, need.reservoir.code
    fault = first(
        zero_or_more(f"{code} added_litres", need.added_litres, "L"),
        zero_or_more(f"{code} left_litres", need.left_litres, "L"),
        within(f"{code} full_litres", facts.full_litres, 1, 100000, "L"),
        within(f"{code} rest_hours", facts.rest_hours, 0, 240, "h"),
        within(f"{code} mix_minutes", facts.mix_minutes, 0, 1440, "min"),
        within(f"{code} check_minutes", facts.check_minutes, 0, 600, "min"),
        within(f"{code} hose_minutes", facts.hose_minutes, 0, 600, "min"),
        within(f"{code} loss_watts_per_kelvin", facts.loss_watts_per_kelvin, 0, 10000, "W/K"),
        within(f"{code} ro_hours", need.ro_hours, 0, 10000, "h"),
        *(
            within(f"{code} {name}", known.value, 0, 60, "C")
            for name, known in (
                ("left_celsius", need.left_celsius), ("source_celsius", need.source_celsius),
                ("room_celsius", need.room_celsius),
            )
            if known is not None
        ),
    )  # fmt: skip
    return fault or _held_fault(need) or _rate_fault(need)


def _held_fault(need: FillNeed) -> Problem | None:
    facts = need.reservoir
    code, watts, target = facts.code, facts.heater_watts, need.target_celsius
    if need.litres > facts.full_litres + _SLACK:
        what = f"{need.added_litres:g} L onto {need.left_litres:g} L is more than it holds"
        most = max(0.0, facts.full_litres - need.left_litres)
        return refuse(f"{code} added_litres", what, f"at most {most:g} L")
    if need.litres < _SLACK:
        return refuse(f"{code} added_litres", "no water would stand in it", "plan a fill")
    if target is not None and (fault := within(f"{code} target_celsius", target, 4, 40, "C")):
        return fault
    return None if watts is None else within(f"{code} heater_watts", watts, 1, 100000, "W")


def _rate_fault(need: FillNeed) -> Problem | None:
    if not need.fills:
        return None
    where = f"{need.reservoir.code} fill_litres_per_min"
    if need.rate is None:
        remedy = "time a bucket of 10 L under the hose and type 10 over the minutes"
        return Problem(where, "how fast it fills is not known", remedy, NO_RATE)
    return within(where, need.rate, 0.01, 1000, "L/min")


def fill_minutes(need: FillNeed) -> Amount:
    """Minutes of the fill: the hose, or the RO unit where that takes longer. Wants a checked need.

    Raises ValueError for a need that `need_fault` refuses.
    """
    by_hose = 0.0
    if need.fills:
        found = fill_time(need.added_litres, need.rate or 0.0)
        if isinstance(found, Problem):
            raise ValueError(found.sentence())
        by_hose = found
    given = (
        Input("added", need.added_litres, "L", COMPUTED),
        Input("fill rate", need.rate or 0.0, "L/min"),
    )
    by_ro = 60 * need.ro_hours
    if by_ro > by_hose:
        ro = Input("RO unit", need.ro_hours, "h", COMPUTED)
        return Amount(by_ro, "min", COMPUTED, "the RO unit takes longer than the hose",
                      (*given, ro))  # fmt: skip
    return Amount(by_hose, "min", COMPUTED, "litres added / fill rate", given)


def warm(need: FillNeed, contents: Contents | None = None) -> Warming | Problem:
    """What the water mixes to and the heating it takes, from what stands there now.

    `contents` only where this fill is in hand: then what has run in counts with
    its own temperature. Refuses a heater that never gets there, and water that
    is warmer than wanted, which a heater cannot cool.
    """
    mix = _mix(need, contents)
    if isinstance(mix, Problem):
        return mix if need.target_celsius is not None else Warming(mix=None)
    target = need.target_celsius
    if target is None:
        return Warming(mix=mix)
    if mix.value > target:
        return _warmer(need, mix, target)
    energy = heat_energy(need.litres, mix.value, target)
    minutes = _heating(need, mix, target)
    if isinstance(minutes, Problem):
        return minutes
    if isinstance(energy, Problem):
        return energy
    inputs = (Input("litres", need.litres, "L", COMPUTED), _input("mixes to", mix),
              Input("wanted", target, "C"))  # fmt: skip
    kwh = Amount(energy, "kWh", weakest((COMPUTED, mix.known)), "L x K x 1.163 Wh", inputs)
    return Warming(mix=mix, kwh=kwh, minutes=minutes)


def _warmer(need: FillNeed, mix: Amount, target: float) -> Warming | Problem:
    """Water above the wanted temperature: let be where it is near, else refused."""
    above = mix.value - target
    if above <= NEAR_ENOUGH:
        none = Amount(0.0, "min", mix.known, "warm enough as it is")
        return Warming(mix=mix, kwh=Amount(0.0, "kWh", mix.known), minutes=none, above_kelvin=above)
    remedy = f"use it at {mix.value:.3g} C, let it cool, or fill with colder water"
    source = need.source_celsius
    if source is not None and source.value < target and need.left_litres > 0:
        remedy += f"; with less left in it, it comes nearer to the {source.value:g} C run in"
    what = (f"the water mixes to {mix.value:.3g} C, {above:.3g} K above the {target:g} C wanted, "
            "and a heater cannot cool it")  # fmt: skip
    return Problem(f"{need.reservoir.code} target_celsius", what, remedy, TOO_WARM)


def _mix(need: FillNeed, contents: Contents | None) -> Amount | Problem:
    """The temperature of all that will stand in it, before it is heated."""
    stands, warmth = need.left_litres, need.left_celsius
    if contents is not None:
        stands, warmth = min(contents.litres, need.litres), contents.celsius or warmth
    runs_in = need.litres - stands
    if stands > _SLACK and warmth is None:
        if need.room_celsius is None:
            return _unknown(need, "left_celsius", "of the water left in it")
        warmth = Amount(need.room_celsius.value, "C", ASSUMED, "as warm as the room")
    if runs_in <= _SLACK and warmth is not None:
        return warmth
    source = need.source_celsius
    if source is None:
        return _unknown(need, "source_celsius", "of the water run in")
    if stands <= _SLACK or warmth is None:
        return source
    mixed = mix_temp(stands, warmth.value, runs_in, source.value)
    if isinstance(mixed, Problem):
        return mixed
    inputs = (Input("stands", stands, "L", COMPUTED), _input("at", warmth),
              Input("run in", runs_in, "L", COMPUTED), _input("at", source))  # fmt: skip
    known = weakest((COMPUTED, warmth.known, source.known))
    return Amount(mixed, "C", known, "mean by litres of what stands there and what runs in", inputs)


def _unknown(need: FillNeed, field: str, of_what: str) -> Problem:
    what = f"the temperature {of_what} is not known"
    return Problem(f"{need.reservoir.code} {field}", what, "read it, or type the source's", "")


def _heating(need: FillNeed, mix: Amount, target: float) -> Amount | Problem:
    """Minutes of heating that begin at once, with what is lost to the room."""
    facts, code = need.reservoir, need.reservoir.code
    if mix.value >= target:
        return Amount(0.0, "min", mix.known, "warm enough as it is")
    if facts.heater_watts is None:
        what = f"the water mixes to {mix.value:.3g} C, {target:g} C are wanted, it has no heater"
        remedy = "type its heater's watts, fill with warmer water, or bear the step at the tanks"
        return Problem(f"{code} heater_watts", what, remedy, TOO_COLD)
    room = need.room_celsius
    hours = heat_time(
        need.litres, mix.value, target, facts.heater_watts,
        loss_watts_per_kelvin=facts.loss_watts_per_kelvin,
        room_celsius=None if room is None else room.value,
    )  # fmt: skip
    if isinstance(hours, Problem):
        field = "room_celsius" if hours.where == "room" else "heater_watts"
        return Problem(f"{code} {field}", hours.what, hours.remedy, hours.rule)
    if 60 * hours > LONGEST_HEATING:
        what = f"{facts.heater_watts:g} W take {hours / 24:.3g} days to warm it"
        least = facts.heater_watts * 60 * hours / LONGEST_HEATING
        return refuse(f"{code} heater_watts", what, f"give at least {least:.3g} W")
    return Amount(60 * hours, "min", weakest((COMPUTED, mix.known)),
                  "energy in the water / heater power, with the loss to the room",
                  _heating_inputs(need, mix, target))  # fmt: skip


def _heating_inputs(need: FillNeed, mix: Amount, target: float) -> tuple[Input, ...]:
    facts = need.reservoir
    given = (
        Input("litres", need.litres, "L", COMPUTED), _input("mixes to", mix),
        Input("wanted", target, "C"), Input("heater", facts.heater_watts or 0.0, "W"),
    )  # fmt: skip
    if not facts.loss_watts_per_kelvin or need.room_celsius is None:
        return given
    loss = Input("loss", facts.loss_watts_per_kelvin, "W/K")
    return (*given, loss, _input("room", need.room_celsius))


def heating_after(need: FillNeed, warming: Warming, hours: float) -> float:
    """Minutes of heating that end `hours` after the fill is full.

    Meanwhile the water drifts toward the room. Loss is in proportion to the gap,
    so drift and heating simply add: the heater makes up what the water would be
    short of at the end. In a room colder than the water that is more than
    heating at once takes, never more than the time there is.
    """
    at_once, mix, room = warming.minutes, warming.mix, need.room_celsius
    loss, watts = need.reservoir.loss_watts_per_kelvin, need.reservoir.heater_watts
    if at_once is None or mix is None or need.target_celsius is None:
        return 0.0
    if not loss or room is None or watts is None or not at_once.value:
        return at_once.value
    drifted = temp_after(need.litres, mix.value, hours, loss_watts_per_kelvin=loss,
                         room_celsius=room.value)  # fmt: skip
    if isinstance(drifted, Problem):
        return at_once.value
    found = heat_time(
        need.litres, room.value, room.value + max(0.0, need.target_celsius - drifted), watts,
        loss_watts_per_kelvin=loss, room_celsius=room.value,
    )  # fmt: skip
    return at_once.value if isinstance(found, Problem) else 60 * found


def _input(name: str, amount: Amount) -> Input:
    return Input(name, amount.value, amount.unit, amount.known, amount.source)


def as_set(value: float, unit: str, source: str = "") -> Amount:
    """A number as the keeper set it."""
    return Amount(value, unit, SET, source=source)
