"""`sheet` and `ticked`: a walk on paper, and back from it."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from roomtasks.files.paper_out import paper_text, ticks_of
from roomtasks.room.paper import Paper, PaperLine, Section
from tests.cli.conftest import Ask

LATER = "2027-03-06T09:00"


class Tags(HTMLParser):
    """Counts what opens and closes, and keeps the words."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.ticks = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "meta":
            self.open.append(tag)
        self.ticks += ("class", "tick") in attrs

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def test_the_walk_has_a_box_for_each_job_in_its_order(ask: Ask) -> None:
    found = ask("sheet", "walk").out
    walk = ask("walk", "--json").json
    names = re.findall(r"<([^<>@ ]+@[^<> ]+)>", found)
    assert names == [stop["id"] for stop in walk["stops"]]
    assert "Not to be touched today" in found
    assert "not just switched" in found


def test_it_is_60_wide_and_a_long_line_to_tick_goes_on_below(ask: Ask) -> None:
    found = ask("sheet", "walk").out
    assert max(map(len, found.splitlines())) <= 60
    long_name = "[x] Siphon behind the roots, wipe the front, look at every corner of the cave"
    line = PaperLine(
        text=f"B1  {long_name}  12 min", tick=True, name="siphon@B1", note="[two] nets"
    )
    paper = Paper(title="t", sections=(Section(head="Walk", lines=(line,)),))
    text = paper_text(paper)
    assert max(map(len, text.splitlines())) <= 60
    assert " ".join(text.split()).count("every corner of the cave") == 1
    assert ticks_of(text) == []
    assert [tick.name for tick in ticks_of(text.replace("[ ]", "[x]"))] == ["siphon@B1"]  # type: ignore[union-attr]


def test_what_is_reached_with_the_steps_says_what_to_mind_of_them(ask: Ask) -> None:
    mind = "Steps firm and dry, three points of hold"
    stops = {stop["id"]: stop["cautions"] for stop in ask("walk", "--json").json["stops"]}
    assert any(mind in caution for caution in stops["look@A1"])
    assert not any(mind in caution for caution in stops["look@B1"])
    assert ask("walk", "--why").flat.count(mind) == sum(
        mind in " ".join(cautions) for cautions in stops.values()
    )
    assert " ".join(ask("sheet", "walk").out.split()).count(mind) == 1


def test_a_page_of_html_is_whole_and_keeps_foreign_text_out_of_its_tags(
    ask: Ask, tmp_path: Path
) -> None:
    assert ask("class", "B1", "watch", "--reason", "<script>x</script>").status == 0
    file = tmp_path / "walk.html"
    assert ask("sheet", "walk", "--html", str(file)).status == 0
    text = file.read_text("utf-8")
    assert "<script" not in text
    tags = Tags()
    tags.feed(text)
    assert tags.open == []
    assert tags.ticks == len(ask("walk", "--json").json["stops"])
    assert "http" not in text


def test_the_stand_ins_sheet_has_days_numbers_and_what_to_leave(ask: Ask) -> None:
    said = ask("sheet", "away", "2027-03-12", "2027-03-14").out
    for head in ("The racks", "What is normal", "Fri 12 Mar", "Sun 14 Mar", "Leave alone", "Ring"):
        assert head in said
    assert "If in doubt: air on, no food" in said
    assert "Q1: own net and siphon" in said
    sections = ask("sheet", "away", "2027-03-12", "2027-03-14", "--json").json["sections"]
    assert sum("minutes" in section["head"] for section in sections) == 3


def ticked(ask: Ask, tmp_path: Path, marks: dict[str, str]) -> Path:
    """The sheet with these jobs ticked, and what is written behind their lines."""
    lines = []
    for line in ask("sheet", "walk").out.splitlines():
        match = re.search(r"<([^<>]+)>$", line)
        if match is not None and match[1] in marks:
            line = line.replace("[ ]", "[x]") + marks[match[1]]
        lines.append(line)
    file = tmp_path / "ticked.txt"
    file.write_text("\n".join(lines), "utf-8")
    return file


def test_what_was_ticked_is_marked_in_one_act_at_the_times_written(
    ask: Ask, tmp_path: Path
) -> None:
    file = ticked(ask, tmp_path, {"check@room": " 07:40", "look@A1": "", "look@B1": " 8:05"})
    said = ask("ticked", str(file), "--at", LATER, "--json")
    assert sorted(said.json["marked"]) == ["check@room", "look@A1", "look@B1"]
    page = ask("walk", "--at", LATER, "--all", "--json").json
    at = {mark["job"] + "@" + mark["target"]: mark["at"] for mark in page["marked_today"]}
    assert at["check@room"].startswith("2027-03-06T07:40")
    assert at["look@B1"].startswith("2027-03-06T08:05")
    assert at["look@A1"].startswith("2027-03-06T09:00")
    assert ask("undo", "--at", LATER).status == 0


@pytest.mark.parametrize(
    ("name", "behind", "status", "told"),
    [
        ("check@room", " 25:10", 2, "is no time of day"),
        ("check@room", " 10:30", 1, "lies ahead"),
        ("check@room", " often", 2, "no job in"),
    ],
)
def test_nothing_is_marked_where_a_line_cannot_be_read(
    ask: Ask, tmp_path: Path, name: str, behind: str, status: int, told: str
) -> None:
    file = ticked(ask, tmp_path, {"look@A1": "", name: behind})
    said = ask("ticked", str(file), "--at", LATER)
    assert (said.status, told in said.err, "line" in said.err) == (status, True, True), said.err
    assert ask("walk", "--at", LATER, "--all", "--json").json["marked_today"] == []


def test_other_bad_words(ask: Ask, tmp_path: Path) -> None:
    empty = ticked(ask, tmp_path, {})
    assert "no box in it is ticked" in ask("ticked", str(empty), "--at", LATER).err
    assert ask("ticked", str(tmp_path / "none.txt")).status == 2
    (tmp_path / "b.txt").write_bytes(b"[x] \xff\xfe")
    assert "no text in UTF-8" in ask("ticked", str(tmp_path / "b.txt")).err
    assert ask("sheet", "away").status == 2
    assert ask("sheet", "walk", "2027-03-12").status == 2
    assert ask("sheet", "walk", "--html", str(tmp_path / "no" / "x.html")).status == 2
    assert ask("sheet", "away", "2027-03-14", "2027-03-12").status == 2
