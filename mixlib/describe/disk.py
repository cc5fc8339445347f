"""Files that hold: read and written whole, one writer at a time, names that stay inside their folder."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from mixlib.describe.errors import DescriptionError, told
from mixlib.describe.numbers import shortened

__all__ = [
    "MOST_BYTES",
    "MOST_STATES",
    "ChangedElsewhere",
    "dated",
    "inside",
    "locked",
    "log_state",
    "move",
    "read_whole",
    "set_aside",
    "states",
    "text_of",
    "version_of",
    "write_whole",
]

MOST_STATES = 20
"""Earlier states of a file that are kept."""

MOST_BYTES = 1_000_000
"""Files larger than this are not read; a set-up takes about 10 000 bytes."""

_PATIENCE_S = 10.0  # how long one writer waits for another
_LEFTOVER_S = 60.0  # a part of a file that is older than this was left by a crash
_NO_LOCKS_HERE = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP}  # some network drives have none


class ChangedElsewhere(DescriptionError):
    """What was to be replaced is no longer what the caller has read; nothing was written."""


def inside(folder: Path, name: str, ending: str) -> Path:
    """Path of a file in a folder, by its name without the ending.

    Raises
    ------
    DescriptionError
        If the name would lead out of the folder, or is none that a file can have.
    """
    path = folder / f"{name}{ending}"
    plain = name and not name.startswith(".") and not any(sign in name for sign in '/\\:\0\n\r"*?<>|')
    if not plain or path.name != f"{name}{ending}" or len(os.fsencode(path.name)) > 200:
        raise told(shortened(name) or "a name", "no file here can have this name; choose one from the list")
    if path.is_symlink() and path.resolve().parent != folder.resolve():
        raise told(path.name, "it is a link out of the folder; put a copy of the file itself here")
    return path


def read_whole(path: Path) -> str:
    """Read a text file.

    Raises
    ------
    DescriptionError
        If it is no plain file, too large, cannot be read, or is no UTF-8 text.
    """
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            what = "a folder" if path.is_dir() else "no plain file"
            raise told(path.name, f"it is {what}; a text file is needed")
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise told(path.name, "there is no such file; choose one from the list") from None
    except (OSError, ValueError) as error:  # a name with a zero byte is a ValueError
        raise told(path.name, f"it cannot be read ({_reason(error)})") from None
    return text_of(content, path.name)


def text_of(content: bytes, source: str) -> str:
    """The text that a file holds.

    Raises
    ------
    DescriptionError
        If it is too large, or no UTF-8 text.
    """
    if len(content) > MOST_BYTES:
        raise told(source, f"it is larger than {MOST_BYTES // 1000} kB; a set-up takes about 10 kB")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise told(source, "it is saved as UTF-16; save it as UTF-8 in the text editor")
    try:
        text = content.decode("utf-8-sig")  # some editors put a mark in front of UTF-8 text
    except UnicodeDecodeError:
        raise told(source, "it is not plain text; save it as UTF-8 in the text editor") from None
    if "\0" in text:
        raise told(source, "it is not plain text: a zero byte is in it; take a copy of the file")
    return text


def write_whole(path: str | os.PathLike[str], content: bytes) -> Path:
    """Write a file, in a folder made when missing, so that a crash or a full disk leaves the old one whole.

    Raises
    ------
    DescriptionError
        If the file cannot be written; the old one, if any, is untouched.
    """
    path = Path(path)
    scratch = path.with_name(f".{path.name}.{os.getpid()}-{time.monotonic_ns()}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _sweep(path.parent)
        if path.exists() and not os.access(path, os.W_OK):
            raise PermissionError(errno.EACCES, "read-only")
        with scratch.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(scratch, path)
    except (OSError, ValueError) as error:
        with contextlib.suppress(OSError, ValueError):
            scratch.unlink(missing_ok=True)
        what_to_do = (
            "The old file, if any, is untouched. Make room on the disk, or use a folder you may write to"
        )
        raise told(path.name, f"it is not saved ({_reason(error)}). {what_to_do}") from None
    return path


def version_of(path: Path) -> str:
    """A short text that differs when the content of a file differs; empty when there is no file."""
    try:
        with path.open("rb") as file:
            return hashlib.blake2b(file.read(MOST_BYTES + 1), digest_size=8).hexdigest()
    except (OSError, ValueError):
        return ""


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Let one writer at a time, of all tabs and notebooks, change a folder; not twice from inside.

    The system lets go when a process ends, however it ends.

    Raises
    ------
    DescriptionError
        If the folder cannot be written to, or another writer does not come to its end.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file = (folder / ".lock").open("a+b")
    except (OSError, ValueError) as error:
        sentence = f"nothing is saved there ({_reason(error)}). Use a folder that you may write to"
        raise told(f"the folder {folder.name}", sentence) from None
    with file:
        until = time.monotonic() + _PATIENCE_S
        while not _take(file.fileno()):
            if time.monotonic() > until:
                sentence = "another notebook is saving there and does not come to its end. Try again"
                raise told(f"the folder {folder.name}", sentence)
            time.sleep(0.005)
        yield


def move(old: Path, new: Path) -> Path:
    """Give a file or folder another name, in a folder made when missing.

    Raises
    ------
    DescriptionError
        If it cannot be moved; it is where it was.
    """
    try:
        new.parent.mkdir(parents=True, exist_ok=True)
        os.replace(old, new)
    except (OSError, ValueError) as error:
        raise told(old.name, f"it cannot be moved to {new.name} ({_reason(error)})") from None
    return new


def set_aside(path: Path) -> Path:
    """Give a damaged file a dated name, so that its place is free and it is not lost.

    Raises
    ------
    DescriptionError
        If it cannot be renamed.
    """
    return move(path, dated(path.parent, f"{path.stem}_set_aside", f"{path.suffix}.txt"))


def dated(folder: Path, stem: str, ending: str) -> Path:
    """A path with the time in its name that no file has yet."""
    now = f"{stem}_{datetime.now():%Y-%m-%d_%H%M%S}"
    path, number = folder / f"{now}{ending}", 1
    while path.exists():
        number += 1
        path = folder / f"{now}_{number}{ending}"
    return path


def states(log: Path) -> list[Path]:
    """Earlier states of a file, the oldest first; an empty one says that the file was not there."""
    return sorted(log.glob("[0-9]" * 6 + "_*"))


def log_state(path: Path, log: Path) -> None:
    """Keep what stands in a file, or that it is not there, before it is replaced.

    Raises
    ------
    DescriptionError
        If it cannot be written.
    """
    kept = states(log)
    number = int(kept[-1].name[:6]) + 1 if kept else 1
    content = path.read_bytes() if path.exists() else b""
    name = f"{number:06}_{datetime.now():%Y-%m-%d_%H%M%S}{path.suffix}"
    try:
        write_whole(log / name, content)
    except DescriptionError as error:
        raise DescriptionError(path.name, error.problems) from None
    for old in kept[: 1 - MOST_STATES]:
        old.unlink(missing_ok=True)


def _sweep(folder: Path) -> None:
    """Take away what a crash left of files that were never finished."""
    for part in folder.glob(".*.part"):
        with contextlib.suppress(OSError):
            if time.time() - part.stat().st_mtime > _LEFTOVER_S:
                part.unlink()


_REASONS = {
    errno.ENOSPC: "no room is left on the disk",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EFBIG: "the system allows no file of this size",
    errno.EACCES: "you may not write or read there",
    errno.EPERM: "you may not write or read there",
    errno.EROFS: "the disk is read-only",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ENOTDIR: "a file stands where the folder should be",
    errno.EEXIST: "a file stands where the folder should be",
}


def _reason(error: Exception) -> str:
    number = error.errno if isinstance(error, OSError) else None
    return _REASONS.get(number or 0) or shortened(str(getattr(error, "strerror", None) or error), 80)


if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return error.errno in _NO_LOCKS_HERE
        return True
