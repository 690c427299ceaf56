"""A disk that remembers: SQLite's file system, watched from outside.

The store is used as it is; what SQLite writes, syncs, cuts and deletes passes
here first, through a layer registered as SQLite's default file system (its
documented VFS interface). Lives here: the layer, and the log of what it saw.
Does not live here: what images are made of the log.
"""

import _sqlite3
import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager
from ctypes import CFUNCTYPE, POINTER, Structure, c_char_p, c_int, c_int64, c_void_p, cast
from dataclasses import dataclass, field
from typing import Any

OK = 0
_OPEN = CFUNCTYPE(c_int, c_void_p, c_void_p, c_void_p, c_int, POINTER(c_int))
_DELETE = CFUNCTYPE(c_int, c_void_p, c_char_p, c_int)
_CLOSE = CFUNCTYPE(c_int, c_void_p)
_WRITE = CFUNCTYPE(c_int, c_void_p, c_void_p, c_int, c_int64)
_TRUNCATE = CFUNCTYPE(c_int, c_void_p, c_int64)
_SYNC = CFUNCTYPE(c_int, c_void_p, c_int)


class _Vfs(Structure):
    _fields_ = (
        ("version", c_int), ("file_bytes", c_int), ("longest_name", c_int), ("next", c_void_p),
        ("name", c_char_p), ("data", c_void_p), ("open", _OPEN), ("delete", _DELETE),
        *((f"other_{n}", c_void_p) for n in range(14)),
    )  # fmt: skip


class _Methods(Structure):
    _fields_ = (
        ("version", c_int), ("close", _CLOSE), ("read", c_void_p), ("write", _WRITE),
        ("truncate", _TRUNCATE), ("sync", _SYNC), *((f"other_{n}", c_void_p) for n in range(13)),
    )  # fmt: skip


class _File(Structure):
    _fields_ = (("methods", POINTER(_Methods)),)


@dataclass(frozen=True, slots=True)
class Seen:
    """One call: write, sync, cut, delete or told; the end of the file's name, where, what.

    `told` is no call: it says that an act was acknowledged, its number in `at`.
    """

    what: str
    file: str = ""
    at: int = 0
    data: bytes = b""


@dataclass
class Disk:
    """What was seen, in order."""

    seen: list[Seen] = field(default_factory=list)

    def told(self, act: int) -> None:
        """Note that an act was acknowledged."""
        self.seen.append(Seen("told", at=act))


def _library() -> ctypes.CDLL:
    """The SQLite that Python's sqlite3 uses. Raises OSError where it hides its functions."""
    library = ctypes.CDLL(_sqlite3.__file__)
    if not hasattr(library, "sqlite3_vfs_find"):
        raise OSError("this Python's SQLite hides its file system; run with another build")
    library.sqlite3_vfs_find.restype = c_void_p
    library.sqlite3_vfs_find.argtypes = (c_char_p,)
    library.sqlite3_vfs_register.argtypes = (c_void_p, c_int)
    return library


class _Layer:
    """The registered layer. Everything here is called by SQLite."""

    def __init__(self, disk: Disk, real: int) -> None:
        self.disk = disk
        self.real = real
        self.was = cast(real, POINTER(_Vfs)).contents
        self.vfs = _Vfs.from_buffer_copy(self.was)
        self.vfs.name = b"watched"
        self._opened: dict[int, tuple[str, _Methods]] = {}
        self._changed: dict[int, _Methods] = {}
        self._kept = (_OPEN(self._open), _DELETE(self._delete))
        self.vfs.open, self.vfs.delete = self._kept
        self._calls = (
            _CLOSE(self._close), _WRITE(self._write), _TRUNCATE(self._cut), _SYNC(self._sync),
        )  # fmt: skip

    def _open(self, _: int, name: int, file: int, flags: int, out: Any) -> int:
        """Open it as ever; SQLite keeps the very pointer to its name."""
        answer: int = self.was.open(self.real, name, file, flags, out)
        if answer != OK or not name:
            return answer
        handle = cast(file, POINTER(_File)).contents
        address = cast(handle.methods, c_void_p).value or 0
        methods = handle.methods.contents
        if address not in self._changed:
            changed = _Methods.from_buffer_copy(methods)
            changed.close, changed.write, changed.truncate, changed.sync = self._calls
            self._changed[address] = changed
        self._opened[file] = (_end(os.fsdecode(ctypes.string_at(name))), methods)
        handle.methods = ctypes.pointer(self._changed[address])
        return OK

    def _delete(self, _: int, name: bytes, sync: int) -> int:
        self.disk.seen.append(Seen("delete", _end(os.fsdecode(name))))
        return int(self.was.delete(self.real, name, sync))

    def _close(self, file: int) -> int:
        _, methods = self._opened.pop(file)
        cast(file, POINTER(_File)).contents.methods = ctypes.pointer(methods)
        return int(methods.close(file))

    def _write(self, file: int, data: int, many: int, at: int) -> int:
        name, methods = self._opened[file]
        self.disk.seen.append(Seen("write", name, at, ctypes.string_at(data, many)))
        return int(methods.write(file, data, many, at))

    def _cut(self, file: int, size: int) -> int:
        name, methods = self._opened[file]
        self.disk.seen.append(Seen("cut", name, size))
        return int(methods.truncate(file, size))

    def _sync(self, file: int, flags: int) -> int:
        name, methods = self._opened[file]
        self.disk.seen.append(Seen("sync", name))
        return int(methods.sync(file, flags))


def _end(name: str) -> str:
    """The tail SQLite gives a file beside the store, "" for the store itself."""
    for tail in ("-wal", "-journal"):
        if name.endswith(tail):
            return tail
    return ""


@contextmanager
def watched() -> Iterator[Disk]:
    """Every connection made inside goes over a watched disk; close them inside, too."""
    library = _library()
    real = library.sqlite3_vfs_find(None)
    layer = _Layer(Disk(), real)
    library.sqlite3_vfs_register(ctypes.byref(layer.vfs), 1)
    try:
        yield layer.disk
    finally:
        library.sqlite3_vfs_unregister.argtypes = (c_void_p,)
        library.sqlite3_vfs_unregister(ctypes.byref(layer.vfs))
        library.sqlite3_vfs_register(real, 1)
