"""Rings of waiting: jobs that follow or come after one another in a circle.

None of the jobs of a ring could ever begin. A job waits for the one its rule
follows, and the second side of a "before" pair waits for the first.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from roomtasks.room.column import shown
from roomtasks.room.fault import Facts, Fault
from roomtasks.room.job import Job, Party, parse_party
from roomtasks.room.problem import Problem
from roomtasks.room.slots import trigger_of
from roomtasks.room.trigger import Follows

Node = tuple[str, str]


@dataclass
class _Waits:
    """What waits for what, and where that is written.

    Nodes are jobs, pairs, and two for each kind: what its jobs wait for
    ("each"), and what waits for them ("all").
    """

    to: dict[Node, list[Node]] = field(default_factory=lambda: defaultdict(list))
    written: dict[Node, Fault] = field(default_factory=dict)

    @classmethod
    def of(cls, facts: Facts) -> "_Waits":
        waits = cls()
        for row, job in facts.rows("jobs"):
            waits._job(row, job)
        for row, pair in facts.rows("between"):
            if pair.relation == "before":
                waits._pair(row, parse_party(pair.first), parse_party(pair.second))
        return waits

    def _job(self, row: int, job: Job) -> None:
        node = ("job", job.code)
        self.to[node].append(("each", job.kind))
        self.to[("all", job.kind)].append(node)
        trigger = trigger_of(job)
        if isinstance(trigger, Follows):
            self.to[node].append(("job", trigger.job))
            self.written[node] = Fault("jobs", row, "rule", "", "")

    def _pair(self, row: int, first: Party | Problem, second: Party | Problem) -> None:
        if isinstance(first, Problem) or isinstance(second, Problem):
            return
        node = ("pair", str(row))
        self.written[node] = Fault("between", row, "relation", "", "")
        if second.sort != "event":
            self.to[("each" if second.sort == "kind" else "job", second.name)].append(node)
        if first.sort != "event":
            self.to[node].append(("all" if first.sort == "kind" else "job", first.name))


def ring_faults(facts: Facts) -> Iterator[Fault]:
    """One fault for each ring of jobs that wait for one another."""
    waits = _Waits.of(facts)
    unending = _Unending(waits.to)
    for node in sorted(waits.to):
        if node in unending.left:
            ring = unending.ring_from(node)
            unending.drop(ring)
            yield _told(waits, ring)


class _Unending:
    """The nodes from which some ring can be reached: all that never come to an end."""

    def __init__(self, to: dict[Node, list[Node]]) -> None:
        self._to = to
        self.left = set(to)
        self._open = dict.fromkeys(to, 0)
        self._back: dict[Node, list[Node]] = defaultdict(list)
        for node, others in to.items():
            for other in others:
                if other in to:
                    self._open[node] += 1
                    self._back[other].append(node)
        self.drop([node for node, count in self._open.items() if not count])

    def drop(self, nodes: Iterable[Node]) -> None:
        """Take nodes out, and all that then come to an end."""
        ended = list(nodes)
        while ended:
            node = ended.pop()
            if node not in self.left:
                continue
            self.left.discard(node)
            for other in self._back[node]:
                self._open[other] -= 1
                if not self._open[other]:
                    ended.append(other)

    def ring_from(self, node: Node) -> list[Node]:
        """Walk on from a node until one comes round again."""
        seen: dict[Node, int] = {}
        while node not in seen:
            seen[node] = len(seen)
            node = next(other for other in self._to[node] if other in self.left)
        return list(seen)[seen[node] :]


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
