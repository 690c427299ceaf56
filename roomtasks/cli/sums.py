"""`figure`: bench sums. The sums themselves are in `figure`; here they are listed and said."""

from collections.abc import Sequence
from typing import Any

from roomtasks.cli.asked import Answer, Asked
from roomtasks.cli.command import Command
from roomtasks.cli.figure import Figure, Key, describe, run_figure
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser
from roomtasks.room.problem import Problem
from roomtasks.store.fault import StoreFault
from roomtasks.work.opening import door_of

NEEDS_ZONE = ("dates", "after")
WITHOUT_ROOM = "UTC"
SHOWN_FIRST = ("name", "inputs", "value", "unit", "formula", "source")


def words(parser: Parser) -> None:
    parser.add_argument("name", nargs="?", metavar="NAME", help="which sum; without it, the list")
    parser.add_argument(
        "inputs", nargs="*", metavar="KEY=VALUE",
        help="its inputs, as length=60 or length=24in; keys not given take the shown default",
    )  # fmt: skip


def run(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.name is None:
        figures = describe()
        return Answer({"figures": [_listed(figure) for figure in figures]},
                      lambda page: _write_list(page, figures))  # fmt: skip
    found = run_figure([args.name, *args.inputs], _zone(asked))
    if isinstance(found, Problem):
        return found
    return Answer(found, lambda page: _write(page, found))


def _zone(asked: Asked) -> str:
    """The room's zone, where the sum asks for one and the words do not give it."""
    args = asked.args
    if args.name not in NEEDS_ZONE or any(word.startswith("zone=") for word in args.inputs):
        return WITHOUT_ROOM
    try:
        with asked.store() as store:
            room = store if isinstance(store, Problem) else door_of(store)
    except StoreFault as fault:
        if fault.sort != "absent":
            raise
        room = Problem("", "there is no room here", "")
    if isinstance(room, Problem):
        asked.remarks.append(f"there is no room here, so the zone is {WITHOUT_ROOM}")
        return WITHOUT_ROOM
    return room.setup.zone


def _listed(figure: Figure) -> dict[str, Any]:
    return {
        "name": figure.name, "what": figure.doc, "unit": figure.unit, "formula": figure.formula,
        "source": figure.source,
        "keys": [
            {"key": key.name, "unit": key.unit, "default": key.default, "what": key.doc}
            for key in figure.keys
        ],
    }  # fmt: skip


def _write_list(page: Page, figures: Sequence[Figure]) -> None:
    for figure in figures:
        unit = f"  [{figure.unit}]" if figure.unit else ""
        page.line(f"{figure.name}{unit}", style="head")
        page.line(figure.doc, indent=2)
        page.line(" ".join(_key(key) for key in figure.keys), indent=2, hang=2)
        page.line(f"{figure.formula} ({figure.source})", indent=2, hang=2, style="quiet")


def _key(key: Key) -> str:
    unit = f"({key.unit})" if key.unit else ""
    default = f"={_said(key.default)}" if key.default not in (None, "") else ""
    left_out = key.default is not None
    text = f"{key.name}{default}{unit}"
    return f"[{text}]" if left_out else text


def _write(page: Page, found: dict[str, Any]) -> None:
    page.line(f"{found['name']}: {_said(found['value'])} {found['unit']}".rstrip(), style="head")
    for name, value in found.items():
        if name not in SHOWN_FIRST:
            page.line(f"{name}: {_said(value)}", indent=2, hang=2)
    given = ", ".join(f"{key}={_said(value)}" for key, value in found["inputs"].items())
    page.line(f"from {given}" if given else "", indent=2, hang=2)
    page.line(f"{found['formula']} ({found['source']})", indent=2, hang=2, style="quiet")


def _said(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, list):
        return " ".join(_said(item) for item in value) if value else "none"
    return str(value)


COMMANDS = {
    "figure": Command(
        run, words,
        more="The very sums the planner uses. Without a name it lists them with their keys, "
        "units, formulas and sources. Units may be written: 24in, 20gal_us, 77F.",
    ),
}  # fmt: skip
