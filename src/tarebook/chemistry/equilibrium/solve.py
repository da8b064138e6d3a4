"""The fast solver: pH, ionic strength and water activity together, many solutions at a time.

It bisects in x = ln a(H+) to 0.07 at a guess of the ionic strength and then takes Newton steps in
x, r = sqrt(I) and the activity of water a_w with exact derivatives. For fixed r the third central
moment of a charge is at most its range times its variance, so |F''/F'| is at most that range (or 1
for H+ and OH-), and Newton converges quadratically from there. What has not converged after
a dozen steps is left to the nested bisection of `bracket`, which always ends.

Whether the total or the gas limits the carbon is settled before Newton begins, so that it meets no
kink; a solution that shows the other one has not converged and is solved once more.

r = sqrt(I) is used in place of I because the activity coefficients are smooth in r, not in I, at 0.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tarebook.chemistry.equilibrium.acids import CARBONIC
from tarebook.chemistry.equilibrium.activity import WATER_LOWERING, shielding_slope
from tarebook.chemistry.equilibrium.constants import LN10
from tarebook.chemistry.equilibrium.kernel import Kernel, Problem, State
from tarebook.chemistry.equilibrium.sums import species_sums
from tarebook.core.arrays import BoolArray

LOW_X, HIGH_X = -15.5 * LN10, 1.0 * LN10
"""Where the fast path looks: pH -1 to 15.5."""

HIGHEST_STRENGTH = 4.5
"""Ionic strength that a start does not exceed, mol/kg."""

HIGHEST_ROOT = 2.3
"""Root of the ionic strength that a step does not exceed: a little beyond the limit of 4 mol/kg."""

BISECTIONS = 9
X_TOLERANCE = 3e-7
"""Size of the last Newton step in x, r and a_w; what is left after it is its square, 1e-13."""

ROUNDING = 1e-15
"""Relative rounding error allowed in the charge balance where nothing buffers."""

FEW = 0.2
"""Part of the solutions that is worth going on with alone."""


def start(kernel: Kernel, p: Problem, n: int) -> tuple[State, BoolArray | None]:
    """Return where to start from: bisection in x at a guess of r.

    Parameters
    ----------
    kernel : Kernel
    p : Problem
    n : int
        Number of solutions.

    Returns
    -------
    state : State
    by_total : ndarray of bool, shape (n,), or None
        Where the total seems to limit the carbon; None if that is known beforehand.
    """
    # A start from above, as r**2 - Q/2 = 0 wants: from below a step may go anywhere.
    ions = p.square + np.abs(p.charge)
    for acid, total in zip(kernel.acids, p.totals, strict=True):
        if acid.charge:
            ions = ions + acid.charge**2 * total
    root = np.sqrt(np.minimum(0.5 * ions + 1e-3, HIGHEST_STRENGTH))
    solutes = p.strong + sum(p.totals)
    water = 1.0 - WATER_LOWERING * solutes
    c = kernel.conditional(p, root, water)
    x = np.full(n, 0.5 * (LOW_X + HIGH_X))
    width = 0.25 * (HIGH_X - LOW_X)
    for _ in range(BISECTIONS):
        # F < 0: the root lies above
        x -= np.copysign(width, kernel.charge(p, c, x))
        width *= 0.5
    state = State(x=x, root=np.full(n, root), water=np.full(n, water))
    return state, kernel.by_total(p, c, x)


def settled(kernel: Kernel, p: Problem, by_total: BoolArray | None) -> Problem:
    """Return the problem with only the total (where `by_total`) or only the gas as limit.

    Parameters
    ----------
    kernel : Kernel
    p : Problem
    by_total : ndarray of bool, shape (n,), or None
        None leaves it as it is.
    """
    if by_total is None:
        return p
    i, never = kernel.names.index(CARBONIC), np.array(np.inf)
    if by_total.all():
        return replace(p, gas=never)
    total, gas = never, p.gas
    if by_total.any():
        total, gas = np.where(by_total, p.totals[i], np.inf), np.where(by_total, np.inf, p.gas)
    return replace(p, totals=(*p.totals[:i], total, *p.totals[i + 1 :]), gas=gas)


def refine(
    kernel: Kernel, p: Problem, state: State, steps: int, *, few_go_on: bool
) -> tuple[State, BoolArray]:
    """Return the state after Newton's iteration, and where it has converged.

    Parameters
    ----------
    kernel : Kernel
    p : Problem
        Settled.
    state : State
    steps : int
        Most steps.
    few_go_on : bool
        Whether to go on with the last few of many; without, they are left as not converged.
    """
    done = np.zeros(state.x.size, dtype=np.bool_)
    for step in range(steps):
        state, done = _newton(kernel, p, state)
        left = np.flatnonzero(~done)
        if left.size == 0:
            break
        if left.size < FEW * done.size:
            if few_go_on:
                more = steps - step - 1
                part = refine(kernel, p.take(left), state.take(left), more, few_go_on=True)
                state.put(left, part[0])
                done[left] = part[1]
            break
    return state, done


def _newton(kernel: Kernel, p: Problem, now: State) -> tuple[State, BoolArray]:
    """Return the state after one step, and where it was the last one needed."""
    x, root, water = now.x, now.root, now.water
    s = species_sums(kernel, p, kernel.conditional(p, root, water), x)
    # derivative of l in r, then of the sums
    ion = p.slope * shielding_slope(root)
    charge_r = -s.square_x * ion
    square_r = s.square_l * ion
    # The equations are F = 0, r**2 - Q/2 = 0 and a_w = 1 - c * amount.
    charge, charge_x = s.charge, s.charge_x
    rest = root * root
    rest -= 0.5 * s.square
    rest_x = -0.5 * s.square_x
    rest_r = 2.0 * root
    rest_r -= 0.5 * square_r
    c, k = WATER_LOWERING, s.coupling
    # da = lift - drag_x dx - drag_r dr, put into the two other equations
    scale = 1.0 / (1.0 + c * k.amount_w / water)
    da = (1.0 - water) - c * s.amount
    da *= scale
    scale *= c
    drag_x, drag_r = scale * k.amount_x, scale * (k.amount_l * ion)
    charge_a, rest_a = k.charge_w / water, -0.5 * k.square_w / water
    charge, rest = charge + charge_a * da, rest + rest_a * da
    charge_x, charge_r = charge_x - charge_a * drag_x, charge_r - charge_a * drag_r
    rest_x, rest_r = rest_x - rest_a * drag_x, rest_r - rest_a * drag_r
    scale = 1.0 / (charge_x * rest_r - charge_r * rest_x)
    dx = (charge_r * rest - rest_r * charge) * scale
    dr = (rest_x * charge - charge_x * rest) * scale
    da -= drag_x * dx + drag_r * dr
    allowed = np.abs(p.charge) + s.square
    allowed *= ROUNDING
    allowed /= s.charge_x
    allowed += X_TOLERANCE
    done = np.abs(dx) <= allowed
    done &= np.abs(dr) <= allowed
    done &= np.abs(da) <= X_TOLERANCE
    # A step gone astray is held; what it leaves is no solution and is found out.
    after = State(
        x=x + np.minimum(np.maximum(dx, -2.0), 2.0),
        root=np.minimum(np.maximum(root + dr, 0.25 * root), HIGHEST_ROOT),
        water=np.minimum(np.maximum(water + da, 0.5), 1.0),
    )
    return after, done
