"""`import` and `export`: a room as a folder of text files, both ways."""

from pathlib import Path

from roomtasks.cli.asked import Answer, Asked, Document, Scene, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, path_text
from roomtasks.files import FileFault
from roomtasks.room.problem import Problem
from roomtasks.work.transfer import (
    Exported,
    FolderFaults,
    Imported,
    export_folder,
    import_folder,
)


def _import_words(parser: Parser) -> None:
    parser.add_argument("folder", type=path_text, metavar="FOLDER", help="the folder of text files")
    parser.add_argument(
        "--replace", action="store_true",
        help="put it in place of the room that is there; a copy of that is kept beside the store",
    )  # fmt: skip


def _import(asked: Asked) -> Answer | Problem:
    if asked.demo:
        return Problem("--demo", "the demo room is not written to", "name a store with --room")
    found = import_folder(
        Path(asked.args.folder).expanduser(), asked.store_path(), replace=asked.args.replace
    )
    if isinstance(found, Problem):
        return found
    if isinstance(found, FolderFaults):
        return _faulty(found)
    remarks = tuple(
        f"{name} was left aside: no sheet of a room has this name" for name in found.left_aside
    )
    if found.kept:
        remarks += (f"the room that was there is kept in {found.kept}",)
    return Answer(_imported(found), lambda page: _write_imported(page, found), remarks)


def _faulty(found: FolderFaults) -> Answer:
    """Every fault on a line of its own, file and line first; exit status 2."""
    document = {
        "changed": False,
        "faults": [
            {
                "file": fault.file, "line": fault.line or None, "column": fault.column or None,
                "found": fault.found, "would_do": fault.would_do,
            }
            for fault in found.faults
        ],
    }  # fmt: skip
    last = f"nothing was taken over: {len(found.faults)} to settle first"
    return Answer(
        document, lambda _: None, (last,), status=2,
        faults=tuple(_place(fault) + fault.found + _would(fault) for fault in found.faults),
    )  # fmt: skip


def _place(fault: FileFault) -> str:
    """Where, in the way an editor can jump to."""
    line = f":{fault.line}" if fault.line else ""
    column = f" column {fault.column}:" if fault.column else ""
    return f"{fault.file}{line}:{column} " if fault.file else ""


def _would(fault: FileFault) -> str:
    return f"; {fault.would_do}" if fault.would_do else ""


def _imported(found: Imported) -> Document:
    return {
        "changed": True, "room": found.name, "store": str(found.store),
        "kept": str(found.kept) if found.kept else None, "left_aside": list(found.left_aside),
        "rows": found.rows,
    }  # fmt: skip


def _rows(rows: dict[str, int]) -> str:
    return ", ".join(f"{count} {name}" for name, count in rows.items() if count)


def _write_imported(page: Page, found: Imported) -> None:
    page.line(f"{found.name} is in {found.store}", hang=4)
    page.line(_rows(found.rows), indent=2)


def _export_words(parser: Parser) -> None:
    parser.add_argument("folder", type=path_text, metavar="FOLDER", help="the folder to write")
    parser.add_argument(
        "--overwrite", action="store_true", help="write over a room that is in the folder already"
    )


def _export(asked: Asked) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        found = export_folder(
            scene.store, Path(asked.args.folder).expanduser(), overwrite=asked.args.overwrite
        )
        if isinstance(found, Problem):
            return found
        return Answer(_exported(found), lambda page: _write_exported(page, found))

    return in_room(asked, do)


def _exported(found: Exported) -> Document:
    return {
        "room": found.name, "folder": str(found.folder),
        "files": [str(file) for file in found.files], "rows": found.rows,
    }  # fmt: skip


def _write_exported(page: Page, found: Exported) -> None:
    page.line(f"{found.name} is in {found.folder}, {len(found.files)} files", hang=4)
    page.line(_rows(found.rows), indent=2)


COMMANDS = {
    "import": Command(
        _import,
        _import_words,
        more="Whole or not at all: with any fault nothing is changed, and every fault is "
        "told with its file and line.",
        writes=True,
    ),
    "export": Command(
        _export,
        _export_words,
        more="Everything goes out, the journal too; importing it again gives the same room.",
    ),
}
