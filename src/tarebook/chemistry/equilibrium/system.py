"""Solutions of weak acids, their salts and strong ions, closed or under a gas that holds CO2."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import (
    CARBONIC,
    Acid,
    StrongIon,
    UnknownSubstanceError,
    equilibrium_table,
)
from tarebook.chemistry.equilibrium.activity import ActivityModel
from tarebook.chemistry.equilibrium.bracket import bracketed, ionic_strength_error
from tarebook.chemistry.equilibrium.constants import (
    LN10,
    Constants,
    Shifts,
    checked_temperature,
    constants_at,
)
from tarebook.chemistry.equilibrium.solve import Kernel, Problem
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError

BLOCK = 8192
"""Solutions worked on at a time, so that the working arrays stay in the processor's cache."""

HIGHEST_TOTAL = 20.0
"""Largest total of one substance, mol/kg: above it there is too little water to speak of one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """What may be in the solution.

    Attributes
    ----------
    acids : tuple of Acid
        Weak acids and bases. Give ``"carbonic"`` its place here if there is to be any CO2.
    strong_ions : tuple of StrongIon
        Ions that only carry charge.
    model : ActivityModel
        The activity model.

    Raises
    ------
    OutOfRangeError
        If two substances share a name.
    """

    acids: tuple[Acid, ...]
    strong_ions: tuple[StrongIon, ...] = ()
    model: ActivityModel = field(default_factory=ActivityModel)

    def __post_init__(self) -> None:
        names = [*(a.name for a in self.acids), *(ion.name for ion in self.strong_ions)]
        twice = len(names) - len(set(names))
        if twice:
            raise OutOfRangeError("substances with a name used before", twice, "1", "{0}")

    @property
    def species(self) -> tuple[str, ...]:
        """Names of all dissolved species, in the order of the rows of the molalities."""
        forms = [name for acid in self.acids for name in acid.species]
        return ("H+", "OH-", *forms, *(ion.name for ion in self.strong_ions))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Equilibrium:
    """Solutions at equilibrium; all arrays but `molality` have the shape of the inputs together.

    Attributes
    ----------
    species : tuple of str
        Names of the species.
    molality : ndarray, shape (n_species, ...), [mol/kg]
        Molality of each species, per kg of the water that is there at equilibrium.
    ph : ndarray, [1]
        -log10 of the activity of H+.
    ionic_strength : ndarray, [mol/kg]
        Half the sum of z**2 m.
    water_activity : ndarray, [1]
        Activity of water.
    dissolved : ndarray, [mol/kg]
        Carbonic acid in solution in all its forms.
    released : ndarray, [mol/kg]
        Total given less what is dissolved; zero if closed, and if open without a given total.
    pressure : ndarray, [Pa]
        Partial pressure of CO2 with which the solution is in equilibrium.
    extrapolated : ndarray of bool
        Where the ionic strength is beyond the 0.5 mol/kg for which the Davies equation is meant.
    """

    species: tuple[str, ...]
    molality: FloatArray
    ph: FloatArray
    ionic_strength: FloatArray
    water_activity: FloatArray
    dissolved: FloatArray
    released: FloatArray
    pressure: FloatArray
    extrapolated: BoolArray

    def of(self, name: str) -> FloatArray:
        """Return the molality of one species.

        Parameters
        ----------
        name : str
            One of `species`.

        Returns
        -------
        ndarray, [mol/kg]
            Its molality.

        Raises
        ------
        UnknownSubstanceError
            If there is no such species.
        """
        if name not in self.species:
            raise UnknownSubstanceError(name, self.species)
        return np.asarray(self.molality[self.species.index(name)])


def closed(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    shifts: Shifts | None = None,
) -> Equilibrium:
    """Return the equilibrium of solutions without a gas: all carbon stays in.

    No solid is ever formed and no ion pair (NaHCO3, NaCO3-) is considered. Charge that the strong
    ions leave open is made up by H+ and OH-: 0.1 mol/kg HCl is given as 0.1 mol/kg Cl-.

    Parameters
    ----------
    system : System
        What may be in the solution.
    totals : mapping of str to array_like, [mol/kg]
        Total of each acid in all its forms; what is left out is not there.
    strong : mapping of str to array_like, [mol/kg]
        Molality of each strong ion; what is left out is not there.
    temperature : array_like, [K]
        Between 278.15 and 313.15. All inputs are broadcast against each other.
    shifts : Shifts, optional
        Added to the pK values, to study their uncertainty.

    Returns
    -------
    Equilibrium
        The solutions.

    Raises
    ------
    OutOfRangeError
        If a molality is negative or above 20 mol/kg, a temperature outside 5 to 40 degC, or an
        ionic strength above 1.5 mol/kg.
    UnknownSubstanceError
        If a name is not in the system.

    Examples
    --------
    >>> from tarebook.chemistry.equilibrium.acids import acid
    >>> vinegar = System(acids=(acid("acetic"),))
    >>> float(closed(vinegar, totals={"acetic": 0.8}, strong={}, temperature=298.15).ph.round(2))
    2.43
    """
    return _equilibrate(system, totals, strong, temperature, np.inf, shifts)


def open_to(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None = None,
) -> Equilibrium:
    """Return the equilibrium of solutions under a gas without end: CO2 goes in or out freely.

    Parameters
    ----------
    system : System
        What may be in the solution; carbonic acid must be in it.
    totals : mapping of str to array_like, [mol/kg]
        Totals of the acids other than carbonic acid, whose total follows.
    strong : mapping of str to array_like, [mol/kg]
        Molalities of the strong ions.
    temperature : array_like, [K]
        Between 278.15 and 313.15.
    pressure : array_like, [Pa]
        Partial pressure of CO2.
    shifts : Shifts, optional
        Added to the pK values, to study their uncertainty.

    Returns
    -------
    Equilibrium
        The solutions; `released` is zero.

    Raises
    ------
    OutOfRangeError
        As for `closed`, and if a pressure is negative or infinite, or a total of carbonic acid is
        given.
    UnknownSubstanceError
        If a name is not in the system, or the system has no carbonic acid.

    Examples
    --------
    >>> from tarebook.chemistry.equilibrium.acids import acid
    >>> water = System(acids=(acid("carbonic"),))
    >>> soda = open_to(water, totals={}, strong={}, temperature=298.15, pressure=101325.0)
    >>> float(soda.ph.round(2))
    3.91
    """
    _require_carbonic(system)
    if CARBONIC in totals:
        raise OutOfRangeError(
            "number of totals given for carbonic acid",
            1,
            "1",
            "{0}",
            "Under a gas without end its total follows from the pressure; leave it out.",
        )
    gas = _checked("partial pressure of CO2", pressure, np.finfo(np.float64).max, "Pa")
    return _equilibrate(system, totals, strong, temperature, gas, shifts, unlimited=True)


def capped(
    system: System,
    *,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None = None,
) -> Equilibrium:
    """Return the equilibrium of solutions that let go the CO2 a given pressure does not hold.

    The solution keeps the smaller of its total carbon and what it would hold open to the pressure;
    the rest is `released`. Where the pressure is not reached nothing is released: CO2 never enters.
    All molalities are per kg of the water at the end, with the water that H+ + HCO3- made. As in
    `closed`, nothing precipitates and there are no ion pairs: under 0.1 to 1 atm of CO2 and at no
    more than 0.5 mol/kg they would change pH by up to 0.03 and the carbon by up to 1.2 %.

    Parameters
    ----------
    system : System
        What may be in the solution; carbonic acid must be in it.
    totals : mapping of str to array_like, [mol/kg]
        Total of each acid, with all carbonic acid that was made or added.
    strong : mapping of str to array_like, [mol/kg]
        Molalities of the strong ions.
    temperature : array_like, [K]
        Between 278.15 and 313.15.
    pressure : array_like, [Pa]
        Pressure of CO2 above which it leaves; above the partial pressure in the gas if the solution
        stays supersaturated.
    shifts : Shifts, optional
        Added to the pK values, to study their uncertainty.

    Returns
    -------
    Equilibrium
        The solutions.

    Raises
    ------
    OutOfRangeError
        As for `closed`, and if a pressure is negative or infinite.
    UnknownSubstanceError
        If a name is not in the system, or the system has no carbonic acid.

    Examples
    --------
    >>> from tarebook.chemistry.equilibrium.acids import StrongIon, acid
    >>> cup = System(acids=(acid("carbonic"), acid("acetic")), strong_ions=(StrongIon("Na+", 1),))
    >>> done = capped(cup, totals={"carbonic": 0.3, "acetic": 0.5}, strong={"Na+": 0.3},
    ...               temperature=293.15, pressure=99000.0)
    >>> [float(v.round(4)) for v in (done.released, done.dissolved, done.ph)]
    [0.263, 0.037, 4.7641]
    """
    _require_carbonic(system)
    gas = _checked("pressure of CO2", pressure, np.finfo(np.float64).max, "Pa")
    return _equilibrate(system, totals, strong, temperature, gas, shifts)


def _require_carbonic(system: System) -> None:
    names = tuple(acid.name for acid in system.acids)
    if CARBONIC not in names:
        raise UnknownSubstanceError(CARBONIC, names)


def _checked(name: str, value: ArrayLike, top: float, unit: str) -> FloatArray:
    """Return the value as an array if all of it is within [0, top]."""
    array = np.asarray(value, dtype=np.float64)
    bad = ~((array >= 0.0) & (array <= top))
    if bad.any():
        raise OutOfRangeError(name, float(array[bad].flat[0]), unit, f"[0, {top:g}]")
    return array


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inputs:
    """Checked inputs: each a number for all solutions (0-d) or one for each (1-d)."""

    temperature: FloatArray
    totals: tuple[FloatArray, ...]
    strong: tuple[FloatArray, ...]
    pressure: FloatArray
    shifts: dict[str, tuple[FloatArray, ...]]
    shape: tuple[int, ...]


def _inputs(
    system: System,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None,
    unlimited: bool,
) -> _Inputs:
    """Check all inputs and lay them out in rows; `unlimited`: only the gas limits the carbon."""
    names = tuple(acid.name for acid in system.acids)
    acids = _amounts(names, totals)
    if unlimited:
        acids[names.index(CARBONIC)] = np.array(np.inf)
    ions = _amounts(tuple(ion.name for ion in system.strong_ions), strong)
    t = checked_temperature(temperature, system.acids)
    gas = np.asarray(pressure, dtype=np.float64)
    added = {
        name: tuple(np.asarray(value, dtype=np.float64) for value in values)
        for name, values in ({} if shifts is None else shifts).items()
    }
    every = [t, gas, *acids, *ions, *(value for values in added.values() for value in values)]
    shape = np.broadcast_shapes(*(array.shape for array in every))

    def row(array: FloatArray) -> FloatArray:
        return array if array.ndim == 0 else np.broadcast_to(array, shape).ravel()

    return _Inputs(
        temperature=row(t),
        totals=tuple(map(row, acids)),
        strong=tuple(map(row, ions)),
        pressure=row(gas),
        shifts={name: tuple(map(row, values)) for name, values in added.items()},
        shape=shape,
    )


def _amounts(names: tuple[str, ...], given: Mapping[str, ArrayLike]) -> list[FloatArray]:
    """Return the molality of each name, zero where none is given."""
    for name in given:
        if name not in names:
            raise UnknownSubstanceError(name, names)
    amounts = []
    for name in names:
        amount = given.get(name, 0.0)
        amounts.append(_checked(f"molality of {name}", amount, HIGHEST_TOTAL, "mol/kg"))
    return amounts


class _Constants:
    """The constants of each block: worked out once if they are the same for all solutions."""

    def __init__(self, system: System, inputs: _Inputs) -> None:
        self.acids, self.inputs = system.acids, inputs
        rows = (inputs.temperature, *(v for values in inputs.shifts.values() for v in values))
        self.once = None
        if all(row.ndim == 0 for row in rows):
            self.once = constants_at(self.acids, inputs.temperature, inputs.shifts)

    def at(self, where: slice) -> Constants:
        """Return the constants of the solutions at `where`."""
        if self.once is not None:
            return self.once
        shifts = {n: [_part(v, where) for v in values] for n, values in self.inputs.shifts.items()}
        return constants_at(self.acids, _part(self.inputs.temperature, where), shifts)


def _part(row: FloatArray, where: slice) -> FloatArray:
    return row if row.ndim == 0 else row[where]


def _problem(system: System, inputs: _Inputs, constants: Constants, where: slice) -> Problem:
    """Return the equations' numbers for the solutions at `where`."""
    charge = square = amount = np.array(0.0)
    for ion, row in zip(system.strong_ions, inputs.strong, strict=True):
        molality = _part(row, where)
        charge = charge + ion.charge * molality
        square = square + ion.charge**2 * molality
        amount = amount + molality
    return Problem(
        charge=charge,
        square=square,
        strong=amount,
        totals=tuple(_part(row, where) for row in inputs.totals),
        k=constants.k,
        water=constants.water,
        slope=constants.slope,
        gas=constants.henry * _part(inputs.pressure, where),
    )


def _solve(
    kernel: Kernel, problem: Problem, n: int, limit: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return x, r and a_w: the fast way, and the sure way for what that leaves over."""
    ions = 0.5 * float(np.max(problem.square))
    if ions > limit:
        raise ionic_strength_error(ions, limit)
    # A step gone astray may overflow; it then fails the test of convergence and goes the sure way.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        x, root, water, converged = kernel.fast(problem, n)
    left = np.flatnonzero(~converged)
    if left.size:
        x[left], root[left], water[left] = bracketed(kernel, problem.take(left), left.size, limit)
    strength = float(np.max(root)) ** 2
    if strength > limit:
        raise ionic_strength_error(strength, limit)
    return x, root, water


def _equilibrate(
    system: System,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None,
    *,
    unlimited: bool = False,
) -> Equilibrium:
    """Check the inputs, solve block by block, and gather the result."""
    inputs = _inputs(system, totals, strong, temperature, pressure, shifts, unlimited)
    limits = equilibrium_table()["activity"]
    constants = _Constants(system, inputs)
    kernel = Kernel(system.acids, system.model)
    n = math.prod(inputs.shape)
    weak = len(system.species) - len(system.strong_ions)
    molality = np.empty((len(system.species), n))
    ph, strength, activity, dissolved, partial = np.zeros((5, n))
    for first in range(0, n, BLOCK):
        where = slice(first, min(first + BLOCK, n))
        known = constants.at(where)
        problem = _problem(system, inputs, known, where)
        x, root, water = _solve(kernel, problem, where.stop - first, limits["limit"])
        dissolved[where] = kernel.molalities(problem, x, root, water, molality[:weak, where])
        ph[where] = x / -LN10
        strength[where] = root * root
        activity[where] = water
        if "CO2" in system.species:
            co2 = molality[system.species.index("CO2"), where]
            partial[where] = (
                co2 * np.exp(LN10 * system.model.neutral * strength[where]) / known.henry
            )
    for row, amount in enumerate(inputs.strong, start=weak):
        molality[row] = amount
    shape = inputs.shape
    return Equilibrium(
        species=system.species,
        molality=molality.reshape(len(system.species), *shape),
        ph=ph.reshape(shape),
        ionic_strength=strength.reshape(shape),
        water_activity=activity.reshape(shape),
        dissolved=dissolved.reshape(shape),
        released=_released(system, inputs, dissolved).reshape(shape),
        pressure=partial.reshape(shape),
        extrapolated=(strength > limits["davies_limit"]).reshape(shape),
    )


def _released(system: System, inputs: _Inputs, dissolved: FloatArray) -> FloatArray:
    """Return the given total of carbonic acid less what is dissolved."""
    for acid, total in zip(system.acids, inputs.totals, strict=True):
        if acid.name == CARBONIC and np.isfinite(total).all():
            return np.asarray(total - dissolved)
    return np.zeros_like(dissolved)
