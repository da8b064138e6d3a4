"""Solutions under a gas that takes what they do not hold."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import CARBONIC, UnknownSubstanceError
from tarebook.chemistry.equilibrium.constants import Shifts
from tarebook.chemistry.equilibrium.equilibrate import equilibrate
from tarebook.chemistry.equilibrium.inputs import checked_amount
from tarebook.chemistry.equilibrium.left_over import equilibrate_with_solid
from tarebook.chemistry.equilibrium.system import Equilibrium, System


def capped(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None = None,
    solids: Mapping[str, ArrayLike] | None = None,
    saturation: ArrayLike = 0.0,
) -> Equilibrium:
    """Return the equilibrium of solutions that let go the CO2 a given pressure does not hold.

    The solution keeps the smaller of its total carbon and what the pressure holds in it;
    the rest is `released`. Where the pressure is not reached nothing is released: CO2 never enters.
    All molalities are per kg of the water at the end, with the water that H+ + HCO3- made. Nothing
    precipitates; a carbonate that is left over dissolves as far as its solubility product allows.
    Ion pairs (NaHCO3, NaCO3-) are held in the specific interactions. Charge that the strong ions
    leave open is made up by H+ and OH-: 0.1 mol/kg HCl is given as 0.1 mol/kg Cl-.

    Parameters
    ----------
    system : System
        What may be in the solution; carbonic acid must be in it.
    totals : mapping of str to array_like, [mol/kg]
        Total of each acid in all its forms, with all carbonic acid that was made or added; what is
        left out is not there.
    strong : mapping of str to array_like, [mol/kg]
        Molality of each strong ion; what is left out is not there.
    temperature : array_like, [K]
        Between 278.15 and 313.15. All inputs are broadcast against each other.
    pressure : array_like, [Pa]
        Pressure of CO2 above which it leaves; above the partial pressure in the gas if the solution
        stays supersaturated.
    shifts : Shifts, optional
        Added to the pK values, to study their uncertainty.
    solids : mapping of str to array_like, [mol/kg], optional
        By formula, what is left over of a carbonate, not counted in `totals` and `strong`. One
        kind at a time; its ion must be in the system.
    saturation : array_like, [1]
        ln of the saturation with that solid at which no more of it dissolves: 0 at equilibrium.

    Returns
    -------
    Equilibrium
        The solutions; `from_solids` says how much of the solid dissolved.

    Raises
    ------
    OutOfRangeError
        If a molality is negative or above 20 mol/kg, a temperature outside 5 to 40 degC, an ionic
        strength above 4 mol/kg, a pressure negative or infinite, or there are several solids.
    UnknownSubstanceError
        If a name is not in the system, the system has no carbonic acid, or no solubility product
        is known for a solid.

    Examples
    --------
    >>> from tarebook.chemistry.equilibrium.acids import StrongIon, acid
    >>> cup = System(acids=(acid("carbonic"), acid("acetic")), strong_ions=(StrongIon("Na+", 1),))
    >>> done = capped(cup, totals={"carbonic": 0.3, "acetic": 0.5}, strong={"Na+": 0.3},
    ...               temperature=293.15, pressure=99000.0)
    >>> [float(v.round(4)) for v in (done.released, done.dissolved, done.ph)]
    [0.2625, 0.0375, 4.7839]
    """
    names = tuple(acid.name for acid in system.acids)
    if CARBONIC not in names:
        raise UnknownSubstanceError(CARBONIC, names)
    gas = checked_amount("pressure of CO2", pressure, np.finfo(np.float64).max, "Pa")
    if not solids:
        return equilibrate(system, totals, strong, temperature, gas, shifts)
    return equilibrate_with_solid(
        system, totals, strong, temperature, gas, shifts, solids, np.asarray(saturation, np.float64)
    )
