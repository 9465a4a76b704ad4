"""Marks a file as open, so that two programs do not write to it and its journal at once."""

from pathlib import Path

from PySide6.QtCore import QLockFile

__all__ = ["InUse", "hold", "is_held"]


class InUse(Exception):
    """Another running program has the file open."""


def _lock_of(path: Path) -> QLockFile:
    lock = QLockFile(str(path.with_name(f".{path.name}.lock")))
    # a lock counts as long as its program runs, however long that is
    lock.setStaleLockTime(0)
    return lock


def hold(path: Path) -> QLockFile:
    """Take the lock of a file until it is unlocked. Raises InUse.

    Where no lock can be written, as in a folder that is read only, the file is opened all the same.
    """
    lock = _lock_of(path)
    if not lock.tryLock(0) and lock.error() == QLockFile.LockError.LockFailedError:
        raise InUse(f"{path.name} is open in another window of the program")
    return lock


def is_held(path: Path) -> bool:
    """Tell whether a running program holds the lock of a file."""
    lock = _lock_of(path)
    if lock.tryLock(0):
        lock.unlock()
        return False
    return lock.error() == QLockFile.LockError.LockFailedError
