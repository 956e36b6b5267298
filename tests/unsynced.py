"""Files written without waiting for the disk, where no power fails."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from pennyspeed.storage import database


@contextmanager
def writing_without_waiting() -> Iterator[None]:
    """Leave it to the system when what is written reaches the disk.

    That the program does wait is held by `tests/storage`; a process that is killed loses nothing
    either way.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(database, "PRAGMAS", ("foreign_keys=ON", "synchronous=OFF"))
        patch.setattr(os, "fsync", lambda _: None)
        yield
