"""Keys: what each one does in a place, written once for the hand, the hints and the sheet of keys.

To add one that a widget understands: a row in its room's :class:`KeyMap`, and under the row's
action the method in the widget's :class:`KeyHandler`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol, runtime_checkable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

UP, DOWN, LEFT, RIGHT = "up", "down", "left", "right"
_ENTER, _RETURN = Qt.Key.Key_Enter, Qt.Key.Key_Return


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One row: keys, and what they do.

    Attributes
    ----------
    keys : tuple of str
        As they are shown, arrows by the names above; () where they are a command's.
    action : str
        What the widget is to do; "" where it, or Qt, knows the key without this row.
    command : str
        Key of the command whose keys these are.
    also : tuple of str
        Keys that do the same, but are not shown.
    """

    keys: tuple[str, ...]
    words: str
    action: str = ""
    command: str = ""
    also: tuple[str, ...] = ()


def command(key: str, words: str) -> KeyRow:
    """Return the row of a command: its keys, in the words of a place."""
    return KeyRow((), words, command=key)


LAST = (
    KeyRow(("Tab",), "next"),
    command("undo", "undo"),
    command("find", "find"),
    command("keys", "keys"),
)
"""What keys do in nearly every place."""


class KeyMap:
    """The rows of one place.

    Parameters
    ----------
    title : str
        What the sheet of keys calls the place.
    last : tuple of KeyRow
        What the hints say behind them.
    """

    def __init__(self, title: str, *own: KeyRow, last: tuple[KeyRow, ...] = LAST) -> None:
        self.title, self.own = title, own
        self.rows = (*own, *last)

    @cached_property
    def actions(self) -> dict[int, str]:
        """The action of each key, as :func:`pressed` returns it."""
        rows = [row for row in self.own if row.action]
        return {key: row.action for row in rows for key in presses((*row.keys, *row.also))}


@runtime_checkable
class HasKeys(Protocol):
    """A widget in which keys do something."""

    @property
    def keys(self) -> KeyMap:
        """What keys do in it."""


class KeyHandler:
    """Does what the keys of a place ask for.

    Parameters
    ----------
    actions : callable
        By the actions of its rows: one for each.
    """

    def __init__(self, keys: KeyMap, **actions: Callable[[], object]) -> None:
        wanted = set(keys.actions.values())
        assert wanted == set(actions), f"{keys.title}: {wanted ^ set(actions)}"
        self._names, self._actions = keys.actions, actions

    def act(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; False where it asks for nothing here."""
        name = self._names.get(pressed(event))
        if name is None:
            return False
        self._actions[name]()
        return True


def pressed(event: QKeyEvent) -> int:
    """Return a key with what is held down, both Enter keys as one and the keypad as the rest."""
    held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    key = _RETURN if event.key() == _ENTER else event.key()
    return int(held.value) | int(key)


def presses(keys: tuple[str, ...]) -> list[int]:
    """Return each key of a row, with what is held down.

    >>> presses(("Ctrl", LEFT, RIGHT)) == presses(("Ctrl Left",)) + presses(("Ctrl Right",))
    True
    >>> len(presses(("B", "–", "G"))), presses(("…",))
    (6, [])
    """
    held = [key for key in keys if key in ("Ctrl", "Alt", "Shift")]
    names = [key for key in keys if key not in held and key != "…"]
    if "–" in names:
        first, last = ord(names[0]), ord(names[-1])
        names = [chr(code) for code in range(first, last + 1)]
    found = []
    for name in names:
        name = "Return" if name == "Enter" else name
        combination = QKeySequence("+".join([*held, *name.split()]))[0]  # type: ignore[index]
        found.append(combination.toCombined())
    return found
