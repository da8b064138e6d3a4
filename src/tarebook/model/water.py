"""Water that leaves beside the gas: where there is as much of it, mass does not tell the gas."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.arrays import FloatArray
from tarebook.core.tables import reference_table


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterBesideGas:
    """What leaves the vessel with most gas.

    Attributes
    ----------
    gas, water : float, [g]
    """

    gas: float
    water: float

    @property
    def over_gas(self) -> float:
        """Water over gas; 0 where no gas leaves, of which nothing can be said."""
        return self.water / self.gas if self.gas > 0.0 else 0.0

    @property
    def shows(self) -> bool:
        """Whether the content is known less well for it."""
        return self.over_gas >= _limits()["look_above"]

    @property
    def hides_it(self) -> bool:
        """Whether the mass lost cannot tell the content."""
        return self.over_gas >= _limits()["stop_above"]


def water_beside_gas(gas: FloatArray, water: FloatArray) -> WaterBesideGas:
    """Return the gas and the water of the vessel with most gas.

    Parameters
    ----------
    gas, water : ndarray, shape (n,), [g]
        Released; lost as vapour and by evaporation.
    """
    most = int(gas.argmax())
    return WaterBesideGas(gas=float(gas[most]), water=float(water[most]))


def _limits() -> dict[str, float]:
    row: dict[str, float] = reference_table("tarebook.model", "cup")["water_lost"]
    return row
