"""One car: kinks, top speed, run, currents; :mod:`pennyspeed.physics.predict` asks for them."""
