"""A rule: what a figure of a part goes with, how surely, and who says so.

Every rule is a straight line between logarithms. With y the figure over what it is proportional to,
ln y = level + slope · ln feature + … + ε; level and slopes are known only so well, and ε ~ N(0, σ²)
is how far parts of one kind lie apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import fmean, pstdev


@dataclass(frozen=True, slots=True)
class Product:
    """A product of powers of figures, such as the volume of a can."""

    powers: Mapping[str, float] = field(default_factory=dict)
    """Exponents by the figures' keys."""
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Slope:
    """How much a figure follows a feature."""

    feature: Product
    mean: float
    spread: float
    """One standard deviation of `mean`."""
    usual: tuple[float, float] | None = None
    """The feature where it is not known, and the standard deviation of its logarithm; None where
    nothing follows without it."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Levels by what is chosen in a field."""

    key: str
    levels: Mapping[str, float]

    def level(self, chosen: object) -> tuple[float, float]:
        """Return the level, and the standard deviation of its logarithm where nothing is chosen:
        it may be any of them then."""
        if isinstance(chosen, str):
            return self.levels[chosen], 0.0
        logarithms = [math.log(level) for level in self.levels.values()]
        return math.exp(fmean(logarithms)), pstdev(logarithms)


@dataclass(frozen=True, slots=True)
class Rule:
    """One figure of one kind of part."""

    kind_key: str
    key: str
    """Of the figure that is worked out."""
    level: float
    """The median where every feature is 1."""
    level_spread: float
    """One standard deviation of ln `level`."""
    sigma: float
    """One standard deviation of ln y among parts of which the rule knows all it asks for."""
    source: str
    scale: Product = Product()
    """What the figure is proportional to."""
    slopes: tuple[Slope, ...] = ()
    choice: Choice | None = None

    @property
    def needed(self) -> tuple[str, ...]:
        """Keys of the figures without which nothing follows."""
        products = [self.scale, *(one.feature for one in self.slopes if one.usual is None)]
        return tuple(dict.fromkeys(key for product in products for key in product.powers))

    @property
    def features(self) -> tuple[str, ...]:
        """Keys of all that the figure is worked out from."""
        products = [*(slope.feature for slope in self.slopes), self.scale]
        keys = [key for product in products for key in product.powers]
        return tuple(dict.fromkeys([*keys, *([self.choice.key] if self.choice else [])]))

    @property
    def learns(self) -> bool:
        """Whether parts that are known move it; geometry stands as it is."""
        return self.level_spread > 0.0
