"""Where a person's file lies unless they say otherwise."""

from __future__ import annotations

import os
import sys
from pathlib import Path

DATA_SUFFIX = ".sqlite3"
"""End of the names of data files, lower case."""
FILE_NAME = f"pennyspeed{DATA_SUFFIX}"


def default_path() -> Path:
    """Return the usual place of the database; neither it nor its folder need exist.

    Windows: ``%LOCALAPPDATA%``; macOS: ``~/Library/Application Support``; elsewhere
    ``$XDG_DATA_HOME`` where that is absolute, else ``~/.local/share`` (XDG Base Directory
    Specification 0.8).
    """
    return _data_home() / FILE_NAME


def _data_home() -> Path:
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        return (Path(local) if local else Path.home() / "AppData" / "Local") / "Pennyspeed"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Pennyspeed"
    given = os.environ.get("XDG_DATA_HOME", "")
    home = Path(given) if os.path.isabs(given) else Path.home() / ".local" / "share"
    return home / "pennyspeed"
