"""Fish kept apart: a list beside the walk."""

from typing import Any, ClassVar

from textual.binding import BindingType

from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import SideScreen


class ApartScreen(SideScreen[Any]):
    """Fish kept apart, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("apart")
    side = "apart"
    title_words = "Fish kept apart"
