"""What holds for every command: options, exit statuses, faults of the store, output that breaks."""

import os
import re
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from roomtasks import __version__
from roomtasks.cli import running
from roomtasks.cli.parser import TABLE
from roomtasks.clock.now import SystemClock
from roomtasks.store.base import Store
from tests.cli.conftest import SATURDAY, Ask

READING = [
    ("walk",), ("tank", "A1"), ("racks",), ("jobs",), ("journal",), ("shared", "A1"),
]  # fmt: skip


def test_version_and_help(say: Ask) -> None:
    assert say("--version").out == f"roomtasks {__version__}\n"
    helped = say("--help")
    assert helped.status == 0
    for name in TABLE:
        assert re.search(rf"^    {name}\b", helped.out, re.MULTILINE), name


@pytest.mark.parametrize("name", list(TABLE))
def test_every_command_has_help_of_60_columns(say: Ask, name: str) -> None:
    helped = say(name, "--help")
    assert (helped.status, helped.err) == (0, "")
    assert max(len(line) for line in helped.out.splitlines()) <= 60


def test_options_stand_on_either_side(say: Ask, store: Path) -> None:
    before = say("--room", str(store), "--at", SATURDAY, "--json", "walk")
    after = say("walk", "-r", str(store), "--at", SATURDAY, "--json")
    mixed = say("-r", str(store), "walk", "--at", SATURDAY, "--json")
    assert before.out == after.out == mixed.out
    assert before.json["day"] == "2027-03-06"


def test_the_last_said_counts(say: Ask, store: Path) -> None:
    words = ("-r", str(store), "--at", "2027-03-01T08:00", "walk", "--json", "--at", SATURDAY)
    assert say(*words).json["day"] == "2027-03-06"


@pytest.mark.parametrize(
    "words",
    [
        ("done", "look@A1", "--note", "x", "look@A2"),
        ("done", "--note", "x", "look@A1", "look@A2"),
        ("--who", "Ann", "done", "look@A1", "--note=x", "look@A2"),
        ("hold", "A1", "look", "--reason", "look", "feed"),
        ("figure", "--json", "tank-volume", "length=60", "width=30", "water=30"),
        ("figure", "tank-volume", "length=60", "--json", "width=30", "water=30"),
        ("undo", "--who", "undo"),
    ],
)
def test_an_option_may_part_a_list_of_words(ask: Ask, words: tuple[str, ...]) -> None:
    ask("done", "check")
    said = ask(*words)
    assert (said.status, said.err) == (0, "")
    if words[0] == "hold":
        assert "look over, feed held at A1" in said.flat
    elif words[0] == "figure":
        assert said.json["value"] == 54.0
    elif "undo" not in words:
        assert ask("journal", "--json").json["acts"][0]["words"].count("Look over") == 2


def test_undo_by_number_behind_an_option(ask: Ask) -> None:
    ask("done", "check")
    ask("done", "look@A1")
    assert ask("undo", "--json", "1").json["took_back"]["act"] == 1


def test_an_option_that_is_none_is_named_among_parted_words(ask: Ask) -> None:
    said = ask("done", "look@A1", "--note", "x", "look@A2", "--nonsense")
    assert (said.status, "--nonsense" in said.err) == (2, True)


def test_the_variable_names_the_room_and_the_option_wins(
    say: Ask, store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ROOMTASKS_ROOM", str(store))
    assert say("walk", "--at", SATURDAY).status == 0
    other = say("walk", "-r", str(tmp_path / "none.db"))
    assert (other.status, "none.db" in other.err) == (3, True)


def test_without_either_it_is_the_users_data_folder(say: Ask, home: Path) -> None:
    said = say("walk")
    assert said.status == 3
    assert str(home) in said.err
    assert "room.sqlite" in said.err
    assert not home.exists()


@pytest.mark.parametrize(
    "words",
    [
        ("walk", "--at", "2027-03-06T07:30", "--on", "2027-03-06"),
        ("walk", "--at", "2027-03-06"),
        ("walk", "--at", "2027-13-01T00:00"),
        ("walk", "--at", "soon"),
        ("walk", "--on", "2027-02-30"),
        ("walk", "--on", "1900-01-01"),
        ("walk", "--at", "2999-12-31T23:59"),
        ("walk", "--room", ""),
        ("walk", "--minutes", "-1"),
        ("walk", "--minutes", "1e3"),
        ("walk", "--colour"),
        ("walk", "extra"),
        ("wlak",),
        ("--nonsense",),
        ("walk", "--min", "5"),
        ("walk", "\x1b]0;x\x07"),
        ("\x1b[2J",),
    ],
)
def test_bad_words_end_with_2_in_one_line(say: Ask, store: Path, words: tuple[str, ...]) -> None:
    room = () if "--room" in words else ("-r", str(store))
    said = say(*room, *words)
    assert (said.status, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f]", said.err)


def test_bad_words_with_json_still_give_one_document(say: Ask) -> None:
    said = say("wlak", "--json")
    assert said.status == 2
    assert said.json["problem"]["what"] == "there is no command “wlak”; did you mean walk?"


def test_a_command_that_is_none_offers_the_nearest(say: Ask) -> None:
    assert "did you mean put-off?" in say("putoff").err
    assert "'roomtasks --help' lists them" in say("xyzzy").err


def test_demo_and_a_room_are_two_rooms(say: Ask, store: Path) -> None:
    said = say("walk", "--demo", "-r", str(store))
    assert (said.status, "give one of them" in said.err) == (2, True)


def test_open_wants_a_terminal_and_no_json(say: Ask, store: Path) -> None:
    for words in ((), ("open",)):
        said = say("-r", str(store), *words)
        assert (said.status, "needs a terminal" in said.err) == (2, True)
    assert "--json" in say("open", "--json").err


STORES = {
    "text": b"dear diary",
    "empty": b"",
    "foreign": None,
    "short": b"SQLite format 3\x00" + bytes(60),
}


@pytest.mark.parametrize("sort", STORES)
def test_what_is_no_store_is_refused_and_left_alone(say: Ask, tmp_path: Path, sort: str) -> None:
    path = tmp_path / "other.db"
    if STORES[sort] is None:
        connection = sqlite3.connect(path)
        connection.execute("CREATE TABLE t (x)")
        connection.commit()
        connection.close()
    else:
        path.write_bytes(STORES[sort] or b"")
    before = path.read_bytes()
    for words in (("walk",), ("done", "check"), ("undo",)):
        said = say("-r", str(path), *words)
        assert (said.status, said.out) == (3, "")
        assert "it was left as it is" in said.err
    assert path.read_bytes() == before


@pytest.mark.parametrize("words", [*READING, ("done", "check"), ("undo",)])
def test_an_absent_store_is_told_and_not_made(
    say: Ask, tmp_path: Path, words: tuple[str, ...]
) -> None:
    path = tmp_path / "none.db"
    said = say("-r", str(path), *words, "--json")
    assert (said.status, said.json["problem"]["store_fault"]) == (3, "absent")
    assert "there is no room here yet" in said.err
    assert list(tmp_path.glob("*.db*")) == []


def test_a_folder_as_store(say: Ask, tmp_path: Path) -> None:
    assert say("-r", str(tmp_path), "walk").status == 3


def test_a_locked_store_is_told_and_nothing_is_written(
    ask: Ask, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("roomtasks.cli.asked.open_store", lambda path: Store.open(
        path, wait_seconds=0.05))  # fmt: skip
    other = sqlite3.connect(store, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    said = ask("done", "check", "--json")
    assert (said.status, said.json["problem"]["store_fault"]) == (3, "locked")
    other.execute("ROLLBACK")
    other.close()
    assert ask("done", "check").status == 0


def test_a_store_without_a_room(say: Ask, tmp_path: Path) -> None:
    Store.create(tmp_path / "bare.db").close()
    said = say("-r", str(tmp_path / "bare.db"), "walk")
    assert (said.status, "[no-room]" in said.err) == (1, True)


def test_ctrl_c_ends_with_130_and_no_traceback(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(running, "_answer", stopped)
    said = ask("walk")
    assert (said.status, said.out) == (130, "")
    assert said.err.count("\n") == 1


def test_ctrl_c_while_loading_ends_the_same_way() -> None:
    code = (
        "import sys\nfrom roomtasks.cli.main import main\n"
        "class Stopped:\n"
        "    def find_spec(self, name, path, target=None):\n"
        "        if name == 'roomtasks.room.walk':\n"
        "            raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Stopped())\n"
        "sys.exit(main(['walk']))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 130
    assert done.stderr == "roomtasks: ended by Ctrl-C; what was acknowledged is kept\n"


def test_a_reader_that_goes_away_is_no_fault(store: Path) -> None:
    command = (
        f"set -o pipefail; '{sys.executable}' -m roomtasks -r '{store}' --at {SATURDAY} "
        "walk --json | head -c 10 > /dev/null"
    )
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_an_answer_that_cannot_be_written_is_told(store: Path) -> None:
    code = (
        "import errno, io, sys\nfrom roomtasks.cli.main import main\n"
        "class Full(io.StringIO):\n"
        "    def write(self, text):\n"
        "        raise OSError(errno.ENOSPC, 'no room left')\n"
        "sys.stdout = Full()\n"
        f"sys.exit(main(['-r', {str(store)!r}, 'walk']))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr == ("roomtasks: what there is to say could not be written (no room left)\n")


def test_a_terminal_without_the_signs_is_no_fault(store: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "roomtasks", "-r", str(store), "done", "“x”"],
        capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_no_colour_where_there_is_no_terminal(ask: Ask) -> None:
    assert "\x1b" not in ask("walk").out


@pytest.mark.parametrize(("no_colour", "seen"), [("", True), ("1", False)])
def test_colour_on_a_terminal_unless_no_color_says_no(
    ask: Ask, monkeypatch: pytest.MonkeyPatch, no_colour: str, seen: bool
) -> None:
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    monkeypatch.setenv("NO_COLOR", no_colour)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "72")
    out = ask("walk").out
    assert ("\x1b[1;31m" in out) is seen
    plain = re.sub(r"\x1b\[[0-9;]*m", "", out)
    assert max(len(line) for line in plain.splitlines()) <= 72
    assert "! late" in plain


HEAVY = ("textual", "apscheduler", "pint", "numpy", "pandas", "sqlite_utils", "rich", "asyncio")


@pytest.mark.parametrize("words", READING, ids=lambda words: words[0])
def test_reading_loads_nothing_heavy(store: Path, words: tuple[str, ...]) -> None:
    code = (
        "import sys\nfrom roomtasks.cli.main import main\n"
        f"status = main(['-r', {str(store)!r}, '--json', *{words!r}])\n"
        f"print(sorted(set({HEAVY!r}) & set(sys.modules)), status, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr == "[] 0\n"


def test_marking_loads_no_interface(store: Path) -> None:
    code = (
        "import sys\nfrom roomtasks.cli.main import main\n"
        f"status = main(['-r', {str(store)!r}, '--at', {SATURDAY!r}, 'done', 'check'])\n"
        "heavy = {'textual', 'apscheduler', 'pint'} & set(sys.modules)\n"
        "print(sorted(heavy), status, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr == "[] 0\n"


def test_a_clock_behind_the_journal_is_said_beside_the_answer(
    say: Ask, ask: Ask, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ask("done", "look@A1").status == 0
    early = datetime(2027, 3, 5, 12, 0, tzinfo=UTC)
    monkeypatch.setattr(SystemClock, "now", lambda _clock, zone: early.astimezone(zone))
    told = say("--room", str(store), "walk", "--json")
    assert (told.status, told.json["day"]) == (0, "2027-03-05")
    assert "the clock says 05 Mar 2027" in told.err
    assert "the journal goes on to 06 Mar 2027 07:30" in told.err
    assert ask("walk", "--at", "2027-03-05T12:00").err == ""
