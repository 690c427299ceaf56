"""Filling, draining, and what an RO unit gives."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room import flow
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE

PHYSICS = "OpenStax, College Physics 2e, section 12.1 Flow Rate and Its Relation to Velocity"
CALCULUS = "OpenStax, Calculus Volume 2, section 4.3 exercise with printed answer"
WOLFRAM = "Wolfram Demonstrations, Time to Drain a Tank Using Torricelli's Law"
MEMBRANE = "membrane temperature table, reference 25 degC, Membrane Performance Factors"
FACTORS = "factor table at watertreatmentguide.com, 1800 gal/day rated, factor 1.47"
STORE = "published algebra exercise: 1 000 000 gal, 10 000 a day out, 2 000 in"
INVENTED = "worked here, invented room"


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


@pytest.mark.parametrize(
    ("worked", "expected", "relative", "published"),
    [
        (value(flow.fill_time(80_000, 60)) / 60, 22.2, 1e-2, PHYSICS),  # hours
        (
            value(
                flow.drain_time(
                    math.pi * (24 * math.sqrt(2)) ** 2, math.pi * 4, 100, gravity_m_per_s2=32
                )
            ),
            720,
            1e-9,
            CALCULUS,
        ),
        (
            value(flow.drain_time(math.pi * 2.5**2, math.pi * 1e-4, 2, gravity_m_per_s2=9.81)),
            39909.4,
            1e-4,
            WOLFRAM,
        ),
        (value(flow.fill_time(1_000_000, 10_000 - 2_000)), 125, 1e-12, STORE),
        (value(flow.ro_factor(10)), 1.711, 3e-3, MEMBRANE),
        (value(flow.ro_factor(15)), 1.422, 3e-3, MEMBRANE),
        (value(flow.ro_factor(23)), 1.071, 3e-3, MEMBRANE),
        (value(flow.ro_factor(25)), 1.0, 1e-12, MEMBRANE),
        (value(flow.ro_factor(28)), 0.915, 3e-3, MEMBRANE),
        (value(flow.ro_rate(1800, 1.47)), 1224, 1e-3, FACTORS),
        (value(flow.ro_rate(12, 1.47)), 8.2, 1e-2, INVENTED),
        (value(flow.fill_time(560, 6)), 93, 5e-3, INVENTED),
        (value(flow.fill_time(359, 6)), 60, 5e-3, INVENTED),
    ],
)
def test_times_and_rates_as_published(
    worked: float, expected: float, relative: float, published: str
) -> None:
    assert worked == pytest.approx(expected, rel=relative), published


@given(
    area=st.floats(0.1, 100),
    share=st.floats(1e-6, 0.01),
    depth=st.floats(0.05, 5),
    coefficient=st.floats(0.3, 1),
)
def test_emptying_in_two_parts_takes_as_long_as_in_one(
    area: float, share: float, depth: float, coefficient: float
) -> None:
    whole = value(flow.drain_time(area, share * area, depth, coefficient))
    half = value(flow.drain_time(area, share * area, depth / 2, coefficient))
    assert 0 < half < whole
    # the upper half empties by Torricelli's law from sqrt(h) to sqrt(h/2)
    upper = whole * (1 - math.sqrt(0.5))
    assert half + upper == pytest.approx(whole)


@given(low=st.floats(0, 45), high=st.floats(0, 45))
def test_colder_water_gives_less_ro(low: float, high: float) -> None:
    low, high = sorted((low, high))
    assert value(flow.ro_factor(low)) >= value(flow.ro_factor(high)) - 1e-12


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("volume", flow.fill_time(0, 6)),
        ("volume", flow.fill_time(-5, 6)),
        ("rate", flow.fill_time(560, 0)),
        ("rate", flow.fill_time(560, math.nan)),
        ("rate", flow.fill_time(560, math.inf)),
        ("area", flow.drain_time(0, 0.001, 1)),
        ("hole", flow.drain_time(1, 0, 1)),
        ("hole", flow.drain_time(1, 1, 1)),
        ("depth", flow.drain_time(1, 0.001, -1)),
        ("coefficient", flow.drain_time(1, 0.001, 1, 1.2)),
        ("coefficient", flow.drain_time(1, 0.001, 1, 0)),
        ("g", flow.drain_time(1, 0.001, 1, 1, 0)),
        ("temp", flow.ro_factor(60)),
        ("rated", flow.ro_rate(0, 1.4)),
        ("factor", flow.ro_rate(12, 0)),
    ],
)
def test_flows_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE
