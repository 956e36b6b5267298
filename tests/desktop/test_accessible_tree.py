"""What a screen reader meets: each control has a name, a role and something that can be done.

Names and roles are asked of Qt's own accessible interfaces, as a screen reader asks for them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QWidget

from desktop.money_story import with_story
from pennyspeed.desktop.charts import Canvas
from pennyspeed.desktop.window import Window

MOST = 60
"""Children of a table that are looked at; the others are like them."""
Role = QAccessible.Role


@dataclass(frozen=True)
class Node:
    """One line of the dump."""

    depth: int
    role: Role
    name: str
    actions: tuple[str, ...]
    is_control: bool
    widget: QWidget | None

    def __str__(self) -> str:
        words = f"{self.role.name} “{self.name}” {', '.join(self.actions)}"
        return f"{'  ' * self.depth}{words}{' *' if self.is_control else ''}"


def walk(interface: QAccessibleInterface, depth: int = 0) -> Iterator[Node]:
    state, found = interface.state(), interface.object()
    if state.invisible:
        return
    widget = found if isinstance(found, QWidget) else None
    area = widget.parentWidget() if widget is not None else None
    is_viewport = isinstance(area, QAbstractScrollArea) and area.viewport() is widget
    able = interface.actionInterface()
    actions = tuple(able.actionNames()) if able is not None else ()
    yield Node(
        depth,
        interface.role(),
        interface.text(QAccessible.Text.Name).strip(),
        actions,
        (bool(state.focusable) or bool({"Press", "Toggle"} & {*actions}))
        and not state.disabled
        and not is_viewport,
        widget,
    )
    for place in islice(range(interface.childCount()), MOST):
        child = interface.child(place)
        if child is not None:
            yield from walk(child, depth + 1)


def dump(widget: QWidget) -> list[Node]:
    QApplication.processEvents()
    return list(walk(QAccessible.queryAccessibleInterface(widget)))


def show_money(window: Window) -> QWidget:
    build = window.session.bench.build
    assert build is not None
    window.session.builds.change(with_story(build), "wrote the story", "took it back")
    window.navigator.choose_view("money")
    return window.navigator.current


def show_form(window: Window) -> QWidget:
    build = window.session.bench.build
    assert build is not None
    window.parts.edit_part(build.part("motor"))
    return window.navigator.current


def show_margin(window: Window) -> QWidget:
    window.home.show_margin()
    assert window.home.margin is not None
    return window.home.margin


PLACES: dict[str, tuple[Callable[[Window], QWidget], set[tuple[Role, str]]]] = {
    "main window": (
        lambda window: window,
        {
            (Role.List, "the car's slots"),
            (Role.EditableText, "narrow the shelf"),
            (Role.Table, "the shelf"),
            (Role.PageTab, "9 Money"),
            (Role.List, "checks"),
            (Role.Button, "with every controller"),
            (Role.Button, "target 130 km/h"),
        },
    ),
    "money": (
        show_money,
        {
            (Role.Table, "lines of money"),
            (Role.RadioButton, "by date"),
            (Role.Button, "new line"),
            (Role.Button, "rates"),
        },
    ),
    "margin": (
        show_margin,
        {
            (Role.List, "late lifts on this road"),
            (Role.Button, "braking the driver uses 0.5 g"),
        },
    ),
    "part form": (
        show_form,
        {
            (Role.EditableText, "name"),
            (Role.EditableText, "winding resistance"),
            (Role.Button, "save"),
            (Role.Button, "delete"),
            (Role.Button, "close"),
        },
    ),
}


@pytest.mark.parametrize("place", PLACES)
def test_each_control_has_a_name_a_role_and_an_action(window: Window, place: str) -> None:
    show, expected = PLACES[place]
    nodes = dump(show(window))
    tree = "\n".join(map(str, nodes))
    controls = [node for node in nodes if node.is_control]
    for node in controls:
        assert node.name, f"no name: {node}\n{tree}"
        assert node.actions, f"nothing to be done: {node}\n{tree}"
        # Qt has no role for a chart that is a widget; what it shows is its description.
        if not isinstance(node.widget, Canvas):
            assert node.role not in (Role.NoRole, Role.Client), f"no role: {node}\n{tree}"
    missing = expected - {(node.role, node.name) for node in controls}
    assert not missing, f"{missing}\n{tree}"


@pytest.mark.parametrize("place", PLACES)
def test_every_stop_of_the_tab_key_is_in_the_tree(window: Window, place: str) -> None:
    shown = PLACES[place][0](window)
    known = {node.widget for node in dump(shown) if node.is_control}
    first = stop = shown.focusWidget() or window.focusWidget()
    assert first is not None
    for _ in range(60):
        assert stop is not None
        if shown.isAncestorOf(stop):
            assert stop in known, stop
        QTest.keyClick(stop, Qt.Key.Key_Tab)
        stop = QApplication.focusWidget()
        if stop is first:
            break
