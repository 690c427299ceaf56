"""Grams to the litre, litres for each fish, bottom for pairs: what a tank holds."""

from datetime import datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.brood_growth import Growth, SizeDay, growth_of, size_day
from roomtasks.room.density import (
    Fit,
    Load,
    Lodger,
    fit_in,
    length_at_limit,
    limit_of,
    line_of,
    load_of,
    lodgers_in,
)
from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.room.system import System, ValveTurn
from tests.room.scene import at, group, room, tank
from tests.room.test_brood_growth import BROOD, LINE, THREE, on

COMMON = "common practice, no published source"
NOW: datetime = at("2027-03-01T08:00")


def d4(**facts: Any) -> Any:
    return room(tanks=(tank("D4", 52.5), tank("D5", 52.5)), groups=(), **facts)


def young(count: int, cm: float | None, line: LineFacts = LINE) -> Lodger:
    return Lodger(group="y", line=line, count=count, length_cm=cm)


def test_a_hundred_and_twenty_young_in_52_litres() -> None:
    here = d4()
    met = length_at_limit(here, "D4", LINE, 120, (), NOW)
    assert not isinstance(met, Problem)
    assert 10 * met[0] == pytest.approx(26.0, abs=0.05), COMMON
    growth = growth_of(BROOD, LINE, THREE)
    assert isinstance(growth, Growth)
    full = size_day(growth, met[0], on(58))
    assert isinstance(full, SizeDay)
    assert full.day == on(61), COMMON
    moving = load_of(here, "D4", [young(120, 3.0)], NOW)
    assert isinstance(moving, Load)
    assert moving.density.value == pytest.approx(0.62, abs=0.005), COMMON
    assert moving.share == pytest.approx(1.54, abs=0.01)
    fit = fit_in(here, "D4", LINE, 3.0, (), NOW)
    assert isinstance(fit, Fit)
    assert (fit.heads, fit.by) == (77, "0.4 g/L"), COMMON
    assert fit.g_each == pytest.approx(0.27)


def test_limits_by_kind_of_tank_and_its_own() -> None:
    here = room(
        tanks=(
            tank("D1"), tank("D2", role="nursery"), tank("D3", density_limit_g_per_l=0.7),
            tank("D4"),
        ),
        systems=(System(code="S", name="S", sump_litres=200.0),), groups=(),
        valves=(ValveTurn(tank="D4", at=at("2026-01-01T08:00"), system="S", state="open"),),
    )  # fmt: skip
    found = {code: limit_of(here, code, NOW).value for code in here.tank}
    assert found == {"D1": 0.4, "D2": 0.2, "D3": 0.7, "D4": 1.0}, COMMON


def test_litres_for_each_cm_and_bottom_for_pairs_hold_besides_the_weight() -> None:
    here = d4()
    roomy = LineFacts(name="line", litres_per_cm=1.0)
    fit = fit_in(here, "D4", roomy, 3.0, (), NOW)
    assert isinstance(fit, Fit)
    assert fit.heads == 17
    assert "for each cm" in fit.by
    owning = LineFacts(name="line", adult_cm=5.0, floor_cm2_per_pair=800.0)
    grown = fit_in(here, "D4", owning, 4.8, (), NOW)
    assert isinstance(grown, Fit)
    assert grown.heads == 4
    assert "a pair" in grown.by
    small = fit_in(here, "D4", owning, 3.0, (), NOW)
    assert isinstance(small, Fit)
    assert small.heads == 77
    met = length_at_limit(here, "D4", roomy, 40, (), NOW)
    assert not isinstance(met, Problem)
    assert met[0] == pytest.approx(52.5 / 40)


def test_others_in_the_tank_take_their_share() -> None:
    here = room(
        tanks=(tank("D4", 52.5),), groups=(group("old", "D4", 2), group("odd", "D4", 3)),
        lines=(LineFacts(name="line", adult_cm=8.0),),
    )  # fmt: skip
    others = lodgers_in(here, "D4", {"odd": 2.0})
    assert [(lodger.group, lodger.length_cm) for lodger in others] == [("old", 8.0), ("odd", 2.0)]
    fit = fit_in(here, "D4", LINE, 3.0, others, NOW)
    assert isinstance(fit, Fit)
    assert fit.heads == int((21 - 2 * 5.12 - 3 * 0.08) / 0.27)
    assert lodgers_in(here, "D4", {}, without=["old"])[0].group == "odd"
    unknown = load_of(here, "D4", [young(5, None)], NOW)
    assert isinstance(unknown, Load)
    assert unknown.unknown == ("y",)
    assert unknown.density.known == "assumed"
    assert line_of(here, "line").adult_cm == 8.0


def test_what_cannot_be_is_refused() -> None:
    here = d4()
    assert isinstance(fit_in(here, "D4", LINE, -3.0, (), NOW), Problem)
    assert isinstance(fit_in(here, "D4", LINE, 0.0, (), NOW), Problem)
    assert isinstance(length_at_limit(here, "D4", LINE, 0, (), NOW), Problem)


@given(st.floats(0.2, 40.0), st.integers(1, 5000), st.floats(0.0, 5.0))
def test_as_many_as_fit_stay_within_the_limit_and_one_more_does_not(
    cm: float, count: int, beside_cm: float
) -> None:
    here = d4()
    others = (young(3, beside_cm),)
    fit = fit_in(here, "D4", LINE, cm, others, NOW)
    assert isinstance(fit, Fit)
    load = load_of(here, "D4", [*others, young(fit.heads, cm)], NOW)
    more = load_of(here, "D4", [*others, young(fit.heads + 1, cm)], NOW)
    assert isinstance(load, Load)
    assert isinstance(more, Load)
    assert fit.heads == 0 or load.share <= 1 + 1e-9
    assert more.share > 1 - 1e-9
    met = length_at_limit(here, "D4", LINE, count, others, NOW)
    assert not isinstance(met, Problem)
    at_limit = load_of(here, "D4", [*others, young(count, met[0])], NOW)
    assert isinstance(at_limit, Load)
    assert met[0] == 0 or at_limit.share == pytest.approx(1.0)
