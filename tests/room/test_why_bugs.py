"""The reason named the day after a hold as the change day."""

from roomtasks.room.why import why
from tests.room.scene import Hold, dues, job, mark, morning, room


def test_the_change_day_named_is_the_change_day() -> None:
    """Done Sun 7 Mar, due Sun 14 Mar, pulled onto Sat 13 Mar, held until Mon 15 Mar."""
    there = room(
        jobs=(job("change", "every 7 days", kind="change", window="-1/+2"),),
        holds=(
            Hold(
                code="h", target="D3", kinds="change", reason="eggs",
                since=morning("2027-03-12").date(), until=morning("2027-03-15").date(),
            ),
        ),
    )  # fmt: skip
    done = mark("change", "D3", "2027-03-06", "2027-03-07")
    found = dues(there, [done], morning("2027-03-13"))["change@D3"]
    assert "onto the change day, Sat 13 Mar" in why(found)
    assert "held: eggs, free from Tue 16 Mar" in why(found)
