"""How far a fill has come in truth: which of its steps were done, and what is left to do.

Read off what the reservoir holds now (`contents`). Water left from an earlier
fill is not this fill, however warm or well treated it is.
"""

from dataclasses import dataclass
from datetime import UTC, datetime

from roomtasks.room.amount import ASSUMED, MEASURED
from roomtasks.room.warming import NEAR_ENOUGH, FillNeed
from roomtasks.room.water_plan import Contents

_SHORT_SHARE, _SHORT_LITRES = 0.02, 5.0  # a reservoir said to be full may stand this far short


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """Steps of one fill that were done, and when. Blank was not done.

    `to_run_in` are litres yet to come. `assumed_ready` is water that stood there
    before any step was noted.
    """

    to_run_in: float
    contents: Contents | None = None
    hose: datetime | None = None
    fill_start: datetime | None = None
    full: datetime | None = None
    treated: datetime | None = None
    heat_on: datetime | None = None
    mixed: datetime | None = None
    checked: datetime | None = None
    assumed_ready: bool = False

    @property
    def filling(self) -> bool:
        """Whether the hose runs now."""
        return self.fill_start is not None and self.full is None


def done_of(need: FillNeed, contents: Contents | None) -> Done:
    """How far this fill has come."""
    if contents is None:
        return Done(to_run_in=need.added_litres)
    stands = not need.fills
    full = contents.full_at is not None and contents.filling_since is None and _enough(
        need, contents.litres
    )  # fmt: skip
    if not (stands or full or contents.filling_since is not None):
        return Done(to_run_in=need.added_litres, hose=_fresh_hose(contents))
    begun = contents.filling_since or ((contents.begun_at or contents.full_at) if full else None)
    checked = contents.ready_at if not _found_cold(need, contents) else None
    return Done(
        to_run_in=0.0 if full or stands else max(0.0, need.litres - contents.litres),
        contents=contents, hose=contents.hose_at or begun, fill_start=begun,
        full=contents.full_at if contents.filling_since is None else None,
        treated=contents.treated_at, heat_on=contents.heat_since, mixed=contents.mixed_at,
        checked=checked,
        assumed_ready=stands and contents.state == "ready" and contents.known == ASSUMED,
    )  # fmt: skip


def _fresh_hose(contents: Contents) -> datetime | None:
    """The hose laid since the last fill was full; one laid for that fill is not there now."""
    hose, full = contents.hose_at, contents.full_at
    if hose is None or full is None:
        return hose
    return hose if hose.astimezone(UTC) > full.astimezone(UTC) else None


def _enough(need: FillNeed, litres: float) -> bool:
    return litres >= need.litres - max(_SHORT_LITRES, _SHORT_SHARE * need.litres)


def _found_cold(need: FillNeed, contents: Contents) -> bool:
    """Whether ready water was since read to be colder than wanted."""
    warmth, target = contents.celsius, need.target_celsius
    if warmth is None or target is None or warmth.known != MEASURED:
        return False
    return warmth.value < target - NEAR_ENOUGH
