"""Long work beside the keys, on a thread that leaving the program does not wait for."""

import asyncio
from collections.abc import Callable
from contextlib import suppress
from threading import Thread
from typing import TypeVar

T = TypeVar("T")
S = TypeVar("S")


class Carried:
    """What is raised inside is kept for whoever awaits the answer, not printed by the thread."""

    fault: BaseException | None = None

    def __enter__(self) -> None: ...

    def __exit__(self, _: object, fault: BaseException | None, __: object) -> bool:
        self.fault = fault
        return True


async def beside(do: Callable[[S], T], given: S) -> T:
    """What comes of `do`, and what it raises. Who no longer awaits it loses the answer only."""
    loop = asyncio.get_running_loop()
    answer: asyncio.Future[T] = loop.create_future()
    found: list[T] = []
    carried = Carried()

    def settle() -> None:
        if answer.done():
            return
        if carried.fault is not None:
            answer.set_exception(carried.fault)
        else:
            answer.set_result(found[0])

    def work() -> None:
        with carried:
            found.append(do(given))
        with suppress(RuntimeError):  # the loop is closed: nobody waits any more
            loop.call_soon_threadsafe(settle)

    Thread(target=work, name="beside", daemon=True).start()
    return await answer
