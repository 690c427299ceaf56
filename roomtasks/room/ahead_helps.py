"""What would help most where the work does not fit: minutes, litres, a tank less."""

from roomtasks.room.ahead_days import Laid
from roomtasks.room.ahead_plan import Help


def helps_of(laid: Laid) -> tuple[Help, ...]:
    return ()
