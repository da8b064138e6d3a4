"""Sums over all species of a solution with their derivatives, for Newton's steps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.chemistry.equilibrium.acids import CARBONIC, Acid
from tarebook.chemistry.equilibrium.kernel import Conditional, Kernel, Problem
from tarebook.core.arrays import FloatArray


@dataclass(slots=True)
class Coupling:
    """Derivatives that tie a_w to the rest.

    Of `charge`, `square` and `amount` (see `Sums`) in x, in ln gamma of z = 1 (`_l`) and in ln a_w
    (`_w`). The arrays are added to in place.
    """

    amount_x: FloatArray
    amount_l: FloatArray
    charge_w: FloatArray
    square_w: FloatArray
    amount_w: FloatArray


@dataclass(slots=True)
class Sums:
    """Sums over all species and their derivatives, added to in place.

    `charge` is sum z m, `square` sum z**2 m, `amount` sum m; `_x`, `_l` mark the derivatives in x
    and ln gamma of z = 1. The derivative of `charge` in l is minus that of `square` in x.
    """

    charge: FloatArray
    square: FloatArray
    amount: FloatArray
    charge_x: FloatArray
    square_x: FloatArray
    square_l: FloatArray
    coupling: Coupling


def species_sums(kernel: Kernel, p: Problem, c: Conditional, x: FloatArray) -> Sums:
    """Return all sums over the species with their derivatives.

    Parameters
    ----------
    kernel : Kernel
    p : Problem
    c : Conditional
    x : ndarray, shape (n,)
        ln a(H+).
    """
    h = np.exp(x)
    proton = c.proton * h
    q = np.divide(1.0, h, out=h)
    hydroxide = c.hydroxide * q
    both = proton + hydroxide  # also their sums of z**2 m and z**4 m
    odd = proton - hydroxide  # also their sum of z**3 m
    coupling = Coupling(
        amount_x=odd.copy(),
        amount_l=-both,
        charge_w=-hydroxide,
        square_w=hydroxide.copy(),
        amount_w=hydroxide,
    )
    s = Sums(
        charge=odd + p.charge,
        square=both + p.square,
        amount=both + p.strong,
        square_l=-both,
        charge_x=both,
        square_x=odd,
        coupling=coupling,
    )
    for i, acid in enumerate(kernel.acids):
        if len(acid.steps) == 1 and acid.name != CARBONIC:
            _add_pair(s, acid, p.totals[i], c.steps[i][0] * q)
        else:
            _add_acid(kernel, s, p, c, i, q)
    return s


def _add_pair(s: Sums, acid: Acid, total: FloatArray, ratio: FloatArray) -> None:
    """Add an acid of two forms: each covariance is a product of differences times f(1 - f)."""
    first, second = acid.charges
    square = second**2 - first**2
    lost = ratio / (1.0 + ratio)
    spread = 1.0 - lost
    lost *= total
    spread *= lost
    s.amount += total
    s.charge -= lost
    s.square += square * lost
    if first:
        s.charge += first * total
        s.square += first**2 * total
    s.charge_x += spread
    s.square_l -= square**2 * spread
    s.square_x -= square * spread
    if acid.water[0]:
        s.coupling.charge_w -= acid.water[0] * spread
        s.coupling.square_w += (square * acid.water[0]) * spread


def _add_acid(kernel: Kernel, s: Sums, p: Problem, c: Conditional, i: int, q: FloatArray) -> None:
    """Add an acid of any number of forms from the moments of its charge."""
    weights = kernel.weights(c.steps[i], q)
    moments = kernel.powers[i] @ weights
    norm = moments[0]
    kept = kernel.dissolved(p, i, norm)
    by_total = kernel.fixed(p, i, kept)
    moments[1:] /= norm
    centre = None
    if by_total is None:
        centre = moments[1:3].copy()
    elif by_total.ndim:
        # Where the gas holds the carbon its total is not fixed: the moments are then about 0.
        centre = moments[1:3] * by_total
    moments[1:] *= kept
    s.amount += kept
    s.charge += moments[1]
    s.square += moments[2]
    s.charge_x += moments[2]
    s.square_x += moments[3]
    s.square_l -= moments[4]
    if len(moments) > 5:
        s.coupling.charge_w += moments[6]
        s.coupling.square_w += moments[7]
        if by_total is not None:
            # Its amount moves too, that of CO2 does not.
            free = 1.0 - by_total
            s.coupling.amount_x += free * moments[1]
            s.coupling.amount_l -= free * moments[2]
            s.coupling.amount_w += free * moments[5]
    if centre is not None:
        _keep_total(s, moments, centre)


def _keep_total(s: Sums, moments: FloatArray, centre: FloatArray) -> None:
    """Take away from the derivatives what a total that does not change holds back."""
    first, second = centre
    s.charge_x -= moments[1] * first
    s.square_x -= moments[2] * first
    s.square_l += moments[2] * second
    if len(moments) > 5:
        s.coupling.charge_w -= moments[5] * first
        s.coupling.square_w -= moments[5] * second
