"""`labels`: the tanks' codes as text and QR, for labels that a scanner types back."""

from pathlib import Path

from roomtasks.cli.asked import Answer, Asked, Document, Scene, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.words import Parser, name, path_text
from roomtasks.files.labels_out import (
    RackOfLabels,
    labels_html,
    labels_of,
    labels_text,
    write_page,
)
from roomtasks.room.problem import Problem


def _words(parser: Parser) -> None:
    add = parser.add_argument
    add("tanks", nargs="*", type=name, metavar="TANK", help="only these; their QR is drawn here")
    add("--html", type=path_text, metavar="FILE", help="a page of HTML that prints on A4")
    add("--over", action="store_true", help="write over a file that is no page")


def _labels(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        racks = labels_of(scene.room, args.tanks)
        if isinstance(racks, Problem):
            return racks
        if args.html is None:
            text = labels_text(racks, drawn=bool(args.tanks))
            return Answer(_document(racks), lambda page: page.lines.extend(text.split("\n")))
        title = f"{scene.room.setup.name}: labels"
        failed = write_page(
            Path(args.html).expanduser(), labels_html(racks, title), over=bool(args.over)
        )
        if failed is not None:
            return failed
        many = sum(len(rack.labels) for rack in racks)
        return Answer(
            {**_document(racks), "file": args.html},
            lambda page: page.line(f"{many} labels written to {args.html}"),
        )

    return in_room(asked, do)


def _document(racks: tuple[RackOfLabels, ...]) -> Document:
    return {
        "racks": [
            {
                "rack": rack.rack, "name": rack.name or None,
                "labels": [
                    {
                        "tank": label.code, "shelf": label.shelf, "place": label.place,
                        "holds": label.code, "symbol": label.symbol.designator,
                        "modules": label.symbol.symbol_size(border=0)[0],
                    }
                    for label in rack.labels
                ],
            }
            for rack in racks
        ],
    }  # fmt: skip


COMMANDS = {
    "labels": Command(
        _labels, _words,
        "A QR holds exactly the tank's code: at 'go to' in the walk a scanner types it.",
    ),
}  # fmt: skip
