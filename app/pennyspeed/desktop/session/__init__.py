"""The session: the open file and what is done with it, apart from how it is shown."""

from pennyspeed.desktop.session.session import Session

__all__ = ["Session"]
