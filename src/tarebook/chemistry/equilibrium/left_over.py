"""How much of a carbonate that is left over dissolves, for many solutions at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import CARBONIC, UnknownSubstanceError
from tarebook.chemistry.equilibrium.constants import Shifts
from tarebook.chemistry.equilibrium.equilibrate import equilibrate
from tarebook.chemistry.equilibrium.inputs import HIGHEST_TOTAL, checked_amount
from tarebook.chemistry.equilibrium.kernel import IndexArray
from tarebook.chemistry.equilibrium.solids import Solid, log_saturation, solids
from tarebook.chemistry.equilibrium.system import Equilibrium, System
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

FIRST_TRIAL = 1e-4
"""mol/kg: about what a carbonate dissolves under the CO2 of air."""

GROWTH = 4.0
"""Times the trial before, until the solution is saturated."""

LEAST = 1e-12
"""mol/kg: a solution that this much saturates takes up nothing."""

TOLERANCE = 1e-11
"""Of ln of the saturation."""

MOST_STEPS = 60

Saturation = Callable[[FloatArray, IndexArray], FloatArray]
"""From what has dissolved in some of the solutions, and which, to ln of the saturation."""


def equilibrate_with_solid(
    system: System,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: FloatArray,
    shifts: Shifts | None,
    left_over: Mapping[str, ArrayLike],
    reached: FloatArray,
) -> Equilibrium:
    """Return capped solutions in which a solid has dissolved as far as it can.

    Parameters
    ----------
    system, totals, strong, temperature, pressure, shifts
        As for `capped`.
    left_over : mapping of str to array_like, [mol/kg]
        One solid, by formula.
    reached : ndarray, [1]
        ln of the saturation at which no more dissolves.

    Raises
    ------
    OutOfRangeError
        As for `capped`, and if there are several solids.
    UnknownSubstanceError
        If a solid is not in the table, or its ion is not in the system.
    """
    solid, amount = _one_solid(left_over)
    ions = tuple(ion.name for ion in system.strong_ions)
    if solid.ion not in ions:
        raise UnknownSubstanceError(solid.ion, ions)
    shifts = {} if shifts is None else shifts
    plain = [
        *(np.asarray(value, dtype=np.float64) for value in totals.values()),
        *(np.asarray(value, dtype=np.float64) for value in strong.values()),
        *(np.asarray(value, dtype=np.float64) for row in shifts.values() for value in row),
        np.asarray(temperature, dtype=np.float64),
        pressure,
        amount,
        reached,
    ]
    shape = np.broadcast_shapes(*(array.shape for array in plain))

    def part(value: ArrayLike, where: IndexArray) -> FloatArray:
        return np.asarray(np.broadcast_to(np.asarray(value, np.float64), shape).ravel()[where])

    def solved(dissolved: FloatArray, where: IndexArray) -> Equilibrium:
        more = {name: part(value, where) for name, value in totals.items()}
        more[CARBONIC] = more.get(CARBONIC, 0.0) + dissolved
        with_ion = {name: part(value, where) for name, value in strong.items()}
        with_ion[solid.ion] = with_ion.get(solid.ion, 0.0) + dissolved
        return equilibrate(
            system,
            more,
            with_ion,
            part(temperature, where),
            part(pressure, where),
            _shifts_at(shifts, where, part),
        )

    def saturation(dissolved: FloatArray, where: IndexArray) -> FloatArray:
        solution = solved(dissolved, where)
        at = _shifts_at(shifts, where, part)
        found = log_saturation(system, solid, solution, part(temperature, where), at)
        return found - part(reached, where)

    every = np.arange(int(np.prod(shape)))
    dissolved = dissolving(saturation, part(amount, every))
    return _shaped(solved(dissolved, every), shape, {solid.formula: dissolved})


def _one_solid(left_over: Mapping[str, ArrayLike]) -> tuple[Solid, FloatArray]:
    """Return the solid and its amount."""
    if len(left_over) > 1:
        raise OutOfRangeError(
            "kinds of solids left over",
            len(left_over),
            "1",
            "{1}",
            "Give the one there is more of.",
        )
    ((formula, value),) = left_over.items()
    if formula not in solids():
        raise UnknownSubstanceError(formula, tuple(solids()))
    # What dissolves is limited by the product, so that more than HIGHEST_TOTAL may lie there.
    amount = checked_amount(f"left over of {formula}", value, np.finfo(np.float64).max, "mol/kg")
    return solids()[formula], np.minimum(amount, HIGHEST_TOTAL)


def _shifts_at(
    shifts: Shifts, where: IndexArray, part: Callable[[ArrayLike, IndexArray], FloatArray]
) -> Shifts:
    return {name: [part(value, where) for value in row] for name, row in shifts.items()}


def _shaped(
    flat: Equilibrium, shape: tuple[int, ...], dissolved: dict[str, FloatArray]
) -> Equilibrium:
    """Return flat solutions in the shape of the inputs."""
    return replace(
        flat,
        molality=flat.molality.reshape(-1, *shape),
        ph=flat.ph.reshape(shape),
        ionic_strength=flat.ionic_strength.reshape(shape),
        water_activity=flat.water_activity.reshape(shape),
        dissolved=flat.dissolved.reshape(shape),
        released=flat.released.reshape(shape),
        pressure=flat.pressure.reshape(shape),
        extrapolated=flat.extrapolated.reshape(shape),
        held_by_gas=flat.held_by_gas.reshape(shape),
        from_solids={name: value.reshape(shape) for name, value in dissolved.items()},
    )


def dissolving(saturation: Saturation, amount: FloatArray) -> FloatArray:
    """Return how much dissolves: all, nothing, or what makes the saturation 1.

    Saturations are told over the one at which no more dissolves. They rise with what dissolves, since both ion and carbonate do and acid is used up.
    Its logarithm is nearly a straight line in that of the amount; the root is found there.

    Parameters
    ----------
    saturation : callable
    amount : ndarray, shape (n,), [mol/kg]
        What there is of the solid.

    Returns
    -------
    ndarray, shape (n,), [mol/kg]
    """
    found = np.where(amount > 0.0, amount, 0.0)
    low, high, f_low, f_high = _bracket(saturation, amount)
    # nothing dissolves in what is saturated as it is
    found[f_low > 0.0] = 0.0
    inside = np.flatnonzero((f_low <= 0.0) & (f_high >= 0.0))
    found[inside] = np.exp(
        _root(saturation, inside, np.log(low), np.log(high), f_low, f_high)[inside]
    )
    return found


def _bracket(
    saturation: Saturation, amount: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return two trials and ln of the saturation there: below and above 1 where there are such.

    Up from little, so that no trial is far above saturation, where there may be no solution.
    """
    first = np.minimum(FIRST_TRIAL, np.maximum(amount, LEAST))
    low, high = first.copy(), first.copy()
    f_low, f_high = np.full((2, amount.size), -np.inf)
    going = np.flatnonzero(amount > 0.0)
    f_high[going] = saturation(high[going], going)
    up = going[f_high[going] < 0.0]
    while (up := up[high[up] < amount[up]]).size:
        low[up], f_low[up] = high[up], f_high[up]
        high[up] = np.minimum(GROWTH * high[up], amount[up])
        f_high[up] = saturation(high[up], up)
        up = up[f_high[up] < 0.0]
    down = going[(f_high[going] >= 0.0) & np.isinf(f_low[going])]
    while down.size:
        low[down] = low[down] / GROWTH**4
        f_low[down] = saturation(low[down], down)
        down = down[(f_low[down] > 0.0) & (low[down] > LEAST)]
    return low, high, f_low, f_high


def _root(
    saturation: Saturation,
    inside: IndexArray,
    left: FloatArray,
    right: FloatArray,
    f_left: FloatArray,
    f_right: FloatArray,
) -> FloatArray:
    """Return ln of what dissolves, by regula falsi with the Illinois rule; changes its inputs."""
    found = right.copy()
    side = np.zeros(left.size)
    for _ in range(MOST_STEPS):
        if not inside.size:
            break
        i = inside
        found[i] = (left[i] * f_right[i] - right[i] * f_left[i]) / (f_right[i] - f_left[i])
        f = np.zeros(left.size)
        f[i] = saturation(np.exp(found[i]), i)
        above, below = i[f[i] > 0.0], i[f[i] <= 0.0]
        f_left[above[side[above] > 0.0]] *= 0.5
        f_right[below[side[below] < 0.0]] *= 0.5
        right[above], f_right[above], side[above] = found[above], f[above], 1.0
        left[below], f_left[below], side[below] = found[below], f[below], -1.0
        inside = i[np.abs(f[i]) > TOLERANCE]
    return found
