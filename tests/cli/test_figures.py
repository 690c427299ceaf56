"""Every bench figure from its words: values, the shape of the answer, refusals, and files."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.cli.figure import FIGURES, describe, run_figure
from roomtasks.cli.figure_files import MOST_BYTES
from roomtasks.cli.figure_kit import usage
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE
from tests.room.known_packings import KNOWN
from tests.room.measured_fish import CHINOOK, HAKE_FEMALES

NIST = "NIST Handbook 44, Appendix C; NIST SP 811 (2008), Appendix B.8"
OPENSTAX_MATHS = "OpenStax, Contemporary Mathematics (2023), Measuring Volume"
OPENSTAX_CALCULUS = "OpenStax, Calculus Volume 2"
OPENSTAX_PHYSICS = "OpenStax, College Physics 2e"
EXCHANGE = "Prog. Fish-Cult. 47(1), 1985, 69-70"
EMERSON = "Emerson et al. 1975, J. Fish. Res. Board Can. 32:2379-2383"
FA16 = "R. Francis-Floyd et al., UF/IFAS FA16, Figure 3 worked example"
IAPWS = "IAPWS R6-95(2018)"
GERMAN = "1 dH = 10 mg/L CaO, IUPAC masses"
TE213 = "laboratory supplier support note TE213 (2017)"
KIMURA = "D. K. Kimura 1980, US Fishery Bulletin 77:765-776"
FSA = "FSA R package (Ogle et al.)"
HANDBOOK = "engineering handbook page Evaporation from Water Surfaces"
LOSORDO = "T. M. Losordo 2015; factor after Timmons and Ebeling (from memory)"
WOLFRAM = "Wolfram Demonstrations, Time to Drain a Tank Using Torricelli's Law"
RFC = "RFC 5545"
INVENTED = "worked here, invented room"

WORKED = [
    ("tank-volume length=60 width=15 water=34", 30.6, 1e-9, OPENSTAX_MATHS),
    ("tank-volume length=12ft width=3ft water=3ft", 3058.2194, 1e-6, NIST),
    ("tank-volume length=78.8 width=38.8 water=33 sand=4 rock=6", 91.25, 1e-4, INVENTED),
    ("cylinder-volume diameter=60 length=90 depth=20", 74.25187, 1e-6, "segment-area formula"),
    ("drain-mark fraction=0.30 net=215 length=118 width=48", 11.4, 5e-3, INVENTED),
    ("convert value=1 from=gal_us to=l", 3.785411784, 1e-12, NIST),
    ("convert value=75.2 from=F to=C", 24.0, 1e-12, "FAO, Creswell 1993"),
    ("convert value=-40 from=c to=f", -40.0, 1e-12, "definition of the scales"),
    ("convert value=1 from=dgh to=ppm_caco3", 17.848, 5e-5, GERMAN),
    ("convert value=50 from=no3 to=no3_n", 11.295, 2e-4, "IUPAC masses"),
    ("after-change before=1 fraction=0.25 times=4", 0.316406, 1e-5, "C_n = C_0(1-f)^n"),
    ("change-needed before=80 target=40 source=10", 0.571429, 1e-5, "mass balance"),
    ("changes-needed before=80 target=10 fraction=0.5", 3, 0, "three halvings"),
    ("steady production=10 fraction=0.25 source=5", 45, 1e-12, "peak = Cs + p/f"),
    ("through-flow flow=120 volume=100 hours=0.5", 0.451188, 1e-5, OPENSTAX_CALCULUS),
    ("through-flow-time fraction=0.95 flow=1 volume=1", 2.99573, 1e-5, EXCHANGE),
    ("catch-up fraction=0.30 missed=1", 0.4615, 1e-3, INVENTED),
    ("system-fraction drained=660 volume=2412", 0.274, 2e-3, INVENTED),
    ("ammonia ph=8 temp=24", 0.0502, 1e-2, FA16),
    ("ammonia ph=8 temp=25", 0.053662, 1e-3, EMERSON),
    ("mix-temp volume1=80 temp1=26 volume2=20 temp2=10", 22.8, 1e-3, IAPWS),
    ("heat-energy volume=1000 from=10 to=26", 18.601, 5e-3, IAPWS),
    ("heat-time volume=100 from=15 to=25 power=300", 3.871, 5e-3, IAPWS),
    ("cool-time from=25.5 to=21 room=17 tau=17.9", 13.5, 1e-3, INVENTED),
    ("blend tap=14 wanted=6 ro=0.5", 0.593, 1e-3, INVENTED),
    ("salt-for-hardness salt=cacl2_2h2o degrees=4 volume=100", 10.49, 5e-4, GERMAN),
    ("salt-for-hardness salt=mgso4_7h2o degrees=2 volume=100", 8.791, 5e-4, GERMAN),
    ("dechlorinate agent=sodium_thiosulfate_5h2o chlorine=1 volume=1000", 7.0, 1e-3, TE213),
    ("redose target=2 volume=52 drained=13", 26.0, 1e-12, INVENTED),
    ("redose target=2 volume=52 drained=11.5 short=1.5", 23.7, 1e-3, INVENTED),
    ("bath-salt volume=150 from=2 to=5", 450, 1e-12, "definition of g/L"),
    ("tan-from-feed feed=60kg protein=0.40", 2208, 1e-3, LOSORDO),
    ("length-at-age linf=450 k=0.3 t0=-0.5 age=3", 292.528, 1e-5, FSA),
    ("age-at-length linf=450 k=0.3 t0=-0.5 length=300", 3.16204, 1e-5, FSA),
    ("weight a=0.01 b=3 length=10", 10.0, 1e-12, INVENTED),
    ("growth-rate from=30 to=60 days=15", 4.621, 1e-4, "100 ln(Wf/Wi)/t"),
    ("fill-time volume=80000 rate=60", 1333.3, 1e-3, OPENSTAX_PHYSICS + ", section 12.1"),
    (
        "drain-time area=19.6349540849 hole=0.000314159265359 depth=2 g=9.81",
        39909.4, 1e-4, WOLFRAM,
    ),
    ("evaporation area=5 air_speed=2 xs=0.02 x=0.01", 3.15, 1e-9, HANDBOOK),
    ("fills sizes=60,50,40,30,20 capacity=100", 2, 0, "200 L are two fills of 100"),
    ("dates rule=FREQ=DAILY;COUNT=10 start=19970902T090000", 10, 0, RFC + ", page 123"),
    ("after start=2025-03-29T12:00 zone=Europe/London days=1", 23, 1e-12, RFC + " 3.3.6"),
    ("after start=2025-03-29T12:00 zone=Europe/London hours=24", 24, 1e-12, RFC + " 3.3.6"),
]  # fmt: skip


def run(words: str) -> dict[str, Any] | Problem:
    return run_figure(words.split(), "America/New_York")


def answer(words: str) -> dict[str, Any]:
    found = run(words)
    assert not isinstance(found, Problem), found.sentence()
    return found


def refusal(words: str) -> Problem:
    found = run(words)
    assert isinstance(found, Problem), found
    assert "\n" not in found.sentence()
    return found


@pytest.mark.parametrize(("words", "value", "relative", "published"), WORKED)
def test_every_figure_from_its_words(
    words: str, value: float, relative: float, published: str
) -> None:
    assert answer(words)["value"] == pytest.approx(value, rel=relative), published


def test_no_figure_goes_untried() -> None:
    tried = {words.split()[0] for words, *_ in WORKED}
    assert set(FIGURES) - tried == {"fit-growth", "fit-weight"}  # tried with files below


@pytest.mark.parametrize("words", [words for words, *_ in WORKED])
def test_the_answer_has_the_promised_shape(words: str) -> None:
    found = answer(words)
    assert list(found)[:7] == [
        "name", "inputs", "assumed", "value", "unit", "formula", "source"
    ]  # fmt: skip
    assert found["name"] == words.split()[0]
    assert not isinstance(found["value"], bool | str)
    assert found["unit"]
    assert found["formula"]
    assert found["source"]
    typed = {word.partition("=")[0] for word in words.split()[1:]}
    assert typed | set(found["assumed"]) == set(found["inputs"])
    assert not typed & set(found["assumed"])
    assert json.loads(json.dumps(found, allow_nan=False)) == found


def test_further_results_are_further_keys() -> None:
    assert answer("steady production=10 fraction=0.25 source=5")["after"] == 35
    split = answer("catch-up fraction=0.30 missed=1")
    assert split["changes"] == 2
    assert split["each_fraction"] == pytest.approx(0.266, abs=5e-4), INVENTED
    tank = answer("tank-volume length=78.8 width=38.8 water=33 sand=4 rock=6kg gear=0.5l")
    assert tank["gross_litres"] == pytest.approx(100.9, abs=0.05), INVENTED
    share = answer("system-fraction drained=723.6 volume=2412 tanks=2200")
    assert share["value"] == pytest.approx(0.30), INVENTED
    assert share["per_tank_fraction"] == pytest.approx(0.329, abs=5e-4), INVENTED
    assert "per_tank_fraction" not in answer("system-fraction drained=660 volume=2412")
    toxic = answer("ammonia ph=8 temp=25 tan=2")
    assert toxic["fraction"] == pytest.approx(0.053662, rel=1e-3), EMERSON
    assert toxic["pka"] == pytest.approx(9.24638, rel=1e-5), EMERSON
    assert toxic["value"] == pytest.approx(2 * toxic["fraction"])
    fills = answer("fills sizes=60,50,40,30,20 capacity=100")
    assert (fills["proven"], fills["lower_bound"]) == (True, 2)
    assert sorted(size for fill in fills["fills"] for size in fill) == [20, 30, 40, 50, 60]


def test_a_chlorine_remover_states_its_reaction() -> None:
    found = answer("dechlorinate agent=sodium_thiosulfate_5h2o chlorine=1 volume=100")
    assert "Na2S4O6" in found["reaction"]
    assert found["value"] == pytest.approx(8 * found["to_sulfate_g"], rel=1e-9)
    assert "to_sulfate_g" not in answer("dechlorinate agent=ascorbic_acid chlorine=1 volume=100")


@pytest.mark.parametrize(
    ("with_unit", "bare"),
    [
        ("tank-volume length=24in width=1ft water=300mm",
         "tank-volume length=60.96 width=30.48 water=30"),
        ("bath-salt volume=20gal_us to=3", "bath-salt volume=75.70823568 to=3"),
        ("ammonia ph=8 temp=77F", "ammonia ph=8 temp=25"),
        ("heat-time volume=100 from=59F to=77F power=300",
         "heat-time volume=100 from=15 to=25 power=300"),
        ("drain-time area=4 hole=0.01 depth=10ft", "drain-time area=4 hole=0.01 depth=3.048"),
        ("catch-up fraction=30% missed=1", "catch-up fraction=0.3 missed=1"),
        ("tank-volume length=60 width=30 water=30 rock=1lb",
         "tank-volume length=60 width=30 water=30 rock=0.45359237"),
        ("fills sizes=20gal_us,30 capacity=40gal_us",
         "fills sizes=75.70823568,30 capacity=151.41647136"),
        ("ammonia pH=7 temp=25", "ammonia ph=7 temp=25"),
        ("evaporation area=5 air-speed=2 xs=0.02 x=0.01",
         "evaporation area=5 air_speed=2 xs=0.02 x=0.01"),
    ],
)  # fmt: skip
def test_a_unit_may_be_written(with_unit: str, bare: str) -> None:
    assert answer(with_unit)["value"] == pytest.approx(answer(bare)["value"], rel=1e-9)


@pytest.mark.parametrize(
    ("words", "where", "says"),
    [
        ("tank-volume length=0 width=30 water=30", "length", "above 0 cm"),
        ("tank-volume length=-0 width=30 water=30", "length", "above 0 cm"),
        ("tank-volume length=60 width=-30 water=30", "width", "above 0 cm"),
        ("tank-volume length=60 width=30 water=30 sand=31", "sand", "0 to 30"),
        ("tank-volume length=60 width=30 water=30 gear=60", "volume", "60 of 54 L"),
        ("bath-salt volume=0 to=3", "volume", "above 0 L"),
        ("bath-salt volume=-5 to=3", "volume", "above 0 L"),
        ("bath-salt volume=100 from=3 to=2", "to", "change 0.333"),
        ("after-change before=10 fraction=1.3", "fraction", "0 to 1"),
        ("after-change before=10 fraction=-0.3", "fraction", "0 to 1"),
        ("after-change before=10 fraction=30", "fraction", "30 % is written 0.3"),
        ("after-change before=10 fraction=0.3 times=2.5", "times", "whole number"),
        ("change-needed before=40 target=20 source=25", "source", "come near 25"),
        ("changes-needed before=40 target=20 fraction=0.3 source=20", "source", "not below"),
        ("changes-needed before=40 target=20 fraction=0", "fraction", "above 0"),
        ("catch-up fraction=1 missed=1", "fraction", "limit=1"),
        ("catch-up fraction=0.3 missed=-1", "missed", "from 0 up"),
        ("system-fraction drained=660 volume=600", "drained", "at most 600 L"),
        ("through-flow-time fraction=1 flow=1 volume=1", "fraction", "never replaces all"),
        ("ammonia ph=77 temp=25", "ph", "0 to 14"),
        ("ammonia ph=7 temp=77", "temp", "0 to 50"),
        ("blend tap=4 wanted=3 ro=5", "ro", "no softer than the tap"),
        ("blend tap=14 wanted=15 ro=1", "wanted", "gives 1 to 14"),
        ("heat-time volume=100 from=15 to=25 power=300 loss=40 room=15", "power", "near 22.5 C"),
        ("heat-time volume=100 from=25 to=15 power=300", "to", "25 C or more"),
        ("cool-time from=25 to=16 room=17 tau=18", "to", "toward 17 C"),
        ("length-at-age linf=50 k=0.3 t0=0 age=-1", "age", "before t0"),
        ("age-at-length linf=50 k=0.3 t0=0 length=50", "length", "below 50"),
        ("fills sizes=50,120 capacity=100", "size 2", "split it"),
        ("drain-time area=4 hole=4 depth=1", "hole", "as large as the vessel"),
        ("evaporation area=1 xs=0.01 x=0.02", "x", "moister"),
        ("convert value=-300 from=c to=f", "value", "absolute zero"),
        ("convert value=-1 from=l to=ml", "value", "below 0"),
        ("dates rule=FREQ=DAILY start=2026-02-03 count=0", "count", "1 to 10000"),
        ("after start=2026-03-28T12:00 hours=1e9", "hours and days", "36600 days"),
        ("after start=2026-03-28T12:00 days=1.5", "days", "whole number"),
    ],
)
def test_arithmetic_refuses_what_cannot_be(words: str, where: str, says: str) -> None:
    problem = refusal(words)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE
    assert says in problem.sentence()


@pytest.mark.parametrize(
    ("words", "where", "says"),
    [
        ("", "figure", "no figure is named"),
        ("tank-volum length=1", "figure", "did you mean tank-volume?"),
        ("nothing-like-it", "figure", "figures: tank-volume"),
        ("tank-volume", "tank-volume", "length=, width=, water= is not given"),
        ("tank-volume lenght=24", "tank-volume", "did you mean length?"),
        ("tank-volume zzzzzz=24", "tank-volume", "keys: length"),
        ("tank-volume length", "tank-volume", "no key=value"),
        ("tank-volume length=1 length=2", "length", "given twice"),
        ("tank-volume length= width=1 water=1", "length", "blank"),
        ("tank-volume length=nan width=1 water=1", "length", "no amount"),
        ("tank-volume length=inf width=1 water=1", "length", "no amount"),
        ("tank-volume length=1e308 width=1 water=1", "length", "beyond any fish room"),
        ("tank-volume length=1,5 width=1 water=1", "length", "comma"),
        ("tank-volume length=１２ width=1 water=1", "length", "digits 0 to 9"),
        ("tank-volume length=12stone width=1 water=1", "length", "use cm, mm, m, in, ft"),
        ("tank-volume length=12kg width=1 water=1", "length", "no unit of length"),
        ("bath-salt volume=5gal to=3", "volume", "gal_us or gal_imp"),
        ("ammonia ph=7cm temp=25", "ph", "cm"),
        ("convert value=1 from=inch to=cm", "from", "did you mean in"),
        ("convert value=1 from=l to=kg", "to", "l goes to"),
        ("salt-for-hardness salt=kitchen degrees=1 volume=1", "salt", "nahco3"),
        ("dechlorinate agent=wishes chlorine=1 volume=1", "agent", "ascorbic_acid"),
        ("heat-time volume=100 from=15 to=25 power=300 loss=4", "room", "wanted"),
        ("fills sizes=50,,20 capacity=100", "sizes", "blank"),
        ("fills sizes=no-such-file capacity=100", "sizes", "nor a file"),
        ("fit-growth file=/nowhere/at/all.csv", "/nowhere/at/all.csv", "cannot be read"),
        ("fit-growth file=/", "/", "no plain file"),
        ("dates rule=FREQ=NEVER start=2026-02-03", "rule", "FREQ=NEVER"),
        ("dates rule=FREQ=DAILY start=2026-02-30", "start", "does not exist"),
        ("dates rule=FREQ=DAILY start=2026-02-03 zone=Mars/Base", "zone", "time zone"),
        ("dates rule=FREQ=DAILY start=2026-02-03 exdate=soon", "exdate", "not a date"),
        ("after start=2026-02-03T10:00", "after", "hours= nor days="),
        ("after start=2026-02-03 hours=4", "start", "no time of day"),
    ],
)
def test_bad_words_are_named_with_what_would_do(words: str, where: str, says: str) -> None:
    problem = refusal(words)
    assert problem.where == where
    assert problem.rule == ""
    assert says in problem.sentence()


def test_minus_nothing_is_shown_as_nothing() -> None:
    found = answer("after-change before=-0 fraction=0.3")
    assert json.dumps(found["inputs"]["before"]) == "0.0"
    assert json.dumps(found["value"]) == "0.0"


@settings(deadline=None)
@given(name=st.sampled_from(sorted(FIGURES)), data=st.data())
def test_nothing_that_is_typed_ends_in_a_traceback(name: str, data: st.DataObject) -> None:
    odd = st.one_of(
        st.text(max_size=12),
        st.sampled_from([
            "0", "-0", "1", "-1", "0.5", "1e12", "-1e12", "1e-300", "5e-324", "1e308", "nan",
            "1,5", "30%", "20gal_us", "77F", "a" * 300, "FREQ=DAILY", "2026-03-29T01:30", "\x00",
        ]),
        st.floats().map(repr),
    )  # fmt: skip
    words = [f"{key.name}={data.draw(odd)}" for key in FIGURES[name].keys if key.name != "rule"]
    found = run_figure([name, *words, "rule=FREQ=DAILY;COUNT=3"][: 1 + len(words) + 1], "UTC")
    if isinstance(found, Problem):
        assert found.sentence()
    else:
        json.dumps(found, allow_nan=False)


@settings(deadline=None)
@given(words=st.lists(st.text(max_size=20), max_size=4))
def test_no_words_at_all_end_in_a_traceback(words: list[str]) -> None:
    assert isinstance(run_figure(words, "UTC"), Problem)


@settings(deadline=None)
@given(name=st.sampled_from(sorted(FIGURES)), data=st.data())
def test_numbers_of_any_size_end_in_an_answer_or_a_problem(name: str, data: st.DataObject) -> None:
    sizes = st.sampled_from([0.0, 1e-12, 1e-9, 1e-3, 0.5, 1.0, 7.0, 30.0, 1e3, 1e9, 1e12])
    words = []
    for key in FIGURES[name].keys:
        text = f"{data.draw(sizes):g}"
        texts = {
            "salt": "cacl2", "agent": "ascorbic_acid", "from": "l" if name == "convert" else text,
            "to": "gal_us" if name == "convert" else text, "rule": "FREQ=DAILY",
            "start": "2026-03-29T01:30", "zone": "Europe/London", "exdate": "2026-04-01T01:30",
            "file": "/nowhere", "count": "3",
        }  # fmt: skip
        words.append(f"{key.name}={texts.get(key.name, text)}")
    found = run_figure([name, *words], "UTC")
    if not isinstance(found, Problem):
        json.dumps(found, allow_nan=False)


def csv_of(path: Path, head: str, rows: list[tuple[float, float]]) -> Path:
    path.write_text("\n".join([head, *(f"{x},{y}" for x, y in rows)]) + "\n", "utf-8")
    return path


def test_a_growth_curve_from_a_file(tmp_path: Path) -> None:
    path = csv_of(tmp_path / "hake.csv", "age,length", HAKE_FEMALES)
    found = answer(f"fit-growth file={path}")
    assert found["value"] == pytest.approx(0.296255, rel=1e-4), KIMURA
    assert found["linf"] == pytest.approx(61.233, rel=1e-4), KIMURA
    assert found["t0"] == pytest.approx(-0.05726, abs=1e-3), KIMURA
    assert found["residual"] == pytest.approx(28.80, abs=0.005), KIMURA
    assert answer(f"fit-growth file={path} linf=60")["linf"] == 60


def test_a_length_weight_line_from_a_file(tmp_path: Path) -> None:
    found = answer(f"fit-weight file={csv_of(tmp_path / 'x.csv', 'tl,w', CHINOOK)}")
    assert found["value"] == pytest.approx(5.19236e-05, rel=1e-4), FSA + ", ChinookArg"
    assert found["points"] == 112


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffage,length\r\n1,10\r\n2,15\r\n3,18\r\n",
        "sex,Length,note,AGE\nF,10,x,1\nM,15,,2\n\nF,18,y,3\n",
        '"age","length"\n"1","10"\n"2","15"\n"3","18"\n',
        "1,10\n2,15\n3,18\n",
        " age , length \n 1 , 10 \n 2 , 15 \n 3 , 18 ",
    ],
)
def test_files_as_they_come(text: str, tmp_path: Path) -> None:
    path = tmp_path / "fish.csv"
    path.write_text(text, "utf-8", newline="")
    found = answer(f"fit-growth file={path}")
    assert found["points"] == 3
    assert found["linf"] == pytest.approx(22.5)  # steps 5, 3 fall by 0.6: 10 + 5 / (1 - 0.6)


@pytest.mark.parametrize(
    ("raw", "line", "says"),
    [
        (b"", "", "empty"),
        (b"day,length\n1,10\n", ":1", "no column is named age"),
        (b"age,size\n1,10\n", ":1", "no column is named length"),
        (b"age,length\n1,10\n2,NA\n", ":3", "not a number"),
        (b"age,length\n1,10\n\n2\n", ":4", "blank"),
        (b"age,length\n1,10\n2,nan\n", ":3", "no amount"),
        (b"age;length\n1;10\n", ":1", "no column is named age"),
        (b"age,length\n1,10cm\n", ":2", "something after the number"),
        (b"\xff\xfe\x00", "", "UTF-8"),
        (b"1," * MOST_BYTES, "", "longer than"),
    ],
)
def test_faults_of_a_file_name_its_line(raw: bytes, line: str, says: str, tmp_path: Path) -> None:
    path = tmp_path / "fish.csv"
    path.write_bytes(raw)
    problem = refusal(f"fit-growth file={path}")
    assert problem.where.startswith(f"{path}{line}")
    assert says in problem.sentence()


def test_too_few_fish_in_a_file_are_impossible_to_fit(tmp_path: Path) -> None:
    problem = refusal(f"fit-growth file={csv_of(tmp_path / 'x.csv', 'age,length', [(1, 2)])}")
    assert problem.rule == IMPOSSIBLE


def test_sizes_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "sizes.txt"
    path.write_text("# litres\n" + "\n".join(map(str, KNOWN[1].sizes)) + "\n\n", "utf-8")
    found = answer(f"fills sizes={path} capacity=150")
    assert (found["value"], found["proven"]) == (50, True), "BPPLIB, Falkenauer u120_08"
    path.write_text("27.3\n52.5 l\nmany\n", "utf-8")
    problem = refusal(f"fills sizes={path} capacity=150")
    assert problem.where == f"{path}:3"


def test_dates_leave_out_what_does_not_exist() -> None:
    found = answer("dates rule=FREQ=DAILY;COUNT=3 start=2025-03-29T01:30 zone=Europe/London")
    assert found["values"] == [
        "2025-03-29T01:30:00+00:00", "2025-03-31T01:30:00+01:00", "2025-04-01T01:30:00+01:00",
    ], RFC + " 3.3.10"  # fmt: skip
    days = answer("dates rule=FREQ=MONTHLY;BYMONTHDAY=31 start=2025-01-31 count=3")
    assert days["values"] == ["2025-01-31", "2025-03-31", "2025-05-31"], RFC + " 3.3.10"
    fewer = answer("dates rule=FREQ=DAILY start=2025-01-01 count=3 exdate=2025-01-02,2025-01-03")
    assert fewer["values"] == ["2025-01-01", "2025-01-04", "2025-01-05"]


def test_the_zone_not_given_is_the_rooms_and_is_shown() -> None:
    found = answer("dates rule=FREQ=DAILY;COUNT=1 start=19970902T090000")
    assert found["values"] == ["1997-09-02T09:00:00-04:00"], RFC + ", page 123"
    assert found["inputs"]["zone"] == "America/New_York"
    assert "zone" in found["assumed"]


def test_hours_are_exact_and_days_keep_the_clock() -> None:
    start = "after start=2025-03-29T12:00 zone=Europe/London"
    assert answer(f"{start} hours=24")["instant"] == "2025-03-30T13:00:00+01:00", RFC + " 3.3.6"
    assert answer(f"{start} days=1")["instant"] == "2025-03-30T12:00:00+01:00", RFC + " 3.3.6"
    back = answer("after start=2025-10-25T12:00 zone=Europe/London days=1 hours=1")
    assert back["instant"] == "2025-10-26T13:00:00+00:00", RFC + " 3.3.6"
    assert back["value"] == 26


def test_the_list_says_how_each_is_asked_for() -> None:
    figures = describe()
    assert [figure.name for figure in figures] == list(FIGURES)
    for figure in figures:
        assert figure.doc
        assert figure.unit
        assert figure.formula
        assert figure.source
        assert len({key.name for key in figure.keys}) == len(figure.keys)
        assert all(key.doc for key in figure.keys)
        assert usage(figure).startswith(figure.name)
    assert usage(FIGURES["catch-up"]) == "catch-up fraction=… missed=… [limit=0.4]"
    assert usage(FIGURES["system-fraction"]) == "system-fraction drained=… volume=… [tanks=…]"
