"""File calls that end at one of them: the program is gone from there on, or the disk is full there."""

from __future__ import annotations

import errno
from collections.abc import Callable
from typing import Any, Literal

import filelock

from builder import safe_files
from builder.file_calls import FileCalls

How = Literal["dead", "full disk"]


ASK_FOR_NO_ROOM = ("unlock", "remove_file", "remove_folder", "flush_folder")


class Dead(BaseException):
    """The program is no more; nothing it would do afterwards happens."""


class StoppedCalls:
    """Like `FileCalls`, each call counted by name; the one at `at` fails, having written half where it writes.

    Nothing waits for the disk, and with `exchanges` False two names cannot be exchanged.
    """

    def __init__(self, at: int | None = None, how: How = "dead", *, exchanges: bool = True) -> None:
        self.made: list[str] = []
        self.locks: list[filelock.BaseFileLock] = []
        self._at, self._how, self._exchanges = at, how, exchanges
        self._is_dead = False

    def __getattr__(self, name: str) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            if self._is_dead:
                raise Dead
            self.made.append(name)
            if len(self.made) - 1 == self._at:
                self._stop(name, arguments)
            if name in ("flush", "flush_folder"):
                return None
            if name == "exchange" and not self._exchanges:
                return False
            done = getattr(FileCalls(), name)(*arguments, **named)
            if name == "lock":
                self.locks.append(done)
            return done

        return call

    def _stop(self, name: str, arguments: tuple[Any, ...]) -> None:
        if name == "write":
            stream, content = arguments
            stream.write(content[: len(content) // 2])
            stream.flush()
        if self._how == "dead":
            self._is_dead = True
            raise Dead
        if name not in ASK_FOR_NO_ROOM:
            raise OSError(errno.ENOSPC, "No space left on device")


def with_calls(calls: StoppedCalls, do: Callable[[], None]) -> BaseException | None:
    """Do something through these calls; what it ended with. Its locks end with it, as the system sees to."""
    usual = safe_files.calls
    safe_files.calls = calls  # type: ignore[assignment]
    try:
        do()
    except (Dead, Exception) as end:
        return end
    finally:
        safe_files.calls = usual
        for lock in calls.locks:
            lock.release(force=True)
    return None
