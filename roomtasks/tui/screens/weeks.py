"""The weeks ahead: a list beside the walk."""

from typing import Any, ClassVar

from textual.binding import BindingType

from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import SideScreen


class WeeksScreen(SideScreen[Any]):
    """The weeks ahead, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("weeks")
    side = "weeks"
    title_words = "The weeks ahead"
