"""Rules between rows for lines, broods, samples, moves to come and tanks being made over."""

from collections.abc import Iterator
from typing import Any

from roomtasks.room.column import shown
from roomtasks.room.fault import Facts, Fault, unknown
from roomtasks.room.line import STAGE_WORDS
from roomtasks.room.planned_move import TUB
from roomtasks.room.problem import Problem
from roomtasks.room.rounds import rounds_of


def line_faults(facts: Facts) -> Iterator[Fault]:
    """Spans the right way round, curves whole, profiles in order, rounds that are times."""
    for row, setup in facts.rows("setup"):
        rounds = rounds_of(setup.rounds)
        if isinstance(rounds, Problem):
            yield Fault("setup", row, "rounds", rounds.what, rounds.remedy)
    for row, line in facts.rows("lines"):
        low, high = line.celsius_from, line.celsius_to
        if low is not None and high is not None and low > high:
            yield Fault("lines", row, "celsius_to", f"{high:g} C is below the {low:g} C it begins "
                        "at", "give the cooler first")  # fmt: skip
        if (line.linf_cm is None) != (line.k_per_day is None):
            column = "linf_cm" if line.linf_cm is None else "k_per_day"
            yield Fault("lines", row, column, "the growth curve has only one of linf_cm and "
                        "k_per_day", "give both or neither")  # fmt: skip
    yield from _profile_faults(facts)


def _profile_faults(facts: Facts) -> Iterator[Fault]:
    by_line: dict[str, dict[str, tuple[int, int]]] = {}
    for row, stage in facts.rows("stages"):
        by_line.setdefault(stage.line, {})[stage.stage] = (stage.days, row)
    for profile in by_line.values():
        before = ("", 0)
        for word in STAGE_WORDS:
            if word not in profile:
                continue
            days, row = profile[word]
            if days < before[1]:
                yield Fault("stages", row, "days", f"{word} on day {days} comes before {before[0]} "
                            f"on day {before[1]}", "give the days in order")  # fmt: skip
            before = (word, days)


def brood_faults(facts: Facts) -> Iterator[Fault]:
    """Broods in tanks of the room, dates in order, samples the right way round."""
    spawned = {}
    for row, brood in facts.rows("broods"):
        spawned[brood.code] = brood.spawned
        if not _tank(facts, brood.tank):
            yield unknown(facts, "broods", row, "tank", brood.tank, "tanks")
        if brood.closed is not None and brood.closed < brood.spawned:
            yield Fault("broods", row, "closed", f"it was closed on {brood.closed}, before the "
                        f"spawn on {brood.spawned}", "correct one of the two days")  # fmt: skip
    for sheet in ("sightings", "samples"):
        for row, fact in facts.rows(sheet):
            began = spawned.get(fact.brood)
            if began is None:
                yield Fault(sheet, row, "brood", f"there is no brood “{shown(fact.brood)}”",
                            "add it to broods, or correct it", ("broods",))  # fmt: skip
            elif fact.day < began:
                yield Fault(sheet, row, "day", f"{fact.day} is before the spawn on {began}",
                            "correct one of the two days", ("broods",))  # fmt: skip
    for row, sample in facts.rows("samples"):
        if not sample.smallest_cm <= sample.middle_cm <= sample.largest_cm:
            yield Fault(
                "samples", row, "middle_cm",
                f"{sample.smallest_cm:g}, {sample.middle_cm:g} and {sample.largest_cm:g} cm are "
                "not in order", "give the smallest, the median and the largest",
            )  # fmt: skip


def move_faults(facts: Facts) -> Iterator[Fault]:
    """Moves to come lie between two tanks; make-overs are of a tank, their steps of a make-over."""
    for row, move in facts.rows("planned_moves"):
        for column, allowed in (("from_tank", (TUB,)), ("to_tank", (TUB, ""))):
            name = getattr(move, column)
            if name not in allowed and not _tank(facts, name):
                yield unknown(facts, "planned_moves", row, column, name, "tanks")
        if move.from_tank == move.to_tank:
            yield Fault("planned_moves", row, "to_tank", f"it goes from {shown(move.from_tank)} to "
                        "the same", "name another tank")  # fmt: skip
        if (move.state == "done") != (move.done_on is not None):
            yield Fault("planned_moves", row, "done_on", f"it is {move.state}, and the day it was "
                        f"done is {move.done_on or 'blank'}",
                        "give the day where it is done, and only there")  # fmt: skip
    began: dict[str, Any] = {}
    for row, made in facts.rows("rededications"):
        began[made.code] = made
        if not _tank(facts, made.tank):
            yield unknown(facts, "rededications", row, "tank", made.tank, "tanks")
        if made.ended is not None and made.ended < made.began:
            yield Fault("rededications", row, "ended", f"it ended on {made.ended}, before it began "
                        f"on {made.began}", "correct one of the two days")  # fmt: skip
    for row, gate in facts.rows("gates"):
        if gate.rededication not in began:
            yield Fault("gates", row, "rededication", "there is no make-over "
                        f"“{shown(gate.rededication)}”", "add it to rededications, or correct it",
                        ("rededications",))  # fmt: skip


def _tank(facts: Facts, name: str) -> bool:
    return name in facts.codes("tanks") or name in facts.places_once
