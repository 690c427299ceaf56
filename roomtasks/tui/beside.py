"""Long work beside the keys, on a thread that leaving the program does not wait for."""

import asyncio
import sys
from collections.abc import Callable
from contextlib import suppress
from threading import Thread
from typing import TypeVar

T = TypeVar("T")
S = TypeVar("S")


async def beside(do: Callable[[S], T], given: S) -> T:
    """What comes of `do`, and what it raises. Who no longer awaits it loses the answer only."""
    loop = asyncio.get_running_loop()
    answer: asyncio.Future[T] = loop.create_future()
    found: list[T] = []

    def settle(fault: BaseException | None) -> None:
        if answer.done():
            return
        if fault is not None:
            answer.set_exception(fault)
        else:
            answer.set_result(found[0])

    def work() -> None:
        try:
            found.append(do(given))
        finally:
            with suppress(RuntimeError):  # the loop is closed: nobody waits any more
                loop.call_soon_threadsafe(settle, sys.exception())

    Thread(target=work, name="beside", daemon=True).start()
    return await answer
