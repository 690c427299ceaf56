"""A calendar file by RFC 5545: all-day entries, and alarms counted from midnight.

Bytes in, bytes out of nothing but what is given: the same entries are the same
bytes. Lines end in CR LF and are folded at 75 octets, never inside a character.
Written as events, since calendars on telephones read no to-dos. Does not live
here: which work goes in, and when an entry's number moves (`work.calendar_out`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

PRODID = "-//roomtasks//roomtasks calendar//EN"
MOST_OCTETS = 75
REFRESH = "PT6H"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A reminder so many minutes after local midnight of the entry's day."""

    minutes: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One all-day entry. `stamp` is when it was last changed, `sequence` how often."""

    uid: str
    day: date
    title: str
    text: str = ""
    place: str = ""
    sequence: int = 0
    stamp: datetime
    alarms: tuple[Alarm, ...] = ()


def calendar_bytes(name: str, entries: Iterable[Entry]) -> bytes:
    """The whole file. Entries stand by day, then by their own number."""
    lines = [
        "BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODID}", "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH", f"NAME:{escaped(name)}", f"X-WR-CALNAME:{escaped(name)}",
        f"REFRESH-INTERVAL;VALUE=DURATION:{REFRESH}", f"X-PUBLISHED-TTL:{REFRESH}",
    ]  # fmt: skip
    for entry in sorted(entries, key=lambda entry: (entry.day, entry.uid)):
        lines += _entry(entry)
    lines.append("END:VCALENDAR")
    return b"".join(folded(line) for line in lines)


def _entry(entry: Entry) -> list[str]:
    stamp = f"{entry.stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    lines = [
        "BEGIN:VEVENT", f"UID:{entry.uid}", f"DTSTAMP:{stamp}", f"LAST-MODIFIED:{stamp}",
        f"SEQUENCE:{entry.sequence}", f"DTSTART;VALUE=DATE:{entry.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{entry.day + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escaped(entry.title)}",
    ]  # fmt: skip
    if entry.text:
        lines.append(f"DESCRIPTION:{escaped(entry.text)}")
    if entry.place:
        lines.append(f"LOCATION:{escaped(entry.place)}")
    lines.append("TRANSP:TRANSPARENT")
    for alarm in entry.alarms:
        lines += [
            "BEGIN:VALARM", "ACTION:DISPLAY", f"TRIGGER:{_after_midnight(alarm.minutes)}",
            f"DESCRIPTION:{escaped(alarm.text)}", "END:VALARM",
        ]  # fmt: skip
    return [*lines, "END:VEVENT"]


def _after_midnight(minutes: int) -> str:
    sign = "-" if minutes < 0 else ""
    hours, rest = divmod(abs(minutes), 60)
    return f"{sign}PT{hours}H{rest}M" if rest else f"{sign}PT{hours}H"


def escaped(text: str) -> str:
    """Text with its backslashes, semicolons, commas and line breaks written for a calendar.

    Control characters, which a calendar may not hold, are left out.
    """
    one = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n")
    kept = "".join(sign for sign in one if sign == "\n" or _allowed(sign))
    for plain, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        kept = kept.replace(plain, written)
    return kept


def _allowed(sign: str) -> bool:
    number = ord(sign)
    return (number >= 0x20 and number != 0x7F and not 0x80 <= number < 0xA0) and not (
        0xD800 <= number < 0xE000
    )


def folded(line: str) -> bytes:
    """One line as octets, folded where it is longer than 75, with its CR LF."""
    parts: list[bytes] = []
    held = b""
    room = MOST_OCTETS
    for sign in line:
        octets = sign.encode("utf-8")
        if len(held) + len(octets) > room:
            parts.append(held)
            held, room = b"", MOST_OCTETS - 1
        held += octets
    parts.append(held)
    return b"\r\n ".join(parts) + b"\r\n"
