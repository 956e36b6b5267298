"""Whole files: written all at once or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from pennyspeed.domain.errors import UnwritableFile

_NEW_FILE_MODE = 0o666


def write_whole(path: Path | str, content: bytes) -> None:
    """Write a file, all of it or nothing.

    A file that is there keeps its permissions; a link keeps pointing.

    Raises
    ------
    UnwritableFile
        The folder or the disk takes no file; what was there is left as it was.
    """
    target = Path(os.path.realpath(path))
    try:
        if target.is_dir():
            raise IsADirectoryError(0, "it is a folder")
        _replace(target, content)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise UnwritableFile(f"{path} cannot be written: {reason}.") from error


def _replace(target: Path, content: bytes) -> None:
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
    descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, _NEW_FILE_MODE & ~_umask() if mode is None else mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    if os.name == "posix":
        # the new name is on disk only once its folder is
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
