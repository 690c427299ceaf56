"""What a level read at a sump says: nothing without the state of its pump.

A sump has two right levels. With the pump at rest, what stands above the tanks'
outlets and in the pipes stands in it too, so a sump topped up to its running
mark at rest leaves the pump sucking air, and one filled past the safe level
while it runs floods the floor once the pump stops. Centimetres above its floor.
Does not live here: the two levels themselves (`body.sump_levels`).
"""

from roomtasks.room.body import litres_per_cm, refused_level, sump_levels
from roomtasks.room.journal import Reading
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Note

SUMP_LEVEL = "sump-level"
_NEAR_CM = 0.5  # a reading so near its mark is at its mark; common practice


def level_note(room: Room, reading: Reading) -> Note | None:
    """What a level read at a system's sump asks for; None where it is near its mark.

    Also None where the sump's sizes are not known, and for readings of other sorts.
    """
    if reading.what != SUMP_LEVEL or reading.target not in room.system:
        return None
    code = reading.target
    levels = sump_levels(room, code, reading.at)
    if levels is None or isinstance(levels, Problem):
        return None
    pump = room.pump_state(code, reading.at)
    if pump is None:
        text = "a level says nothing without the pump's state: note whether it runs"
        return Note(about=code, text=text, sort="warned", rule=SUMP_LEVEL)
    runs = pump.state == "running"
    running = max(0.0, reading.value - (0.0 if runs else levels.rise_cm))
    flood = refused_level(levels, running)
    per_cm = litres_per_cm(room.system[code])
    if flood is not None:
        over = (running - levels.highest_running_cm) * per_cm
        text = f"{flood.what}; {flood.remedy}: take {over:.1f} L out"
        return Note(about=code, text=text, sort="warned", rule=SUMP_LEVEL)
    below = levels.running_cm - running
    if below < _NEAR_CM:
        return None
    owed = f"{below:.1f} cm or {below * per_cm:.1f} L below its mark"
    if runs:
        return Note(about=code, text=f"it stands {owed} while the pump runs", rule=SUMP_LEVEL)
    text = (
        f"the pump rests, so {reading.value:.1f} cm are {running:.1f} cm with the pump running, "
        f"{owed}: top off to {levels.resting_cm:.1f} cm before the pump is started"
    )
    return Note(about=code, text=text, sort="warned", rule=SUMP_LEVEL)
