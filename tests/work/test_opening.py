"""Who is written beside an act where nobody was named."""

from dataclasses import replace

from roomtasks.room.setup import Person
from roomtasks.work.opening import who_is
from tests.room.example_room import example_room


def test_the_only_keeper_who_is_here_is_meant_where_nobody_is_named() -> None:
    ann = Person(code="an", name="Ann")
    ben = Person(code="bn", name="Ben", present=False)
    sue = Person(code="su", name="Sue", part="stand-in")
    room = replace(example_room(), people=(ann, ben, sue))
    assert who_is(room, None) == "Ann"
    assert who_is(room, " BN ") == "Ben"
    both = replace(room, people=(ann, replace(ben, present=True), sue))
    assert who_is(both, None) == ""
    none = replace(room, people=(replace(ann, present=False), sue))
    assert who_is(none, None) == ""
