"""Display: whether a window can open here, asked before Qt does, which ends the process if not."""

from __future__ import annotations

import os
import re
import socket
import sys
from contextlib import closing

_SECONDS = 1.0
_FIRST_X_PORT = 6000
_X_DISPLAY = re.compile(r"(?:([^/:]*)/)?(.*):(\d+)(?:\.\d+)?")


def has_display() -> bool:
    """Tell whether a display answers; always True where windows need none to be named."""
    if not sys.platform.startswith(("linux", "freebsd", "openbsd", "netbsd")):
        return True
    if os.environ.get("QT_QPA_PLATFORM"):
        return True  # somebody chose, and knows
    wayland, x = os.environ.get("WAYLAND_DISPLAY", ""), os.environ.get("DISPLAY", "")
    if wayland and _listens(os.path.join(os.environ.get("XDG_RUNTIME_DIR", ""), wayland)):
        return True
    return x != "" and _x_answers(x)


def _x_answers(name: str) -> bool:
    """Follow the rule of X(7): [protocol/][host]:display[.screen]."""
    match = _X_DISPLAY.fullmatch(name)
    if match is None:
        return False
    protocol, host, number = match[1], match[2], int(match[3])
    if protocol == "unix" or host in ("", "unix"):
        place = f"/tmp/.X11-unix/X{number}"
        return _listens(place) or _listens(f"\0{place}")
    try:
        with socket.create_connection((host.strip("[]"), _FIRST_X_PORT + number), _SECONDS):
            return True
    except (OSError, OverflowError, UnicodeError):
        return False


def _listens(place: str) -> bool:
    try:
        with closing(socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)) as one:
            one.settimeout(_SECONDS)
            one.connect(place)
            return True
    except (OSError, ValueError):
        return False
