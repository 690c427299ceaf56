"""A few acts cut at every call, and proof that too little syncing, or half an act, is seen."""

import sqlite3
from pathlib import Path

import pytest

from roomtasks.store import base
from roomtasks.store.write import Writer
from tests.reliability.write_order import cut_everywhere


def test_every_image_of_a_session_opens_with_all_that_was_acknowledged(tmp_path: Path) -> None:
    counted = cut_everywhere(tmp_path, acts=3, seed=7)
    assert counted.faults == []
    assert counted.folded > 0
    assert counted.images["synced"] > 3
    assert counted.images["torn"] > 50


def test_a_setting_that_syncs_too_little_is_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def hasty(connection: sqlite3.Connection) -> None:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = NORMAL")

    monkeypatch.setattr(base, "set_durable", hasty)
    faults = cut_everywhere(tmp_path, acts=2, seed=7).faults
    assert any("only 0 acts are there" in fault for fault in faults)


def test_an_act_in_two_commits_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = Writer.put

    def torn(self: Writer, sheet: str, value: object) -> None:
        whole(self, sheet, value)
        self.store.connection.execute("COMMIT")
        self.store.connection.execute("BEGIN IMMEDIATE")

    monkeypatch.setattr(Writer, "put", torn)
    faults = cut_everywhere(tmp_path, acts=1, seed=7).faults
    assert any("its act 1 is not there" in fault for fault in faults)
