"""Bad days: a short day, a power cut, a failed pump and the like, with their steps in order."""

from typing import ClassVar

from textual.binding import BindingType

from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import Look, SideScreen
from roomtasks.tui.trouble_lines import next_line, parts, top_line
from roomtasks.tui.water_items import Part
from roomtasks.work.trouble_view import TroublesView, troubles_view


class TroubleScreen(SideScreen[TroublesView]):
    """Bad days, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("trouble")
    side = "trouble"
    title_words = "Bad days"

    def looker(self) -> Look:
        return troubles_view

    def show(self, seen: TroublesView) -> None:
        """A new look; a trouble that was begun just now is taken in hand, at its first step."""
        before = self.seen
        super().show(seen)
        if before is None:
            return
        known = {plan.trouble.code for plan in before.open}
        new = [plan.trouble.code for plan in seen.open if plan.trouble.code not in known]
        for row, item in enumerate(self.laid.items):
            if new and item is not None and item.key.startswith(f"{new[-1]} "):
                self.go(row)
                return

    def top(self, seen: TroublesView, width: int) -> str:
        return top_line(seen)

    def next(self, seen: TroublesView, width: int) -> str:
        return next_line(seen)

    def parts(self, seen: TroublesView, width: int) -> list[Part]:
        return parts(seen, self.signs)
