"""A room to ask, and a way of asking that keeps what was said."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from roomtasks.cli.main import main
from tests.rooms import small_room, store_with

SATURDAY = "2027-03-06T07:30"


@dataclass(frozen=True)
class Said:
    """What one call said: exit status, standard output, standard error."""

    status: int
    out: str
    err: str

    @property
    def flat(self) -> str:
        """The text with its line breaks undone."""
        return " ".join(self.out.split())

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Ask = Callable[..., Said]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of its own, so that no test sees the room of whoever runs it."""
    for name in ("HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    monkeypatch.delenv("ROOMTASKS_ROOM", raising=False)
    return tmp_path / "home"


@pytest.fixture
def say(home: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Call the command line with these words."""

    def call(*words: str) -> Said:
        capsys.readouterr()
        status = main([str(word) for word in words])
        told = capsys.readouterr()
        return Said(status, told.out, told.err)

    return call


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The store of the small room."""
    with store_with(tmp_path, small_room()) as made:
        return made.path


@pytest.fixture
def ask(say: Ask, store: Path) -> Ask:
    """Call on the small room, on Saturday 6 March 2027 at 07:30 unless --at is said."""

    def call(*words: str) -> Said:
        when = () if {"--at", "--on"} & set(words) else ("--at", SATURDAY)
        return say("--room", str(store), *when, *words)

    return call
