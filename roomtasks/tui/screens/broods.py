"""Broods: a list beside the walk."""

from typing import Any, ClassVar

from textual.binding import BindingType

from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import SideScreen


class BroodsScreen(SideScreen[Any]):
    """Broods, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("broods")
    side = "broods"
    title_words = "Broods"
