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
        "number", "heater power", unit="W", low=1, high=100000, default=None
    )
    unattended: bool = column(
        "yesno", "whether it may fill with nobody there (float valve)", default=False
    )
    note: str = column("text", "a note", default="")  # fmt: skip

    @property
    def usable_litres(self) -> float:
        """Litres that may be planned now: what it holds less dead volume and keep-back."""
        return max(0.0, self.holds_litres - self.dead_litres - self.keep_back_litres)


RESERVOIRS = Sheet("reservoirs", Reservoir, ("code",), "Reservoirs of prepared water.")
