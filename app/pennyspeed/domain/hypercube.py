"""Standard normal draws, one axis of a Latin hypercube for each figure that is not known exactly.

Every stratum of equal chance holds one draw of each figure (McKay, Beckman and Conover,
Technometrics 21, 1979). Orders drawn at random are correlated by accident, which makes the sum of
two figures spread too far or too little; these are paired away axis by axis (Owen, *Controlling
correlations in Latin hypercube samples*, JASA 89, 1994, forward steps only).
"""

from __future__ import annotations

from functools import cache
from statistics import NormalDist
from zlib import crc32

import numpy as np

from pennyspeed.domain.conditions import CONDITIONS_SLOT, VARYING
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.fields import Draw
from pennyspeed.physics.car import FloatArray

DRAWS = 256

_STEPS = 3
"""After which correlations hardly fall any more."""

_SEED = 58
"""Of sixty, that whose P10 and P90 of 64 draws lie nearest to those of 20,000 independent ones."""

_AXES = [
    *((kind.key, field.key) for kind in KINDS if not kind.many for field in kind.fields
      if field.draw is not Draw.EXACT),
    *((CONDITIONS_SLOT, key) for key in VARYING),
]  # fmt: skip
"""Figures that are paired with each other; whatever else is drawn is paired with all of these."""


@cache
def standard_draws(key: tuple[str, str], draws: int = DRAWS) -> FloatArray:
    """Return standard normal draws for one figure: each stratum once, in an order of its own.

    The order hangs on the figure's name alone, so a swapped part leaves the draws of the others as
    they were.
    """
    axes, basis = _paired(draws)
    found = axes.get(key)
    return _axis(key, basis) if found is None else found


@cache
def _paired(draws: int) -> tuple[dict[tuple[str, str], FloatArray], FloatArray]:
    """Return the axes of `_AXES`, and an orthonormal basis of what they span."""
    axes: dict[tuple[str, str], FloatArray] = {}
    basis = np.empty((0, draws))
    for key in _AXES:
        axes[key] = _axis(key, basis)
        if len(basis) < draws // 2:  # or little of the own order would be left
            rest = axes[key]
            for _ in range(2):  # once leaves rounding errors behind
                rest = rest - (basis @ rest) @ basis
            basis = np.vstack([basis, rest / np.linalg.norm(rest)])
    return axes, basis


def _axis(key: tuple[str, str], basis: FloatArray) -> FloatArray:
    """Return the draws of one figure, in an order next to uncorrelated with what is in `basis`."""
    draws = basis.shape[1]
    quantiles = _quantiles(draws)
    order = np.random.default_rng(crc32("/".join(key).encode(), _SEED)).permutation(draws)
    found = quantiles[order]
    for _ in range(_STEPS):
        rest = found - (basis @ found) @ basis
        found = np.empty(draws)
        found[np.argsort(rest, kind="stable")] = quantiles
    return found


@cache
def _quantiles(draws: int) -> FloatArray:
    """Return standard normal quantiles at the middle of `draws` equal strata."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((i + 0.5) / draws) for i in range(draws)])
