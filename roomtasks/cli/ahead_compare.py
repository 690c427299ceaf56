"""Two plans of the same weeks side by side, as text and as JSON."""

from collections.abc import Iterable

from roomtasks.cli.ahead_json import ahead_document
from roomtasks.cli.asked import Document, day, figure
from roomtasks.cli.page import Page
from roomtasks.room.ahead_nitrate import Peak
from roomtasks.room.ahead_replay import Replay, Side
from roomtasks.room.why import day_words

LABEL, COLUMN = 26, 10


def write_replay(page: Page, both: Replay) -> None:
    """The figures of both with their difference, the peaks of nitrate, and what was told."""
    ahead = both.asked.ahead
    page.line(f"{day_words(ahead.first)} to {day_words(ahead.last)}: as it is, and as asked",
              style="head")  # fmt: skip
    page.line(f"{'figure':<{LABEL}}{'as it is':>{COLUMN}}{'as asked':>{COLUMN}} difference")
    for row in both.rows:
        label = f"{row.label}, {row.unit}" if row.unit else row.label
        figures = "".join(f"{_figure(value, row.unit):>{COLUMN}}"
                          for value in (row.as_it_is, row.asked))  # fmt: skip
        page.line(f"{label[:LABEL]:<{LABEL}}{figures}"
                  f"{_figure(row.difference, row.unit, '+'):>{COLUMN + 1}}")  # fmt: skip
    for peak in both.asked.peaks:
        if peak.above_days and peak.day is not None and peak.mg_per_l is not None:
            days = f"{peak.above_days} day{'' if peak.above_days == 1 else 's'}"
            page.line(f"{peak.body}: nitrate above {peak.limit:g} mg/L on {days}, "
                      f"{peak.mg_per_l:.0f} on {day_words(peak.day)}", hang=4,
                      style="late")  # fmt: skip
    unknown = _unknown(both.asked.peaks)
    for why, codes in unknown.items():
        page.line(f"nitrate not known, {why}: {' '.join(codes)}", hang=4, style="quiet")
    for note in ahead.notes:
        page.line(note.text, hang=4, style="quiet")


def _figure(value: float | None, unit: str, sign: str = "") -> str:
    if value is None:
        return "?"
    digits = 1 if unit == "mg/L" else 0
    rounded = round(value, digits) + 0.0
    return f"{rounded:{sign if rounded else ''}.{digits}f}"


def _unknown(peaks: Iterable[Peak]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for peak in peaks:
        if peak.mg_per_l is None:
            found.setdefault(peak.why, []).append(peak.body)
    return found


def replay_document(both: Replay) -> Document:
    """The asked plan, with the plan as it is and every figure of both beside it."""
    return {
        **_side(both.asked), "as_it_is": _side(both.as_it_is),
        "compared": [
            {
                "name": row.name, "unit": row.unit or None, "as_it_is": figure(row.as_it_is, 3),
                "asked": figure(row.asked, 3), "difference": figure(row.difference, 3),
                "known": "forecast" if row.name.startswith("nitrate") else "computed",
            }
            for row in both.rows
        ],
    }  # fmt: skip


def _side(side: Side) -> Document:
    return {**ahead_document(side.ahead), "nitrate": [_peak(peak) for peak in side.peaks]}


def _peak(peak: Peak) -> Document:
    return {
        "body": peak.body, "peak_mg_per_l": figure(peak.mg_per_l, 3),
        "peak_mg_per_l_known": "forecast", "day": day(peak.day),
        "limit_mg_per_l": figure(peak.limit, 3), "days_above_limit": peak.above_days,
        "not_known": peak.why or None,
    }  # fmt: skip
