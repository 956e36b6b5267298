"""Settings that every test shares."""

from __future__ import annotations

import os

# Before anything imports Qt: no test opens a window on somebody's desk.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
