"""A link of a chain as a row and as a job, kept in step with the group that is to go."""

from dataclasses import replace

from roomtasks.room.job import Job
from roomtasks.room.planned_move import TUB, PlannedMove
from roomtasks.room.room import Room
from roomtasks.room.stock import Group
from roomtasks.store.write import Writer

MINUTES = 15.0


def job_of(move: PlannedMove, room: Room) -> Job:
    """A link as a job of the day it is planned for, at the tank the fish leave."""
    group = next((group for group in room.groups if group.code == move.group), None)
    tank = move.from_tank if move.from_tank != TUB else move.to_tank
    to = move.to_tank or "a buyer"
    return Job(
        code=f"{move.chain}-{move.n}", kind="move", where=f"tank {tank}",
        name=f"Move {move.count} {group.line if group else move.group} {move.from_tank} to {to}",
        rule=f"once {move.day.isoformat()}", window="-0/+3", minutes=MINUTES,
        needs=f"count out, count in; then 'roomtasks link {move.chain} {move.n}'",
        active=move.state == "planned",
    )  # fmt: skip


def put_link(room: Room, writer: Writer, move: PlannedMove) -> None:
    """Write a link, and its job with it."""
    writer.put("planned_moves", move)
    writer.put("jobs", job_of(move, room))


def counts_follow(room: Room, writer: Writer, group: Group, count: int) -> None:
    """Let links that were to move a whole group move what it is now; none left, none moved."""
    for move in room.planned_moves:
        if move.group != group.code or move.state != "planned":
            continue
        if count < 1:
            put_link(room, writer, replace(move, state="dropped", why="none of them are left"))
        elif move.count == group.count or move.count > count:
            put_link(room, writer, replace(move, count=count))
