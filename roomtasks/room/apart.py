"""What lies between two jobs: days apart, never one day, after, together.

Works on the placed occurrences of one day's picture and moves the second of
each pair; a gap is a hard limit and beats the window, and the job is then held,
not late. Moves go forward only, in order of placed day and code, so the same
room gives the same answer.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from heapq import heappop, heappush

from roomtasks.room.blocks import settle, with_blocks
from roomtasks.room.job import Between, Party, parse_party
from roomtasks.room.naming import day_words, event_words, job_at, many
from roomtasks.room.occurrence import ONTO, Block, Due
from roomtasks.room.past import Past
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.slots import Scene


@dataclass(frozen=True, slots=True)
class Pair:
    """A pair rule of the room with its two sides read."""

    rule: Between
    first: Party
    second: Party

    @property
    def days(self) -> int:
        """Days from the first of the two on which the second is forbidden."""
        return self.rule.days if self.rule.relation == "apart" else 1

    def ties(self, due: Due) -> bool:
        """Whether it says anything of this occurrence's job."""
        return self.first.is_job(due.job) or self.second.is_job(due.job)

    def place(self, due: Due) -> str:
        """Where it ties occurrences together: one tank, or all of the room."""
        return "room" if self.rule.scope == "room" else due.tank or due.target


def pairs_of(room: Room, *relations: str) -> list[Pair]:
    """The pair rules of some relations that can be read."""
    found = []
    for relation in relations:
        for rule in (rule for rule in room.pairs if rule.relation == relation):
            first, second = parse_party(rule.first), parse_party(rule.second)
            if not isinstance(first, Problem) and not isinstance(second, Problem):
                found.append(Pair(rule, first, second))
    return found


def place_between(scene: Scene, dues: Sequence[Due]) -> list[Due]:
    """Apply every pair rule of the room to the occurrences, keeping their order."""
    placed = {due.id: due for due in dues}
    for pair in pairs_of(scene.room, "together"):
        for group in _groups(pair, placed.values()):
            _together(pair.first, pair.second, group, placed)
    _keep_apart(scene, pairs_of(scene.room, "not-same-day", "apart"), placed)
    for pair in pairs_of(scene.room, "before"):
        for group in _groups(pair, placed.values()):
            _after(pair.first, pair.second, group, placed)
    return [placed[due.id] for due in dues]


def _groups(pair: Pair, dues: Iterable[Due]) -> list[list[Due]]:
    """Occurrences the rule ties together: those of one tank, or all of the room."""
    found: dict[str, list[Due]] = defaultdict(list)
    for due in dues:
        if pair.ties(due):
            found[pair.place(due)].append(due)
    return [sorted(group, key=lambda due: (due.placed, due.id)) for group in found.values()]


def _together(first: Party, second: Party, group: list[Due], placed: dict[str, Due]) -> None:
    """Place each second on the visit of its first: today's, also once that is marked done."""
    leads = [placed[due.id] for due in group if first.is_job(due.job)]
    for due in (placed[d.id] for d in group if second.is_job(d.job) and not first.is_job(d.job)):
        if due.blocked is not None or due.put_off_to is not None:
            continue
        for lead in leads:
            visited = lead.past.done is not None and lead.past.done.day == lead.today
            day = lead.today if visited else max(lead.placed, lead.today)
            if (visited or lead.blocked is None) and due.opens <= day <= due.closes:
                mates = (*due.mates, lead.id)
                moved = due.moved
                if day != due.placed:
                    moved = (*(m for m in moved if m != ONTO), f"with {lead.job.name}")
                placed[due.id] = settle(
                    replace(due, placed=day, wanted=day, mates=mates, moved=moved)
                )
                break


def _keep_apart(scene: Scene, pairs: Sequence[Pair], placed: dict[str, Due]) -> None:
    """Keep each occurrence clear of what was done, what happened, and what stands before it.

    In order of the placed day over all rules at once: only what does stand on a day
    is said to go first there, never what is itself moved on from it.
    """
    stands: dict[tuple[int, str], list[Due]] = defaultdict(list)
    ties: dict[str, list[tuple[int, Pair]]] = {}
    waiting: list[tuple[date, str]] = []
    for due in list(placed.values()):
        found = [(n, pair) for n, pair in enumerate(pairs) if pair.ties(due)]
        if found:
            spans = [b for _, p in found for b in _spans_of_past(scene, p, due)]
            placed[due.id] = with_blocks(due, spans)
            ties[due.id] = found
            heappush(waiting, (placed[due.id].placed, due.id))
    while waiting:
        day, name = heappop(waiting)
        one = with_blocks(placed[name], _spans_before(ties[name], placed[name], stands))
        placed[name] = one
        if one.placed > day:
            heappush(waiting, (one.placed, name))
        elif one.blocked is None or one.blocked.until is not None:
            for n, pair in ties[name]:
                stands[n, pair.place(one)].append(one)


def _spans_before(
    ties: Iterable[tuple[int, Pair]], due: Due, stands: Mapping[tuple[int, str], Sequence[Due]]
) -> list[Block]:
    """Days forbidden by what stands before it already."""
    return [
        block
        for n, pair in ties
        for block in _spans(
            pair.rule, pair.days,
            [
                (max(other.placed, other.today), f"{other.said} goes first")
                for other in stands.get((n, pair.place(due)), ())
                if _related(pair.first, pair.second, other, due)
            ],
        )
    ]  # fmt: skip


def past_blocks(scene: Scene, due: Due) -> list[Block]:
    """Days that what was done, or happened, forbids to an occurrence by the pairs of the room."""
    pairs = pairs_of(scene.room, "apart", "not-same-day")
    return [block for pair in pairs for block in _spans_of_past(scene, pair, due)]


def _spans_of_past(scene: Scene, pair: Pair, due: Due) -> list[Block]:
    rule, first, second = pair.rule, pair.first, pair.second
    spans: list[Block] = []
    if second.is_job(due.job):
        spans += _spans(rule, pair.days, _days_of(scene, rule, first, due))
    if first.is_job(due.job) and first != second:
        spans += _spans(rule, pair.days, _days_of(scene, rule, second, due))
    return spans


def _related(first: Party, second: Party, one: Due, other: Due) -> bool:
    return (first.is_job(one.job) and second.is_job(other.job)) or (
        second.is_job(one.job) and first.is_job(other.job)
    )


def _spans(rule: Between, days: int, found: Iterable[tuple[date, str]]) -> list[Block]:
    why = rule.reason or (f"{many(rule.days, 'day')} apart" if rule.days else "never on one day")
    return [
        Block(day, day + timedelta(days=days - 1), f"{why}: {what}", rule.relation)
        for day, what in found
    ]


def _days_of(scene: Scene, rule: Between, party: Party, due: Due) -> list[tuple[date, str]]:
    """Days on which the other side was done, or happened, where the rule reaches."""
    room = scene.room
    found: list[tuple[date, str]] = []
    if party.sort == "event":
        places = {due.target, due.tank or due.target}
        for event in room.events:
            if event.event == party.name and (rule.scope == "room" or event.target in places):
                found.append((event.day, f"{event_words(event.event)} {day_words(event.day)}"))
        return sorted(found)
    for (job_code, target), past in _pasts_near(scene, rule, due):
        job = room.job.get(job_code)
        if job is None or not party.is_job(job) or (job_code, target) == (due.job.code, due.target):
            continue
        day = past.done.day if past.done else None
        if day is not None:
            found.append((day, f"{job_at(job.name, target)}, done {day_words(day)}"))
    return sorted(found)


def _pasts_near(scene: Scene, rule: Between, due: Due) -> Iterable[tuple[tuple[str, str], Past]]:
    return scene.pasts_at("" if rule.scope == "room" else due.tank or due.target)


def _after(first: Party, second: Party, group: list[Due], placed: dict[str, Due]) -> None:
    """The second waits while a first is due today and not yet done."""
    leads = [
        placed[due.id]
        for due in group
        if first.is_job(due.job) and placed[due.id].placed <= due.today
    ]
    for due in (placed[d.id] for d in group if second.is_job(d.job)):
        waits = [lead for lead in leads if lead.id != due.id and lead.blocked is None]
        if waits and not due.waits_for:
            placed[due.id] = replace(due, waits_for=waits[0].id, waits_name=waits[0].said)


def followers(room: Room) -> frozenset[str]:
    """Codes of the jobs that must come after some other job."""
    seconds = [parse_party(rule.second) for rule in room.pairs if rule.relation == "before"]
    parties = [party for party in seconds if not isinstance(party, Problem)]
    return frozenset(job.code for job in room.jobs if any(p.is_job(job) for p in parties))


def leads_of(room: Room, due: Due, present: Sequence[Due]) -> frozenset[str]:
    """The occurrences among those present that must come before this one."""
    leads: set[str] = set()
    for rule in (r for r in room.pairs if r.relation == "before"):
        first, second = parse_party(rule.first), parse_party(rule.second)
        if isinstance(first, Problem) or isinstance(second, Problem):
            continue
        if not second.is_job(due.job):
            continue
        here = due.tank or due.target
        leads |= {
            other.id
            for other in present
            if first.is_job(other.job)
            and other.id != due.id
            and (rule.scope == "room" or (other.tank or other.target) == here)
        }
    return frozenset(leads)
