"""Words for changes of offers and suppliers: what was done, and what undoing it does."""

from __future__ import annotations

from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part, Price


def offer_words(part: Part, before: Price | None, after: Price | None) -> tuple[str, str]:
    """Return the words of one offer in place of another; None stands for no offer."""
    shop = (after or before or Price).supplier or "nobody"
    if before is None:
        did, undid = f"noted an offer of {shop}", f"removed the offer of {shop}"
    elif after is None:
        did, undid = f"removed the offer of {shop}", f"brought back the offer of {shop}"
    else:
        did, undid = f"changed the offer of {shop}", f"put the offer of {shop} back"
    return f"{did} for {part.name}", f"{undid} for {part.name}"


def supplier_words(before: Supplier | None, after: Supplier | None) -> tuple[str, str]:
    """Return the words of one supplier in place of another; None stands for no supplier."""
    name = (after or before or Supplier("")).name
    if before is None:
        return f"noted the shop {name}", f"removed the shop {name}"
    if after is None:
        return f"removed the shop {name}", f"brought back the shop {name}"
    return f"changed the shop {name}", f"put the shop {before.name} back"
