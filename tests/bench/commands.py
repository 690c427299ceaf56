"""How long a command takes, the whole process, against a bare interpreter in the same run.

    python -m tests.bench.commands [--times 15]

Medians in milliseconds. "cold" runs without compiled files. Not a test.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time


def timed(command: list[str], times: int, env: dict[str, str]) -> float:
    found = []
    for _ in range(times):
        began = time.perf_counter()
        subprocess.run(command, env=env, check=True, stdout=subprocess.DEVNULL)
        found.append((time.perf_counter() - began) * 1000)
    return statistics.median(found)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=15)
    times = parser.parse_args().times
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    walk = [sys.executable, "-m", "roomtasks", "walk", "--demo", "--json"]
    subprocess.run(walk, env=env, check=True, stdout=subprocess.DEVNULL)
    floor = timed([sys.executable, "-c", "pass"], times, env)
    sys.stdout.write(f"bare interpreter                 {floor:7.1f} ms\n")
    warm = timed(walk, times, env)
    sys.stdout.write(f"walk --demo --json, warm         {warm:7.1f} ms, ratio {warm / floor:.1f}\n")
    with tempfile.TemporaryDirectory() as nowhere:
        cold_env = {**env, "PYTHONPYCACHEPREFIX": nowhere, "PYTHONDONTWRITEBYTECODE": "1"}
        cold = timed(walk, max(3, times // 3), cold_env)
    sys.stdout.write(f"walk --demo --json, not compiled {cold:7.1f} ms, ratio {cold / floor:.1f}\n")


if __name__ == "__main__":
    main()
