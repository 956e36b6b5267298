"""A UserError becomes one told sentence; other errors are not swallowed."""

from __future__ import annotations

import pytest

from desktop.session.heard import Heard
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.domain.errors import NotFound


def test_a_user_error_is_told_once_and_not_raised(messages: Messages, heard: Heard) -> None:
    with messages.reporting() as report:
        raise NotFound("No build is called that.")
    assert not report.succeeded
    assert heard.troubled == ["No build is called that."]


def test_what_goes_well_is_not_told(messages: Messages, heard: Heard) -> None:
    with messages.reporting() as report:
        assert not report.succeeded, "not before the end"
    assert report.succeeded
    assert (heard.said, heard.noted, heard.troubled) == ([], [], [])


def test_a_defect_is_raised(messages: Messages, heard: Heard) -> None:
    with pytest.raises(ZeroDivisionError), messages.reporting() as report:
        _ = 1 / 0
    assert not report.succeeded
    assert heard.troubled == []
