"""The guided start: no room yet. Three answers make one, or the demo is opened."""

import os
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from roomtasks.room.day import zone_named
from roomtasks.room.problem import Problem
from roomtasks.room.setup import WEEKDAYS
from roomtasks.store.fault import StoreFault
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.screens.form import FieldsScreen
from roomtasks.tui.signs import clean
from roomtasks.work.starting import FORM, make_room, parse_layout, room_from, usual_jobs

DEMO_WANTED = -1
FIELDS = (
    ("name", "Name of the room", "Fish room"),
    ("zone", "Time zone", ""),
    ("change", "Change day", "saturday"),
    ("layout", "Racks and tanks", FORM),
)


def zone_here() -> str:
    """This machine's time zone name, as far as it tells."""
    named = os.environ.get("TZ", "")
    if "/" in named:
        return named.lstrip(":")
    try:
        target = os.readlink("/etc/localtime")
    except OSError:
        return "Europe/London"
    return target.partition("zoneinfo/")[2] or "Europe/London"


class StartScreen(FieldsScreen[bool]):
    """Asks for racks and tanks, shows what it will make, makes it on F2."""

    BINDINGS = [  # noqa: RUF012
        Binding("f3", "demo", "the demo room", show=False, id="start.demo", priority=True),
    ]

    def __init__(self, path: Path, today: date | None = None) -> None:
        super().__init__()
        self.path = path
        self.today = today

    def compose(self) -> ComposeResult:
        yield Static("No room here yet. Say what stands in it.", id="title", markup=False)
        with Vertical(id="fields"):
            for name, label, default in FIELDS:
                with Horizontal(classes="field"):
                    yield Static(label, classes="label", markup=False)
                    yield Input(default or zone_here(), id=f"f-{name}", compact=True)
            yield Static("", id="plan", markup=False)
        yield Static("", id="said", markup=False)
        yield Static(
            "F2 make the room  F3 look round the demo room  Esc leave", id="foot", markup=False
        )

    def on_mount(self) -> None:
        self.query_one("#f-layout", Input).focus()
        self._plan()

    def on_input_changed(self) -> None:
        self.query_one("#said", Static).update("")
        self._plan()

    def _facts(self) -> dict[str, list[object]] | Problem:
        layout = parse_layout(self._value("layout"))
        if isinstance(layout, Problem):
            return layout
        change = self._value("change").strip().lower()
        if change not in (*WEEKDAYS, "none"):
            return Problem(
                "change day", f"“{change[:20]}” is no weekday", "write saturday, or none"
            )
        today = self.today or self._today()
        return room_from(
            layout, self._value("name").strip(), self._value("zone").strip(), change, today
        )

    def _today(self) -> date:
        """Today in the zone that is typed, as far as it is one."""
        from roomtasks.clock.now import SystemClock

        zone = zone_named(self._value("zone").strip())
        clock = getattr(self.app, "clock", None) or SystemClock()
        now: date = clock.now(ZoneInfo("UTC") if isinstance(zone, Problem) else zone).date()
        return now

    def _value(self, name: str) -> str:
        return self.query_one(f"#f-{name}", Input).value

    def _plan(self) -> None:
        facts = self._facts()
        if isinstance(facts, Problem):
            text = refused_here(facts)
        else:
            jobs = "\n".join(
                f"  {job.name}: {job.rule}, {job.where}" for job in usual_jobs(date.min)
            )
            text = (
                f"{len(facts['racks'])} racks, {len(facts['tanks'])} tanks, one sponge each, "
                f"reservoir R1. Jobs proposed, all yours to change:\n{jobs}"
            )
        self.query_one("#plan", Static).update(Text(clean_lines(text)))

    def save(self) -> None:
        facts = self._facts()
        said = self.query_one("#said", Static)
        if isinstance(facts, Problem):
            said.update(Text(clean(refused_here(facts))))
            return
        try:
            make_room(self.path, facts)
        except StoreFault as fault:
            said.update(Text(clean(f"{fault.what}; {fault.remedy}")))
            return
        self.dismiss(True)

    def action_demo(self) -> None:
        self.app.exit(DEMO_WANTED)

    def action_close(self) -> None:
        self.dismiss(False)


def clean_lines(text: str) -> str:
    """Our own line ends stay, all else foreign is shown."""
    return "\n".join(clean(line) for line in text.split("\n"))
