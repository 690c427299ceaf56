"""room.toml that is wrong, each fault with its line, or written in an unusual way."""

from pathlib import Path

import pytest

from tests.files.folders import by_hand, only_fault_at, read_well

SETTINGS: dict[str, tuple[int, str, str]] = {
    "[room\n": (1, "", "not TOML"),
    '[room]\nname = "x\n': (2, "", "not TOML"),
    '[room]\nname = "x"\nname = "y"\n': (3, "", "not TOML"),
    "[room]\nday_starts = 04:00\n": (2, "", "not TOML"),
    "[rooms]\n": (1, "rooms", "did you mean [room]?"),
    "[room]\nnmae = 1\n": (2, "room.nmae", "did you mean name?"),
    "[room]\nfriday = 9\n": (2, "room.friday", "friday of [minutes]"),
    'zone = "UTC"\n': (1, "zone", "zone of [room]"),
    "[[minutes]]\nfriday = 9\n": (1, "minutes", "list of tables"),
    "[minutes]\nfriday = 1441\n": (2, "minutes.friday", "at most 1440"),
    "[minutes]\nfriday = 1.5\n": (2, "minutes.friday", "whole number"),
    "[minutes]\nfriday = [9]\n": (2, "minutes.friday", "a table or a list"),
    "[minutes]\nfriday = true\n": (2, "minutes.friday", "no number"),
    f"[minutes]\nfriday = {'9' * 300}\n": (2, "minutes.friday", "too large"),
    f"[minutes]\nfriday = {'9' * 400}\n": (2, "minutes.friday", "no number"),
    f"[minutes]\nfriday = 0x{'f' * 9000}\n": (2, "minutes.friday", "no number"),
    f"[minutes]\nfriday = {'9' * 9000}\n": (2, "", "not TOML"),
    "[limits]\nlargest_change = nan\n": (2, "limits.largest_change", "no number"),
    "[limits]\nlargest_change = 1e308\n": (2, "limits.largest_change", "no number"),
    '[room]\nchange_day = "caturday"\n': (2, "room.change_day", "not one of the words"),
    '[room]\nday_starts = "25:00"\n': (2, "room.day_starts", "no time of day"),
    "[room]\nday_starts = 04:00:30\n": (2, "room.day_starts", "no time of day"),
    '[room]\nname = "  "\n': (2, "room.name", "blank"),
    '[room]\nname = "a\\u0000b"\n': (2, "room.name", "NUL"),
    "x = " + "[" * 100_000: (1, "", "nested too deeply"),
    "x = 1\n" + "a." * 9 + "a = 1\n": (2, "", "too many dots"),
}


@pytest.mark.parametrize("text", SETTINGS, ids=[text[:30] for text in SETTINGS])
def test_wrong_settings_are_told_with_their_line(tmp_path: Path, text: str) -> None:
    line, column, words = SETTINGS[text]
    only_fault_at(by_hand(tmp_path, room=text), "room.toml", line, column, words)


def test_settings_may_be_written_in_any_way_toml_allows(tmp_path: Path) -> None:
    text = (
        "room.name = '''\nShed'''  # a remark\nroom.zone = \"UTC\"\nroom.day_starts = 04:30:00\n"
        'minutes = {monday = 5, "tuesday" = 6}\n[limits]\nhands_minutes = 2\n'
    )
    setup = read_well(by_hand(tmp_path, room="﻿" + text.replace("\n", "\r\n"))).sheets["setup"][0]
    assert (setup.name, setup.monday_minutes, setup.tuesday_minutes) == ("Shed", 5, 6)
    assert (setup.day_starts.hour, setup.day_starts.minute) == (4, 30)
