"""Nested bisection: the slow solver that always ends, for what the fast one has left over."""

from __future__ import annotations

import numpy as np

from tarebook.chemistry.equilibrium.activity import WATER_LOWERING
from tarebook.chemistry.equilibrium.constants import LN10
from tarebook.chemistry.equilibrium.kernel import Conditional, Kernel, Problem, State
from tarebook.chemistry.equilibrium.sums import species_sums
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

WIDE_LOW, WIDE_HIGH = -18.0 * LN10, 3.0 * LN10
"""pH -3 to 18: [H+] or [OH-] alone is then above 1000 mol/kg, more than any allowed charge."""

X_BISECTIONS = 58  # 48 / 2**58 is below the spacing of x
ROOT_BISECTIONS = 52
WATER_ROUNDS = 30

CLEARLY_BEYOND = 1.05
"""Times the limit of the ionic strength."""


def bracketed(kernel: Kernel, p: Problem, n: int, limit: float) -> State:
    """Return x, r and a_w by nested bisection.

    For each r the inner bisection finds the one root x of the charge, at an a_w that is repeated
    until it stands: a change of ln a_w moves the total molality, through [OH-] and the ions of
    carbonic acid, by at most about 2*I times as much, so each repetition shrinks the error of a_w
    to 2 * 4 * 0.017 = 0.14 of it or less. The outer bisection works on G(r) = computed I - r**2,
    which is continuous, with G(0) > 0 since water itself gives ions. If G(sqrt(limit)) <= 0 there
    is a root between, and bisection finds one; otherwise the ionic strength is beyond the limit,
    and that is the error.

    Parameters
    ----------
    kernel : Kernel
        The equations.
    p : Problem
        The numbers.
    n : int
        How many solutions `p` holds.
    limit : float, [mol/kg]
        Highest ionic strength allowed.

    Returns
    -------
    State

    Raises
    ------
    OutOfRangeError
        If the ionic strength of a solution is above the limit.
    """
    high = np.full(n, np.sqrt(limit))
    # Far beyond the limit one look is enough: the activity of water moves I by no more than 1 %.
    _, water, square = _at_root(kernel, p, high, np.full(n, 0.97), rounds=1)
    if np.all(0.5 * square <= CLEARLY_BEYOND * limit):
        _, water, square = _at_root(kernel, p, high, water)
    too_much = 0.5 * square > limit
    if too_much.any():
        raise ionic_strength_error(float(0.5 * square[too_much].flat[0]), limit)
    low = np.zeros(n)
    for _ in range(ROOT_BISECTIONS):
        middle = 0.5 * (low + high)
        _, water, square = _at_root(kernel, p, middle, water)
        above = 0.5 * square > middle * middle
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    root = 0.5 * (low + high)
    x, water, _ = _at_root(kernel, p, root, water)
    return State(x=x, root=root, water=water)


def ionic_strength_error(found: float, limit: float) -> OutOfRangeError:
    """Return the error for an ionic strength beyond the limit."""
    return OutOfRangeError(
        "ionic strength",
        found,
        "mol/kg",
        f"[0, {limit:g}]",
        "The activity model ends there: take more water, less acid, or less of the sample.",
    )


def _at_root(
    kernel: Kernel, p: Problem, root: FloatArray, water: FloatArray, rounds: int = WATER_ROUNDS
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return x, a_w and sum z**2 m at fixed r."""
    for _ in range(rounds):
        c = kernel.conditional(p, root, water)
        x = _charge_root(kernel, p, c, root.size)
        s = species_sums(kernel, p, c, x)
        # a trial r far from the root may give absurd molalities: a_w is kept in (0.3, 1]
        new = np.clip(1.0 - WATER_LOWERING * s.amount, 0.3, 1.0)
        if np.abs(new - water).max() <= 1e-15:
            break
        water = new
    return x, new, s.square


def _charge_root(kernel: Kernel, p: Problem, c: Conditional, n: int) -> FloatArray:
    """Return the root of the charge in x by bisection."""
    x = np.full(n, 0.5 * (WIDE_LOW + WIDE_HIGH))
    width = 0.25 * (WIDE_HIGH - WIDE_LOW)
    for _ in range(X_BISECTIONS):
        x -= np.copysign(width, kernel.charge(p, c, x))
        width *= 0.5
    return x
