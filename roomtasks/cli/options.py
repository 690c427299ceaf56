"""Words that several commands have alike: the second yes, what is only asked, pairs as R1=9."""

import argparse
from collections.abc import Callable
from typing import Any, TypeVar

from roomtasks.cli.words import Parser, name
from roomtasks.room.column import shown

T = TypeVar("T")

ALTHOUGH = "though a rule of the room says no"


def anyway(parser: Parser, help: str = ALTHOUGH) -> None:
    """The option that says a thing again that was refused, or asked about."""
    parser.add_argument("--anyway", action="store_true", help=help)


def what_if(
    parser: Parser, option: str, reader: Callable[[str], Any], metavar: str, help: str,
    dest: str | None = None,
) -> None:  # fmt: skip
    """An option that may be given many times; `help` says what."""
    more: dict[str, Any] = {} if dest is None else {"dest": dest}
    parser.add_argument(
        option, type=reader, action="append", default=[], metavar=metavar, help=help, **more
    )


def parted(given: str, example: str, sign: str = "=") -> tuple[str, str]:
    """A name and what stands behind the sign, neither blank."""
    first, found, second = given.partition(sign)
    if not found or not second.strip():
        raise argparse.ArgumentTypeError(f"“{shown(given)}” is no such pair; write it as {example}")
    return name(first), second.strip()


def pair(
    reader: Callable[[str], T], example: str, sign: str = "="
) -> Callable[[str], tuple[str, T]]:
    """A name and a value, as R1=9."""

    def read(given: str) -> tuple[str, T]:
        about, value = parted(given, example, sign)
        return about, reader(value)

    return read
