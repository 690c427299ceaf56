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


def test_a_missed_change_says_what_would_make_up_for_it() -> None:
    """One 30 % change missed: 2 x 0.3 / (1 + 0.3) = 46.2 %, never 60. Worked here."""
    there = room(jobs=(job("change", "every 7 days", kind="change", fraction=0.3),))
    marks = [
        mark("change", "D3", "2027-02-27", "2027-02-27"),
        mark("change", "D3", "2027-03-06", "2027-03-06", outcome="left-out", reason="no water"),
    ]
    said = why(dues(there, marks, morning("2027-03-13"))["change@D3"])
    assert "1 missed: 46.2 % in one change" in said
    assert "60" not in said
