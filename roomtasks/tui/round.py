"""The round as it stands on the screen: lines that do not move under the finger.

A line that was marked stays where it is and says what became of it. A new
picture is merged in: known lines keep their place, new ones are added at
theirs, the line in hand stays in hand. Pure: no screen, no store, no clock.
"""

from collections.abc import Container, Sequence
from dataclasses import dataclass, field, replace

from roomtasks.room.journal import Mark
from roomtasks.room.walk import Stop

HELD, GONE = "held", "no longer due"


@dataclass(frozen=True, slots=True)
class Line:
    """One job of the round. `said` is what became of it, "" while it waits."""

    stop: Stop
    said: str = ""

    @property
    def id(self) -> str:
        return self.stop.due.id

    @property
    def waits(self) -> bool:
        return not self.said


@dataclass(frozen=True, slots=True)
class Round:
    """The lines and the one in hand."""

    lines: tuple[Line, ...] = ()
    at: int = 0
    told: dict[str, str] = field(default_factory=dict)

    @property
    def in_hand(self) -> Line | None:
        return self.lines[self.at] if 0 <= self.at < len(self.lines) else None

    @property
    def minutes_left(self) -> float:
        """Minutes of the lines still waiting."""
        return sum(line.stop.total_minutes for line in self.lines if line.waits)

    def litres_wanted(self, reservoir: str) -> float:
        """Litres the tanks of the lines still waiting take from a reservoir, before any loss."""
        return sum(
            line.stop.due.litres or 0.0
            for line in self.lines
            if line.waits
            and line.stop.due.job.reservoir == reservoir
            and line.stop.due.job.kind != "fill"
        )

    def moved(self, step: int) -> "Round":
        """The line in hand moved on by so many, stopping at the ends."""
        last = max(0, len(self.lines) - 1)
        return replace(self, at=min(last, max(0, self.at + step)))

    def onward(self) -> "Round":
        """To the next line that waits, from the one in hand; round again from the top."""
        count = len(self.lines)
        for step in range(1, count + 1):
            index = (self.at + step) % count
            if self.lines[index].waits:
                return replace(self, at=index)
        return self

    def without(self, names: Container[str]) -> "Round":
        """Without these lines, but for those something became of; the hand stays where it can."""
        hand = self.in_hand
        kept = tuple(line for line in self.lines if line.said or line.id not in names)
        made = replace(self, lines=kept).moved(0)
        return made.put_in_hand(hand.id) if hand is not None else made

    def put_in_hand(self, line_id: str) -> "Round":
        """A line by its name, if it is there."""
        for index, line in enumerate(self.lines):
            if line.id == line_id:
                return replace(self, at=index)
        return self

    def at_tank(self, tank: str) -> "Round":
        """The first waiting line at a tank, else the first line there, else as it was."""
        here = [index for index, line in enumerate(self.lines) if line.stop.due.tank == tank]
        waiting = [index for index in here if self.lines[index].waits]
        chosen = (waiting or here or [self.at])[0]
        return replace(self, at=chosen)

    def marked(self, marks: Sequence[Mark]) -> "Round":
        """What was just marked said at its line, before the next picture comes."""
        said = _said(marks)
        open_still = {f"{m.job}@{m.target}" for m in marks if m.outcome == "partly"}
        lines = tuple(
            replace(line, said=said[line.id])
            if line.id in said and line.id not in open_still
            else line
            for line in self.lines
        )
        return replace(self, lines=lines)

    def merged(
        self, stops: Sequence[Stop], marks: Sequence[Mark], held: Container[str] = ()
    ) -> "Round":
        """A new picture merged in without moving what is known; `held` are lines now held."""
        fresh = {stop.due.id: stop for stop in stops}
        said = _said(marks)
        kept: list[Line] = []
        for line in self.lines:
            if line.id in fresh:
                kept.append(Line(fresh.pop(line.id)))
            else:
                gone = HELD if line.id in held else GONE
                was = gone if line.said in ("", HELD, GONE) else line.said
                kept.append(replace(line, said=said.get(line.id, was)))
        order = [stop.due.id for stop in stops]
        hand = self.in_hand
        for stop in (s for s in stops if s.due.id in fresh):
            below = next((n for n, line in enumerate(kept) if hand and line.id == hand.id), -1) + 1
            kept.insert(max(below, _place(kept, order, stop.due.id)), Line(stop))
        made = replace(self, lines=tuple(kept))
        return made.put_in_hand(hand.id) if hand is not None else replace(made, at=0)


def _place(kept: list[Line], order: list[str], name: str) -> int:
    """Behind the nearest line that the walk has before it."""
    before = set(order[: order.index(name)])
    for index in range(len(kept) - 1, -1, -1):
        if kept[index].id in before:
            return index + 1
    return 0


def _said(marks: Sequence[Mark]) -> dict[str, str]:
    words = {
        "done": "done", "partly": "partly", "put-off": "put off", "left-out": "left out",
        "blocked": "cannot",
    }  # fmt: skip
    found: dict[str, str] = {}
    for mark in marks:
        text = f"{words[mark.outcome]} {mark.at:%H:%M}"
        if mark.outcome == "put-off" and mark.until is not None:
            text = f"put off to {mark.until:%a} {mark.until.day}"
        if mark.who:
            text += f" {mark.who}"
        found[f"{mark.job}@{mark.target}"] = text
    return found
