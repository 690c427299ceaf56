"""All colours of the interface, by name. Colour only supports what a sign says already."""

from textual.theme import Theme

THEME = Theme(
    name="roomtasks",
    primary="#7fb4a8",
    secondary="#c9b37e",
    accent="#e3c04f",
    foreground="#dfe6e1",
    background="#10191a",
    surface="#142022",
    panel="#1b2a2c",
    warning="#e59a57",
    error="#e5825f",
    success="#8fbf7f",
    dark=True,
)
