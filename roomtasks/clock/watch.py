"""Noticing time that passed in a way no timer saw: a new room day, a sleep, a clock that jumped.

Fed by the interface once a second with the room's now and a monotonic second.
"""

from dataclasses import dataclass, field
from datetime import date, datetime

JUMP_SECONDS = 60.0


@dataclass
class Watch:
    """Notices time that passed in a way no timer saw. Feed it now and a monotonic second."""

    day: date | None = None
    now: datetime | None = None
    second: float = 0.0
    told: set[str] = field(default_factory=set)

    def look(self, now: datetime, day: date, second: float) -> tuple[bool, str]:
        """Whether to look again, and a warning where the clock jumped."""
        again, warning = self.day is not None and day != self.day, ""
        if self.now is not None:
            jump = (now - self.now).total_seconds() - (second - self.second)
            if abs(jump) > JUMP_SECONDS:
                again = True
                way = "forward" if jump > 0 else "back"
                warning = f"The clock went {way} {_span(abs(jump))}: all is worked out anew."
        self.day, self.now, self.second = day, now, second
        return again, warning

    def once(self, name: str) -> bool:
        """Whether this was not told before."""
        if name in self.told:
            return False
        self.told.add(name)
        return True


def _span(seconds: float) -> str:
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes / 60:.0f} h"
