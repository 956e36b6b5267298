"""Undo steps are done when they are pushed; one that is refused stays where it was."""

from __future__ import annotations

import pytest

from pennyspeed.desktop.session.undo_stack import UNDO_LIMIT, UndoStack, UndoStep


class Step(UndoStep):
    """Notes what is asked of it, and may refuse."""

    def __init__(self, stack: UndoStack, refuses: bool = False) -> None:
        super().__init__("did it", "undid it")
        self.stack, self.refuses = stack, refuses
        self.asked: list[str] = []

    def apply(self) -> None:
        self.asked.append("apply")
        if self.refuses:
            self.stack.refuse(self)

    def revert(self) -> None:
        self.asked.append("revert")
        if self.refuses:
            self.stack.refuse(self)


def test_a_push_does_nothing_and_undo_and_redo_do(undo_stack: UndoStack) -> None:
    step = Step(undo_stack)
    undo_stack.push(step)
    assert step.asked == []
    undo_stack.undo()
    undo_stack.redo()
    undo_stack.undo()
    assert step.asked == ["revert", "apply", "revert"]


def test_a_refused_undo_stays_done_and_can_be_tried_again(undo_stack: UndoStack) -> None:
    step = Step(undo_stack, refuses=True)
    undo_stack.push(step)
    undo_stack.undo()
    assert undo_stack.index() == 1
    step.refuses = False
    undo_stack.undo()
    assert undo_stack.index() == 0
    assert step.asked == ["revert", "revert"]


def test_a_refused_redo_stays_undone(undo_stack: UndoStack) -> None:
    step = Step(undo_stack)
    undo_stack.push(step)
    undo_stack.undo()
    step.refuses = True
    undo_stack.redo()
    assert undo_stack.index() == 0
    assert step.asked == ["revert", "apply"]


def test_a_step_refused_later_goes_back_to_its_place(undo_stack: UndoStack) -> None:
    step = Step(undo_stack)
    undo_stack.push(step)
    undo_stack.undo()
    undo_stack.refuse(step)
    assert undo_stack.index() == 1
    assert step.asked == ["revert"], "going back does nothing"


def test_a_step_refused_after_others_came_changes_nothing(undo_stack: UndoStack) -> None:
    first, second, third = Step(undo_stack), Step(undo_stack), Step(undo_stack)
    for step in (first, second, third):
        undo_stack.push(step)
    undo_stack.refuse(first)
    assert undo_stack.index() == 3


def test_the_stack_holds_so_many_steps(undo_stack: UndoStack) -> None:
    for _ in range(UNDO_LIMIT + 1):
        undo_stack.push(Step(undo_stack))
    assert undo_stack.count() == UNDO_LIMIT


def test_a_step_says_what_it_does(undo_stack: UndoStack) -> None:
    with pytest.raises(NotImplementedError):
        UndoStep("did", "undid").apply()
    assert Step(undo_stack).text() == "did it"
