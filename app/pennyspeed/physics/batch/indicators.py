"""What the parabolas of the fast path leave: by it a car is sent to finer panels, or farther."""

from __future__ import annotations

import numpy as np

from pennyspeed.physics.batch.panels import Lift, Panels, Parabola, Stopping
from pennyspeed.physics.car import FloatArray

TOLERANCE = 2.0e-3
"""Indicator above which a car is done again. It overstates: at 1e-3 road speeds are within
1e-4."""

MOST_BEND = 0.3
"""Bend of charge and heat above which panels are cut: below it both are within 1e-3, most 1e-4."""


def bend(panels: Panels, lift: Lift, shape: Parabola, used: FloatArray) -> FloatArray:
    """Share of charge and heat that lies where their parabolas bend, bend squared, the worse."""
    middle = np.abs(shape.c0 + 0.5 * shape.c1 + 0.25 * shape.c2)
    bent = shape.c2 / np.maximum(middle, 1.0e-12)
    bent *= bent
    bent *= middle
    bent *= panels.width / (panels.rho + 0.5)
    row = lift.panel // lift.speed.shape[0]
    bent *= np.arange(bent.shape[1])[:, None] <= row
    return np.asarray((bent.sum(axis=1) / np.maximum(used, 1.0e-9)).max(axis=0))


def missed(panels: Panels, lift: Lift, stopping: Stopping) -> FloatArray:
    """Estimate of the relative error in road speed: what the parabolas leave of h = (ρ+σ) v/a.

    With poles at distance d from the middle of a panel of half-width w, curvature is (w/d)², and
    the next terms of the series are its powers 3/2, which only a panel cut short feels, and 2.
    """
    shape = panels.distance
    middle = shape.c0 + 0.5 * shape.c1 + 0.25 * shape.c2
    curvature = np.abs(0.5 * shape.c2) / np.maximum(middle, 1.0e-12)
    part = middle * panels.width / (panels.rho + 0.5)
    count = lift.speed.shape[0]
    row = lift.panel // count
    whole = 0.13 * curvature * curvature * part
    whole[np.arange(whole.shape[0])[:, None] >= row] = 0.0
    last = curvature.ravel()[lift.panel]
    error = whole.sum(axis=0) + 0.1 * last * np.sqrt(last) * part.ravel()[lift.panel]
    speed = np.maximum(lift.speed, 1.0e-9)
    pace = middle.ravel()[lift.panel] / (panels.rho.ravel()[lift.panel] + 0.5)
    return np.asarray(error / ((pace + speed / stopping.deceleration(speed)) * speed))
