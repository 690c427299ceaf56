"""A brood from the spawn to its account: dates move with what is seen."""

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.brood import Brood, Sample, Sighting
from roomtasks.room.brood_life import (
    Account,
    Nursery,
    account_of,
    brine_of,
    first_seen,
    lineage,
    profile_of,
    stage_days,
    steps_of,
    survival,
    to_grade,
)
from roomtasks.room.line import DEFAULT_DAYS, STAGE_WORDS, LineFacts, Stage
from roomtasks.room.problem import Problem
from roomtasks.room.rounds import last_round_before, next_round, rounds_of
from roomtasks.room.transfer import Transfer
from tests.room.scene import group

ZONE = ZoneInfo("Europe/London")
COMMON = "common practice, no published source"
SPAWNED = date(2027, 3, 9)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def seen(stage: str, when: str, **facts: Any) -> Sighting:
    instant = at(when)
    return Sighting(brood="b1", stage=stage, day=instant.date(), at=instant, **facts)


def nursery(*sightings: Sighting, samples: tuple[Sample, ...] = (), **facts: Any) -> Nursery:
    rounds = rounds_of("07:30 20:00")
    assert not isinstance(rounds, Problem)
    return Nursery(
        brood=Brood(code="b1", line="line", tank="N1", spawned=SPAWNED, **facts),
        line=LineFacts(name="line"), profile=profile_of((), "line"),
        sightings=(seen("spawn", "2027-03-09T19:00"), *sightings), samples=samples, rounds=rounds,
        zone=ZONE,
    )  # fmt: skip


def sample(day: date, low: float, middle: float, high: float) -> Sample:
    return Sample(brood="b1", day=day, n=12, smallest_cm=low, middle_cm=middle, largest_cm=high)


def days_of(found: Nursery, now: str) -> dict[str, date]:
    return {step.key: step.day for step in steps_of(found, at(now), at(now).date())}


def test_from_the_spawn_to_the_first_feed() -> None:
    found = nursery()
    brine = brine_of(found, at("2027-03-09T19:00"))
    assert brine.start == at("2027-03-15T20:00"), COMMON
    assert brine.feed == at("2027-03-17T07:30")
    assert brine.ready <= brine.feed
    assert brine.in_time
    planned = days_of(found, "2027-03-09T19:00")
    assert planned["hatch"] == date(2027, 3, 12)
    assert planned["swim"] == date(2027, 3, 17)
    assert planned["culture"] == date(2027, 3, 13)
    assert planned["count"] == date(2027, 3, 23)
    assert planned["measure"] == date(2027, 4, 6)
    start = next(s for s in steps_of(found, at("2027-03-09T19:00"), SPAWNED) if s.key == "brine")
    assert start.at == at("2027-03-15T20:00")


def test_free_swimming_a_day_early_moves_what_is_later_and_the_jar_is_not_ready() -> None:
    found = nursery(
        seen("hatch", "2027-03-12T07:30"), seen("free-swimming", "2027-03-16T07:30")
    )  # fmt: skip
    brine = brine_of(found, at("2027-03-16T07:30"))
    assert brine.start == at("2027-03-15T20:00")
    assert brine.ready == at("2027-03-17T02:00")
    assert not brine.in_time
    later = days_of(found, "2027-03-16T07:30")
    assert later["count"] == date(2027, 3, 22)
    assert later["measure"] == date(2027, 4, 5)
    assert "swim" not in later
    assert "hatch" not in later
    assert "brine" not in later
    feeding = next(
        s for s in steps_of(found, at("2027-03-16T07:30"), date(2027, 3, 16)) if s.key == "feed"
    )
    assert feeding.why.startswith("the small culture only until the jar is ready, Wed 17 Mar 02:00")


def test_a_late_hatch_moves_the_jar_with_it() -> None:
    found = nursery(seen("hatch", "2027-03-14T07:30"))
    brine = brine_of(found, at("2027-03-14T08:00"))
    assert brine.feed == at("2027-03-19T07:30")
    assert brine.start == at("2027-03-17T20:00")


def test_so_early_that_no_jar_was_started_it_is_started_at_the_next_round() -> None:
    found = nursery(seen("free-swimming", "2027-03-14T20:00"))
    brine = brine_of(found, at("2027-03-14T20:10"))
    assert brine.start == at("2027-03-15T07:30")
    assert brine.ready == at("2027-03-16T13:30")


def test_a_jar_keeps_its_real_hours_over_a_night_on_which_clocks_change() -> None:
    found = nursery(seen("brine-started", "2027-03-27T20:00"))
    assert brine_of(found, at("2027-03-27T20:00")).ready == at("2027-03-29T03:00")


def test_rounds_read_and_found() -> None:
    rounds = rounds_of("20:00 07:30 07:30")
    assert not isinstance(rounds, Problem)
    assert [str(one) for one in rounds] == ["07:30:00", "20:00:00"]
    assert last_round_before(at("2027-03-16T01:30"), rounds, ZONE) == at("2027-03-15T20:00")
    assert last_round_before(at("2027-03-16T07:30"), rounds, ZONE) == at("2027-03-16T07:30")
    assert next_round(at("2027-03-16T20:01"), rounds, ZONE) == at("2027-03-17T07:30")
    for wrong in ("", "7:30", "25:00", "07:30 soon"):
        assert isinstance(rounds_of(wrong), Problem)


def test_measured_every_fourteen_days_and_graded_at_twice_the_smallest() -> None:
    first = sample(date(2027, 4, 6), 1.0, 1.4, 1.9)
    found = nursery(samples=(first,))
    assert days_of(found, "2027-04-07T08:00")["measure"] == date(2027, 4, 20)
    assert "grade" not in days_of(found, "2027-04-07T08:00")
    uneven = sample(date(2027, 4, 20), 1.2, 1.8, 2.4)
    found = nursery(samples=(first, uneven))
    assert days_of(found, "2027-04-20T08:00")["grade"] == date(2027, 4, 20)
    graded = nursery(seen("graded", "2027-04-20T09:00"), samples=(first, uneven))
    assert "grade" not in days_of(graded, "2027-04-20T10:00")
    assert to_grade((), ()) is None


def test_own_profile_and_closed_brood() -> None:
    stages = (Stage(line="slow", stage="hatch", days=5), Stage(line="other", stage="hatch", days=1))
    assert profile_of(stages, "slow") == {**DEFAULT_DAYS, "hatch": 5}
    assert steps_of(nursery(closed=date(2027, 4, 1)), at("2027-04-02T08:00"), SPAWNED) == ()


@given(st.dictionaries(st.sampled_from(STAGE_WORDS[1:]), st.integers(0, 60)))
def test_stages_never_come_before_one_that_was_seen(delays: dict[str, int]) -> None:
    sightings = [seen(s, f"{SPAWNED + timedelta(days=n)}T08:00") for s, n in delays.items()]
    days = stage_days(DEFAULT_DAYS, SPAWNED, first_seen(sightings))
    last = SPAWNED
    for stage in STAGE_WORDS:
        if days[stage].seen:
            last = days[stage].day
        assert days[stage].day >= last


def _transfer(code: str, how: str, count: int, number: int) -> Transfer:
    return Transfer(id=number, group=code, count=count, how=how, day=SPAWNED,
                    at=at("2027-06-01T10:00"), from_tank="G1")  # fmt: skip


def test_an_account_adds_up_over_all_that_was_split_off() -> None:
    brood = Brood(code="b1", line="line", tank="N1", spawned=SPAWNED, group="y", counted=120)
    groups = (
        group("y", "G1", 20), group("y.2", "G2", 10, origin="y"),
        group("y.3", "G3", 5, origin="y.2"), group("other", "G4", 9),
    )  # fmt: skip
    transfers = [
        _transfer("y", "sold", 40, 1), _transfer("y.2", "died", 5, 2),
        _transfer("y.3", "given", 30, 3), _transfer("y", "lost", 8, 4),
        _transfer("y", "moved", 50, 5), _transfer("other", "sold", 7, 6),
    ]  # fmt: skip
    found = account_of(brood, groups, transfers)
    assert found == Account(counted=120, sold=40, kept=35, died=13, given=30)
    assert isinstance(found, Account)
    assert found.difference == 2
    uncounted = Brood(code="b1", line="line", tank="N1", spawned=SPAWNED)
    refused = account_of(uncounted, groups, transfers)
    assert isinstance(refused, Problem)
    assert refused.rule == "counts-add-up"


def test_the_parents_of_a_brood_and_of_all_its_later_tanks_can_be_listed() -> None:
    groups = (
        group("pair", "B1", 2), group("y", "G1", 20), group("y.2", "G2", 10, origin="y"),
    )  # fmt: skip
    broods = (Brood(code="b1", line="line", tank="B1", spawned=SPAWNED, group="y", parents="pair"),)
    assert lineage(groups, broods, "y.2") == ("y", "pair")
    assert lineage(groups, broods, "pair") == ()
    loop = (group("a", "G1", origin="b"), group("b", "G2", origin="a"))
    assert lineage(loop, (), "a") == ("b",)


def test_shares_that_live_from_printed_counts() -> None:
    """Jamir, zebrafish breeding: 298 of 318 eggs hatched, 270 of them alive after a week."""
    found = survival(
        first_seen(
            [
                seen("spawn", "2027-03-09T19:00", count=318),
                seen("hatch", "2027-03-12T07:30", count=298),
                seen("free-swimming", "2027-03-16T07:30"),
                seen("first-count", "2027-03-19T07:30", count=270),
            ]
        )
    )
    assert 100 * found["hatch"] == pytest.approx(93.71, abs=0.05)
    assert 100 * found["first-count"] == pytest.approx(90.6, abs=0.05)
    assert "free-swimming" not in found
