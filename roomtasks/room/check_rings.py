"""Rings of waiting: jobs that follow or come after one another in a circle.

None of the jobs of a ring could ever begin. A job waits for the one its rule
follows, and the second side of an "after" pair waits for the first.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from roomtasks.room.column import shown
from roomtasks.room.fault import Facts, Fault
from roomtasks.room.job import Party, parse_party
from roomtasks.room.problem import Problem
from roomtasks.room.slots import trigger_of
from roomtasks.room.trigger import Follows

Node = tuple[str, str]


@dataclass
class _Waits:
    """What waits for what: jobs, and the pairs between them; and where each is written."""

    to: dict[Node, list[Node]] = field(default_factory=lambda: defaultdict(list))
    written: dict[Node, Fault] = field(default_factory=dict)


def ring_faults(facts: Facts) -> Iterator[Fault]:
    """One fault for each ring of jobs that wait for one another."""
    waits = _waits(facts)
    left = _in_rings(waits.to)
    while left:
        ring = _one_ring(waits.to, left)
        yield _told(waits, ring)
        left = _in_rings({node: waits.to[node] for node in left - set(ring)})


def _waits(facts: Facts) -> _Waits:
    waits = _Waits()
    by_kind: dict[str, list[str]] = defaultdict(list)
    for row, job in facts.rows("jobs"):
        by_kind[job.kind].append(job.code)
        trigger = trigger_of(job)
        if isinstance(trigger, Follows):
            waits.to[("job", job.code)].append(("job", trigger.job))
            waits.written[("job", job.code)] = Fault("jobs", row, "rule", "", "")
    for row, pair in facts.rows("between"):
        first, second = parse_party(pair.first), parse_party(pair.second)
        if pair.relation != "after" or isinstance(first, Problem) or isinstance(second, Problem):
            continue
        node = ("pair", str(row))
        waits.written[node] = Fault("between", row, "relation", "", "")
        for code in _jobs(second, by_kind):
            waits.to[("job", code)].append(node)
        waits.to[node].extend(("job", code) for code in _jobs(first, by_kind))
    return waits


def _jobs(party: Party, by_kind: dict[str, list[str]]) -> list[str]:
    if party.sort == "kind":
        return by_kind[party.name]
    return [party.name] if party.sort == "job" else []


def _in_rings(to: dict[Node, list[Node]]) -> set[Node]:
    """Nodes from which some ring can be reached: all that never come to an end."""
    left = set(to)
    open_ends = {node: sum(other in left for other in others) for node, others in to.items()}
    back: dict[Node, list[Node]] = defaultdict(list)
    for node, others in to.items():
        for other in others:
            back[other].append(node)
    ended = [node for node, count in open_ends.items() if not count]
    while ended:
        node = ended.pop()
        left.discard(node)
        for other in back[node]:
            open_ends[other] -= 1
            if not open_ends[other]:
                ended.append(other)
    return left


def _one_ring(to: dict[Node, list[Node]], left: set[Node]) -> list[Node]:
    """Walk from the first node until one comes round again."""
    path: list[Node] = []
    seen: dict[Node, int] = {}
    node = min(left)
    while node not in seen:
        seen[node] = len(path)
        path.append(node)
        node = min(other for other in to[node] if other in left)
    return path[seen[node] :]


def _told(waits: _Waits, ring: list[Node]) -> Fault:
    jobs = [name for sort, name in ring if sort == "job"]
    told = " waits for ".join(shown(name) for name in [*jobs[:8], "…"][: len(jobs)])
    written = [waits.written[node] for node in ring if node in waits.written]
    place = min(written, key=lambda fault: (fault.sheet != "between", fault.row or 0))
    return Fault(
        place.sheet, place.row, place.column,
        f"{told} waits for {shown(jobs[0])}: none of them could ever begin",
        "take one of the rules away",
    )  # fmt: skip
