"""The pictures of the docs, made by the program itself from the demo room.

    python docs/make_pictures.py

Each is an SVG of the real screen at the demo's own morning, so that the same
room gives the same pictures.
"""

import asyncio
import sys
import tempfile
from pathlib import Path
from zoneinfo import ZoneInfo

sys.path.insert(0, str(Path(__file__).parents[1]))

from textual.pilot import Pilot

from roomtasks.clock.now import FixedClock
from roomtasks.files import Folder, read_folder
from roomtasks.room.day import parse_instant
from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.store.write import replace_all
from roomtasks.tui.app import RoomApp
from roomtasks.tui.signs import SHAPES

DOCS = Path(__file__).parent
PICTURES = DOCS / "pictures"

SCENES: dict[str, tuple[tuple[int, int], tuple[str, ...]]] = {
    "walk-80x24": ((80, 24), ("2",) * 7),
    "walk-60x20": ((60, 20), ("2",) * 3),
    "walk-140x45": ((140, 45), (*("2",) * 14, "+")),
    "held-80x24": ((80, 24), (".",)),
    "tank-80x24": ((80, 24), ("*", "w", "2", "2", "enter", "9")),
    "journal-80x24": ((80, 24), ("/",)),
    "facts-80x24": ((80, 24), ("e",)),
    "form-80x24": ((80, 24), ("e", "5")),
    "water-80x24": ((80, 24), ("c",)),
    "water-140x45": ((140, 45), ("c",)),
    "water-number-80x24": ((80, 24), ("c", "2", "2", "2", "2", "5")),
    "apart-80x24": ((80, 24), ("s",)),
    "apart-140x45": ((140, 45), ("s",)),
    "broods-80x24": ((80, 24), ("v", *("2",) * 9)),
    "broods-140x45": ((140, 45), ("v", *("2",) * 9)),
    "weeks-80x24": ((80, 24), ("y",)),
    "weeks-140x45": ((140, 45), ("y", "1", "1")),
    "trouble-80x24": ((80, 24), ("z", "2", "2", "6", "5", "0", "2", "1", "0", "enter", "7")),
}
NAMES = {".": "full_stop", "+": "plus", "*": "asterisk", "/": "slash", "?": "question_mark"}


async def picture(name: str, path: Path, clock: FixedClock, keys: tuple[str, ...],
                  size: tuple[int, int]) -> None:  # fmt: skip
    app = RoomApp(path, clock, "Rita")
    app.signs = app.walk.signs = SHAPES
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.4)
        for key in keys:
            for screen in app.screen_stack:
                for held in ("_last", "_opened_by"):
                    if hasattr(screen, held):
                        setattr(screen, held, ("", -10.0))
            await pilot.press(NAMES.get(key, key))
            await _still(app, pilot)
        await pilot.pause(0.3)
        svg = app.export_screenshot(title="roomtasks")
        (PICTURES / f"{name}.svg").write_text(_plain(svg), "utf-8")


async def _still(app: RoomApp, pilot: Pilot[int]) -> None:
    """Until what the key asked for is worked out and painted."""
    await pilot.pause(0.1)
    for _ in range(1500):
        if app.side.screen is None or not any(worker.is_running for worker in app.workers):
            break
        await pilot.pause(0.02)
    await pilot.pause(0.1)


def _plain(svg: str) -> str:
    """Without fonts fetched from elsewhere, and with ids that do not change."""
    start, end = svg.find("@font-face"), svg.rfind("@font-face")
    if start != -1:
        close = svg.find("}", end) + 1
        svg = svg[:start] + svg[close:]
    svg = svg.replace("Fira Code", "DejaVu Sans Mono")
    number = svg.partition("terminal-")[2].partition("-")[0]
    return svg.replace(f"terminal-{number}-", "terminal-")


async def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    found = read_folder(DOCS.parent / "demo_room")
    if not isinstance(found, Folder):
        raise SystemExit("the demo room has faults")
    setup = found.sheets["setup"][0]
    now = parse_instant(setup.demo_opens_at, ZoneInfo(setup.zone))
    if isinstance(now, Problem):
        raise SystemExit(now.sentence())
    with tempfile.TemporaryDirectory() as folder:
        for name, (size, keys) in SCENES.items():
            path = Path(folder) / f"{name}.room"
            Store.create(path, fill=lambda store: replace_all(store, found.sheets)).close()
            await picture(name, path, FixedClock(now), keys, size)
        await picture("start-80x24", Path(folder) / "none.room", FixedClock(now), (), (80, 24))


if __name__ == "__main__":
    asyncio.run(main())
