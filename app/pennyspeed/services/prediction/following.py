"""Following: a build's curve while a figure is being dragged, at the pace of the screen."""

from __future__ import annotations

from dataclasses import replace

from pennyspeed.domain.assembly import assemble, density
from pennyspeed.domain.builds import Build
from pennyspeed.physics.predict import predict
from pennyspeed.services.prediction.forecast import Forecast


def followed(before: Forecast, build: Build) -> Forecast:
    """Return a forecast with a new curve; its band waits until the figure stands still.

    Costs, masses and checks are those of `before`: only a build whose conditions alone differ
    from that one's may be followed.
    """
    car = assemble(build)
    return replace(
        before,
        build=build,
        prediction=None if car is None else predict(car),
        band=None,
        air_density=density(build),
    )
