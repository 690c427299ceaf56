"""The flat JSON that changes are kept in: one object or one list of scalars.

A small reader of its own keeps the core free of files and of nested values,
which no row has. Text is RFC 8259. Does not live here: what the columns of a
row may hold (`column`).
"""

import re
from typing import Any

_STRING = r'"(?:[^"\\\x00-\x1f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*+"'
_NUMBER = r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?"
_SCALAR = rf"(?:{_STRING}|{_NUMBER}|true|false|null)"
_PAIR = rf"\s*{_STRING}\s*:\s*{_SCALAR}\s*"
_OBJECT = re.compile(rf"\s*\{{(?:\s*|{_PAIR}(?:,{_PAIR})*+)\}}\s*")
_LIST = re.compile(rf"\s*\[(?:\s*|\s*{_SCALAR}\s*(?:,\s*{_SCALAR}\s*)*+)\]\s*")
_TOKEN = re.compile(_SCALAR)
_ESCAPE = re.compile(r"\\(u[0-9a-fA-F]{4}|.)", re.DOTALL)
_PLAIN = {"b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}
_WORDS = {"true": True, "false": False, "null": None}
_LONGEST_NUMBER = 40


def flat_object(text: str) -> dict[str, Any] | None:
    """The object in `text`; None where it is no JSON, is nested or names a key twice."""
    if not _OBJECT.fullmatch(text):
        return None
    tokens = [_scalar(token) for token in _TOKEN.findall(text)]
    names, values = tokens[::2], tokens[1::2]
    return dict(zip(names, values, strict=True)) if len(set(names)) == len(names) else None


def flat_list(text: str) -> list[Any] | None:
    """The list in `text`; None where it is no JSON or is nested."""
    if not _LIST.fullmatch(text):
        return None
    return [_scalar(token) for token in _TOKEN.findall(text)]


def _scalar(token: str) -> Any:
    if token[0] == '"':
        return _joined(_ESCAPE.sub(_unescaped, token[1:-1])) if "\\" in token else token[1:-1]
    if token in _WORDS:
        return _WORDS[token]
    if token.lstrip("-").isdigit() and len(token) <= _LONGEST_NUMBER:
        return int(token)
    return float(token)


def _unescaped(match: re.Match[str]) -> str:
    sign = match[1]
    return chr(int(sign[1:], 16)) if sign[0] == "u" else _PLAIN.get(sign, sign)


def _joined(text: str) -> str:
    """Two escaped halves of one sign put together."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
