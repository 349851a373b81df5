"""Every write of the maker's files and of the site: to a temporary file or folder first, then put in place whole.

A folder is made beside its place as `<name>.new`, renamed `<name>.ready` when it is whole, and swapped in. Whatever
stops the program, the old folder or the new one stands there; what an interrupted run left behind is put right at
the next start.
"""

from __future__ import annotations

import ctypes
import errno
import os
import secrets
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import filelock

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
#: The kernel or the file system cannot exchange two names; then two renames must do.
_NO_EXCHANGE = {errno.EINVAL, errno.ENOSYS, errno.EXDEV, errno.EBUSY, errno.EPERM, errno.ENOTSUP}

#: A run that takes longer than this over what others want to do too has been stopped, or hangs.
MOST_SECONDS_WAITED = 300


#: Where new folders are made, and where they wait when all are whole; hidden, so that nobody reads them.
_NEW, _READY = ".new", ".ready"
#: How long one who writes a record waits for another who does.
_PATIENCE_S = 20.0


class InUse(Exception):
    """Another run of the program is writing to this folder."""


class Resumed(Exception):
    """Folders of a run that was stopped have been put in place just now; `names` are theirs."""

    def __init__(self, names: tuple[str, ...]) -> None:
        super().__init__(names)
        self.names = names


class Changed(Exception):
    """Somebody else has written to a file since it was read."""


@contextmanager
def one_at_a_time(place: Path) -> Iterator[None]:
    """Nobody else who asks for the same place comes in meanwhile. Raises InUse after a while of waiting."""
    place.mkdir(parents=True, exist_ok=True)
    try:
        with filelock.FileLock(place / "lock", timeout=_PATIENCE_S):
            yield
    except filelock.Timeout:
        raise InUse("another run is writing to the records at this moment") from None


def replace_file(path: Path, content: bytes, *, instead_of: bytes) -> None:
    """Write a maker's file anew; what stood there lies beside it until the new one is written and read back.

    Raises Changed, and leaves everything as it is, where the file is not what it was when it was read.
    """
    path = path.resolve()
    before = before_of(path)
    if path.read_bytes() != instead_of:
        raise Changed(path.name)
    write_file(before, instead_of, like=path)
    write_file(path, content)
    if path.read_bytes() != content:
        before.replace(path)
        raise OSError(errno.EIO, "what was written reads back otherwise", str(path))
    forget_before(path)


def before_of(path: Path) -> Path:
    """Where lies what stood in a file, while it is written anew."""
    return _beside(path.resolve(), "before")


def forget_before(path: Path) -> None:
    """Remove what stood in a file before: it has been written anew, and reads."""
    before_of(path).unlink(missing_ok=True)


def write_file(path: Path, content: bytes, *, like: Path | None = None) -> None:
    """Write a file whole: to a temporary file beside it, flushed to the disk, then put in its place.

    Who may read it stays as it was, or is as with the file `like`.
    """
    model = like or path
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_name(f".{path.name}.new")
    try:
        with temporary.open("wb") as stream:
            if model.exists():
                shutil.copymode(model, temporary)
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def write_once(path: Path, content: bytes) -> bool:
    """Write a file whole where there is none yet; False, and nothing changed, where there is one.

    Of several runs that try at once one writes, and the others find what it wrote.
    """
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(8)}.new")
    try:
        with temporary.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        return _put_where_nothing_stands(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def _put_where_nothing_stands(temporary: Path, path: Path) -> bool:
    """Give a whole file its name in one step, unless something has that name."""
    try:
        if sys.platform == "win32":
            temporary.rename(path)  # which refuses there to take the place of a file
        else:
            path.hardlink_to(temporary)
    except FileExistsError:
        return False
    except OSError:  # a disk without second names for a file, such as a USB stick
        if os.path.lexists(path):
            return False
        temporary.rename(path)
    return True


def remove_file(path: Path) -> None:
    """Remove a file, if it is there."""
    path.unlink(missing_ok=True)


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Work in a folder while no other run does, waiting for one that is at it; the folder is made if it is missing.

    Raises OSError where nothing can be written there, or where the other run does not come to an end.
    """
    folder.mkdir(parents=True, exist_ok=True)
    try:
        with filelock.FileLock(folder / ".lock", timeout=MOST_SECONDS_WAITED):
            yield
    except NotImplementedError as error:  # a disk that knows no locks
        raise OSError(errno.ENOTSUP, str(error)) from None


@contextmanager
def new_folder_for(place: Path) -> Iterator[Path]:
    """An empty folder to fill; on leaving without an error it stands at `place`, and what stood there is gone.

    On an error `place` is as it was. Raises InUse when another run is filling a folder for the same place.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    new, ready = _beside(place, "new"), _beside(place, "ready")
    lock = filelock.FileLock(_beside(place, "lock"), timeout=0)
    try:
        lock.acquire()
    except filelock.Timeout:
        raise InUse(f"another run is writing {place.name} at this moment") from None
    try:
        put_right(place)
        new.mkdir()
        yield new
        new.rename(ready)
        _swap_in(ready, place)
    finally:
        _remove(new)
        lock.release()
        _beside(place, "lock").unlink(missing_ok=True)


@contextmanager
def new_folders_in(place: Path) -> Iterator[Path]:
    """An empty folder to make folders in; on leaving without an error all of them stand in `place`, else none.

    Whoever calls this sees to it that nobody else does so meanwhile. Whatever stops the program, all or none of them
    will be there: what was ready is put in place at the next start. Raises Resumed where that has happened now, for
    then they may be the very ones that are asked for again.
    """
    place.mkdir(parents=True, exist_ok=True)
    if resumed := finish_new_folders(place):
        raise Resumed(resumed)
    new = place / _NEW
    new.mkdir()
    try:
        yield new
        new.rename(place / _READY)
    except BaseException:
        _remove(new)
        raise
    finish_new_folders(place)


def finish_new_folders(place: Path) -> tuple[str, ...]:
    """Put in place what an interrupted run had ready, and remove what it had half done; the names of what was ready."""
    _remove(place / _NEW)
    ready = place / _READY
    if not ready.is_dir():
        return ()
    names = tuple(sorted(each.name for each in ready.iterdir()))
    for name in names:
        (ready / name).rename(place / name)
    ready.rmdir()
    return names


def put_right(place: Path) -> None:
    """Put right what an interrupted run left: half a folder is removed, a moved-away one is brought back."""
    old = _beside(place, "old")
    if old.exists() and not place.exists():
        old.rename(place)
    for name in ("new", "ready", "old"):
        _remove(_beside(place, name))


def where_it_stands(place: Path) -> Path:
    """Where to read what is kept at `place`: beside it while a run that was stopped has it moved away."""
    old = _beside(place, "old")
    return old if old.exists() and not place.exists() else place


def _beside(place: Path, ending: str) -> Path:
    return place.with_name(f"{place.name}.{ending}")


def _swap_in(ready: Path, place: Path) -> None:
    if not place.exists():
        ready.rename(place)
    elif _exchange(ready, place):
        _remove(ready)
    else:
        old = _beside(place, "old")
        place.rename(old)
        ready.rename(place)
        _remove(old)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step, without a moment in which either is missing. False where that cannot be done."""
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


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
