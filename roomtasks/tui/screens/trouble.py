"""Bad days: a list beside the walk."""

from typing import Any, ClassVar

from textual.binding import BindingType

from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import SideScreen


class TroubleScreen(SideScreen[Any]):
    """Bad days, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("trouble")
    side = "trouble"
    title_words = "Bad days"
