"""A plan made by hand that has one of everything, for looking at how a plan is said.

No figure in it is worked out: every value is made up, so that only the saying is looked at.
"""

from datetime import date

from roomtasks.room.amount import ASSUMED, COMPUTED, FORECAST, MEASURED, Amount, Input
from roomtasks.room.health import Health
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import (
    Batch,
    Blend,
    BodyChange,
    ChangePlan,
    Choice,
    Clock,
    ClockStep,
    Contents,
    Dose,
    Draw,
    Forecast,
    Match,
    NextStep,
    Note,
    Price,
    RecipeDemand,
    Share,
    Split,
    SumpLevels,
    Vessel,
    WhatIf,
)
from tests.rooms import at

LITRES = Amount(
    27.3, "L", COMPUTED, "fraction x litres",
    (Input("fraction", 0.3, "", "as set"), Input("A1", 91.0, "L", MEASURED, "filled by the clock")),
)  # fmt: skip
DOSE = Dose(
    product="salt", amount=Amount(26.0, "g", COMPUTED, "per litre x litres out"), where="H1",
    why="what the change takes out", caution="weigh it",
)  # fmt: skip
MATCH = Match(
    tank="A1", before_celsius=Amount(25.0, "C", MEASURED, source="read 2027-03-12"),
    new_celsius=21.0, after_celsius=23.8, step=-1.2, limit=1.0, coldest_new_celsius=21.667,
    warmest_new_celsius=28.333, most_fraction=0.25, allowed=False,
)  # fmt: skip


def a_draw(tank: str, order: int, **more: object) -> Draw:
    made = {
        "due_id": f"change@{tank}", "name": "Change", "sort": "change", "place": tank, "tank": tank,
        "body": "S", "recipe": "hard", "reservoir": "R1", "litres": LITRES,
        "from_reservoir": 28.119, "fraction": 0.3, "drain_cm": 8.929, "order": order,
        "health": Health.CLEAN,
    } | more  # fmt: skip
    return Draw(**made)  # type: ignore[arg-type]


def a_plan(**more: object) -> ChangePlan:
    """The plan; `more` puts other values in place."""
    draws = (
        a_draw("A1", 0, match=MATCH), a_draw("A2", 1, missed=1, need=4, need_reason="missed last"),
        a_draw("H1", 2, doses=(DOSE,), body="H1", need=1, need_reason="a course of treatment"),
        a_draw("", 3, place="S", name="Top off the sump", sort="top-off", fraction=None,
               drain_cm=None),
    )  # fmt: skip
    made = {
        "day": date(2027, 3, 13), "wanted_at": at("2027-03-13T09:00"),
        "now": at("2027-03-12T18:00"),
        "what_if": WhatIf(celsius=21.0, fill_rates=(("R1", 9.0),), extra=(("D3", 0.3),)),
        "demands": (
            RecipeDemand(
                recipe="hard", draws=draws, drained_litres=81.9, top_off_litres=27.3,
                other_litres=0.0, loss_litres=3.276, litres=Amount(112.476, "L", ASSUMED, "sum"),
            ),
        ),
        "bodies": (
            BodyChange(
                body="S", sort="system", tanks=("A1", "A2"), litres=Amount(2412.0, "L", MEASURED),
                drained_litres=660.0, fraction=Amount(0.2736, "", COMPUTED, "drained / litres"),
                tanks_fraction=0.3,
            ),
        ),
        "vessels": (
            Vessel(code="R1", recipes=("hard",), most_litres=560.0, left_litres=140.0,
                   holds_litres=140.0, ready_litres=0.0),
            Vessel(code="R2", recipes=(), most_litres=200.0, left_litres=0.0, holds_litres=20.0),
        ),
        "contents": (
            Contents(reservoir="R1", litres=140.0, recipe="hard", state="treated",
                     treated_at=at("2027-03-06T20:30"), celsius=Amount(18.0, "C", FORECAST)),
        ),
        "by_litres": (("hard", (560.0, 358.76)),),
        "walking": (("hard", a_split(draws)),), "any_order": (("hard", a_split(draws)),),
        "batches": (a_batch(draws),), "choices": some_choices(), "needs": draws[::-1],
        "forecasts": some_forecasts(), "sumps": some_sumps(),
        "next_step": NextStep(reservoir="R1", step="hose-out", at=at("2027-03-12T18:46"),
                              late=False, text="hose out at R1"),
        "notes": (
            Note(about="A1", text="a step of 1.2 K is more than 1 K", sort="refused", rule="cold"),
            Note(about="S", text="the drip was measured 40 days ago", sort="warned"),
            Note(about="", text="nitrate is a forecast"),
        ),
    } | more  # fmt: skip
    return ChangePlan(**made)  # type: ignore[arg-type]


def a_split(draws: tuple[Draw, ...]) -> Split:
    return Split(order="walking", fills=(tuple(Share(draw=d, litres=28.119) for d in draws),),
                 reservoirs=("R1",), litres=(112.476,), lower_bound=1, proven=True)  # fmt: skip


def a_batch(draws: tuple[Draw, ...]) -> Batch:
    steps = tuple(
        ClockStep(step=step, latest=at(latest), advised=at(advised),
                  minutes=Amount(minutes, "min", COMPUTED, "litres / rate"), why=f"why of {step}",
                  done_at=at("2027-03-12T17:50") if step == "hose-out" else None)
        for step, latest, advised, minutes in (
            ("hose-out", "2027-03-12T18:46", "2027-03-12T18:40", 10.0),
            ("fill-start", "2027-03-12T18:56", "2027-03-12T18:50", 93.33),
            ("heat-on", "2027-03-13T05:07", "2027-03-13T03:26", 202.3),
            ("change", "2027-03-13T09:00", "2027-03-13T09:00", 0.0),
        )
    )  # fmt: skip
    return Batch(
        n=1, reservoir="R1", recipe="hard",
        shares=tuple(Share(draw=draw, litres=28.119) for draw in draws), used_litres=112.476,
        added_litres=112.476, left_litres=140.0, mix_celsius=Amount(13.2, "C", COMPUTED, "mixed"),
        target_celsius=25.0, heat_kwh=Amount(9.61, "kWh", COMPUTED, "V x K x 1.163 Wh"),
        heat_minutes=Amount(202.3, "min", COMPUTED, "energy / power"),
        doses=(Dose(product="conditioner", amount=Amount(28.0, "ml", COMPUTED, "5 per 100 L"),
                    where="R1", why="for the litres added"),),
        blend=Blend(ro_fraction=Amount(0.593, "", COMPUTED, "(tap - want) / (tap - ro)"),
                    ro_litres=106.7, source_litres=73.3, hours=Amount(13.07, "h", ASSUMED, "rate"),
                    waste_litres=320.0),
        clock=Clock(steps=steps, wanted_at=at("2027-03-13T09:00"),
                    ready_at=at("2027-03-13T14:13"),
                    refused=Problem("R1", "it is not ready by 09:00", "change from 14:13",
                                    "not-ready"),
                    notes=(Note(about="R1", text="told of the clock"),)),
        emptied_at=at("2027-03-13T10:40"),
    )  # fmt: skip


def some_choices() -> tuple[Choice, ...]:
    return (
        Choice(sort="smaller", text="one batch, every change at 18.3 %", needs_yes=False,
               litres=(560.0,),
               prices=(Price(body="S", fraction=0.183, settles_mg_per_l=43.8, was_mg_per_l=26.7),
                       Price(body="H1", fraction=0.152, settles_mg_per_l=None,
                             was_mg_per_l=None))),
        Choice(sort="keep-back", text="use the keep-back", needs_yes=True, litres=(600.0, 319.0)),
    )  # fmt: skip


def some_forecasts() -> tuple[Forecast, ...]:
    number = Amount(31.7, "mg/L", FORECAST, "now + production")
    return (
        Forecast(body="S", reading=Amount(24.0, "mg/L", MEASURED, source="read 2027-03-10"),
                 production_per_week=Amount(8.0, "mg/L", ASSUMED, "from feed"), now=number,
                 before_next=number, settles=number, limit=35.0,
                 least_fraction=Amount(0.267, "", COMPUTED, "p / (limit - source)"),
                 crosses_on=date(2027, 3, 20), change_now=True),
        Forecast(body="H1", reading=None, production_per_week=None, now=None, before_next=None,
                 settles=None, limit=None, least_fraction=None, crosses_on=None),
    )  # fmt: skip


def some_sumps() -> tuple[SumpLevels, ...]:
    return (
        SumpLevels(system="S", running_cm=30.0, back_litres=Amount(63.6, "L", COMPUTED, "area x "
                   "head + pipes"), rise_cm=8.96, resting_cm=38.96, highest_running_cm=34.04,
                   overflows=False),
    )  # fmt: skip
