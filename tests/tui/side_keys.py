"""Driving the water and the lists beside the walk in tests: keys, and what they show, in turn."""

from textual.pilot import Pilot

from roomtasks.tui.app import RoomApp
from tests.tui.desk import settle


async def hit(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Keys with time between them; what is looked at is there before the next."""
    for key in keys:
        for screen in app.screen_stack:
            if hasattr(screen, "_last"):
                screen._last = ("", -10.0)
            if hasattr(screen, "_opened_by"):
                screen._opened_by = ("", -10.0)
        await pilot.press(key)
        await until_still(app, pilot)


async def until_still(app: RoomApp, pilot: "Pilot[int]") -> None:
    """Until neither the water nor a list is being worked out.

    What the water does behind other screens, for its alarm, is not waited for.
    """
    await settle(pilot)
    for _ in range(400):
        open_ = app.side.screen is not None or app.water.screen is not None
        if not open_ or not any(w.is_running and w.name != "_later" for w in app.workers):
            break
        await pilot.pause(0.02)
    await settle(pilot)
