"""What the parts of a workshop have in common."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


class InTransactions:
    """One subject of an open file; every method is one transaction.

    Parameters
    ----------
    begin : callable
        Begins a transaction.
    """

    def __init__(self, begin: Callable[..., Work]) -> None:
        self._begin = begin
