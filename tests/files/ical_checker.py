"""A checker of calendar files, octet by octet, for what the published parsers let pass.

RFC 5545 sections 3.1, 3.3.11, 3.6, 3.6.1, 3.6.6, 3.8; RFC 7986 5.3. It reads all-day
events, as the program writes them, and tells every fault it finds.
"""

import re
from collections.abc import Iterator
from datetime import datetime

LINE = re.compile(rb"([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:\"[^\"]*\"|[^;:\"]*))*):(.*)", re.DOTALL)
UID = re.compile(r"[A-Za-z0-9-]{1,254}")
ONCE = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE", "DESCRIPTION", "LOCATION")
DURATION = re.compile(r"[+-]?P(?:\d+W|(?:\d+D)?(?:T(?=\d)(?:\d+H)?(?:\d+M)?(?:\d+S)?)?)")


def faults_of(data: bytes) -> list[str]:
    """Every fault of a calendar file."""
    return [*_octets(data), *_parts(_unfolded(data))]


def _octets(data: bytes) -> Iterator[str]:
    if not data.endswith(b"\r\n"):
        yield "the last line has no CR LF"
    if re.search(rb"(?<!\r)\n", data) or re.search(rb"\r(?!\n)", data):
        yield "a line ends without CR LF"
    for number, line in enumerate(data.split(b"\r\n"), start=1):
        if len(line) > 75:
            yield f"line {number} has {len(line)} octets"
        try:
            line.decode("utf-8")
        except UnicodeDecodeError:
            yield f"line {number} is cut inside a character"
        if re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line):
            yield f"line {number} holds a control character"
    if data.startswith(b"\xef\xbb\xbf"):
        yield "it begins with a byte-order mark"


def _unfolded(data: bytes) -> list[bytes]:
    return re.sub(rb"\r\n[ \t]", b"", data).split(b"\r\n")[:-1]


def _parts(lines: list[bytes]) -> Iterator[str]:
    stack: list[tuple[str, dict[str, list[str]]]] = []
    uids: list[str] = []
    for number, line in enumerate(lines, start=1):
        match = LINE.fullmatch(line)
        if match is None:
            yield f"content line {number} is none: {line[:40]!r}"
            continue
        name = match[1].decode().upper()
        value = match[3].decode("utf-8", "replace")
        if name == "BEGIN":
            stack.append((value.upper(), {}))
            continue
        if name == "END":
            if not stack or stack[-1][0] != value.upper():
                yield f"END:{value} closes nothing"
                continue
            part, held = stack.pop()
            yield from _part(part, held)
            if part == "VEVENT":
                uids += held.get("UID", [])
            continue
        if not stack:
            yield f"{name} stands outside of all"
            continue
        key = name + match[2].decode().upper()
        stack[-1][1].setdefault(key, []).append(value)
        if name in ("SUMMARY", "DESCRIPTION", "LOCATION", "NAME", "X-WR-CALNAME"):
            yield from _text(name, value)
    if stack:
        yield f"{stack[-1][0]} is not closed"
    for uid in sorted({uid for uid in uids if uids.count(uid) > 1}):
        yield f"UID {uid} stands twice"


def _text(name: str, value: str) -> Iterator[str]:
    bare = re.sub(r"\\[\\;,nN]", "", value)
    if re.search(r"[\\;,]", bare):
        yield f"{name} is not escaped: {value[:40]}"


def _part(part: str, held: dict[str, list[str]]) -> Iterator[str]:
    if part == "VCALENDAR":
        if held.get("VERSION") != ["2.0"]:
            yield "VERSION is not 2.0"
        if len(held.get("PRODID", [])) != 1:
            yield "PRODID is missing"
    elif part == "VEVENT":
        yield from _event(held)
    elif part == "VALARM":
        for need in ("ACTION", "TRIGGER", "DESCRIPTION"):
            if need not in held:
                yield f"VALARM without {need}"
        trigger = held.get("TRIGGER", [""])[0]
        if not DURATION.fullmatch(trigger) or trigger in ("P", "PT"):
            yield f"TRIGGER {trigger} is no duration"
    else:
        yield f"{part} has no place in this file"


def _event(held: dict[str, list[str]]) -> Iterator[str]:
    names = [key.split(";")[0] for key, values in held.items() for _ in values]
    for name in ONCE:
        if names.count(name) > 1:
            yield f"{name} stands twice in an event"
    for name in ("RRULE", "EXDATE", "RDATE", "DUE"):
        if name in names:
            yield f"{name}: dated entries only"
    if any("TZID=" in key for key in held):
        yield "TZID without a VTIMEZONE"
    for need in ("UID", "DTSTAMP", "SUMMARY"):
        if need not in names:
            yield f"{need} is missing"
    uid = held.get("UID", [""])[0]
    if not UID.fullmatch(uid):
        yield f"UID {uid[:40]} is not letters, digits and dashes"
    if not re.fullmatch(r"\d{8}T\d{6}Z", held.get("DTSTAMP", [""])[0]):
        yield "DTSTAMP is not in UTC"
    first, after = held.get("DTSTART;VALUE=DATE", [""])[0], held.get("DTEND;VALUE=DATE", [""])[0]
    for day in (first, after):
        try:
            datetime.strptime(day, "%Y%m%d")  # noqa: DTZ007
        except ValueError:
            yield f"“{day}” is no date of an all-day event"
    if first and after and after <= first:
        yield "DTEND is not after DTSTART"
    if not re.fullmatch(r"\d+", held.get("SEQUENCE", ["0"])[0]):
        yield "SEQUENCE is no number"
