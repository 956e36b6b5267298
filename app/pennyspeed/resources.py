"""Files that travel with the program: icons, fonts, demo data."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).resolve().parent
_PLACES = (
    _HERE / "_resources",  # in a wheel, put there by the build
    _HERE.parents[1] / "resources",  # in a checkout
)


def path(name: str) -> Path:
    """Return where the resource `name`, such as "demo/parts/motor.csv", lies.

    Raises
    ------
    FileNotFoundError
        Where the program came without it: a broken installation.
    """
    for place in _PLACES:
        found = place / name
        if found.exists():
            return found
    raise FileNotFoundError(f"Pennyspeed came without its file {name}; install it again.")
