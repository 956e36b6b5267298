"""Model index: where a cell is, as Qt hands it to a view."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex

Index = QModelIndex | QPersistentModelIndex
