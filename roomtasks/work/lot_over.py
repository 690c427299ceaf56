"""The end of a lot in its tank: the strip job it leaves behind, and a lot that died out."""

from dataclasses import replace
from datetime import date

from roomtasks.room.job import Job
from roomtasks.room.room import Room
from roomtasks.room.stock import Stay
from roomtasks.store.write import Writer


def once(writer: Writer, code: str, name: str, kind: str, tank: str, day: date) -> None:
    """Write a job of one day at a tank."""
    minutes = 2.0 if kind == "look" else 30.0
    writer.put(
        "jobs",
        Job(code=code[:32], name=name, kind=kind, where=f"tank {tank}",
            rule=f"once {day.isoformat()}", window="-0/+3", minutes=minutes),
    )  # fmt: skip


def strip(writer: Writer, lot: Stay, today: date) -> None:
    """Write the strip job at the tank a lot leaves."""
    once(writer, f"{lot.code[:14]}-strip-{writer.id}", f"Strip and dry {lot.tank}", "strip",
         lot.tank, today)  # fmt: skip


def died_out(room: Room, writer: Writer, tank: str, today: date) -> str:
    """End the stay in a tank whose last fish are gone, so that nothing joins it; says so."""
    lot = room.stay_in(tank, today)
    if lot is None:
        return ""
    writer.put("stays", replace(lot, ended=today))
    strip(writer, lot, today)
    return f"; {lot.code} is over, none of it are left: strip and dry {tank}"
