"""What is advised in place of a part that is rated too low."""

from __future__ import annotations

from builds import a_build
from pennyspeed.services.prediction.forecast import forecast


def test_tyres_are_advised_up_to_the_next_five() -> None:
    """Below two hundred, makers rate in fives (common practice, no source)."""
    found = forecast(a_build(parts__tyres__rated_kmh=30))
    broken = next(one for one in found.checks if one.code == "tyre-speed")
    rated = next(five for five in range(0, 200, 5) if five >= broken.value)
    assert broken.advice.startswith(f"Tyres rated {rated} km/h or more")
