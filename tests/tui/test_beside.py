"""Work beside the keys: answers and faults come back, and leaving does not wait for it."""

import asyncio
import subprocess
import sys
import time

import pytest

from roomtasks.tui.beside import beside


async def test_the_answer_comes_back_and_others_run_meanwhile() -> None:
    def slow(number: int) -> int:
        time.sleep(0.1)
        return number + 1

    began = time.monotonic()
    assert list(await asyncio.gather(beside(slow, 1), beside(slow, 2))) == [2, 3]
    assert time.monotonic() - began < 0.19


async def test_what_is_raised_comes_back() -> None:
    with pytest.raises(ZeroDivisionError):
        await beside(lambda number: 1 / number, 0)


async def test_who_no_longer_waits_loses_the_answer_only() -> None:
    task = asyncio.create_task(beside(time.sleep, 0.05))
    await asyncio.sleep(0.01)
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        await task
    await asyncio.sleep(0.08)


def test_leaving_does_not_wait() -> None:
    program = (
        "import asyncio, time\n"
        "from roomtasks.tui.beside import beside\n"
        "async def main():\n"
        "    task = asyncio.create_task(beside(time.sleep, 60))\n"
        "    await asyncio.sleep(0.1)\n"
        "    task.cancel()\n"
        "asyncio.run(main())\n"
    )
    done = subprocess.run([sys.executable, "-c", program], timeout=20, capture_output=True)
    assert done.returncode == 0
    assert done.stderr == b""
