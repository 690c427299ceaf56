"""The alarm in the app: which instants it waits for, and what is told when one has come."""

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from roomtasks.room.day import day_start
from roomtasks.room.naming import job_at

if TYPE_CHECKING:
    from roomtasks.tui.app import RoomApp


HEARD_SECONDS, NOW = 10.0, "Now: "


class Ringing:
    """Arms the alarm after every look, and tells what opened when it rings."""

    def __init__(self, app: "RoomApp") -> None:
        self.app = app

    def arm(self) -> None:
        """The instants that matter next: what opens today, the next day, the next step of water.

        Counted from when the picture was taken, so that one that has come since rings at once.
        """
        app, seen = self.app, self.app.picture
        if app.alarms is None or seen is None:
            return
        room = seen.room
        instants = [due.later_today for due in seen.dues if due.later_today is not None]
        tomorrow = seen.today + timedelta(days=1)
        instants.append(day_start(tomorrow, room.zone, room.day_starts))
        instants += app.water.instants()
        taken = seen.now.astimezone(UTC)
        gone = app.now().astimezone(UTC) - taken
        app.alarms.arm([at.astimezone(UTC) for at in instants], taken, datetime.now(UTC) - gone)
        for due in seen.dues:
            if due.later_today is not None:
                app.watcher.told.discard(f"{due.id} {due.slot.day}")

    async def rung(self) -> None:
        """An instant came: look again, and say what opened."""
        app, seen = self.app, self.app.picture
        before = {due.id for due in seen.dues if due.later_today} if seen is not None else set()
        await app.look_again()
        if app.picture is None:
            return
        opened = [
            job_at(due.job.name, due.tank or due.target)
            for due in app.picture.dues
            if due.id in before and due.later_today is None and due.on_walk
            and app.watcher.once(f"{due.id} {due.slot.day}")
        ]  # fmt: skip
        told = [*opened, *app.water.rung(app.now())]
        if told:
            app.bell()
            screen = app.water.screen or app.side.screen or app.walk
            rest = "" if screen.said.startswith(NOW) else screen.said
            screen.say(f"{NOW}{', '.join(told)}. {rest}".strip(), HEARD_SECONDS)
