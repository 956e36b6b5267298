"""Many cars at once; see :mod:`pennyspeed.physics.batch.runs`."""

from pennyspeed.physics.batch.runs import (
    predict_many,
    predict_many_with_traces,
    road_traces,
    top_speeds,
)

__all__ = ["predict_many", "predict_many_with_traces", "road_traces", "top_speeds"]
