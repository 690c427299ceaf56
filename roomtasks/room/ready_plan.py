"""The sums of one fill by the clock: on from now, and back from the hour wanted.

All instants in UTC, so that an hour is an hour on every night. `ready` has what
is shown of it.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from roomtasks.room.amount import Amount
from roomtasks.room.attended import Attended
from roomtasks.room.in_hand import Done
from roomtasks.room.warming import FillNeed, Warming, heating_after

_NONE = timedelta(0)
Times = dict[str, datetime]


def minutes(value: float) -> timedelta:
    """So many minutes."""
    return timedelta(minutes=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class FillPlan:
    """All that goes into the sums of one fill; every instant in UTC."""

    need: FillNeed
    warming: Warming
    attended: Attended
    done: Done
    now: datetime
    free: datetime
    fill: Amount

    @property
    def fills(self) -> bool:
        return self.need.fills

    @property
    def treats(self) -> bool:
        held = self.done.contents
        return self.need.dosed and (self.fills or (held is not None and held.raw_litres > 0))

    @property
    def rests(self) -> bool:
        known = self.done.full or self.done.treated
        return self.rest > _NONE and (self.fills or self.treats or known is not None)

    @property
    def rest(self) -> timedelta:
        return timedelta(hours=self.need.reservoir.rest_hours)

    @property
    def mix(self) -> timedelta:
        return _NONE if self._stands_ready else minutes(self.need.reservoir.mix_minutes)

    @property
    def check(self) -> timedelta:
        return minutes(self.need.reservoir.check_minutes)

    @property
    def hose(self) -> timedelta:
        return minutes(self.need.reservoir.hose_minutes)

    @property
    def heat(self) -> timedelta:
        """Heating that begins at once."""
        return minutes(self.warming.minutes.value) if self.warming.minutes else _NONE

    @property
    def _stands_ready(self) -> bool:
        return self.done.checked is not None or self.done.assumed_ready

    @property
    def heats(self) -> bool:
        """Whether the heater has a part in it."""
        return self.heat > _NONE or self.done.heat_on is not None

    # --- on from now --------------------------------------------------------------------

    def forward(self) -> Times | None:
        """The earliest instants, from now or from what was done; None where never."""
        at: Times = {}
        if not self._forward_fill(at):
            return None
        full = at.get("full", self._since(self.done.full))
        settled = at.get("treated", full)
        at["rest"] = settled
        at["heat-on"] = self._since(self.done.heat_on, max(full, self.now))
        warm_at = max(full, self.now) + self.heat
        mixing = self._since(self.done.mixed, max(settled, full, self.now) + self.mix)
        ready = max(settled + self.rest if self.rests else self.now, warm_at, mixing, self.now)
        at["mixed"] = self._since(self.done.mixed, ready - self.mix)
        at["ready"] = ready
        if self.done.checked is not None:
            at["ready-check"] = self._since(self.done.checked)
            at["change"] = ready
            return at
        check = self.attended.first_start(self.check, ready)
        if check is None:
            return None
        at["ready-check"], at["change"] = check, check + self.check
        return at

    def _forward_fill(self, at: Times) -> bool:
        """Hose, fill and treating into `at`; False where nobody is ever there for it."""
        length = minutes(self.fill.value)
        if self.fills and self.done.fill_start is None:
            begin = self._fill_begin(length)
            if begin is None:
                return False
            at["hose-out"], at["fill-start"] = begin
            at["full"] = at["fill-start"] + length
        elif self.fills:
            at["hose-out"] = self._since(self.done.hose)
            at["fill-start"] = self._since(self.done.fill_start)
            left = self.done.to_run_in / self.need.added_litres
            at["full"] = self._since(self.done.full, self.now + left * length)
        if not self.treats:
            return True
        treated = self._forward_treated(at)
        if treated is None:
            return False
        at["treated"] = treated
        return True

    def _fill_begin(self, length: timedelta) -> tuple[datetime, datetime] | None:
        """When the hose is laid and the fill begun at the earliest."""
        watched = _NONE if self.need.reservoir.unattended else length
        if self.done.hose is not None:
            begin = self.attended.first_start(watched, max(self.now, self.free))
            return None if begin is None else (self._since(self.done.hose), begin)
        block = self.hose + watched
        laid = self.attended.first_start(block, max(self.now, self.free - self.hose))
        return None if laid is None else (laid, laid + self.hose)

    def _forward_treated(self, at: Times) -> datetime | None:
        if self.done.treated is not None:
            full = at.get("full")
            told = self._since(self.done.treated)
            return told if full is None else max(told, full)
        full = at.get("full", self.now)
        if self.fills and not self.need.reservoir.unattended and self.done.full is None:
            return full
        return self.attended.first_start(_NONE, max(full, self.now))

    def _since(self, told: datetime | None, else_: datetime | None = None) -> datetime:
        if told is not None:
            return told.astimezone(UTC)
        return self.now if else_ is None else else_

    # --- back from the change -----------------------------------------------------------

    def backward(
        self, wanted: datetime, heat_margin: float = 1.0, fill_margin: float = 1.0
    ) -> Times | None:
        """The last instants that make the hour wanted; None where nobody is ever there."""
        check = self.attended.last_start(self.check, wanted)
        if check is None:
            return None
        at: Times = {"change": wanted, "ready-check": check, "mixed": check - self.mix}
        at["ready"] = check
        settled = check - max(self.rest if self.rests else _NONE, self._heat_whole(), self.mix)
        if not self._backward_fill(at, settled, fill_margin):
            return None
        at["rest"] = check - self.rest
        full = at.get("full", settled)
        heat = self._heat_back(check, full)
        at["heat-on"] = max(check - heat_margin * heat, full)
        return at

    def _heat_whole(self) -> timedelta:
        """The heating from its beginning to its end, also where it is on already.

        A heater that was on before the water was in it counts from then.
        """
        if self.done.heat_on is None or self.done.filling:
            return self.heat
        begun = max(self._since(self.done.heat_on), self._since(self.done.full, self.now))
        return max(_NONE, self.now - begun) + self.heat

    def _heat_back(self, check: datetime, full: datetime) -> timedelta:
        if self.done.heat_on is not None:
            return self._heat_whole()
        begun = self.now if self.done.full is not None or not self.fills else full
        return self.heating_by(check - begun)

    def heating_by(self, whole: timedelta) -> timedelta:
        """Heating that ends so long after the fill is full, what it cooled meanwhile made up.

        A room that would warm it is not counted on: its night is not known.
        """
        hours = max(_NONE, whole, self.heat) / timedelta(hours=1)
        return max(self.heat, minutes(heating_after(self.need, self.warming, hours)))

    def _backward_fill(self, at: Times, settled: datetime, margin: float) -> bool:
        """Hose, fill and treating into `at`; False where nobody is ever there for it."""
        alone = self.need.reservoir.unattended
        treated: datetime | None = settled
        if self.treats and (alone or not self.fills):
            treated = self.attended.last_start(_NONE, settled)
        if treated is None:
            return False
        if self.fills:
            length = minutes(self.fill.value)
            watched = _NONE if alone else length
            over = treated - (margin - 1) * length - (length - watched)
            laid = self.attended.last_start(self.hose + watched, over)
            if laid is None:
                return False
            at["hose-out"], at["fill-start"] = laid, laid + self.hose
            at["full"] = laid + self.hose + length
            treated = treated if alone else at["full"]
        if self.treats:
            at["treated"] = treated
        return True
