"""Words of the spending plot, each where it covers nothing."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSizeF

from pennyspeed.desktop.plots.placed import Placed
from pennyspeed.desktop.plots.spending_placed import (
    Point,
    SpendingLayout,
    SpendingShown,
    names_of,
)
from pennyspeed.desktop.widgets.theme import Words, px, words
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.timeline import Span

TITLE, HELP = "Spent over time", "what counts; each line runs from its order to its arrival"
SIDE = 24
FARTHEST = 64
"""Pixels from its step beyond which a label says nothing any more."""


def put_words(found: SpendingLayout, shown: SpendingShown, size: QSizeF) -> None:
    """Place the title, and the words of cap, today and event."""
    frame, board = found.scale.frame, found.board
    assert board is not None
    title, help_text = words(TITLE, "heading"), words(HELP)
    base = px(26)
    found.labels.append(Placed(title, px(SIDE), base, "ink"))
    start = px(SIDE) + title.width + px(16)
    if start + help_text.width <= size.width() - px(SIDE):
        found.labels.append(Placed(help_text, start, base, "ink2"))
    if found.cap is not None:
        board.take_rect(QRectF(frame.left(), found.cap - px(2), frame.width(), px(4)))
    today = words(f"today, {say_day(shown.steps.today, shown.steps.today)}", "label_strong")
    bottom = frame.bottom() - px(8)
    board.take_rect(QRectF(found.today - px(2), frame.top(), px(4), frame.height()))
    if shown.event is not None:
        found.event = found.scale.x(shown.place(shown.event))
        board.take_rect(QRectF(found.event - px(3), frame.top(), px(6), frame.height()))
        event = words(f"speed day, {say_day(shown.event, shown.steps.today)}", "label_strong")
        _stand_beside(found, event, found.event, bottom, "ink")
    _stand_beside(found, today, found.today, bottom, "ink2")
    if found.cap is not None:
        cap = words("cap", "label_strong")
        near = QPointF(frame.left() + px(8), found.cap + px(4))
        place = board.place(cap.width, cap.height, near)
        if place is not None:
            found.labels.append(Placed(cap, place.left(), place.top() + cap.ascent, "ink"))


def _stand_beside(found: SpendingLayout, text: Words, x: float, bottom: float, colour: str) -> None:
    """Place the words of an upright line, before it where there is room and nothing else."""
    assert found.board is not None
    top = bottom - text.height
    choices = [x - px(8) - text.width, x + px(8)]
    for start in choices:
        box = QRectF(start, top, text.width, text.height)
        if found.board.is_free(box):
            break
    else:
        place = found.board.find(text.width, text.height, QPointF(choices[0], top))
        if place is None:
            return
        box = place
    found.board.take_rect(box)
    found.labels.append(Placed(text, box.left(), box.top() + text.ascent, colour, plate=True))


def put_labels(found: SpendingLayout, shown: SpendingShown, points: list[Point]) -> None:
    board, measures = found.board, shown.measures
    assert board is not None
    late = [way for way in found.ways if way.days_late and not _is_planned(way.span)]
    for days in sorted({way.days_late for way in late}):
        end = next(way.end for way in late if way.days_late == days)
        near = QPointF(end.x() - px(16), end.y() + px(6))
        _put_late(found, f"{say_days(days)} late", near)
    late_by = {id(way.span): way.days_late for way in found.ways if way.days_late}
    # The largest first: where room is scarce, they are worth the most.
    for at, point in sorted(found.points, key=lambda pair: -abs(pair[1].amount)):
        amount = measures.money(shown.book.money(point.amount), False)
        said = f"{names_of(point)} {amount}"
        near = QPointF(at.x() + px(8), at.y() + px(6))
        own = [late_by[id(span)] for span in point.spans if id(span) in late_by]
        if own and _is_planned(point.spans[0]):
            _put_late(found, f"{said}, {say_days(max(own))} late", near)
            continue
        text = words(said)
        if near.x() + text.width > found.scale.frame.right():
            near = QPointF(at.x() - px(10) - text.width, at.y() - px(6) - text.height)
        place = board.find(text.width, text.height, near)
        if place is not None and (place.topLeft() - near).manhattanLength() <= px(FARTHEST):
            board.take_rect(place)
            base = place.top() + text.ascent
            found.labels.append(Placed(text, place.left(), base, "ink2", plate=True))


def _is_planned(span: Span) -> bool:
    return span.entry.line.status is Status.PLANNED


def _put_late(found: SpendingLayout, said: str, near: QPointF) -> None:
    """Place the sign of what is late and its words."""
    assert found.board is not None
    text = words(said, "label_strong")
    wide = text.width + px(20)
    near.setX(min(near.x(), found.scale.frame.right() - wide))
    place = found.board.place(wide, text.height, near)
    if place is not None:
        found.signs.append(QPointF(place.left(), place.center().y()))
        at = place.left() + px(20)
        found.labels.append(Placed(text, at, place.top() + text.ascent, "watch", plate=True))
