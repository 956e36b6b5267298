"""Code: the square in which a camera reads the short id of a build."""

from __future__ import annotations

from pennyspeed.domain.builds import Build
from pennyspeed.services.sheet.document import Code
from pennyspeed.services.short_ids import code_text


def code(build: Build) -> Code | None:
    """Return the square of a stored build, None before it is stored."""
    text = code_text(build)
    if not text:
        return None
    import segno

    # level M: a fold or a drop of rain may cost 15 % of the modules (ISO/IEC 18004)
    square = segno.make(text, error="m", micro=False, boost_error=False)
    return Code(text, tuple(tuple(bool(module) for module in row) for row in square.matrix))
