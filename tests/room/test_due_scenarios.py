"""Due dates by hand: worked scenarios of an invented room, each day counted on a calendar."""

from datetime import date

import pytest

from roomtasks.room.why import why
from tests.room.scene import (
    Between,
    Hold,
    at,
    days_from,
    dues,
    event,
    group,
    job,
    mark,
    morning,
    room,
    states,
    tank,
)  # fmt: skip


def on(day: str) -> date:
    return date.fromisoformat(day)


def test_an_interval_counts_from_the_day_done() -> None:
    sponge = job("sponge", "every 14 days", where="filter D3-1", kind="filter", window="-2/+3")
    scene = room(jobs=(sponge,), change_day="none")
    done = mark("sponge", "D3-1", "2027-03-02", "2027-03-02")
    seen = states(scene, [done], "sponge@D3-1", days_from("2027-03-13", 8))
    assert seen == ["not-yet-open", "open", "open", "due", "due", "due", "due", "late"]
    again = mark("sponge", "D3-1", "2027-03-16", "2027-03-18")
    assert dues(scene, [done, again], morning("2027-03-18"))["sponge@D3-1"].placed == on(
        "2027-04-01"
    )


def test_a_weekday_job_does_not_creep() -> None:
    weekly = job("weekly", "calendar FREQ=WEEKLY;BYDAY=MO", window="-1/+2", starts=on("2027-03-01"))
    scene = room(jobs=(weekly,))
    due = dues(scene, [], morning("2027-03-03"))["weekly@D3"]
    assert (due.slot.day, str(due.state)) == (on("2027-03-01"), "due")
    late = mark("weekly", "D3", "2027-03-01", "2027-03-03")
    assert dues(scene, [late], morning("2027-03-03"))["weekly@D3"].placed == on("2027-03-08")
    sunday = dues(scene, [late], morning("2027-03-07"))["weekly@D3"]
    assert (sunday.slot.day, str(sunday.state)) == (on("2027-03-08"), "open")
    early = mark("weekly", "D3", "2027-03-08", "2027-03-07")
    assert dues(scene, [late, early], morning("2027-03-07"))["weekly@D3"].placed == on("2027-03-15")


def test_missed_calendar_days_are_one_job_with_a_number() -> None:
    weekly = job("weekly", "calendar FREQ=WEEKLY;BYDAY=MO", window="-1/+2", starts=on("2027-03-01"))
    due = dues(room(jobs=(weekly,)), [], morning("2027-03-22"))["weekly@D3"]
    assert (due.slot.day, due.slot.missed) == (on("2027-03-22"), 3)


@pytest.mark.parametrize(
    ("first_done", "placed", "moved"),
    [
        ("2027-03-10", "2027-03-17", ()),
        ("2027-03-13", "2027-03-20", ("after its window because of the gap",)),
    ],
)
def test_two_filters_of_one_tank_stand_seven_days_apart(
    first_done: str, placed: str, moved: tuple[str, ...]
) -> None:
    one = job("sponge-1", "every 28 days", where="filter D5-1", kind="filter", window="-4/+4")
    two = job("sponge-2", "every 28 days", where="filter D5-2", kind="filter", window="-4/+4")
    gap = Between(code="P1", first="kind filter", relation="apart", second="kind filter", days=7)
    scene = room(jobs=(one, two), between=(gap,), change_day="none")
    marks = [
        mark("sponge-1", "D5-1", first_done, first_done),
        mark("sponge-2", "D5-2", "2027-02-14", "2027-02-14"),
    ]
    due = dues(scene, marks, morning("2027-03-14"))["sponge-2@D5-2"]
    assert due.slot.day == on("2027-03-14")
    assert due.placed == on(placed)
    assert str(due.state) == "held"
    assert due.moved == moved
    ready = dues(scene, marks, morning(placed))["sponge-2@D5-2"]
    assert str(ready.state) == "due"


def test_a_filter_waits_seven_days_after_the_last_dose_and_is_held_not_late() -> None:
    sponge = job("sponge", "every 28 days", where="filter D2-1", kind="filter", window="-4/+4")
    gap = Between(code="P1", first="event dose", relation="apart", second="kind filter", days=7)
    doses = tuple(event("dose", "D2", day) for day in days_from("2027-03-10", 7))
    scene = room(jobs=(sponge,), between=(gap,), events=doses, change_day="none")
    marks = [mark("sponge", "D2-1", "2027-02-15", "2027-02-15")]
    for day in days_from("2027-03-15", 8):
        due = dues(scene, marks, morning(day))["sponge@D2-1"]
        assert (str(due.state), due.placed) == ("held", on("2027-03-23"))
        assert "2027" not in why(due)
    assert "free from Tue 23 Mar" in why(dues(scene, marks, morning("2027-03-20"))["sponge@D2-1"])
    assert str(dues(scene, marks, morning("2027-03-23"))["sponge@D2-1"].state) == "due"


def test_two_open_filters_are_placed_one_after_the_other() -> None:
    sponges = job(
        "sponge", "every 28 days", where="filters on tank D5", kind="filter", window="-4/+4"
    )
    gap = Between(code="P1", first="kind filter", relation="apart", second="kind filter", days=7)
    scene = room(jobs=(sponges,), between=(gap,), change_day="none")
    marks = [mark("sponge", f"D5-{n}", "2027-02-14", "2027-02-14") for n in (1, 2)]
    found = dues(scene, marks, morning("2027-03-14"))
    assert found["sponge@D5-1"].placed == on("2027-03-14")
    assert found["sponge@D5-2"].placed == on("2027-03-21")


def change(**facts: object) -> object:
    base = {"kind": "change", "where": "all tanks", "window": "-1/+2", "fraction": 0.30}
    return job("change", "every 7 days", **{**base, **facts})


def test_half_a_change_leaves_what_the_dilution_sum_says() -> None:
    scene = room(jobs=(change(),))
    last = mark("change", "D2", "2027-03-06", "2027-03-06")
    half = mark("change", "D2", "2027-03-13", "2027-03-13", "partly", fraction=0.15)
    due = dues(scene, [last, half], morning("2027-03-13"))["change@D2"]
    assert due.owed_fraction == pytest.approx(0.1765, abs=0.00005)
    assert due.litres == pytest.approx(9.26, abs=0.01)
    assert str(due.state) == "due"
    assert due.closes == on("2027-03-15")
    rest = mark("change", "D2", "2027-03-13", "2027-03-14", fraction=0.1765)
    after = dues(scene, [last, half, rest], morning("2027-03-14"))["change@D2"]
    assert after.slot.first == on("2027-03-21")


def test_the_change_day_pulls_what_its_window_holds() -> None:
    scene = room(jobs=(change(),))
    sunday = mark("change", "D2", "2027-03-13", "2027-03-14")
    due = dues(scene, [sunday], morning("2027-03-14"))["change@D2"]
    assert due.placed == on("2027-03-20")
    tuesday = mark("change", "D2", "2027-03-13", "2027-03-16")
    off = dues(scene, [tuesday], morning("2027-03-16"))["change@D2"]
    assert off.placed == on("2027-03-23")
    assert off.moved == ("off the change day",)
    assert off.step_back is not None
    assert off.step_back.day == on("2027-03-20")
    assert off.step_back.fraction == pytest.approx(0.197, abs=0.0005)
    assert "one step back is Sat 20 Mar with 19.7 %" in why(off)


def restock(*rows: tuple[str, str]) -> tuple[object, ...]:
    from roomtasks.room.stock import Stocked

    return tuple(Stocked(tank="D7", since=on(day), state=state) for day, state in rows)


def test_not_empty_then_empty_then_restocked() -> None:
    jobs = (
        change(),
        job("vac", "every 14 days", kind="vac", where="all tanks", window="-3/+7"),
        job("feed", "every 1 day", kind="feed", where="all tanks"),
        job("filter-test", "state restocked +0..+6 after 7 days", kind="test", where="all tanks"),
    )
    marks = [mark("change", "D7", "2027-02-27", "2027-02-27")]
    helpers = (group("helpers", "D7", 2),)
    still = room(jobs=jobs, groups=helpers, stocked=restock(("2027-01-01", "fish")))
    assert "change@D7" in dues(still, marks, morning("2027-03-06"))
    gone = room(
        jobs=jobs, groups=(), stocked=restock(("2027-01-01", "fish"), ("2027-03-07", "empty"))
    )
    on_13 = dues(gone, marks, morning("2027-03-13"))
    assert not [name for name in on_13 if name.endswith("@D7")]
    back = room(
        jobs=jobs, groups=(group("new", "D7", 20),),
        stocked=restock(("2027-01-01", "fish"), ("2027-03-07", "empty"), ("2027-04-02", "fish")),
    )  # fmt: skip
    due = dues(back, marks, morning("2027-04-02"))["change@D7"]
    assert due.slot.first == on("2027-04-09")
    assert str(due.state) == "not-yet-open"
    tests, served = [], list(marks)
    for day in days_from("2027-04-01", 12):
        test = dues(back, served, morning(day)).get("filter-test@D7")
        if test is not None and str(test.state) == "due":
            tests.append(day)
            served.append(mark("filter-test", "D7", str(test.slot.day), day))
    assert tests == days_from("2027-04-02", 7)


def test_a_hold_blocks_by_kind_and_is_never_late() -> None:
    hold = Hold(
        code="H1", target="D3", kinds="vac filter", cause="spawning", reason="eggs on the glass",
        since=on("2027-03-01"), until=on("2027-03-20"),
    )  # fmt: skip
    jobs = (
        job("vac", "every 7 days", kind="vac", where="tank D3", window="-0/+1"),
        change(where="tank D3"),
    )
    scene = room(jobs=jobs, holds=(hold,), change_day="none")
    marks = [mark(code, "D3", "2027-03-06", "2027-03-06") for code in ("vac", "change")]
    found = dues(scene, marks, morning("2027-03-17"))
    assert str(found["vac@D3"].state) == "held"
    assert found["vac@D3"].days_late == 0
    assert str(found["change@D3"].state) == "late"
    assert "eggs on the glass" in why(found["vac@D3"])
    free = dues(scene, marks, morning("2027-03-21"))["vac@D3"]
    assert str(free.state) == "due"


def test_keeps_slot_inside_the_window_and_rebases_outside_it() -> None:
    kept = job("lamp", "every 28 days keeps-slot", window="-2/+2")
    scene = room(jobs=(kept,), change_day="none")
    inside = mark("lamp", "D3", "2026-04-20", "2026-04-22")
    assert dues(scene, [inside], morning("2026-04-22"))["lamp@D3"].slot.first == on("2026-05-18")
    outside = mark("lamp", "D3", "2026-04-20", "2026-04-23")
    assert dues(scene, [outside], morning("2026-04-23"))["lamp@D3"].slot.first == on("2026-05-21")


def test_put_off_keeps_the_window_and_comes_back() -> None:
    scene = room(
        jobs=(job("wipe", "every 14 days", kind="wipe", window="-4/+7"),), change_day="none"
    )
    last = mark("wipe", "D3", "2027-03-01", "2027-03-01")
    off = mark("wipe", "D3", "2027-03-15", "2027-03-15", "put-off", until=on("2027-03-17"))
    today = dues(scene, [last, off], morning("2027-03-15"))["wipe@D3"]
    assert (today.put_off_to, today.on_walk, today.closes) == (
        on("2027-03-17"),
        False,
        on("2027-03-22"),
    )
    back = dues(scene, [last, off], morning("2027-03-17"))["wipe@D3"]
    assert back.on_walk


def test_left_out_gives_up_this_one_and_counts_it() -> None:
    scene = room(jobs=(change(where="tank D3"),))
    last = mark("change", "D3", "2027-03-06", "2027-03-06")
    given_up = mark("change", "D3", "2027-03-13", "2027-03-13", "left-out", reason="no time")
    due = dues(scene, [last, given_up], morning("2027-03-13"))["change@D3"]
    assert due.slot.first == on("2027-03-20")
    assert due.past.left_out == 1


def test_work_after_midnight_belongs_to_the_evening_before() -> None:
    scene = room(jobs=(job("feed", "every 1 day", kind="feed"),))
    due = dues(scene, [mark("feed", "D3", "2027-03-09", "2027-03-09")], at("2027-03-11T00:30"))[
        "feed@D3"
    ]
    assert due.slot.day == on("2027-03-10")


def test_water_above_the_glass_has_no_volume() -> None:
    from roomtasks.room.problem import Problem
    from roomtasks.room.tank import litres_of

    found = litres_of(tank("D1", water_cm=40.0))
    assert isinstance(found, Problem)
    assert "above the glass" in found.what


def test_a_calendar_job_with_no_start_is_not_late_for_a_day_before_it_was_thought_of() -> None:
    weekly = job("weekly", "calendar FREQ=WEEKLY;BYDAY=MO", window="-1/+2")
    due = dues(room(jobs=(weekly,)), [], morning("2027-03-05"))["weekly@D3"]
    assert (due.slot.day, str(due.state)) == (on("2027-03-08"), "not-yet-open")
    inside = dues(room(jobs=(weekly,)), [], morning("2027-03-03"))["weekly@D3"]
    assert (inside.slot.day, str(inside.state)) == (on("2027-03-01"), "due")


def test_what_was_to_be_done_before_an_event_lapses_with_it() -> None:
    ready = job("ready", "event arrival -2", window="-0/+1")
    scene = room(jobs=(ready,), events=(event("arrival", "D3", "2027-03-10"),))
    assert str(dues(scene, [], morning("2027-03-08"))["ready@D3"].state) == "due"
    assert str(dues(scene, [], morning("2027-03-10"))["ready@D3"].state) == "late"
    assert "ready@D3" not in dues(scene, [], morning("2027-03-11"))


def test_a_hold_past_the_window_is_said_as_a_hold() -> None:
    hold = Hold(code="H", target="D3", kinds="all", since=on("2027-03-01"), until=on("2027-03-20"),
                reason="eggs")  # fmt: skip
    scene = room(jobs=(job("wipe", "every 14 days", kind="wipe", window="-1/+1"),), holds=(hold,),
                 change_day="none")  # fmt: skip
    due = dues(scene, [mark("wipe", "D3", "2027-02-28", "2027-02-28")], morning("2027-03-14"))
    assert due["wipe@D3"].moved == ("after its window because of the hold",)
