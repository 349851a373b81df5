"""Every call that changes something on the disk, one by one, so that a test can stop the program at any of them."""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import filelock

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
#: The kernel or the file system cannot exchange two names; then two renames must do.
_NO_EXCHANGE = {errno.EINVAL, errno.ENOSYS, errno.EXDEV, errno.EBUSY, errno.EPERM, errno.ENOTSUP}


@dataclass(frozen=True, slots=True)
class FileCalls:
    """The calls as the system knows them. Each raises OSError where it cannot be done, and then changed nothing."""

    def make_folders(self, path: Path) -> None:
        """Make a folder and those above it, as far as they are missing."""
        path.mkdir(parents=True, exist_ok=True)

    def make_folder(self, path: Path) -> None:
        """Make a folder that is not there."""
        path.mkdir()

    def open(self, path: Path, *, only_new: bool = False) -> BinaryIO:
        """Open a file to write it anew; with `only_new` one that is not there."""
        return path.open("xb" if only_new else "wb")

    def copy_mode(self, model: Path, path: Path) -> None:
        """Let those read a file who may read another."""
        shutil.copymode(model, path)

    def write(self, stream: BinaryIO, content: bytes) -> None:
        """Write to an open file."""
        stream.write(content)

    def flush(self, stream: BinaryIO) -> None:
        """See that what was written lies on the disk."""
        stream.flush()
        os.fsync(stream.fileno())

    def flush_folder(self, path: Path) -> None:
        """See that the names in a folder lie on the disk, where the system can."""
        with suppress(OSError):
            descriptor = os.open(path, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)

    def replace(self, path: Path, place: Path) -> None:
        """Give a file another name; one that has that name is gone."""
        path.replace(place)

    def rename(self, path: Path, place: Path) -> None:
        """Give a file or folder a name that nothing has."""
        path.rename(place)

    def link(self, path: Path, place: Path) -> None:
        """Give a file a second name that nothing has."""
        place.hardlink_to(path)

    def exchange(self, one: Path, other: Path) -> bool:
        """Exchange two names in one step, without a moment in which either is missing. False where that cannot be."""
        if not sys.platform.startswith("linux"):
            return False
        try:
            renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
        except (AttributeError, OSError):
            return False
        if renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE) == 0:
            return True
        number = ctypes.get_errno()
        if number in _NO_EXCHANGE:
            return False
        raise OSError(number, os.strerror(number), str(other))

    def remove_file(self, path: Path) -> None:
        """Remove a file or a link, if it is there."""
        path.unlink(missing_ok=True)

    def remove_folder(self, path: Path) -> None:
        """Remove an empty folder."""
        path.rmdir()

    def lock(self, path: Path, patience_s: float) -> filelock.BaseFileLock:
        """Keep others out who ask for the same lock. Raises filelock.Timeout after waiting in vain."""
        lock = filelock.FileLock(path, timeout=patience_s)
        lock.acquire()
        return lock

    def unlock(self, lock: filelock.BaseFileLock) -> None:
        """Let others in."""
        lock.release()
