"""`labels`: codes as text, as QR in a terminal and as a page."""

from pathlib import Path

import pytest

from tests.cli.conftest import Ask


def test_alone_it_lists_the_codes_by_rack(ask: Ask) -> None:
    said = ask("labels")
    assert said.status == 0
    assert "A By the door\n   1: A1 A2 A3\n   2: A4 A5 A6\nB Back\n" in said.out


def test_a_named_tank_is_drawn_within_60_columns(ask: Ask) -> None:
    said = ask("labels", "B2")
    assert "   B2\n" in said.out
    assert "█" in said.out
    assert all(len(line) <= 60 for line in said.out.splitlines())


def test_the_page_is_written_and_said(ask: Ask, tmp_path: Path) -> None:
    file = tmp_path / "labels.html"
    said = ask("labels", "--html", str(file))
    assert (said.status, "10 labels written" in said.flat) == (0, True)
    assert file.read_text("utf-8").count("<svg") == 10
    found = ask("labels", "B2", "--html", str(file), "--json").json
    assert found["file"] == str(file)
    assert found["racks"] == [
        {
            "rack": "B", "name": "Back",
            "labels": [{"tank": "B2", "shelf": 1, "place": 2, "holds": "B2", "symbol": "1-H",
                        "modules": 21}],
        }
    ]  # fmt: skip
    assert file.read_text("utf-8").count("<svg") == 1


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("labels", "B9"), 2, "no tank “B9”"),
        (("labels", "--html", ""), 2, "path"),
        (("labels", "--html", "/nowhere/at/all.html"), 2, "cannot be written"),
    ],
)
def test_what_cannot_be_is_said(ask: Ask, words: tuple[str, ...], status: int, told: str) -> None:
    said = ask(*words)
    assert (said.status, told in said.err) == (status, True), said.err


def test_another_sort_of_file_is_left_alone(ask: Ask, store: Path) -> None:
    before = store.read_bytes()
    said = ask("labels", "--html", str(store))
    assert (said.status, "[not-ours]" in said.err) == (1, True)
    assert store.read_bytes() == before
