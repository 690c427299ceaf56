"""What every screen with fields has: keys taken in the order they come, however fast.

Between fields they are taken before the field in hand sees them, so that what is
typed next goes to the next field; saving waits for what was typed before it.
"""

from textual.binding import Binding
from textual.screen import Screen, ScreenResultType
from textual.widgets import Input


class FieldsScreen(Screen[ScreenResultType]):
    """Fields from top to bottom."""

    BINDINGS = [  # noqa: RUF012
        Binding("f2,ctrl+s", "save", "save", show=False, id="form.save", priority=True),
        Binding("escape", "close", "back", show=False, id="form.close"),
        Binding("down,enter,tab", "field_next", "next field", show=False, id="form.next",
                priority=True),
        Binding("up,shift+tab", "field_back", "field before", show=False, id="form.back",
                priority=True),
    ]  # fmt: skip

    def action_field_next(self) -> None:
        self.focus_next(Input)

    def action_field_back(self) -> None:
        self.focus_previous(Input)

    def action_save(self) -> None:
        """Save, once the field in hand has taken all that was typed into it."""
        (self.focused or self).call_later(self.save)

    def save(self) -> None:
        """Save what stands in the fields."""
