"""Where the power goes: from the cells to the road, every watt once.

::

    U I_p = R_p I_p² + R_c I² + R_m I² + E I_0 + gears + rolling + drag + grade + m_e v dv/dt
"""

from __future__ import annotations

from pennyspeed.physics.car import Car, Floats
from pennyspeed.physics.electrics import Electrics
from pennyspeed.physics.forces import Forces
from pennyspeed.physics.results import PowerBooks
from pennyspeed.physics.road import grade_force


def power_books(
    car: Car,
    state: Electrics,
    speed: Floats,
    at: Forces,
    force: Floats,
    current: Floats,
    pack_current: Floats,
) -> PowerBooks:
    """Power books at one speed or along many [m/s], from forces at the same speeds.

    `force` is at the wheel [N], `current` the motor's [A].
    """
    shaft = (current - at.no_load) * at.emf
    return PowerBooks(
        source=state.voltage * pack_current,
        pack=state.pack * pack_current * pack_current,
        controller=car.controller_resistance * current * current,
        winding=state.winding * current * current,
        no_load=at.emf * at.no_load,
        gears=shaft - force * speed,
        rolling=at.rolling * speed,
        drag=at.air.drag * speed,
        grade=grade_force(car) * speed,
        acceleration=(force - at.resistance) * speed,
    )
