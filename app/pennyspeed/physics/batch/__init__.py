"""Many cars at once; see :mod:`pennyspeed.physics.batch.runs`."""
