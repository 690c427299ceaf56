"""Marking at the rack: done, partly, put off, left out, cannot.

Each call is one act: it looks again under the write lock, decides by the rules
of the room, writes marks and their effects together, and says what is due
next. A job marked already today is no second act; the answer says who and when.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from difflib import get_close_matches

from roomtasks.room.fit import hands_needed
from roomtasks.room.job import Hold, Job, parse_effects
from roomtasks.room.journal import Event, Mark
from roomtasks.room.naming import OUTCOME_WORDS, day_words, id_said, job_said, time_words
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.system import PumpTurn
from roomtasks.room.targets import class_at, tasks
from roomtasks.room.trouble_holds import RULE, Place, opens_after
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.write import Abandon, Writer, act
from roomtasks.work.further_parts import further_parts
from roomtasks.work.picture import HANDS, Picture, picture
from roomtasks.work.water_marks import water_effects

TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class How:
    """How something was marked. `when` is None for now; `litres`, `minutes` as told.

    `times` are of the same room day, by job@target, where each was done at its own;
    `untils` the days put off to where each has its own.
    """

    who: str = ""
    when: datetime | None = None
    fraction: float | None = None
    litres: float | None = None
    minutes: float | None = None
    until: date | None = None
    reason: str = ""
    note: str = ""
    hands_clean: bool = False
    anyway: bool = False
    times: Mapping[str, datetime] = field(default_factory=dict)
    untils: Mapping[str, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Marked:
    """What a marking changed. `next_due` is the new placed day by job@target."""

    act: int | None
    words: str
    marks: tuple[Mark, ...]
    next_due: dict[str, date | None]
    remarks: tuple[str, ...] = ()


def mark(
    store: Store, now: datetime, names: Sequence[str], outcome: str, how: How
) -> Marked | Problem:
    """Mark occurrences, all of them or none. Names are job@target, or a job with one target."""
    when = how.when or now
    if when > now:
        return Problem(
            "when", f"{time_words(when)} lies ahead", "give a time gone by", "not-in-the-future",
            "the time",
        )  # fmt: skip
    answer: Marked | Problem | None = None
    with act(store, now, _day(store, now), how.who, outcome) as writer:
        seen = picture(store, when, near=_near_to(names))
        if isinstance(seen, Problem):
            answer = seen
            raise Abandon
        answer = _mark_all(writer, seen, names, outcome, how)
        if isinstance(answer, Problem) or answer.act is None:
            raise Abandon
        after = picture(store, now, near=[made.target for made in answer.marks])
        if isinstance(after, Problem):
            raise Abandon
        answer = _with_next(answer, after)
    if answer is None:
        raise RuntimeError("a marking ended with no answer")
    return answer


def _near_to(names: Sequence[str]) -> list[str] | None:
    """The targets named; None, for all, where a job stands without its place."""
    if not all("@" in name for name in names):
        return None
    return [name.partition("@")[2] for name in names]


def _day(store: Store, now: datetime) -> date:
    room = read.room(store)
    return now.date() if isinstance(room, Problem) else room.day_at(now)


def _mark_all(
    writer: Writer, seen: Picture, names: Sequence[str], outcome: str, how: How
) -> Marked | Problem:
    ids = [found_id(seen, name) for name in names]
    for found in ids:
        if isinstance(found, Problem):
            return found
    already: list[str] = []
    marks: list[Mark] = []
    remarks: list[str] = []
    for name in dict.fromkeys(str(found) for found in ids):
        earlier = _marked_already(seen, name, outcome)
        if earlier is not None:
            already.append(earlier)
            continue
        due = seen.due.get(name)
        if due is None:
            return Problem(name, "nothing is to be done there now", "look at its tank page",
                           named=id_said(seen.room.job, name))  # fmt: skip
        refusal = refused(seen, due, outcome, how)
        if refusal is not None:
            return refusal
        made = _one(writer, seen, due, outcome, how, remarks)
        if isinstance(made, Problem):
            return made
        marks.append(made)
    if not marks:
        return Marked(None, "; ".join(already), (), {}, tuple(already))
    if how.hands_clean and _asks_hands(seen, [seen.due[f"{m.job}@{m.target}"] for m in marks]):
        _hands(writer, seen, how)
    writer.words = _words(seen.room, outcome, marks)
    return Marked(writer.id, writer.words, tuple(marks), {}, (*already, *remarks))


def found_id(seen: Picture, name: str) -> str | Problem:
    """job@target from what was typed: itself, or a job code with one target."""
    if "@" in name:
        job, _, target = name.partition("@")
        if job not in seen.room.job:
            return Problem(name, f"there is no job “{job}”", _near(job, list(seen.room.job)))
        if (job, target) not in {(j.code, t) for j, t in tasks(seen.room, seen.now)}:
            return Problem(
                name, f"it has no place “{target}” today",
                "'roomtasks walk --all' and 'roomtasks jobs' list the places",
                named=job_said(seen.room.job, job),
            )  # fmt: skip
        return name
    if name not in seen.room.job:
        return Problem(name, "there is no such job", _near(name, list(seen.room.job)))
    places = [target for job, target in tasks(seen.room, seen.now) if job.code == name]
    if len(places) == 1:
        return f"{name}@{places[0]}"
    return Problem(name, f"it has {len(places)} places", f"say which, as {name}@PLACE",
                   named=job_said(seen.room.job, name))  # fmt: skip


def _near(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, 3)
    return "did you mean " + " or ".join(near) if near else "'roomtasks jobs' lists them"


def _marked_already(seen: Picture, name: str, outcome: str) -> str | None:
    """The words for a job that was closed earlier this room day, if it is not due again."""
    job, _, target = name.partition("@")
    due = seen.due.get(name)
    if due is not None and due.state in (State.DUE, State.LATE):
        return None
    for mark_ in reversed(seen.marks):
        if (mark_.job, mark_.target) == (job, target) and mark_.outcome in ("done", "left-out"):
            by = f" by {mark_.who}" if mark_.who else ""
            word = "done" if mark_.outcome == "done" else "left out"
            said = id_said(seen.room.job, name)
            return f"{said}: {word} at {mark_.at:%H:%M}{by} already, nothing changed"
    return None


def refused(seen: Picture, due: Due, outcome: str, how: How) -> Problem | None:
    """The rule of the room that forbids this, if one does."""
    if outcome not in ("done", "partly") or how.anyway:
        return None
    if due.state is State.HELD and due.blocked is not None:
        end = "end the trouble" if due.blocked.rule == RULE else "lift the hold"
        free = f"wait until {day_words(due.placed)}" if due.blocked.until else f"{end} first"
        return Problem(
            due.id, f"it is held ({due.blocked.reason})", f"{free}, or say --anyway", "held",
            due.said,
        )  # fmt: skip
    fed = opens_after(seen.room, due.job, Place(due.target, due.tank), seen.now)
    if fed is not None:
        return Problem(
            due.id, "no food until 24 h after the power is back",
            f"wait until {fed:%H:%M}, or say --anyway", "held", due.said,
        )  # fmt: skip
    if due.state is State.NOT_YET_OPEN:
        return Problem(
            due.id, f"it opens only on {day_words(due.opens)}",
            "wait until then, or say --anyway", "not-yet-open", due.said,
        )  # fmt: skip
    if due.waits_for:
        return Problem(
            due.id, f"“{due.waits_name or due.waits_for}” comes first and is not marked",
            f"mark that one first ('roomtasks done {due.waits_for}'), or say --anyway", "after",
            due.said,
        )  # fmt: skip
    if _asks_hands(seen, [due]) and not how.hands_clean:
        touched = seen.touched.word if seen.touched is not None else ""
        return Problem(
            due.id, f"a tank that is {touched} was touched before, and this one is "
            f"{due.health.word}", "hands and gear clean? then say --hands-clean", "hands", due.said,
        )  # fmt: skip
    return None


def _asks_hands(seen: Picture, dues: Sequence[Due]) -> bool:
    return any(
        class_at(seen.room, due.target, seen.today) is not None
        and hands_needed(seen.touched, due.health)
        for due in dues
    )


def _hands(writer: Writer, seen: Picture, how: How) -> None:
    writer.put(
        "events",
        Event(
            id=writer.next_id("events"), act=writer.id, event=HANDS, target="room", day=seen.today,
            at=seen.now, who=how.who, note="yes",
        ),
    )  # fmt: skip


def _one(
    writer: Writer, seen: Picture, due: Due, outcome: str, how: How, remarks: list[str]
) -> Mark | Problem:
    fraction = litres = None
    if outcome in ("done", "partly"):
        amounts = _amounts(due, outcome, how)
        if isinstance(amounts, Problem):
            return amounts
        outcome, fraction, litres = amounts
        too_large = _too_large(seen.room, due, fraction, how)
        if too_large is not None:
            return too_large
    until = how.untils.get(due.id, how.until)
    if outcome == "put-off" and (until is None or until <= seen.today):
        return Problem("until", "it can only be put off to a day ahead", "give a later day",
                       named=due.said)  # fmt: skip
    if outcome in ("left-out", "blocked") and not how.reason:
        return Problem(due.id, "the reason is missing", "say why with --reason", named=due.said)
    made = Mark(
        id=writer.next_id("marks"), act=writer.id, job=due.job.code, target=due.target,
        slot=due.slot.day, outcome=outcome, day=seen.today,
        at=how.times.get(due.id, seen.now), who=how.who, fraction=fraction, litres=litres,
        minutes=how.minutes, until=until, reason=how.reason, note=how.note,
    )  # fmt: skip
    writer.put("marks", made)
    if outcome in ("done", "partly"):
        remarks += _effects(writer, seen, due, made, how.litres is not None)
        remarks += further_parts(writer, seen.room, due, made)
        last = due.past.done
        if last is not None and made.day < last.day:
            remarks.append(
                f"{due.said} was done later as well, on {day_words(last.day)}; "
                "when it is next due is unchanged"
            )
    if outcome == "put-off" and until is not None and until > due.closes:
        remarks.append(f"{due.said}: {day_words(until)} is past its window")
    if outcome == "blocked":
        remarks.append(_block(writer, seen, due, made))
    return made


def _amounts(due: Due, outcome: str, how: How) -> tuple[str, float | None, float | None] | Problem:
    """Outcome, fraction and litres as they will be written; a part that is all is done."""
    wanted = due.owed_fraction if due.owed_fraction is not None else due.fraction
    whole = due.litres
    fraction = how.fraction
    if fraction is None and how.litres is not None and whole and wanted:
        fraction = min(1.0, how.litres * wanted / whole)
    if outcome == "done":
        if due.fraction is None or wanted is None:
            return "done", None, _told(how.litres, whole)
        share = fraction if fraction is not None else wanted
        return "done", share, _told(how.litres, whole * share / wanted if whole else None)
    if fraction is None or not 0 < fraction <= 1:
        return Problem(due.id, "how much was done is missing", "give a share, as 15 %, or litres",
                       named=due.said)  # fmt: skip
    goal = wanted if due.fraction is not None and wanted is not None else 1.0 - due.part_done
    if fraction >= goal - TOLERANCE:
        return "done", fraction, _told(how.litres, whole * fraction / goal if whole else None)
    return "partly", fraction, _told(how.litres, whole * fraction / goal if whole else None)


def _too_large(room: Room, due: Due, fraction: float | None, how: How) -> Problem | None:
    """A change past the largest of a day is asked about, where it was not planned so."""
    planned = due.owed_fraction if due.owed_fraction is not None else due.fraction
    most = max(room.setup.largest_change, planned or 0.0)
    if fraction is None or due.fraction is None or fraction <= most + TOLERANCE or how.anyway:
        return None
    return Problem(
        due.id, f"{100 * fraction:.4g} % is more than the largest change, {100 * most:.4g} %",
        "give what was really changed, or say --anyway", "largest-change", due.said,
    )  # fmt: skip


def _told(told: float | None, planned: float | None) -> float | None:
    """Litres as told, else as planned, to the millilitre."""
    if told is not None:
        return told
    return round(planned, 3) if planned is not None else None


def _effects(
    writer: Writer, seen: Picture, due: Due, made: Mark, told_litres: bool
) -> list[str]:  # fmt: skip
    """Prepared water, pump state and events that follow from doing it."""
    remarks = water_effects(writer, seen.room, due, made, told_litres)
    effects = parse_effects(due.job.effects)
    if isinstance(effects, Problem):
        return remarks
    if effects.pump:
        for system in _systems(seen, due):
            writer.put("pumps", PumpTurn(system=system, at=made.at, state=effects.pump))
    for name in effects.events:
        writer.put(
            "events",
            Event(
                id=writer.next_id("events"), act=writer.id, event=name,
                target=due.tank or due.target, day=made.day, at=made.at, who=made.who,
                note=due.job.name,
            ),
        )  # fmt: skip
    return remarks


def _systems(seen: Picture, due: Due) -> list[str]:
    if due.target in seen.room.system:
        return [due.target]
    if due.tank:
        system = seen.room.valve.open_to(due.tank, seen.now)
        return [system] if system else []
    return list(seen.room.system)


def _block(writer: Writer, seen: Picture, due: Due, made: Mark) -> str:
    """A hold on this job until lifted, and a once-job to see to the cause."""
    code = f"cannot-{made.id}"
    writer.put(
        "holds",
        Hold(
            code=code, target=due.target, kinds=f"job {due.job.code}", cause="blocked",
            reason=made.reason, since=seen.today,
        ),
    )  # fmt: skip
    place = "tank " + due.tank if due.tank else "room"
    writer.put(
        "jobs",
        Job(
            code=f"see-to-{made.id}", name=f"See to {due.target}: {made.reason}"[:200],
            kind="other",
            where=place, rule=f"once {seen.today + timedelta(days=1)}", window="-1/+2", minutes=5.0,
            note=f"lift {code} with it",
        ),
    )  # fmt: skip
    return f"{due.said} is held until you lift the hold ('roomtasks lift {code}')"


def _words(room: Room, outcome: str, marks: Sequence[Mark]) -> str:
    parts = []
    for made in marks[:12]:
        text = f"{job_said(room.job, made.job, made.target)}: {OUTCOME_WORDS[made.outcome]}"
        if made.outcome == "partly" and made.fraction is not None:
            text += f" ({100 * made.fraction:.4g} %)"
        if made.litres:
            text += f", {made.litres:.1f} L"
        if made.until:
            text += f" to {day_words(made.until)}"
        if made.reason:
            text += f" ({made.reason})"
        parts.append(text)
    if len(marks) > 12:
        parts.append(f"and {len(marks) - 12} more")
    return "; ".join(parts)


def _with_next(answer: Marked, after: Picture) -> Marked:
    following: dict[str, date | None] = {}
    for made in answer.marks:
        due = after.due.get(f"{made.job}@{made.target}")
        endless = due is not None and due.blocked is not None and due.blocked.until is None
        following[f"{made.job}@{made.target}"] = due.placed if due and not endless else None
    return Marked(answer.act, answer.words, answer.marks, following, answer.remarks)
