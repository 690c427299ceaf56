"""Labels: each symbol read back by a reader that shares nothing with what wrote it."""

import re
from collections.abc import Iterable
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.files.labels_out import (
    QUIET_MODULES,
    RackOfLabels,
    drawing,
    labels_html,
    labels_of,
    labels_text,
    symbol_of,
    write_page,
)
from roomtasks.room.problem import Problem
from roomtasks.room.rack import Rack
from roomtasks.room.room import Room
from tests.rooms import small_room

SCALE = 4
CODES = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,31}", fullmatch=True)


def room() -> Room:
    sheets = {name: tuple(rows) for name, rows in small_room().items()}
    setup = sheets.pop("setup")[0]
    return Room(setup, **sheets)


def read(dark: list[list[bool]]) -> list[str]:
    """What an independent reader makes of a picture of modules."""
    image = np.array([[0 if sign else 255 for sign in row] for row in dark], dtype=np.uint8)
    image = np.kron(image, np.ones((SCALE, SCALE), dtype=np.uint8))
    return [found.text for found in zxingcpp.read_barcodes(image)]


def modules(blocks: Iterable[str]) -> list[list[bool]]:
    """Half blocks as modules, dark where nothing is written."""
    rows: list[list[bool]] = []
    for line in blocks:
        rows.append([sign in " ▄" for sign in line])
        rows.append([sign in " ▀" for sign in line])
    return rows


class Page(HTMLParser):
    """The labels of a page: the words of each and the modules its path draws."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.labels: list[tuple[str, list[list[bool]]]] = []
        self.open: list[str] = []
        self.size = 0
        self.dark: list[list[bool]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if tag not in ("meta", "path"):
            self.open.append(tag)
        if tag == "svg":
            assert values["viewbox"] is not None
            self.size = int(values["viewbox"].split()[-1])
            self.dark = [[False] * self.size for _ in range(self.size)]
        if tag == "path" and values.get("stroke") == "#000":
            self._draw(values["d"] or "")
        assert not {"src", "href", "onload"} & values.keys()

    def _draw(self, path: str) -> None:
        x = y = 0.0
        for sign, one, two in re.findall(r"([Mmh])(-?[\d.]+)(?:[ ,](-?[\d.]+))?", path):
            if sign == "M":
                x, y = float(one), float(two)
            elif sign == "m":
                x, y = x + float(one), y + float(two)
            else:
                for n in range(int(one)):
                    self.dark[int(y)][int(x) + n] = True
                x += float(one)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        if tag != "path":
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "b":
            self.labels.append((data, self.dark))


def racks(*only: str) -> tuple[RackOfLabels, ...]:
    found = labels_of(room(), only)
    assert not isinstance(found, Problem)
    return found


def test_every_label_of_a_page_reads_back_as_exactly_its_code() -> None:
    page = Page(labels_html(racks(), "Small room"))
    assert page.open == []
    assert {code for code, _ in page.labels} == set(room().tank)
    for code, dark in page.labels:
        assert read(dark) == [code]


def test_the_drawing_of_a_terminal_reads_back_too() -> None:
    for code in ("A1", "b-2", "T31", "007"):
        assert read(modules(drawing(symbol_of(code)))) == [code]


@settings(max_examples=120, deadline=None)
@given(CODES)
def test_whatever_a_code_may_be_its_symbol_holds_that_and_no_more(code: str) -> None:
    symbol = symbol_of(code)
    dark = [[bool(sign) for sign in row] for row in symbol.matrix_iter(border=QUIET_MODULES)]
    assert read(dark) == [code]
    assert not symbol.is_micro


@pytest.mark.parametrize(
    ("code", "designator", "modules_wide"),
    [
        ("A1", "1-H", 21),  # ISO/IEC 18004: version 1 is 21 modules wide
        ("A234567890", "1-H", 21),  # 10 signs of the alphanumeric set are the most of 1-H
        ("A2345678901", "1-Q", 21),  # 16 of 1-Q
        ("A2345678901234567", "1-M", 21),  # 20 of 1-M
        ("A23456789012345678901", "2-Q", 25),  # 29 of 2-Q; 25 modules
        ("a23456789012345678901234567890ab", "3-Q", 29),  # bytes: 26 of 2-M, 32 of 3-Q
    ],
)
def test_sizes_and_capacities_are_those_of_the_standard(
    code: str, designator: str, modules_wide: int
) -> None:
    """Table 7 of ISO/IEC 18004, capacities from memory."""
    symbol = symbol_of(code)
    assert symbol.designator == designator
    assert symbol.symbol_size(border=0) == (modules_wide, modules_wide)


def test_labels_go_the_keepers_way_and_only_those_asked_for() -> None:
    text = labels_text(racks(), drawn=False)
    assert text.splitlines()[:3] == ["A By the door", "   1: A1 A2 A3", "   2: A4 A5 A6"]
    some = racks("B2", "A4")
    assert [[label.code for label in rack.labels] for rack in some] == [["A4"], ["B2"]]


def test_no_text_of_the_room_gets_into_a_tag() -> None:
    hostile = Rack(code="A", name='<script>alert("x")</script>\u202e', path=1)
    here = room()
    made = labels_of(
        Room(here.setup, racks=(hostile,), tanks=here.tanks[:2], shelves=here.shelves)
    )  # fmt: skip
    assert not isinstance(made, Problem)
    page = labels_html(made, "<b>'&")
    assert "<script>" not in page
    assert "\u202e" not in page + labels_text(made, drawn=False)
    assert "http" not in page
    assert "&lt;b&gt;" in page
    assert len(Page(page).labels) == 2


def test_what_cannot_be_labelled_is_refused() -> None:
    unknown = labels_of(room(), ["A1", "A9"])
    assert isinstance(unknown, Problem)
    assert "no tank “A9”" in unknown.sentence()
    none = labels_of(Room(room().setup))
    assert isinstance(none, Problem)
    assert "no tanks yet" in none.sentence()


def test_a_page_is_written_whole_and_never_over_another_sort_of_file(tmp_path: Path) -> None:
    page, other = tmp_path / "labels.html", tmp_path / "room.sqlite"
    html = labels_html(racks(), "Small room")
    assert write_page(page, html) is None
    assert write_page(page, html) is None
    assert page.read_text("utf-8") == html
    other.write_bytes(b"SQLite format 3\0")
    refused = write_page(other, html)
    assert isinstance(refused, Problem)
    assert refused.rule == "not-ours"
    assert other.read_bytes() == b"SQLite format 3\0"
    assert write_page(other, html, over=True) is None
    for path in (tmp_path, tmp_path / "missing" / "x.html"):
        assert isinstance(write_page(path, html), Problem)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["labels.html", "room.sqlite"]
