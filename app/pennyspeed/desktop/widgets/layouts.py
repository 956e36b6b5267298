"""Layouts, filled in the order in which their pieces are named."""

from __future__ import annotations

from itertools import pairwise
from typing import TypeAlias

from PySide6.QtWidgets import QBoxLayout, QLayout, QVBoxLayout, QWidget

Piece: TypeAlias = QWidget | QLayout | tuple[QWidget | QLayout, int]
"""A piece alone, or with its share of spare room."""


def fill(layout: QBoxLayout, *pieces: Piece) -> None:
    """Add pieces to a row or a column."""
    for piece in pieces:
        one, share = piece if isinstance(piece, tuple) else (piece, 0)
        if isinstance(one, QLayout):
            layout.addLayout(one, share)
        else:
            layout.addWidget(one, share)


def fill_column(home: QWidget, *pieces: Piece) -> QVBoxLayout:
    """Fill a widget from top to bottom, without margins or gaps."""
    column = QVBoxLayout(home)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    fill(column, *pieces)
    return column


def order_tab(*stops: QWidget) -> None:
    """Put the stops of the Tab key in order."""
    for before, after in pairwise(stops):
        QWidget.setTabOrder(before, after)
