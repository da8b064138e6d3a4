"""The equations of acid-base solutions: charge, species and what limits the carbon.

For many solutions at a time. Unknowns are x = ln a(H+), r = sqrt(I) and the activity of water a_w.
For given r and a_w all activity coefficients are known (the specific part, a sum over the strong
ions, is known from the start and sits in the constants), and with the conditional constants
c = K * a_w**w * gamma ratio the charge

    F(x) = strong ions + [H+] - [OH-] + sum of total * mean charge of each acid

rises with x: each mean charge has the variance of the charge as its slope, [H+] and -[OH-] rise.
The carbon kept in solution is min(total, carbon that the gas holds); its charge is then the larger
of two rising functions of x, which rises too. So F has one root.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tarebook.chemistry.equilibrium.acids import CARBONIC, Acid
from tarebook.chemistry.equilibrium.activity import shielding
from tarebook.core.arrays import BoolArray, FloatArray

IndexArray = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Problem:
    """The numbers of many solutions; each field is one number for all or an array of shape (n,).

    Attributes
    ----------
    charge, square, strong : ndarray, [mol/kg]
        Sums of z m, z**2 m and m over the strong ions.
    totals : tuple of ndarray, [mol/kg]
        Total of each acid; inf for carbonic acid held only by the gas.
    k : tuple of tuple of ndarray
        Constants of each acid.
    water : ndarray
        Ion product of water.
    slope : ndarray
        A ln(10).
    gas : ndarray, [mol/kg]
        Molality of CO2 that the gas holds in solution; inf without a gas.
    proton : ndarray
        What the strong ions make of [H+]/a(H+): one over their part of gamma(H+).
    henry : ndarray, [mol/(kg Pa)]
        Molality of CO2 in solution over its pressure.

    `k`, `water`, `gas` and `henry` hold the strong ions' part of the activity coefficients as well.
    """

    charge: FloatArray
    square: FloatArray
    strong: FloatArray
    totals: tuple[FloatArray, ...]
    k: tuple[tuple[FloatArray, ...], ...]
    water: FloatArray
    slope: FloatArray
    gas: FloatArray
    proton: FloatArray = field(default_factory=lambda: np.array(1.0))
    henry: FloatArray = field(default_factory=lambda: np.array(np.nan))

    def take(self, where: slice | IndexArray | BoolArray) -> Problem:
        """Return the part of it at `where`."""

        def part(row: FloatArray) -> FloatArray:
            return row if row.ndim == 0 else row[where]

        return Problem(
            part(self.charge),
            part(self.square),
            part(self.strong),
            tuple(map(part, self.totals)),
            tuple(tuple(map(part, steps)) for steps in self.k),
            part(self.water),
            part(self.slope),
            part(self.gas),
            part(self.proton),
            part(self.henry),
        )


@dataclass(frozen=True, slots=True)
class Conditional:
    """Constants at one ionic strength and water activity.

    Attributes
    ----------
    steps : list of list of ndarray
        c of each step, so that m(j+1)/m(j) = c/a(H+).
    proton, hydroxide : ndarray
        [H+] = proton * a(H+), [OH-] = hydroxide / a(H+).
    """

    steps: list[list[FloatArray]]
    proton: FloatArray
    hydroxide: FloatArray


@dataclass(frozen=True, slots=True)
class State:
    """Where n solutions stand.

    Attributes
    ----------
    x, root, water : ndarray, shape (n,)
        ln a(H+), sqrt(I) in (mol/kg)^0.5, activity of water.
    """

    x: FloatArray
    root: FloatArray
    water: FloatArray

    def take(self, where: IndexArray) -> State:
        """Return those at `where`."""
        return State(self.x[where], self.root[where], self.water[where])

    def put(self, where: slice | IndexArray, part: State) -> None:
        """Put others at `where`."""
        self.x[where], self.root[where], self.water[where] = part.x, part.root, part.water


def _powers(acid: Acid) -> FloatArray:
    """Return 1, z, z**2, z**3, z**4 of the forms and, if water takes part, its w, z w, z**2 w."""
    rows = [[z**p for z in acid.charges] for p in range(5)]
    if any(acid.water):
        taken = [sum(acid.water[:j]) for j in range(len(acid.species))]
        rows += [[w * z**p for w, z in zip(taken, acid.charges, strict=True)] for p in range(3)]
    return np.array(rows, dtype=np.float64)


def _never(limit: FloatArray) -> bool:
    """Return whether a total or a gas limits nothing, in any solution."""
    return limit.ndim == 0 and bool(np.isinf(limit))


class Kernel:
    """The equations of one set of acids.

    Parameters
    ----------
    acids : sequence of Acid
        The acids, in the order of `Problem.totals`.
    """

    def __init__(self, acids: Sequence[Acid]) -> None:
        self.acids = tuple(acids)
        self.names = tuple(acid.name for acid in self.acids)
        self.powers = [_powers(acid) for acid in self.acids]

    def conditional(self, p: Problem, root: FloatArray, water: FloatArray) -> Conditional:
        """Return the conditional constants at r = `root` and a_w = `water`."""
        ion = p.slope * shielding(root)
        ratios: dict[int, FloatArray] = {}

        def ratio(z: int) -> FloatArray:
            # gamma(z)/gamma(z - 1), shared by all acids
            if z not in ratios:
                ratios[z] = np.exp((2 * z - 1) * ion)
            return ratios[z]

        steps = []
        for acid, constants in zip(self.acids, p.k, strict=True):
            row = []
            for j, (k, w) in enumerate(zip(constants, acid.water, strict=True)):
                c = ratio(acid.charge - j) * k
                if w:
                    c *= water**w
                row.append(c)
            steps.append(row)
        inverse = np.exp(-ion)
        return Conditional(
            steps=steps,
            proton=inverse * p.proton,
            hydroxide=inverse * (p.water * water),
        )

    def charge(self, p: Problem, c: Conditional, x: FloatArray) -> FloatArray:
        """Return the charge F(x), and nothing else."""
        h = np.exp(x)
        q = 1.0 / h
        total = c.proton * h
        total -= c.hydroxide * q
        total += p.charge
        for i, (acid, steps) in enumerate(zip(self.acids, c.steps, strict=True)):
            weight = steps[0] * q
            lost = weight
            norm = weight + 1.0
            for j, step in enumerate(steps[1:], start=2):
                weight = weight * step
                weight *= q
                norm += weight
                lost = lost + j * weight
            kept = self.dissolved(p, i, norm)
            mean = lost / norm
            if acid.charge:
                total += kept * (acid.charge - mean)
            else:
                mean *= kept
                total -= mean
        return total

    def weights(self, steps: list[FloatArray], q: FloatArray) -> FloatArray:
        """Return the molalities of the forms of an acid relative to the first, shape (forms, n)."""
        weights = np.empty((len(steps) + 1, q.size))
        weights[0] = 1.0
        for j, step in enumerate(steps):
            np.multiply(step, q, out=weights[j + 1])
            if j:
                weights[j + 1] *= weights[j]
        return weights

    def dissolved(self, p: Problem, i: int, norm: FloatArray) -> FloatArray:
        """Return what is dissolved of acid `i`: its total or, if less, what the gas holds."""
        if not self.may_be_held(p, i):
            return p.totals[i]
        held = p.gas * norm
        return held if _never(p.totals[i]) else np.minimum(p.totals[i], held)

    def fixed(self, p: Problem, i: int, dissolved: FloatArray) -> FloatArray | None:
        """Return 1 where the total of acid `i` limits it and 0 where the gas does.

        None stands for the total everywhere, a single 0 for the gas everywhere.
        """
        if not self.may_be_held(p, i):
            return None
        if _never(p.totals[i]):
            return np.array(0.0)
        return (dissolved >= p.totals[i]).astype(np.float64)

    def may_be_held(self, p: Problem, i: int) -> bool:
        """Return whether the gas may limit acid `i` in any of the solutions."""
        return self.acids[i].name == CARBONIC and not _never(p.gas)

    def by_total(self, p: Problem, c: Conditional, x: FloatArray) -> BoolArray | None:
        """Return where the total limits the carbon; None if that is known beforehand."""
        if CARBONIC not in self.names:
            return None
        i = self.names.index(CARBONIC)
        if not self.may_be_held(p, i) or _never(p.totals[i]):
            return None
        norm = self.weights(c.steps[i], np.exp(-x)).sum(axis=0)
        return np.asarray(self.dissolved(p, i, norm) >= p.totals[i])

    def limited_by_total(self, p: Problem, state: State) -> BoolArray | None:
        """Return where the total limits the carbon of a state; None if that is known beforehand."""
        return self.by_total(p, self.conditional(p, state.root, state.water), state.x)

    def molalities(
        self, p: Problem, state: State, out: FloatArray
    ) -> tuple[FloatArray, BoolArray | None]:
        """Write the molality of H+, OH- and all forms of all acids into the rows of `out`.

        Returns
        -------
        dissolved : ndarray, shape (n,), [mol/kg]
            Carbonic acid in all its forms; zero if there is none in the system.
        by_total : ndarray of bool, shape (n,), or None
            Where the total limits it; None if that is known beforehand.
        """
        c = self.conditional(p, state.root, state.water)
        q = np.exp(-state.x)
        np.divide(c.proton, q, out=out[0])
        np.multiply(c.hydroxide, q, out=out[1])
        carbon: FloatArray = np.zeros(q.size)
        by_total: BoolArray | None = None
        row = 2
        for i, acid in enumerate(self.acids):
            weights = self.weights(c.steps[i], q)
            norm = weights.sum(axis=0)
            kept = self.dissolved(p, i, norm)
            if acid.name == CARBONIC:
                carbon = np.broadcast_to(kept, q.shape)
                if self.may_be_held(p, i) and not _never(p.totals[i]):
                    by_total = kept >= p.totals[i]
            forms = len(weights)
            np.multiply(weights, kept / norm, out=out[row : row + forms])
            row += forms
        return carbon, by_total
