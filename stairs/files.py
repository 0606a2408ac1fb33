"""Files: what is written appears under its name whole, or not at all.

Everything is written beside its place first and takes it in one step, so that a full disk, a lost
connection or a stop leaves what was there before.  Several files that belong together all take
their places, or none does.  A link is written through, a file that may not be written is refused,
and one that is replaced keeps its mode.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import stat
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import Struct

from stairs.errors import FileError, OutputFailed

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)


class _Written(Struct):
    """One file on its way: where it goes, what holds it till then, what was there."""

    named: Path
    place: str
    beside: str
    before: str | None = None  # a second name of the file that is replaced
    new: bool = False
    settled: bool = False


def put_in_place(data: bytes, target: Path, new: bool = False) -> None:
    """Write one file, whole or not at all, in a folder that exists.

    A file that is there already is replaced, unless it has to be ``new``.

    Raises
    ------
    FileError
        Where the file cannot be written; whatever was there before is left as it was.
    OutputFailed
        Where the disk takes no more.
    FileExistsError
        With ``new``, where there is such a file.
    """
    put_all_in_place([(data, target)], new=new)


def put_new(text: str, path: str | Path, what: str) -> None:
    """Write a text to a new file, as :func:`put_all_new` does."""
    put_all_new([(text.encode(), Path(path))], what)


def put_all_new(files: Iterable[tuple[bytes, Path]], what: str) -> None:
    """Write new files that belong together; ``what`` they are is told where one is there already.

    Raises
    ------
    FileError
        Where there is such a file, or it cannot be written.
    """
    try:
        put_all_in_place(files, new=True)
    except FileExistsError as problem:
        raise FileError(
            str(problem.filename),
            "there is such a file, and it may be a job of yours",
            f"{what} is written to a new file",
            "Give another name",
        ) from None


def put_all_in_place(
    files: Iterable[tuple[bytes, Path]], leftover: Sequence[Path] = (), new: bool = False
) -> None:
    """Write files that belong together, all of them or none, as :func:`put_in_place` does.

    Each file's bytes are made when its turn comes; ``leftover`` is taken away once all are there.
    """
    made: list[_Written] = []
    named = Path()
    try:
        for data, named in files:
            written = _beside(data, named, new)
            if written is not None:
                made.append(written)
        for one in made:
            named = one.named
            _settle(one, new, keep=len(made) > 1)
    except BaseException as problem:
        for one in made:
            _undo(one)
        if not isinstance(problem, OSError) or isinstance(problem, FileExistsError | FileError):
            raise
        raise _refused(problem, named) from problem
    finally:
        for spare in (place for one in made for place in (one.beside, one.before) if place):
            with contextlib.suppress(OSError):
                os.unlink(spare)
    for path in leftover:
        with contextlib.suppress(OSError):
            path.unlink()


def _refused(problem: OSError, named: Path) -> FileError:
    """What went wrong with a file, in words."""
    full = problem.errno in _FULL
    return (OutputFailed if full else FileError)(
        str(named),
        f"cannot be written: {problem.strerror or problem}",
        "",
        "Make room on the disk, and write it again"
        if full
        else "Name a file in a folder that exists and may be written to",
    )


def _beside(data: bytes, named: Path, new: bool) -> _Written | None:
    """Write the bytes beside their place; None where it is a device, which takes them at once."""
    place = os.path.realpath(named)
    try:
        there = os.stat(place)
    except FileNotFoundError:
        there = None
    if there is not None and new:
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(named))
    if there is not None and stat.S_ISDIR(there.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if there is not None and not stat.S_ISREG(there.st_mode):
        with open(place, "wb") as device:
            device.write(data)
        return None
    if there is not None and not (there.st_mode & 0o222 and os.access(place, os.W_OK)):
        raise FileError(
            str(named),
            "is a file that may only be read",
            "A drawing replaces what may be written",
            "Give another name, or give yourself the right to write it",
        )
    handle, beside = tempfile.mkstemp(
        prefix=f".{os.path.basename(place)[:40]}.", dir=os.path.dirname(place)
    )
    written = _Written(named, place, beside, new=there is None)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        if there is None:
            mask = os.umask(0)
            os.umask(mask)
            os.chmod(beside, 0o666 & ~mask)
        else:
            with contextlib.suppress(OSError):
                os.chown(beside, there.st_uid, there.st_gid)
            os.chmod(beside, stat.S_IMODE(there.st_mode))
    except BaseException:
        os.unlink(beside)
        raise
    return written


def _settle(one: _Written, new: bool, keep: bool) -> None:
    """Let a file take its place; with ``keep`` the one that was there can still come back."""
    if new:
        try:
            os.link(one.beside, one.place)  # refuses where there is a file by now
        except (PermissionError, OSError) as problem:
            if isinstance(problem, FileExistsError) or os.path.lexists(one.place):
                reason = os.strerror(errno.EEXIST)
                raise FileExistsError(errno.EEXIST, reason, str(one.named)) from problem
            os.replace(one.beside, one.place)  # a disk without second names
        one.settled = True
        return
    if keep and not one.new:
        before = f"{one.beside}.before"
        try:
            os.link(one.place, before)
        except OSError:
            shutil.copy2(one.place, before)
        one.before = before
    os.replace(one.beside, one.place)
    one.settled = True


def _undo(one: _Written) -> None:
    """Put back what was there before."""
    if not one.settled:
        return
    with contextlib.suppress(OSError):
        if one.before is not None:
            os.replace(one.before, one.place)
        elif one.new:
            os.unlink(one.place)
