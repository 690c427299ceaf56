"""`check`, `backup` and `restore`: the store itself - is it whole, copied, put back."""

from pathlib import Path

from roomtasks.cli.asked import Answer, Asked, cache_folder, problem_document
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, path_text
from roomtasks.room.problem import Problem
from roomtasks.work.care import Findings, Restored, backup, check, restore
from roomtasks.work.demo import demo_store

NOT_WHOLE = 3


def _path(asked: Asked) -> Path | Problem:
    """The store's file: these commands look at it without opening it as a room."""
    return demo_store(cache_folder()) if asked.demo else asked.store_path()


def _check(asked: Asked) -> Answer | Problem:
    path = _path(asked)
    if isinstance(path, Problem):
        return path
    found = check(path)
    document = {
        "store": str(path), "whole": found.whole, "rows": found.rows, "acts": found.acts,
        "problems": [problem_document(problem)["problem"] for problem in found.problems],
    }  # fmt: skip
    return Answer(
        document,
        lambda page: _write_check(page, path, found),
        status=0 if found.whole else NOT_WHOLE,
    )


def _write_check(page: Page, path: Path, found: Findings) -> None:
    looked = f"{found.rows:,} rows and {found.acts:,} acts looked at"
    if found.whole:
        page.line(f"{path}: whole, {looked}", hang=4)
        return
    page.line(f"{path}: not whole, {looked}", style="late", hang=4)
    for problem in found.problems:
        page.line(problem.sentence(), indent=2, hang=2)
    page.line("Put the newest backup back with 'roomtasks restore FILE'; "
              "what is there now is kept beside it.")  # fmt: skip


def _backup_words(parser: Parser) -> None:
    parser.add_argument("file", type=path_text, metavar="FILE", help="the file to write")
    parser.add_argument(
        "--overwrite", action="store_true", help="write over a file that is there already"
    )


def _backup(asked: Asked) -> Answer | Problem:
    path = _path(asked)
    if isinstance(path, Problem):
        return path
    made = backup(path, Path(asked.args.file), overwrite=asked.args.overwrite)
    if isinstance(made, Problem):
        return made
    document = {"changed": True, "store": str(path), "backup": str(made), "bytes": _size(made)}
    return Answer(document, lambda page: page.line(f"{path} is copied to {made}", hang=4))


def _size(path: Path) -> int:
    return path.stat().st_size


def _restore_words(parser: Parser) -> None:
    parser.add_argument("file", type=path_text, metavar="FILE", help="a file made by 'backup'")


def _restore(asked: Asked) -> Answer | Problem:
    if asked.demo:
        return Problem("--demo", "the demo room is not written to", "name a store with --room")
    found = restore(asked.store_path(), Path(asked.args.file).expanduser())
    if isinstance(found, Problem):
        return found
    return Answer(_restored(found), lambda page: page.line(found.sentence(), hang=4))


def _restored(found: Restored) -> dict[str, object]:
    return {
        "changed": True, "store": str(found.path), "acts": found.acts,
        "newest_at": found.newest_at or None, "kept": str(found.kept) if found.kept else None,
    }  # fmt: skip


COMMANDS = {
    "check": Command(
        _check,
        more="Looks at every page, row and act, and writes nothing. Ends with 3 where something "
        "is wrong.",
    ),
    "backup": Command(
        _backup, _backup_words,
        more="One file of its own, also while the room is in use; looked through before it "
        "is named.",
    ),
    "restore": Command(
        _restore, _restore_words, writes=True,
        more="The copy is looked through first, and what it replaces is kept beside the store.",
    ),
}  # fmt: skip
