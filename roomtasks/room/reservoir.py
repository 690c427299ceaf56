"""Reservoirs: vessels of prepared water, and what each holds now.

Usable is what is above the dead volume and the keep-back. Planning fills back
from the hour of the change does not live here.
"""

from dataclasses import dataclass

from roomtasks.room.column import Sheet, column


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservoir:
    """A vessel of prepared water. All volumes in litres."""

    code: str = column("code", "the reservoir's code, as R1")
    name: str = column("text", "what the keeper calls it", default="")
    full_litres: float = column("number", "litres when full", unit="L", low=1, high=100000)
    dead_litres: float = column(
        "number", "litres the pump cannot reach", unit="L", low=0, high=100000, default=0.0
    )
    keep_back_litres: float = column(
        "number",
        "litres never planned, kept for emergencies",
        unit="L",
        low=0,
        high=100000,
        default=0.0,
    )
    holds_litres: float = column(
        "number", "litres in it now", unit="L", low=0, high=100000, default=0.0
    )
    fill_litres_per_min: float | None = column(
        "number", "rate of filling", unit="L/min", low=0.01, high=1000, default=None
    )
    heater_watts: float | None = column(
        "number", "heater power that reaches the water", unit="W", low=1, high=100000, default=None
    )
    unattended: bool = column(
        "yesno", "whether it may fill with nobody there (float valve)", default=False
    )
    loss_watts_per_kelvin: float = column(
        "number", "heat it loses to the room for each degree", unit="W/K", low=0, high=10000,
        default=0.0,
    )  # fmt: skip
    rest_hours: float = column(
        "number", "hours water stands after it is full and treated", unit="h", low=0, high=240,
        default=0.0,
    )  # fmt: skip
    mix_minutes: float = column(
        "number", "minutes of mixing before use", unit="min", low=0, high=1440, default=60.0
    )
    check_minutes: float = column(
        "number", "minutes before use at which it is checked", unit="min", low=0, high=600,
        default=30.0,
    )  # fmt: skip
    hose_minutes: float = column(
        "number", "minutes to lay the hose", unit="min", low=0, high=600, default=10.0
    )
    pump_litres_per_min: float | None = column(
        "number", "rate at which it is pumped to the tanks", unit="L/min", low=0.01, high=1000,
        default=None,
    )  # fmt: skip
    recipes: str = column("text", "recipes it may hold, blanks between; blank: any", default="")
    note: str = column("text", "a note", default="")

    @property
    def fill_most_litres(self) -> float:
        """The most that one fill can give: full less dead volume and keep-back."""
        return max(0.0, self.full_litres - self.dead_litres - self.keep_back_litres)

    @property
    def usable_litres(self) -> float:
        """Litres that may be planned now: what it holds less dead volume and keep-back."""
        return max(0.0, self.holds_litres - self.dead_litres - self.keep_back_litres)


RESERVOIRS = Sheet("reservoirs", Reservoir, ("code",), "Reservoirs of prepared water.")
