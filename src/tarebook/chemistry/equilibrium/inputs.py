"""Inputs of many solutions: checked, laid out in rows, and made into the equations' numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import UnknownSubstanceError
from tarebook.chemistry.equilibrium.constants import (
    LN10,
    Constants,
    Shifts,
    checked_temperature,
    constants_at,
)
from tarebook.chemistry.equilibrium.interactions import epsilon_matrix
from tarebook.chemistry.equilibrium.kernel import IndexArray, Problem
from tarebook.chemistry.equilibrium.system import System
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

Where: TypeAlias = slice | IndexArray
"""Some of the solutions."""

HIGHEST_TOTAL = 20.0
"""Largest total of one substance, mol/kg: above it there is too little water to speak of one."""


def checked_amount(name: str, value: ArrayLike, top: float, unit: str) -> FloatArray:
    """Return the value as an array if all of it is within [0, top].

    Parameters
    ----------
    name : str
        What it is called in an error.
    value : array_like, [unit]
    top : float, [unit]
    unit : str

    Raises
    ------
    OutOfRangeError
        If some of it is outside, or is not a number.
    """
    array = np.asarray(value, dtype=np.float64)
    if array.size and array.min() >= 0.0 and array.max() <= top:
        return array
    bad = ~((array >= 0.0) & (array <= top))
    if bad.any():
        raise OutOfRangeError(name, float(array[bad].flat[0]), unit, f"[0, {top:g}]")
    return array


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """Checked inputs: each a number for all solutions (0-d) or one for each (1-d)."""

    temperature: FloatArray
    totals: tuple[FloatArray, ...]
    strong: tuple[FloatArray, ...]
    pressure: FloatArray
    shifts: dict[str, tuple[FloatArray, ...]]
    shape: tuple[int, ...]


def read_inputs(
    system: System,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None,
) -> Inputs:
    """Check all inputs and lay them out in rows.

    Parameters
    ----------
    system, totals, strong, temperature, pressure, shifts
        As for `capped`.

    Raises
    ------
    OutOfRangeError
        If one is outside what the constants hold for.
    UnknownSubstanceError
        If a name is not in the system.
    """
    names = tuple(acid.name for acid in system.acids)
    acids = _amounts(names, totals)
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
        if array.ndim == 0:
            return array
        return (array if array.shape == shape else np.broadcast_to(array, shape)).ravel()

    return Inputs(
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
        amounts.append(checked_amount(f"molality of {name}", amount, HIGHEST_TOTAL, "mol/kg"))
    return amounts


class ConstantsOf:
    """The constants of some of the solutions: worked out once if all have the same."""

    def __init__(self, system: System, inputs: Inputs) -> None:
        self.acids, self.inputs = system.acids, inputs
        rows = (inputs.temperature, *(v for values in inputs.shifts.values() for v in values))
        self.once = None
        if all(row.ndim == 0 for row in rows):
            self.once = constants_at(self.acids, inputs.temperature, inputs.shifts)

    def at(self, where: Where) -> Constants:
        """Return the constants of the solutions at `where`."""
        if self.once is not None:
            return self.once
        shifts = {n: [_part(v, where) for v in values] for n, values in self.inputs.shifts.items()}
        return constants_at(self.acids, _part(self.inputs.temperature, where), shifts)


def _part(row: FloatArray, where: Where) -> FloatArray:
    return row if row.ndim == 0 else row[where]


class Specific:
    """What the strong ions of each solution make of its constants.

    Ammonium acts on anions as a strong ion does; all of a solution's ammonium is counted as NH4+.

    Parameters
    ----------
    system : System
    """

    def __init__(self, system: System) -> None:
        self.system = system
        self.acting = [i for i, one in enumerate(system.acids) if one.charge == 1]
        ions = [(ion.name, ion.charge) for ion in system.strong_ions]
        ions += [(system.acids[i].species[0], 1) for i in self.acting]
        forms = [("H+", 1), ("OH-", -1), ("CO2", 0)]
        for one in system.acids:
            forms += zip(one.species, one.charges, strict=True)
        matrix = epsilon_matrix(forms, ions) * LN10
        proton, hydroxide, gas = matrix[:3]
        # What [H+]/a(H+), [OH-] a(H+), [CO2] under the gas and each K are multiplied by is exp of:
        rows, first = [-proton, -hydroxide, -gas], 3
        for one in system.acids:
            steps = len(one.steps)
            rows += [matrix[first + j] - matrix[first + j + 1] for j in range(steps)]
            first += steps + 1
        self.rows = rows

    def factors(self, molalities: Sequence[FloatArray]) -> list[FloatArray]:
        """Return the factors of H+, OH-, CO2 under the gas and of each step of each acid."""
        return [_factor(row, molalities) for row in self.rows]

    def acting_on(self, inputs: Inputs, where: Where) -> list[FloatArray]:
        """Return the molalities of the ions that act, of the solutions at `where`."""
        given = [*inputs.strong, *(inputs.totals[i] for i in self.acting)]
        return [_part(row, where) for row in given]


def _factor(row: FloatArray, molalities: Sequence[FloatArray]) -> FloatArray:
    """Return exp of a sum of coefficient times molality, 0-d if nothing acts."""
    total = np.array(0.0)
    for coefficient, molality in zip(row, molalities, strict=True):
        if coefficient:
            total = total + coefficient * molality
    return np.exp(total) if total.any() else np.array(1.0)


def problem_of(
    system: System, inputs: Inputs, constants: Constants, specific: Specific, where: Where
) -> Problem:
    """Return the equations' numbers for the solutions at `where`."""
    charge = square = amount = np.array(0.0)
    for ion, row in zip(system.strong_ions, inputs.strong, strict=True):
        molality = _part(row, where)
        charge = charge + ion.charge * molality
        square = square + ion.charge**2 * molality
        amount = amount + molality
    never = inputs.pressure.ndim == 0 and np.isinf(inputs.pressure)
    proton, hydroxide, gas, *steps = specific.factors(specific.acting_on(inputs, where))
    left, henry = iter(steps), constants.henry * gas
    return Problem(
        charge=charge,
        square=square,
        strong=amount,
        totals=tuple(_part(row, where) for row in inputs.totals),
        k=tuple(tuple(k * next(left) for k in row) for row in constants.k),
        water=constants.water * hydroxide,
        slope=constants.slope,
        gas=inputs.pressure if never else henry * _part(inputs.pressure, where),
        proton=proton,
        henry=henry,
    )
