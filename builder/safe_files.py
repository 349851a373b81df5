"""Every write of the maker's files and of the site: to a temporary file or folder first, then put in place whole.

A folder is made beside its place as `<name>.new`, renamed `<name>.ready` when it is whole, and swapped in. Whatever
stops the program, the old folder or the new one stands there; what an interrupted run left behind is put right at
the next start.
"""

from __future__ import annotations

import errno
import os
import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import filelock

from builder.file_calls import FileCalls

#: Nothing on the disk is changed but through these.
calls = FileCalls()

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
    calls.make_folders(place)
    try:
        lock = calls.lock(place / "lock", _PATIENCE_S)
    except filelock.Timeout:
        raise InUse("another run is writing to the records at this moment") from None
    try:
        yield
    finally:
        calls.unlock(lock)


def replace_file(path: Path, content: bytes, *, instead_of: bytes) -> None:
    """Write a maker's file anew; what stood there lies beside it until the new one is written and read back.

    Raises Changed, and leaves everything as it is, where the file is not what it was when it was read.
    """
    path = path.resolve()
    before = before_of(path)
    if path.read_bytes() != instead_of:
        raise Changed(path.name)
    try:
        write_file(before, instead_of, like=path)
        write_file(path, content)
    except BaseException:
        with suppress(OSError):
            forget_before(path)
        raise
    if path.read_bytes() != content:
        calls.replace(before, path)
        raise OSError(errno.EIO, "what was written reads back otherwise", str(path))
    with suppress(OSError):  # the file is written; what is left beside it is seen to by the next entry
        forget_before(path)


def before_of(path: Path) -> Path:
    """Where lies what stood in a file, while it is written anew."""
    return _beside(path.resolve(), "before")


def forget_before(path: Path) -> None:
    """Remove what stood in a file before: it has been written anew, and reads."""
    calls.remove_file(before_of(path))


def write_file(path: Path, content: bytes, *, like: Path | None = None) -> None:
    """Write a file whole: to a temporary file beside it, flushed to the disk, then put in its place.

    Who may read it stays as it was, or is as with the file `like`.
    """
    model = like or path
    calls.make_folders(path.parent)
    temporary = path.with_name(f".{path.name}.new")
    try:
        with calls.open(temporary) as stream:
            if model.exists():
                calls.copy_mode(model, temporary)
            calls.write(stream, content)
            calls.flush(stream)
        calls.replace(temporary, path)
    except BaseException:
        calls.remove_file(temporary)
        raise
    calls.flush_folder(path.parent)


def write_once(path: Path, content: bytes) -> bool:
    """Write a file whole where there is none yet; False, and nothing changed, where there is one.

    Of several runs that try at once one writes, and the others find what it wrote.
    """
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(8)}.new")
    try:
        with calls.open(temporary, only_new=True) as stream:
            calls.write(stream, content)
            calls.flush(stream)
        return _put_where_nothing_stands(temporary, path)
    finally:
        calls.remove_file(temporary)


def _put_where_nothing_stands(temporary: Path, path: Path) -> bool:
    """Give a whole file its name in one step, unless something has that name."""
    try:
        if sys.platform == "win32":
            calls.rename(temporary, path)  # which refuses there to take the place of a file
        else:
            calls.link(temporary, path)
    except FileExistsError:
        return False
    except OSError:  # a disk without second names for a file, such as a USB stick
        if os.path.lexists(path):
            return False
        calls.rename(temporary, path)
    return True


def remove_file(path: Path) -> None:
    """Remove a file, if it is there."""
    calls.remove_file(path)


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Work in a folder while no other run does, waiting for one that is at it; the folder is made if it is missing.

    Raises OSError where nothing can be written there, or where the other run does not come to an end.
    """
    calls.make_folders(folder)
    try:
        lock = calls.lock(folder / ".lock", MOST_SECONDS_WAITED)
    except NotImplementedError as error:  # a disk that knows no locks
        raise OSError(errno.ENOTSUP, str(error)) from None
    try:
        yield
    finally:
        calls.unlock(lock)


@contextmanager
def new_folder_for(place: Path) -> Iterator[Path]:
    """An empty folder to fill; on leaving without an error it stands at `place`, and what stood there is gone.

    On an error `place` is as it was. Raises InUse when another run is filling a folder for the same place.
    """
    calls.make_folders(place.parent)
    new, ready, lock_file = (_beside(place, ending) for ending in ("new", "ready", "lock"))
    try:
        lock = calls.lock(lock_file, 0)
    except filelock.Timeout:
        raise InUse(f"another run is writing {place.name} at this moment") from None
    try:
        put_right(place)
        calls.make_folder(new)
        yield new
        calls.flush_folder(new)
        calls.rename(new, ready)
        _swap_in(ready, place)
    finally:
        for left in (new, ready):
            with suppress(OSError):  # what cannot be removed now is removed at the next start
                _remove(left)
        with suppress(OSError):  # before others are let in: one who waits for a file that is gone asks again
            calls.remove_file(lock_file)
        calls.unlock(lock)


@contextmanager
def new_folders_in(place: Path) -> Iterator[Path]:
    """An empty folder to make folders or files in; on leaving without an error all of them stand in `place`, else none.

    Whoever calls this sees to it that nobody else does so meanwhile. Whatever stops the program, all or none of them
    will be there: what was ready is put in place at the next start. Raises Resumed where that has happened now, for
    then they may be the very ones that are asked for again.
    """
    calls.make_folders(place)
    if resumed := finish_new_folders(place):
        raise Resumed(resumed)
    new = place / _NEW
    calls.make_folder(new)
    try:
        yield new
        calls.rename(new, place / _READY)
        _put_all_in(place)
    except BaseException:
        for left in (place / _READY, new):
            with suppress(OSError):  # what cannot be removed now is removed at the next start
                _remove(left)
        raise


def half_done(place: Path) -> tuple[str, ...]:
    """The names of what an interrupted run was making in `place`."""
    new = place / _NEW
    return tuple(sorted(each.name for each in new.iterdir())) if new.is_dir() else ()


def declare_ready(place: Path) -> None:
    """What an interrupted run was making in `place` is whole: it is put there at the next start."""
    calls.rename(place / _NEW, place / _READY)


def finish_new_folders(place: Path) -> tuple[str, ...]:
    """Put in place what an interrupted run had ready, and remove what it had half done; the names of what was ready."""
    _remove(place / _NEW)
    return _put_all_in(place) if (place / _READY).is_dir() else ()


def _put_all_in(place: Path) -> tuple[str, ...]:
    """Put what is ready in place, all or none; the names of it."""
    ready = place / _READY
    names = tuple(sorted(each.name for each in ready.iterdir()))
    put: list[str] = []
    try:
        for name in names:
            calls.rename(ready / name, place / name)
            put.append(name)
    except OSError:
        for name in put:
            calls.rename(place / name, ready / name)
        raise
    calls.flush_folder(place)
    with suppress(OSError):  # everything stands there; the empty folder is removed at the next start
        calls.remove_folder(ready)
    return names


def put_right(place: Path) -> None:
    """Put right what an interrupted run left: half a folder is removed, a moved-away one is brought back."""
    old = _beside(place, "old")
    if old.exists() and not place.exists():
        calls.rename(old, place)
    for name in ("new", "ready", "old"):
        _remove(_beside(place, name))


def where_it_stands(place: Path) -> Path:
    """Where to read what is kept at `place`: beside it while a run that was stopped has it moved away."""
    old = _beside(place, "old")
    return old if old.exists() and not place.exists() else place


def _beside(place: Path, ending: str) -> Path:
    return place.with_name(f"{place.name}.{ending}")


def _swap_in(ready: Path, place: Path) -> None:
    """Put a whole folder in its place. Once it stands there, no error of clearing away is one."""
    old = _beside(place, "old")
    if not place.exists():
        calls.rename(ready, place)
        left = ready
    elif calls.exchange(ready, place):
        left = ready
    else:
        calls.rename(place, old)
        try:
            calls.rename(ready, place)
        except OSError:
            calls.rename(old, place)
            raise
        left = old
    calls.flush_folder(place.parent)
    with suppress(OSError):
        _remove(left)


def _remove(path: Path) -> None:
    """Remove a file, or a folder with all that is in it, if it is there."""
    if path.is_dir() and not path.is_symlink():
        for inside in sorted(path.iterdir()):
            _remove(inside)
        calls.remove_folder(path)
    else:
        calls.remove_file(path)
