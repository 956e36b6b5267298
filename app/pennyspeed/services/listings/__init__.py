"""A part as a shop or a seller says it: text in, figures with the words they came from out.

``read_listing`` reads a text, ``part_of`` makes a part of what was read. Nothing here knows a
shop's format or a maker's name: a figure is told by its unit and the words around it. A word
that is to be understood goes into ``words.py``, a unit into ``quantities.py``, a figure into
``rules.py``.
"""

from pennyspeed.services.listings.claims import Claim
from pennyspeed.services.listings.listing_parts import claim_of, missing_keys, part_of
from pennyspeed.services.listings.reading import Line, Reading, State, read_listing

__all__ = [
    "Claim",
    "Line",
    "Reading",
    "State",
    "claim_of",
    "missing_keys",
    "part_of",
    "read_listing",
]
