"""What is typed at the foot of the broods: days, lengths in mm, counts. Pure.

The number pad has no space and no letters, so + parts the lengths of fish, and
a day is its number in the month, or + and - so many days.
"""

from calendar import monthrange
from datetime import date, timedelta
from math import isfinite

from roomtasks.room.day import parse_day
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import Measure, read_quantity

TODAY = "today"
HOW_DAY = "type 12 for the 12th, -2 for two days ago, +3 for in three days, or 2027-03-12"
HOW_LENGTHS = "type mm with a space or + between the fish, as 12+14.5+15"
HOW_SHARES = "type count and tank in turn, as 40 D3 20 D4"
MOST_FISH = 1_000_000
MONTHS_TRIED = 14


def day_typed(text: str, today: date, *, ahead: bool = False) -> date | Problem:
    """A day: today, so many days off, a day of the month gone by (`ahead`: to come), or whole."""
    word = text.strip().lower()
    if word in ("", TODAY):
        return today
    if word == "yesterday":
        return today - timedelta(days=1)
    if word[0] in "+-" and word[1:].isdecimal() and word.isascii() and len(word) <= 4:
        days = int(word[1:])
        return today + timedelta(days=days if word[0] == "+" else -days)
    if word.isdecimal() and word.isascii() and len(word) <= 2:
        return _of_month(int(word), today, ahead)
    found = parse_day(word)
    return found if isinstance(found, date) else Problem("day", f"“{text}” is no day", HOW_DAY)


def _of_month(number: int, today: date, ahead: bool) -> date | Problem:
    """The nearest day of that number, today among them."""
    year, month = today.year, today.month
    for _ in range(MONTHS_TRIED):
        if 1 <= number <= monthrange(year, month)[1]:
            day = date(year, month, number)
            if day == today or (day > today) == ahead:
                return day
        month += 1 if ahead else -1
        year, month = year + (month > 12) - (month < 1), (month - 1) % 12 + 1
    return Problem("day", f"no month has a day {number}", HOW_DAY)


def lengths_typed(text: str) -> list[float] | Problem:
    """Lengths of fish in cm, as typed in mm; a unit behind a number names another."""
    if "," in text:
        return Problem("length", f"“{text}” has a comma, which may mean two things", HOW_LENGTHS)
    found = []
    for word in text.replace("+", " ").replace("/", " ").replace("*", " ").split():
        value = read_quantity("length", word, Measure.LENGTH, "mm")
        if isinstance(value, Problem):
            return Problem("length", f"“{word}” is no length", HOW_LENGTHS)
        if not isfinite(value) or value <= 0:
            return Problem("length", f"{value:g} mm is no length", "give lengths above 0, in mm")
        found.append(value / 10)
    return found or Problem("length", "no fish was measured", HOW_LENGTHS)


def count_typed(text: str, least: int = 1, what: str = "fish") -> int | Problem:
    """A whole number of fish."""
    word = text.strip()
    if not word.isdecimal() or not word.isascii() or len(word) > len(str(MOST_FISH)):
        return Problem("count", f"“{text}” is no count of {what}", f"type {least} or more")
    value = int(word)
    if not least <= value <= MOST_FISH:
        return Problem("count", f"{value} {what} is no count", f"type {least} or more")
    return value


def shares_typed(text: str) -> list[tuple[int, str]] | Problem:
    """Counts and tanks in turn, as 40 D3 20 D4."""
    words = text.replace(":", " ").replace(",", " ").replace("+", " ").split()
    if not words or len(words) % 2:
        return Problem("shares", f"“{text}” is no list of counts and tanks", HOW_SHARES)
    found = []
    for many, tank in zip(words[::2], words[1::2], strict=True):
        count = count_typed(many)
        if isinstance(count, Problem):
            return Problem("shares", count.what, HOW_SHARES)
        found.append((count, tank))
    return found
