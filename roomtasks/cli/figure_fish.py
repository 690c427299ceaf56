"""Figures on growth and weight, and on sharing changes out over fills."""

from roomtasks.cli.figure_files import columns, size_list
from roomtasks.cli.figure_kit import LEFT_OUT, Answer, Figure, Values, litres, number, one, words
from roomtasks.room import growth
from roomtasks.room.growth_fit import fit_growth, fit_weight
from roomtasks.room.packing import fewest_fills
from roomtasks.room.problem import Problem

_LENGTHS = ("length", "tl", "sl", "fl")
_WEIGHTS = ("weight", "w")
_CURVE = (
    number("linf", "length the curve levels off at"),
    number("k", "growth coefficient, per unit of age"),
    number("t0", "age at which the curve has no length"),
)


def _fit_growth(given: Values) -> Answer | Problem:
    found = columns(given.words("file"), ("age",), _LENGTHS)
    if isinstance(found, Problem):
        return found
    fit = fit_growth(*found, given.maybe("linf"))
    if isinstance(fit, Problem):
        return fit
    more = {"linf": fit.linf, "t0": fit.t0, "residual": fit.residual, "points": fit.points}
    return Answer(fit.k, more)


def _fit_weight(given: Values) -> Answer | Problem:
    found = columns(given.words("file"), _LENGTHS, _WEIGHTS)
    if isinstance(found, Problem):
        return found
    fit = fit_weight(*found)
    return fit if isinstance(fit, Problem) else Answer(fit.a, {"b": fit.b, "points": fit.points})


def _fills(given: Values) -> Answer | Problem:
    sizes = size_list("sizes", given.words("sizes"))
    if isinstance(sizes, Problem):
        return sizes
    found = fewest_fills(sizes, given.num("capacity"))
    if isinstance(found, Problem):
        return found
    shared = [list(fill) for fill in found.fills]
    more = {"proven": found.proven, "lower_bound": found.lower_bound, "fills": shared}
    return Answer(found.count, more)


def _length_at_age(given: Values) -> Answer | Problem:
    linf, k, t0 = given.num("linf"), given.num("k"), given.num("t0")
    return one(growth.length_at_age(linf, k, t0, given.num("age")))


def _age_at_length(given: Values) -> Answer | Problem:
    linf, k, t0 = given.num("linf"), given.num("k"), given.num("t0")
    return one(growth.age_at_length(linf, k, t0, given.num("length")))


FISH = (
    Figure(
        "length-at-age",
        "length of a fish at an age",
        (*_CURVE, number("age", "age, in the unit of t0")),
        "as linf",
        "linf x (1 - exp(-k (age - t0)))",
        "von Bertalanffy growth curve",
        _length_at_age,
    ),
    Figure(
        "age-at-length",
        "age at which a fish has a length",
        (*_CURVE, number("length", "length, in the unit of linf")),
        "as t0",
        "t0 - ln(1 - length / linf) / k",
        "von Bertalanffy growth curve, turned round",
        _age_at_length,
    ),
    Figure(
        "fit-growth",
        "K of the growth curve through lengths at age",
        (
            words("file", "a CSV file with columns age and length"),
            number("linf", "length it levels off at, where it is to be held", default=LEFT_OUT),
        ),
        "per unit of age",
        "least sum of (length - linf (1 - exp(-k (age - t0))))^2, which is residual",
        "unweighted least squares, as in Kimura 1980, Fishery Bulletin 77:765-776",
        _fit_growth,
    ),
    Figure(
        "weight",
        "weight of a fish from its length",
        (
            number("a", "coefficient"),
            number("b", "exponent, about 3"),
            number("length", "length, in the unit a is for"),
        ),
        "as a",
        "a x length^b",
        "length-weight relation",
        lambda given: one(growth.weight(given.num("a"), given.num("b"), given.num("length"))),
    ),
    Figure(
        "fit-weight",
        "a of the length-weight relation through measured fish",
        (words("file", "a CSV file with columns length and weight"),),
        "as weight",
        "least squares of ln weight = ln a + b ln length",
        "length-weight relation",
        _fit_weight,
    ),
    Figure(
        "growth-rate",
        "specific growth rate",
        (
            number("from", "weight at first"),
            number("to", "weight at last, the same unit"),
            number("days", "days between", "days"),
        ),
        "%/day",
        "100 x ln(to / from) / days",
        "definition of the specific growth rate",
        lambda given: one(
            growth.growth_rate(given.num("from"), given.num("to"), given.num("days"))
        ),
    ),
    Figure(
        "fills",
        "the fewest fills of a vessel for sizes that are not split",
        (
            words("sizes", "litres, with commas between, or a file with one a line"),
            litres("capacity", "litres of one fill"),
        ),
        "fills",
        "bin packing, exact where proven is true",
        "bounds of Martello and Toth 1990; search after Korf 2002",
        _fills,
    ),
)
