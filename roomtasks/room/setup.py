"""The room's own settings, and the people and away days it knows.

Limits and periods are the keeper's; the defaults are common practice (no
published source). Text form is room.toml.
"""

from dataclasses import dataclass
from datetime import date, time

from roomtasks.room.column import Sheet, column

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """Settings of the room. Minutes are those there are on each weekday."""

    name: str = column("text", "the room's name")
    zone: str = column("text", "time zone, as Europe/Dublin")
    day_starts: time = column("time", "when a room day begins", default=time(4, 0))
    change_day: str = column(
        "word", "the change day", words=(*WEEKDAYS, "none"), default="saturday"
    )
    monday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=45
    )
    tuesday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=45
    )
    wednesday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=45
    )
    thursday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=45
    )
    friday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=45
    )
    saturday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=180
    )
    sunday_minutes: int = column(
        "int", "minutes there are", unit="min", low=0, high=1440, default=60
    )
    hands_minutes: float = column(
        "number", "minutes to wash between health classes", unit="min", low=0, high=60, default=2.0
    )
    steps_minutes: float = column(
        "number", "minutes for a trip with the steps", unit="min", low=0, high=60, default=2.0
    )
    largest_change: float = column(
        "number", "largest change of a tank in one day, as a share", low=0.05, high=1, default=0.40
    )
    largest_step_celsius: float = column(
        "number", "largest step in temperature a tank is given at a change", unit="K", low=0.1,
        high=20, default=1.0,
    )  # fmt: skip
    largest_ph_step: float = column(
        "number", "step in pH above which a change is warned of", low=0.05, high=3, default=0.3
    )
    water_loss: float = column(
        "number", "water lost in hoses and spills, as a share", low=0, high=0.5, default=0.03
    )
    room_celsius: float = column(
        "number", "temperature of the room, until one is read", unit="C", low=0, high=45,
        default=20.0,
    )  # fmt: skip
    sump_margin_cm: float = column(
        "number", "glass kept dry above a sump's resting level", unit="cm", low=0, high=50,
        default=2.0,
    )  # fmt: skip
    feed_protein: float = column(
        "number", "protein in dry food, as a share", low=0.05, high=0.9, default=0.45
    )
    hoses_watched: int = column(
        "int", "hoses one person can watch at a time", low=1, high=20, default=2
    )
    change_hour: time = column("time", "when the change is to begin", default=time(9, 0))
    rounds: str = column("text", "the rounds of a day, as 07:30 20:00", default="07:30 20:00")
    nursery_g_per_l: float = column(
        "number", "most fish in a nursery tank", unit="g/L", low=0.001, high=100, default=0.2
    )
    alone_g_per_l: float = column(
        "number", "most fish in a tank that stands alone", unit="g/L", low=0.001, high=100,
        default=0.4,
    )  # fmt: skip
    system_g_per_l: float = column(
        "number", "most fish in a tank on a system", unit="g/L", low=0.001, high=100, default=1.0
    )
    net_jobs_a_day: int = column("int", "moves with the net in a day", low=1, high=50, default=3)
    net_job_minutes: float = column(
        "number", "minutes from one move to the next", unit="min", low=1, high=240, default=15.0
    )
    tub_litres: float = column(
        "number", "holding tub with air and lid; 0: there is none", unit="L", low=0, high=2000,
        default=0.0,
    )  # fmt: skip
    tub_minutes: float = column(
        "number", "longest time fish stay in the tub", unit="min", low=1, high=600, default=45.0
    )
    tub_g_per_l: float = column(
        "number", "most fish in the tub for that time", unit="g/L", low=0.01, high=200, default=5.0
    )
    wide_step_celsius: float = column(
        "number", "largest step between two tanks, dripped over", unit="K", low=0.1, high=10,
        default=2.0,
    )  # fmt: skip
    quarantine_days: int = column(
        "int", "days a new lot is kept apart", unit="days", low=1, high=400, default=42
    )
    clear_days: int = column(
        "int", "clear days after a sign of illness", unit="days", low=1, high=400, default=28
    )
    clear_days_after_death: int = column(
        "int", "clear days after a death nobody can explain", unit="days", low=1, high=400,
        default=14,
    )  # fmt: skip
    after_dose_days: int = column(
        "int", "days after the last dose of medicine", unit="days", low=1, high=400, default=14
    )
    cool_celsius: float = column(
        "number", "water below this is cool for a lot kept apart", unit="C", low=0, high=40,
        default=22.0,
    )  # fmt: skip
    demo_opens_at: str = column("text", "a demo room's own now, as 2027-05-15T07:10", default="")
    room_id: str = column("text", "the room's own number, made once", default="")  # fmt: skip

    def minutes_on(self, day: date) -> int:
        """Minutes there are on this day's weekday."""
        value: int = getattr(self, f"{WEEKDAYS[day.weekday()]}_minutes")
        return value

    def with_loss(self, litres: float) -> float:
        """Litres a reservoir must give for so many at the tanks, the loss in hoses counted in."""
        return litres * (1 + self.water_loss)

    @property
    def change_weekday(self) -> int | None:
        """Weekday number of the change day, Monday 0; None where there is none."""
        return None if self.change_day == "none" else WEEKDAYS.index(self.change_day)


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who does work in the room."""

    code: str = column("code", "a short code")
    name: str = column("text", "name")
    part: str = column("word", "keeper or stand-in", words=("keeper", "stand-in"), default="keeper")
    present: bool = column("yesno", "here at present", default=True)
    phone: str = column("text", "telephone number, for the stand-in's sheet", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """Days on which the keeper is away, first and last included."""

    first: date = column("day", "first day away")
    last: date = column("day", "last day away")
    stand_in: str = column("text", "who stands in", default="")
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """A span of a weekday on which somebody is there to watch a hose."""

    weekday: str = column("word", "the weekday", words=WEEKDAYS)
    from_time: time = column("time", "from this time")
    until_time: time = column("time", "until this time of the same day; 00:00 is midnight")


SETUP = Sheet("setup", Setup, (), "The room's settings (room.toml).")
PEOPLE = Sheet("people", Person, ("code",), "People who do work.")
AWAY = Sheet("away", Away, ("first",), "Days away.")
HOURS = Sheet("hours", Hours, ("weekday", "from_time"),
              "When somebody is there; a room with no rows is always watched.")  # fmt: skip
