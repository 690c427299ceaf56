"""Twenty megabytes of noise, and settings made to be slow: told quickly, in bounded memory.

Quickly is counted in processor seconds, since others may be at work beside the tests.
"""

import random
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.files.folders import by_hand, faults_in

TANKS = "code,rack,shelf,place,role,length_cm,width_cm,height_cm,water_cm\n"
TANK = "L1,L,1,1,grow-out,99,39,40,36\n"
NOISE_MB = 20


def _noise() -> bytes:
    return random.Random(20_270_301).randbytes(NOISE_MB * 1_000_000)


NOISE: dict[str, Callable[[], bytes]] = {
    "noise": _noise,
    "noise under a header": lambda: TANKS.encode() + _noise(),
    "printable noise": lambda: TANKS.encode() + _noise().translate(bytes(
        10 if byte < 8 else 44 if byte < 60 else 48 + byte % 60 for byte in range(256))),
    "one letter": lambda: b"a" * NOISE_MB * 1_000_000,
    "a letter a line": lambda: TANKS.encode() + b"a\n" * (NOISE_MB * 500_000),
    "line feeds": lambda: TANKS.encode() + b"\n" * NOISE_MB * 1_000_000,
    "commas": lambda: TANKS.encode() + b"," * NOISE_MB * 1_000_000,
    "rows of commas": lambda: TANKS.encode() + b",,,,,,,,\n" * (NOISE_MB * 111_000),
    "quotation marks": lambda: TANKS.encode() + b'"' * NOISE_MB * 1_000_000,
    "marks never closed": lambda: TANKS.encode() + b'"a,b\n' * (NOISE_MB * 200_000),
    "one mark never closed": lambda: TANKS.encode() + b'"' + b"a,b\n" * (NOISE_MB * 250_000),
    "marks that close in pairs": lambda: TANKS.encode() + b'"a\n",' * (NOISE_MB * 200_000),
    "good rows with one fault": lambda: TANKS.encode() + TANK.replace("99", "-9").encode()
    * (NOISE_MB * 33_000),
    "one row over and over": lambda: TANKS.encode() + TANK.encode() * (NOISE_MB * 33_000),
}  # fmt: skip


@pytest.mark.parametrize("name", NOISE)
def test_twenty_megabytes_of_noise_are_told_quickly(tmp_path: Path, name: str) -> None:
    folder = by_hand(tmp_path, tanks=NOISE[name]())
    begun = time.process_time()
    found = faults_in(folder)
    assert time.process_time() - begun < 3.0
    assert len(found) <= 1001
    assert any(fault.file == "tanks.csv" and fault.line for fault in found)


HOSTILE_TOML: dict[str, bytes] = {
    "dots": b"a." * 100_000 + b"a=1",
    "dots in a table": b"[room]\nname = {" + b"a." * 100_000 + b"b = 1}",
    "a long word": b"a" * 250_000,
    "words": b"a " * 120_000,
    "an open text of escapes": b'a = "' + b'\\"' * 120_000,
    "an open text of marks": b'a = """' + b'\\"""' * 60_000,
    "open texts": b"a = '''" + b"'''''\"\"\"\"\"" * 20_000,
    "tables": b"".join(b"[t%d]\n" % n for n in range(30_000)),
    "tables below tables": b"".join(b"[a.a.a.a.b%d]\n" % n for n in range(15_000)),
    "settings": b"[room]\n" + b"".join(b"k%d=1\n" % n for n in range(25_000)),
    "brackets": b"a=" + b"[" * 200_000,
    "braces": b"a=" + b"{a=" * 60_000,
    "noise": random.Random(7).randbytes(250_000),
}


@pytest.mark.parametrize("name", HOSTILE_TOML)
def test_settings_made_to_be_slow_are_told_quickly(tmp_path: Path, name: str) -> None:
    folder = by_hand(tmp_path, room=HOSTILE_TOML[name])
    begun = time.process_time()
    found = faults_in(folder)
    assert time.process_time() - begun < 3.0
    assert all(fault.file == "room.toml" for fault in found if fault.file)
