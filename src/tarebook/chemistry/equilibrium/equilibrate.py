"""From inputs to equilibria: the fast way block by block, then the sure way for what is left."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import CARBONIC, equilibrium_table
from tarebook.chemistry.equilibrium.activity import ACTIVITY_REACH
from tarebook.chemistry.equilibrium.bracket import bracketed, ionic_strength_error
from tarebook.chemistry.equilibrium.constants import LN10, Shifts
from tarebook.chemistry.equilibrium.inputs import (
    ConstantsOf,
    Inputs,
    Specific,
    Where,
    problem_of,
    read_inputs,
)
from tarebook.chemistry.equilibrium.kernel import IndexArray, Kernel, Problem, State
from tarebook.chemistry.equilibrium.solve import refine, settled, start
from tarebook.chemistry.equilibrium.system import Equilibrium, System
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.kept import kept_for

BLOCK = 8192
"""Solutions worked on at a time, so that the working arrays stay in the processor's cache."""

MANY, FEW = 2048, 0.1
"""In a block of so many, so small a part whose carbon is limited otherwise is solved later."""

NEWTON_STEPS = 12
"""Most steps before a solution goes to the sure solver."""


@kept_for
def _equations(system: System) -> tuple[Kernel, Specific]:
    return Kernel(system.acids), Specific(system)


class _Answers:
    """Arrays for all solutions, filled part by part."""

    def __init__(self, system: System, n: int) -> None:
        self.system = system
        self.kernel, self.specific = _equations(system)
        self.molality = np.empty((len(system.species), n))
        self.n_weak = len(system.species) - len(system.strong_ions)
        self.state = State(x=np.empty(n), root=np.empty(n), water=np.empty(n))
        self.dissolved, self.pressure = np.zeros((2, n))

    def fill(self, where: Where, problem: Problem, state: State) -> BoolArray | None:
        """Put a part in its place; return where the total limits the carbon, None if known."""
        self.state.put(where, state)
        species = np.empty((self.n_weak, state.x.size))
        if isinstance(where, slice):
            species = self.molality[: self.n_weak, where]
        self.dissolved[where], by_total = self.kernel.molalities(problem, state, species)
        if not isinstance(where, slice):
            self.molality[: self.n_weak, where] = species
        if "CO2" in self.system.rows:
            self.pressure[where] = species[self.system.rows["CO2"]] / problem.henry
        return by_total


def equilibrate(
    system: System,
    totals: Mapping[str, ArrayLike],
    strong: Mapping[str, ArrayLike],
    temperature: ArrayLike,
    pressure: ArrayLike,
    shifts: Shifts | None,
) -> Equilibrium:
    """Check the inputs, solve block by block, and gather the result.

    Parameters
    ----------
    system, totals, strong, temperature, pressure, shifts
        As for `capped`; an infinite pressure is no gas at all.

    Raises
    ------
    OutOfRangeError
        If an input or an ionic strength is out of range.
    UnknownSubstanceError
        If a name is not in the system.
    """
    inputs = read_inputs(system, totals, strong, temperature, pressure, shifts)
    limit = float(equilibrium_table()["activity"]["limit"])
    constants = ConstantsOf(system, inputs)
    n = math.prod(inputs.shape)
    answers = _Answers(system, n)
    left = []
    # A step gone astray may overflow; it then fails the test of convergence and goes on below.
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        for first in range(0, n, BLOCK):
            where = slice(first, min(first + BLOCK, n))
            left.append(first + _fast(answers, inputs, constants, where, limit))
        rest = np.concatenate(left) if left else np.empty(0, dtype=np.intp)
        for first in range(0, rest.size, BLOCK):
            _surely(answers, inputs, constants, rest[first : first + BLOCK], limit)
    for row, amount in enumerate(inputs.strong, start=answers.n_weak):
        answers.molality[row] = amount
    strength = answers.state.root**2
    shape = inputs.shape
    if n and float(np.max(strength)) > limit:
        error = ionic_strength_error(float(np.max(strength)), limit)
        error.beyond = (strength > limit).reshape(shape)
        raise error
    released = _released(system, inputs, answers.dissolved)
    return Equilibrium(
        species=system.species,
        molality=answers.molality.reshape(len(system.species), *shape),
        ph=(answers.state.x / -LN10).reshape(shape),
        ionic_strength=strength.reshape(shape),
        water_activity=answers.state.water.reshape(shape),
        dissolved=answers.dissolved.reshape(shape),
        released=released.reshape(shape),
        pressure=answers.pressure.reshape(shape),
        extrapolated=(strength > ACTIVITY_REACH).reshape(shape),
        system=system,
        held_by_gas=(released > 0.0).reshape(shape),
    )


def _fast(
    answers: _Answers, inputs: Inputs, constants: ConstantsOf, where: slice, limit: float
) -> IndexArray:
    """Solve a block; return which of it have not converged."""
    problem = problem_of(answers.system, inputs, constants.at(where), answers.specific, where)
    ions = 0.5 * float(np.max(problem.square))
    if ions > limit:
        error, beyond = ionic_strength_error(ions, limit), np.zeros(inputs.shape, dtype=np.bool_)
        beyond.ravel()[where] = 0.5 * problem.square > limit
        error.beyond = beyond
        raise error
    kernel = answers.kernel
    n = where.stop - where.start
    state, by_total = start(kernel, problem, n)
    if by_total is not None and n >= MANY:
        # One kind of limit for all is quicker by more than those few cost that come out wrong.
        share = float(by_total.mean())
        if min(share, 1.0 - share) < FEW:
            by_total = np.full(n, share > 0.5)
    state, done = refine(
        kernel, settled(kernel, problem, by_total), state, NEWTON_STEPS, few_go_on=False
    )
    after = answers.fill(where, problem, state)
    if by_total is not None:
        done &= after == by_total
    return np.flatnonzero(~done)


def _surely(
    answers: _Answers, inputs: Inputs, constants: ConstantsOf, where: IndexArray, limit: float
) -> None:
    """Solve what the blocks have left over."""
    problem = problem_of(answers.system, inputs, constants.at(where), answers.specific, where)
    kernel, state = answers.kernel, answers.state.take(where)
    by_total = kernel.limited_by_total(problem, state)
    state, done = refine(
        kernel, settled(kernel, problem, by_total), state, NEWTON_STEPS, few_go_on=True
    )
    if by_total is not None:
        done &= kernel.limited_by_total(problem, state) == by_total
    bad = np.flatnonzero(~done)
    if bad.size:
        state.put(bad, bracketed(kernel, problem.take(bad), bad.size, limit))
    answers.fill(where, problem, state)


def _released(system: System, inputs: Inputs, dissolved: FloatArray) -> FloatArray:
    """Return the given total of carbonic acid less what is dissolved."""
    for acid, total in zip(system.acids, inputs.totals, strict=True):
        if acid.name == CARBONIC:
            return np.asarray(total - dissolved)
    return np.zeros_like(dissolved)
