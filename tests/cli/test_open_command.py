"""`open`: which store, which clock and whose name the interface is given."""

from datetime import datetime
from pathlib import Path

import pytest

from roomtasks.clock.now import Clock, FixedClock, RunningClock, SystemClock
from tests.cli.conftest import Ask
from tests.rooms import ZONE


class Interface:
    """Stands in for the interface: notes what it was given, and ends as told."""

    def __init__(self) -> None:
        self.calls: list[tuple[Path, Clock, str, bool]] = []
        self.ends = [0]

    def run(self, path: Path, clock: Clock | None = None, who: str = "") -> int:
        assert clock is not None
        self.calls.append((path, clock, who, path.exists()))
        return self.ends.pop(0) if self.ends else 0


@pytest.fixture
def interface(monkeypatch: pytest.MonkeyPatch) -> Interface:
    made = Interface()
    monkeypatch.setattr("roomtasks.tui.app.run", made.run)
    monkeypatch.setattr("roomtasks.cli.open.at_terminal", lambda: True)
    return made


@pytest.mark.parametrize("words", [(), ("open",)])
def test_a_room_opens_with_its_keeper_and_the_systems_clock(
    say: Ask, store: Path, interface: Interface, words: tuple[str, ...]
) -> None:
    assert say("-r", str(store), *words).status == 0
    path, clock, who, _ = interface.calls[0]
    assert (path, type(clock), who) == (store, SystemClock, "Maeve")


def test_at_and_on_make_the_clock_stand(say: Ask, store: Path, interface: Interface) -> None:
    say("-r", str(store), "--at", "2027-03-06T07:30", "--who", "tb")
    say("-r", str(store), "open", "--on", "2027-03-06")
    (_, first, who, _), (_, second, _, _) = interface.calls
    assert isinstance(first, FixedClock)
    assert isinstance(second, FixedClock)
    assert (first.now(ZONE).hour, second.now(ZONE).hour, who) == (7, 8, "Tom")


def test_the_demo_runs_from_its_own_time_in_a_copy(say: Ask, interface: Interface) -> None:
    assert say("open", "--demo").status == 0
    path, clock, _, was_there = interface.calls[0]
    assert was_there
    assert not path.exists()
    assert isinstance(clock, RunningClock)
    assert clock.instant.tzinfo is not None
    opens_at = say("walk", "--demo", "--json").json["at"]
    assert clock.instant == datetime.fromisoformat(opens_at)


def test_the_guided_start_may_ask_for_the_demo(
    say: Ask, tmp_path: Path, interface: Interface
) -> None:
    from roomtasks.tui.screens.start import DEMO_WANTED

    interface.ends = [DEMO_WANTED, 0]
    assert say("-r", str(tmp_path / "none.db")).status == 0
    assert [type(call[1]) for call in interface.calls] == [SystemClock, RunningClock]


def test_an_absent_store_is_left_for_the_interface_to_begin(
    say: Ask, tmp_path: Path, interface: Interface
) -> None:
    path = tmp_path / "none.db"
    assert say("-r", str(path), "--who", "Ann").status == 0
    assert interface.calls[0][0] == path
    assert interface.calls[0][2:] == ("Ann", False)
    assert say("-r", str(path), "--at", "2027-03-06T07:30").status == 2


def test_a_store_that_cannot_be_used_is_told_before_the_screen_is_taken(
    say: Ask, tmp_path: Path, interface: Interface
) -> None:
    path = tmp_path / "diary.txt"
    path.write_text("dear diary")
    said = say("-r", str(path))
    assert (said.status, interface.calls) == (3, [])


def test_what_the_interface_ends_with_is_the_exit_status(
    say: Ask, store: Path, interface: Interface
) -> None:
    interface.ends = [3]
    assert say("-r", str(store)).status == 3
