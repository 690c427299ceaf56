"""Water as both front ends use it: the plan of a change, and every act on it."""

from roomtasks.work.water_acts import choose, end_level, set_level, top_off
from roomtasks.work.water_steps import step
from roomtasks.work.water_view import cautions, water_scene, water_view

__all__ = [
    "cautions", "choose", "end_level", "set_level", "step", "top_off", "water_scene", "water_view",
]  # fmt: skip
