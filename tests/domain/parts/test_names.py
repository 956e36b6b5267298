"""Names of parts: how long they may be."""

from __future__ import annotations

import pytest

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.parts.parts import checked_name


def test_a_name_has_at_most_200_characters() -> None:
    assert checked_name("x" * 200, "name") == "x" * 200
    with pytest.raises(BadInput, match="1 to 200 characters"):
        checked_name("x" * 201, "name")
