"""Reading the vector files beside the tests. Sources stand inside the files."""

import json
from pathlib import Path
from typing import Any

Row = dict[str, Any]


def rows(name: str, section: str) -> list[Row]:
    """One section of one file, never empty."""
    text = Path(__file__).with_name(f"vectors_{name}.json").read_text(encoding="utf-8")
    found: list[Row] = json.loads(text)[section]
    assert found
    return found
