"""Days with the interface open: memory and key latency at the end as at the start.

    python -m tests.bench.long_run [--days 30] [--keys 200]

The clock is turned by hand: each simulated day brings its rollover and so many
keys, a done among them. Prints memory (resident, MiB) and the seconds a day of
keys took, first and last day. Not a test.
"""

import argparse
import asyncio
import gc
import resource
import sys
import tempfile
import time
from pathlib import Path

from tests.tui.desk import new_store, opened


def resident_mib() -> float:
    with Path("/proc/self/statm").open(encoding="ascii") as file:
        return int(file.read().split()[1]) * resource.getpagesize() / 2**20


async def run(days: int, keys: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        async with opened(new_store(Path(folder))) as (app, pilot, clock):
            memory, took = [], []
            for _ in range(days):
                began = time.perf_counter()
                for n in range(keys):
                    clock.pass_by(minutes=1)
                    app.walk._last = ("", -10.0)
                    await pilot.press("5" if n % 10 == 0 else "2")
                took.append(time.perf_counter() - began)
                clock.pass_by(minutes=24 * 60 - keys)
                await pilot.pause(1.2)
                gc.collect()
                memory.append(resident_mib())
            settled = memory[min(2, len(memory) - 1)]
            growth = 100 * (memory[-1] - settled) / settled
            sys.stdout.write(
                f"{days} days, {days * keys} keys: {settled:.1f} MiB on day 3, {memory[-1]:.1f} at "
                f"the end, growth {growth:.1f} %; a day of keys {took[0]:.1f} s first, "
                f"{took[-1]:.1f} s last\n"
            )


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--days", type=int, default=30)
    parser.add_argument("--keys", type=int, default=200)
    asked = parser.parse_args()
    asyncio.run(run(asked.days, asked.keys))
