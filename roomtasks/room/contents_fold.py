"""How steps at a reservoir change what it holds: litres, treated or raw, warm, mixed, ready.

Untreated water that runs into treated makes the whole untreated, until it is
treated and mixed again. Temperatures are worked out from what ran in, the heater
and the loss to the room, until one is read. `contents` folds them.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED, Amount, Input, weakest
from roomtasks.room.heat import mix_temp, temp_after
from roomtasks.room.naming import STEP_WORDS, day_words
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import Contents

WARMEST = 40.0  # a heater has a thermostat: no recipe is wanted warmer
_HOUR, _MINUTE = timedelta(hours=1), timedelta(minutes=1)
_DROP = 1e-6  # litres


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What the fold needs besides the steps: the water run in, the room, what is wanted.

    `dosed`: a label rate stands for its water, so raw water is never ready.
    """

    source_celsius: Amount | None = None
    room_celsius: Amount | None = None
    wanted_celsius: float | None = None
    dosed: bool = False


PLAIN = Surroundings()


class Fold:
    """One reservoir, taken through its steps in order of time."""

    def __init__(
        self, vessel: Reservoir, around: Surroundings, litres: float, at: datetime
    ) -> None:
        self._vessel, self._around, self._at = vessel, around, at.astimezone(UTC)
        self._litres = litres
        self._raw = self._run_in = 0.0
        self._as_found = True  # nothing yet says more than that water stood there
        self._emptied = False
        self._recipe = ""
        self._for_day: date | None = None
        self._celsius: Amount | None = None
        self._hose: datetime | None = None
        self._filling: datetime | None = None
        self._begun: datetime | None = None
        # litres, warmth and raw litres before the hose ran, while nothing has been read since
        self._base: tuple[float, Amount | None, float] | None = None
        self._full: datetime | None = None
        self._treated: datetime | None = None
        self._heat: datetime | None = None
        self._mixed: datetime | None = None
        self._ready: datetime | None = None

    def take(self, step: VesselStep) -> None:
        """One step, done at its instant."""
        self._pass_time(step.at)
        before = self._litres
        self._recipe = step.recipe or self._recipe
        self._for_day = step.for_day or self._for_day
        getattr(self, f"_{step.step.replace('-', '_')}_step")(step)
        if step.litres is not None and step.step not in ("raw-in", "full"):
            self._litres = step.litres
        if self._litres < before - _DROP and before > 0:
            self._raw *= self._litres / before
        if step.celsius is not None:
            source = f"read {day_words(step.at.date())}, at the step “{STEP_WORDS[step.step]}”"
            self._celsius = Amount(step.celsius, "C", MEASURED, source=source)
            self._base = None
        if step.step == "fill-start":
            self._base = (self._litres, self._celsius, self._raw)

    def read(self, at: datetime, celsius: Amount) -> None:
        """A temperature read in the reservoir."""
        self._pass_time(at)
        self._celsius, self._base = celsius, None

    def held(self, now: datetime, *, booked: bool) -> Contents:
        """What stands there at `now`. `booked`: the reservoir's own litres are those of now."""
        self._pass_time(now)
        litres = self._litres
        if booked:
            litres = min(self._vessel.full_litres, self._vessel.holds_litres + self._run_in)
        state = self._state(litres)
        return Contents(
            reservoir=self._vessel.code, litres=litres, recipe=self._recipe, state=state,
            filling_since=self._filling, full_at=self._full, treated_at=self._treated,
            heat_since=self._heat, mixed_at=self._mixed, ready_at=self._ready,
            celsius=self._celsius, for_day=self._for_day, hose_at=self._hose,
            begun_at=self._begun, raw_litres=min(self._raw, litres),
            known=ASSUMED if state == "ready" and self._ready is None else COMPUTED,
        )  # fmt: skip

    def _state(self, litres: float) -> str:
        if self._filling is not None:
            return "filling"
        if self._emptied or litres <= self._vessel.dead_litres:
            return "empty"
        if self._ready is not None or self._as_found:
            return "ready"
        if self._around.dosed and self._treated is None:
            return "raw"
        if self._mixed is not None:
            return "mixed"
        return "heating" if self._heat is not None else "treated"

    # --- the steps, each as `_<step>_step` ------------------------------------------------

    def _hose_out_step(self, step: VesselStep) -> None:
        self._hose = step.at

    def _fill_start_step(self, step: VesselStep) -> None:
        self._filling = self._begun = step.at
        self._full, self._run_in = None, 0.0
        self._untreated()

    def _full_step(self, step: VesselStep) -> None:
        level = self._vessel.full_litres if step.litres is None else step.litres
        if self._filling is None:
            self._untreated()
        if self._filling is not None and self._base is not None and self._heat is None:
            # the hose may have run faster or slower than its rate
            self._litres, self._celsius, raw = self._base
            self._raw = raw if self._treated is None else 0.0
        self._let_in(level - self._litres)
        self._litres = level
        self._filling, self._full, self._run_in = None, step.at, 0.0
        self._emptied = False

    def _treated_step(self, step: VesselStep) -> None:
        self._treated, self._raw, self._mixed = step.at, 0.0, None
        self._as_found = False

    def _heat_on_step(self, step: VesselStep) -> None:
        self._heat = step.at

    def _heat_off_step(self, step: VesselStep) -> None:
        self._heat = None

    def _mixed_step(self, step: VesselStep) -> None:
        self._mixed = step.at

    def _ready_step(self, step: VesselStep) -> None:
        if self._around.dosed and self._treated is None and not self._as_found:
            return  # raw water is never ready, whatever was said
        self._ready, self._filling, self._emptied = step.at, None, False

    def _not_ready_step(self, step: VesselStep) -> None:
        self._ready, self._as_found = None, False

    def _used_step(self, step: VesselStep) -> None:
        self._hose = self._begun = self._full = self._for_day = None

    def _emptied_step(self, step: VesselStep) -> None:
        self._litres = min(self._litres, self._vessel.dead_litres)
        self._hose = self._filling = self._begun = self._full = self._for_day = None
        self._untreated()
        self._raw, self._celsius, self._recipe, self._emptied = 0.0, None, "", True

    def _raw_in_step(self, step: VesselStep) -> None:
        self._untreated()
        if step.litres is not None:
            self._let_in(step.litres - self._litres)
        self._emptied = False

    def _untreated(self) -> None:
        self._treated = self._mixed = self._ready = None
        self._as_found = False

    # --- time and water -------------------------------------------------------------------

    def _pass_time(self, to: datetime) -> None:
        """What ran in, and what the heater and the room did, since the last instant."""
        now = to.astimezone(UTC)
        gone, self._at = now - self._at, max(now, self._at)
        if gone <= timedelta(0):
            return
        if self._filling is not None and self._vessel.fill_litres_per_min:
            grown = self._vessel.fill_litres_per_min * (gone / _MINUTE)
            before = self._litres
            self._let_in(min(grown, self._vessel.full_litres - self._litres))
            self._run_in += self._litres - before
        self._warm(gone / _HOUR)

    def _let_in(self, added: float) -> None:
        """Source water on top of what stands there: raw, unless this fill was dosed already."""
        if added <= _DROP:
            return
        source, stands = self._around.source_celsius, self._standing()
        self._celsius = _mixed(self._litres, stands, added, source)
        if self._treated is None:
            self._raw += added
        self._litres += added

    def _standing(self) -> Amount | None:
        room = self._around.room_celsius
        if self._celsius is not None or room is None:
            return self._celsius
        return Amount(room.value, "C", ASSUMED, "as warm as the room", (), room.source)

    def _warm(self, hours: float) -> None:
        warmth, vessel, room = self._celsius, self._vessel, self._around.room_celsius
        if warmth is None or self._litres <= _DROP:
            return
        loss = vessel.loss_watts_per_kelvin if room is not None else 0.0
        most = self._around.wanted_celsius or WARMEST
        heats = self._heat is not None and vessel.heater_watts is not None
        watts = vessel.heater_watts or 0.0 if heats and warmth.value < most else 0.0
        if not (watts or loss):
            return
        after = temp_after(self._litres, warmth.value, hours, watts, loss_watts_per_kelvin=loss,
                           room_celsius=None if room is None else room.value)  # fmt: skip
        if isinstance(after, Problem):
            return
        if heats:
            after = min(after, most) if watts else max(after, most)
        self._celsius = Amount(
            after, "C", weakest((COMPUTED, warmth.known)),
            "heated, with the loss to the room" if heats else "drifts toward the room",
            (Input("from", warmth.value, "C", warmth.known, warmth.source),
             Input("litres", self._litres, "L", COMPUTED), Input("hours", hours, "h", COMPUTED),
             Input("heater", watts, "W")),
        )  # fmt: skip


def _mixed(
    litres: float, warmth: Amount | None, added: float, source: Amount | None
) -> Amount | None:
    """The temperature of two waters, None where that of either is not known."""
    if source is None or (warmth is None and litres > _DROP):
        return None
    if warmth is None or litres <= _DROP:
        return source
    mixed = mix_temp(litres, warmth.value, added, source.value)
    if isinstance(mixed, Problem):
        return None
    inputs = (Input("stood", litres, "L", COMPUTED),
              Input("at", warmth.value, "C", warmth.known, warmth.source),
              Input("run in", added, "L", COMPUTED),
              Input("at", source.value, "C", source.known, source.source))  # fmt: skip
    known = weakest((COMPUTED, warmth.known, source.known))
    return Amount(mixed, "C", known, "mean by litres of what stood and what ran in", inputs)
