"""Rules between rows for what the weeks ahead keep: pins, messages, troubles."""

from collections.abc import Iterator
from dataclasses import replace

from roomtasks.room.fault import Facts, Fault, no_place, unknown


def pin_faults(facts: Facts) -> Iterator[Fault]:
    """Pins and messages are about things there are; troubles end after they begin."""
    for row, pin in facts.rows("pins"):
        if pin.job not in facts.codes("jobs"):
            yield unknown(facts, "pins", row, "job", pin.job, "jobs")
        if pin.target not in facts.places:
            yield no_place(facts, "pins", row, "target", pin.target)
    for row, message in facts.rows("messages"):
        if message.target not in facts.places:
            yield no_place(facts, "messages", row, "target", message.target)
    for row, trouble in facts.rows("troubles"):
        if trouble.target not in facts.places | facts.places_once:
            fault = no_place(facts, "troubles", row, "target", trouble.target)
            yield replace(fault, leans_on=(*fault.leans_on, "changes"))
        if trouble.ended is not None and trouble.ended < trouble.began:
            yield Fault("troubles", row, "ended", "it was over before it began",
                        "correct one of the two")  # fmt: skip
