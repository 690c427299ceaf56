"""Codes as a keeper says them: jobs at their places, events, outcomes, kinds, amounts of time.

What scripts rely on (`job@place`, event codes, outcomes) stays in the store and in
JSON; whatever a person reads passes here. Words only, nothing is worked out.
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Protocol

from roomtasks.room.kind import KINDS

OUTCOME_WORDS = {
    "done": "done", "partly": "partly done", "put-off": "put off", "left-out": "left out",
    "blocked": "cannot be done",
}  # fmt: skip
STATE_WORDS = {
    "not-yet-open": "not open yet", "open": "may be done", "due": "due", "late": "late",
    "held": "held",
}  # fmt: skip
STEP_WORDS = {
    "hose-out": "hose laid out", "fill-start": "fill started", "full": "full",
    "treated": "conditioned", "heat-on": "heater on", "heat-off": "heater off", "mixed": "mixed",
    "ready": "ready", "not-ready": "not ready", "used": "used", "emptied": "emptied",
    "raw-in": "raw water run in",
}  # fmt: skip
_EVENTS = {
    "not-seen": "not seen", "put-in": "put in", "moved-out": "moved out", "fry-in": "fry put in",
    "hands-clean": "hands and gear clean", "trouble-step": "a step on a bad day was done",
    "culture-started": "small culture started", "brine-started": "brine shrimp started",
    "dead": "dead", "died": "died", "sign": "sign of illness", "moved": "moved",
    "battery-air": "on battery air", "power-cut": "power cut",
}  # fmt: skip
_NOUNS = ("arrival", "spawn", "sale", "hatch", "birth")
_READINGS = {
    "ph": "pH", "gh": "general hardness", "kh": "carbonate hardness",
    "tap-ph": "pH of the tap", "tap-nitrate": "nitrate of the tap",
    "tap-hardness": "hardness of the tap", "sump-level": "sump level", "top-off": "topped off",
}  # fmt: skip
_STATES = {
    "empty": "the last fish left it", "restocked": "fish came back to it",
    "valve-shut": "its valve was shut", "valve-open": "its valve was opened",
    "pump-off": "the return pump stopped",
}  # fmt: skip


class Named(Protocol):
    """What has a name for a keeper, as a job has."""

    @property
    def name(self) -> str:
        """What the keeper calls it."""


def job_at(name: str, place: str) -> str:
    """A job at its place, as "Sump floss at LOOP"; the room itself is not named."""
    return name if place in ("", "room") else f"{name} at {place}"


def job_there(name: str, place: str) -> str:
    """A job and its place in a list, as "Sump floss LOOP"; the room itself is not named."""
    return name if place in ("", "room") else f"{name} {place}"


def jobs_at(name: str, places: Iterable[str], between: str = ": ") -> str:
    """A job and all its places in a list; the room itself is not named, but for its mark."""
    told = [
        place.removeprefix("room") if place[4:] in ("", "!", "*") else place
        for place in dict.fromkeys(places)
    ]
    marks = "".join(place for place in told if place in ("!", "*"))
    named = " ".join(place for place in told if place not in ("", "!", "*"))
    return f"{name}{marks}{between}{named}" if named else f"{name}{marks}"


def job_said(jobs: Mapping[str, Named], code: str, place: str = "") -> str:
    """A job's code and its place in words; the code with spaces where no such job is left."""
    job = jobs.get(code)
    return job_at(job.name if job is not None else spaced(code), place)


def id_said(jobs: Mapping[str, Named], due_id: str) -> str:
    """A job@place in words."""
    code, _, place = due_id.partition("@")
    return job_said(jobs, code, place)


def place_words(place: str) -> str:
    """A place in a sentence: its code, or "the room"."""
    return "the room" if place == "room" else place


def spaced(code: str) -> str:
    """A code as words."""
    return code.replace("-", " ").replace("_", " ")


def event_words(event: str) -> str:
    """What happened, of the code of an event."""
    return _EVENTS.get(event, spaced(event))


def happened(event: str, count: int | None) -> str:
    """What happened to how many: "2 not seen"."""
    words = event_words(event)
    if count is None:
        return words
    return f"{words} of {count}" if event in _NOUNS else f"{count} {words}"


def reading_words(what: str) -> str:
    """What was read, of the code of a reading."""
    return _READINGS.get(what, spaced(what))


def state_words(state: str) -> str:
    """How a state was entered, to follow "the day"."""
    return _STATES.get(state, f"it was {spaced(state)}")


def kinds_words(jobs: Mapping[str, Named], kinds: str) -> str:
    """What a hold forbids: "all jobs", a job by its name, or kinds of job by their labels."""
    words = kinds.split()
    if kinds == "all":
        return "all jobs"
    if words[:1] == ["job"] and len(words) == 2:
        return job_said(jobs, words[1])
    labels = [KINDS[word].label.lower() if word in KINDS else spaced(word) for word in words]
    return ", ".join(labels)


def day_words(day: date) -> str:
    """A day as a keeper says it: Sat 20 Mar."""
    return f"{day:%a} {day.day} {day:%b}"


def time_words(at: datetime) -> str:
    """An instant, in its own offset, as a keeper says it: Sat 20 Mar 07:10."""
    return f"{day_words(at.date())} {at:%H:%M}"


def clock_words(at: datetime, today: date) -> str:
    """The time beside a room's day; with its own date in the hours before the day begins."""
    return f"{at:%H:%M}" if at.date() == today else f"({time_words(at)})"


def minutes_words(minutes: float) -> str:
    """Minutes to a tenth below ten, else whole; no more than a clock on the wall would tell."""
    return f"{minutes:.0f}" if minutes >= 10 else f"{minutes:.1f}".removesuffix(".0")


def lot_words(code: str) -> str:
    """A lot by its code, which may say already that it is one."""
    return code if code.startswith("lot") else f"lot {code}"


def tenths(value: float) -> str:
    """A number to a tenth at the most: "354", "12.3"."""
    return f"{value:.1f}".removesuffix(".0")


def place_of(due_id: str) -> str:
    """The place of a job@place that is a place on the racks; "" for the room and for no job."""
    place = due_id.partition("@")[2]
    return "" if place == "room" else place


def many(count: float, one: str, more: str = "") -> str:
    """A count with its word: "1 tank", "3 tanks"."""
    return f"{count:g} {one if count == 1 else more or one + 's'}"
