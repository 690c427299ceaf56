"""A small run of the kills, and proof that the look for half acts sees one."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from roomtasks.store.base import Store
from tests.reliability.kill import kill_often
from tests.reliability.session import half_acts, mark_step
from tests.rooms import small_room, store_with


def test_no_acknowledged_act_is_lost_to_a_kill(tmp_path: Path) -> None:
    counted = kill_often(tmp_path, 12, seed=7)
    assert not counted.faults
    assert counted.kills == 12
    assert counted.acknowledged > 12


@pytest.mark.parametrize(
    "harm",
    [
        'DELETE FROM "marks" WHERE "act" = 3',
        'DELETE FROM "changes" WHERE "act" = 3',
        'DELETE FROM "acts" WHERE "id" = 3',
        'DELETE FROM "acts" WHERE "id" = 4',
        'DELETE FROM "seals" WHERE "act" = 3',
        'UPDATE "marks" SET "note" = \'another\' WHERE "act" = 3',
    ],
)
def test_a_half_act_is_seen(tmp_path: Path, harm: str) -> None:
    with store_with(tmp_path, small_room()) as store:
        for number in range(4):
            mark_step(store, number, f"step-{number}")
        assert half_acts(store.connection) == []
    harmed = shutil.copyfile(store.path, tmp_path / "harmed.db")
    with closing(sqlite3.connect(harmed)) as connection:
        connection.execute(harm)
        connection.commit()
    with Store.open(harmed) as store:
        assert half_acts(store.connection)
