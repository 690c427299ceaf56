"""The reference of the room folder is what the program would write, and leaves nothing out."""

from pathlib import Path

from roomtasks.files.example import EXAMPLE
from roomtasks.files.folder import file_of
from roomtasks.files.reference import markdown
from roomtasks.files.setup_file import place_of
from roomtasks.room.room import SHEETS
from roomtasks.room.setup import SETUP

PAGE = Path(__file__).parents[2] / "docs" / "room-folder.md"


def test_the_page_in_docs_is_what_the_program_writes() -> None:
    """After a change of the sheets: python -m tests.files.test_reference"""
    assert PAGE.read_text("utf-8") == markdown()


def test_every_file_and_column_stands_in_it() -> None:
    page = markdown()
    for sheet in SHEETS:
        assert f"\n### {file_of(sheet.name)}\n" in page
        section = page.split(f"\n### {file_of(sheet.name)}\n")[1].split("\n##")[0]
        for name, spec in sheet.columns.items():
            shown = place_of(name)[1] if sheet is SETUP else name
            assert f"`{shown}` | {spec.doc} |" in section, (sheet.name, name)


def test_the_example_is_shown_whole() -> None:
    page = markdown()
    for name, text in EXAMPLE.items():
        assert f"`{name}`\n\n" in page
        assert text in page


if __name__ == "__main__":
    PAGE.write_text(markdown(), "utf-8")
