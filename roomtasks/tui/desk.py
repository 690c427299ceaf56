"""The store thread: one connection on one thread, and a try-again for what passes.

Screens await `Desk.ask`; the event loop never waits on a disk or a lock. A
fault that can pass (locked, full, read-only) is reported and the act is kept
and tried again until it is in or the keeper gives it up.
"""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TypeVar

from roomtasks.store.base import Store

T = TypeVar("T")
WAIT_SECONDS = 1.0


class Desk:
    """Owns the store and its thread."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._store: Store | None = None
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="store")

    async def ask(self, do: Callable[[Store], T]) -> T:
        """Run one question or act on the store thread. Raises StoreFault."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._thread, lambda: do(self._opened()))

    async def close(self) -> None:
        """Close the store on its own thread."""
        await asyncio.get_running_loop().run_in_executor(self._thread, self._close)
        self._thread.shutdown(wait=True)

    def _opened(self) -> Store:
        if self._store is None:
            self._store = Store.open(self.path, wait_seconds=WAIT_SECONDS)
        self._store.still_there()
        return self._store

    def _close(self) -> None:
        if self._store is not None:
            self._store.close()
            self._store = None
