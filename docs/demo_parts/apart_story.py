"""The demo room's newcomers, its sick, whose nets met, a night without power, days to come.

All of it is invented, the medicine and its rate too: no product has that name
and nothing should be dosed by it. Lines are as those of `story`; what the sorts
do is in `newer_acts`.
"""

from datetime import date
from typing import Any

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.pin import Message

Line = tuple[str, str, tuple[Any, ...]]

SPOTS = Course(
    code="spots", name="white spots", product="brown bottle no. 4", amount=3.0, unit="drops",
    per_litres=10.0, rest_days=14, caution="gloves; stains; away from light",
    note="made up for the demo room: no such bottle is sold",
)  # fmt: skip
_DAYS = (0, 2, 4, 6)
STEPS = (
    CourseStep(course="spots", day=0, action="carbon-out"),
    CourseStep(course="spots", day=0, action="air"),
    *(CourseStep(course="spots", day=day, action="dose", share=1.0 if not day else 0.5)
      for day in _DAYS),
    CourseStep(course="spots", day=8, action="change", share=0.4),
    CourseStep(course="spots", day=8, action="carbon-in"),
)  # fmt: skip
APART: tuple[Line, ...] = (
    ("2027-04-10 16:30", "arrives", ("mel", "honey-eye livebearer", "P12", 14, "by car")),
    ("2027-04-11 09:40", "looked", ("P12", "fine", None, "", "all eat, a little pale")),
    ("2027-04-19 07:30", "looked", ("P12", "sign", 1, "", "one rubs on the heater")),
    ("2027-05-04 17:40", "arrives", ("brasa", "ember dwarf rasbora", "P11", 22, "by post")),
    ("2027-05-05 18:20", "looked", ("P11", "dead", 2, "chilled on the way", "found under the "
                                    "sponge")),
    ("2027-05-12 18:40", "looked", ("P11", "not-seen", 3, "", "twenty put in, seventeen counted")),
    ("2027-05-13 18:40", "looked", ("P11", "fine", None, "", "all twenty out for food")),
    ("2027-05-10 18:45", "course", ("P21",)),
    ("2027-05-10 18:46", "seen", ("P21", "course", "white spots, by the label")),
    ("2027-03-16 19:05", "contact", ("W14", "W13", "net")),
    ("2027-05-08 10:40", "contact", ("T31", "Y21", "siphon")),
)  # fmt: skip
WEEKS: tuple[Line, ...] = (
    ("2027-04-24 06:50", "power", ("2027-04-24 02:10", "storm; found in the morning, clock of the "
                                   "radio stood")),
    ("2027-04-24 06:52", "power-over", ("2027-04-24 05:50",)),
    ("2027-05-08 19:20", "done", ("wipe@W22",)),
    ("2027-05-08 19:24", "done", ("vac@W21",)),
    ("2027-05-15 12:10", "pin", ("deep-clean@room", date(2027, 5, 29))),
)  # fmt: skip
MESSAGES = (
    Message(code="w13-lid", target="W13", text="jumpers: open the lid a hand's width, no more"),
    Message(code="passage", target="P", text="last of all, own net and bucket; wash your hands "
                                             "after, and go back to no other rack"),
    Message(code="telephone", target="room", text="number on the door; if in doubt: air on, "
                                                  "no food"),
)  # fmt: skip
