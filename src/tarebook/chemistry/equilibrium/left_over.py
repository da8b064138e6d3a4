"""How much of a carbonate that is left over dissolves, for many solutions at a time."""

from __future__ import annotations

import math
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

FIRST_TRIAL = 1e-3
"""mol/kg: between what a carbonate dissolves under the CO2 of air and under pure CO2."""

SLOPE = 2.2
"""About what ln of the saturation gains for each unit of ln of what dissolves: 1 for each ion that
was not there before, twice that of carbonate for the H+ it takes up."""

LARGEST_RISE, LARGEST_FALL = math.log(4.0), math.log(256.0)
"""Of one step, so that no trial is far above saturation, where there may be no solution."""
RICH, RISE_OF_RICH = math.log(0.1), math.log(1.15)
"""From 0.1 mol/kg on steps up are smaller: one of the others may lead out of the activity model."""

LEAST = 1e-12
"""mol/kg: a solution that this much saturates takes up nothing."""

LOWEST = math.log(LEAST)

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

    Saturations are told over the one at which no more dissolves. They rise with what dissolves,
    since both ion and carbonate do and acid is used up, nearly as a straight line in logarithms.

    Parameters
    ----------
    saturation : callable
    amount : ndarray, shape (n,), [mol/kg]
        What there is of the solid.

    Returns
    -------
    ndarray, shape (n,), [mol/kg]
    """
    going = np.flatnonzero(amount > 0.0)
    top = np.log(np.maximum(amount, LEAST))
    now = np.minimum(math.log(FIRST_TRIAL), top)
    # the nearest trials below and above the root, and the trial before with its saturation
    left, right = np.full(amount.size, -np.inf), np.full(amount.size, np.inf)
    before, f_before = now.copy(), np.full(amount.size, np.inf)
    for _ in range(MOST_STEPS):
        x = now[going]
        f = saturation(np.exp(x), going)
        below = f <= 0.0
        left[going] = np.where(below, x, left[going])
        right[going] = np.where(below, right[going], x)
        # all that there is dissolves, or nothing does in what is saturated as it is
        at_end = np.where(below, x >= top[going], x <= LOWEST)
        on = (np.abs(f) > TOLERANCE) & ~at_end
        going, x, f = going[on], x[on], f[on]
        if not going.size:
            break
        pair = (before[going], f_before[going])
        trial = _next_trial(x, f, pair, left[going], right[going])
        before[going], f_before[going] = x, f
        now[going] = np.clip(trial, LOWEST, top[going])
    return np.where((amount > 0.0) & (now > LOWEST), np.minimum(np.exp(now), amount), 0.0)


def _next_trial(
    x: FloatArray,
    f: FloatArray,
    before: tuple[FloatArray, FloatArray],
    left: FloatArray,
    right: FloatArray,
) -> FloatArray:
    """Return the next trial in ln of what dissolves: by secant if that goes well, else halfway.

    While the root is not between two trials the step is that of a usual slope, or a long one down.
    """
    x_before, f_before = before
    one_sided = np.isinf(left) | np.isinf(right)
    # What is hardly above saturation as it is gains nothing by small steps down.
    most = np.where(x > RICH, RISE_OF_RICH, np.minimum(LARGEST_RISE, RICH + RISE_OF_RICH - x))
    step = np.where(f > 0.0, -LARGEST_FALL, np.minimum(-f / SLOPE, most))
    with np.errstate(invalid="ignore", divide="ignore"):
        straight = x - f * (x - x_before) / (f - f_before)
        half = np.where(one_sided, x + step, 0.5 * (left + right))
    well = (straight > left) & (straight < right)
    well &= one_sided | (np.abs(f) < 0.5 * np.abs(f_before))
    well &= straight <= x + most
    return np.where(well, straight, half)
