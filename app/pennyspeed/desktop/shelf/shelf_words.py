"""What the shelf says beside its rows: their order, and why there are none."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.shelf import shelf_stocks
from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.notice import Notice
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.answer_columns import CHANCE, PRICE, SPEED
from pennyspeed.services.shelf.stock import Pairs, Stock


def order_words(model: ShelfModel) -> str:
    """Say in which order the rows stand."""
    column, order = model.sorted_by
    falls = order == Qt.SortOrder.DescendingOrder
    key, title = model.columns[column].key, model.columns[column].title
    words = {
        SPEED: ("slowest first", "fastest first"),
        PRICE: ("cheapest first", "dearest first"),
        CHANCE: ("least likely first", "likeliest first"),
        "name": ("by name", "by name, last first"),
    }
    if key in words:
        return words[key][falls]
    return f"by {title}, largest first" if falls else f"by {title}"


def empty_words(stock: Stock, ones: int, total: int, typed: str) -> tuple[str, str, bool]:
    """Return why no row is there, what would help, and whether the demo parts would.

    Parameters
    ----------
    ones : int
        Parts of the stock's kind on the shelf, before they were paired.
    total : int
        Rows before narrowing.
    typed : str
        What narrows them.
    """
    kind = stock.kind
    if total and typed:
        title = f"No {kind.label} on the shelf has “{typed}” in it"
        return title, f"Escape shows all {total:,} again.", False
    if total:
        title = f"None of {total:,} {kind.plural} fits"
        return title, "Ctrl+G shows them, each with its reason.", False
    if isinstance(stock, Pairs) and ones:
        other, others = stock.other.kind, len(stock.other)
        if not others:
            title = f"No {other.plural} on the shelf yet"
            return title, f"Ctrl+T shows the {kind.plural} alone.", False
        title = f"{ones:,} {kind.plural} with {others:,} {other.plural}"
        most = shelf_stocks.MOST_PAIRS // others
        return title, f"Type to narrow them to {most:,} {kind.plural} or fewer.", False
    help = "Write one down with Ctrl+Shift+N, or bring a file in with Ctrl+O."
    return f"No {kind.plural} on the shelf yet", help, True


class Empty(Scaled, Notice):
    """What stands where no row is; it may offer the demo parts.

    Signals
    -------
    brought()
        The person asks for them.
    """

    brought = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._push = Button("bring in the demo parts", self)
        self._push.clicked.connect(self.brought)

    def offer(self, demo: bool) -> None:
        """Offer the demo parts, or do not."""
        self._push.setVisible(demo)

    def rescale(self) -> None:
        hint = self._push.sizeHint()
        x = (self.width() - hint.width()) // 2
        self._push.setGeometry(x, self.first_line() + px(40), hint.width(), hint.height())

    def resizeEvent(self, event: object) -> None:
        self.rescale()
