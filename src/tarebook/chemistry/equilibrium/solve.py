"""The numerical kernel: pH and ionic strength together, many solutions at a time.

Unknowns are x = ln a(H+), r = sqrt(I) and the activity of water a_w. For given r and a_w all
activity coefficients are known, and with the conditional constants c = K * a_w**w * gamma ratio
the charge

    F(x) = strong ions + [H+] - [OH-] + sum of total * mean charge of each acid

rises with x: each mean charge has the variance of the charge as its slope, [H+] and -[OH-] rise.
The carbon kept in solution is min(total, carbon that the gas holds); its charge is then the larger
of two rising functions of x, which rises too. So F has one root, and bisection finds it.

The fast path bisects in x to 0.07 at a guess of I and then takes Newton steps in all three unknowns
with exact derivatives. For fixed r the third central moment of a charge is at most its range times
its variance, so |F''/F'| is at most that range (or 1 for H+ and OH-), and Newton converges
quadratically from there. What has not converged after `NEWTON_STEPS` goes to the nested bisection
of `bracket`, which always ends.

r = sqrt(I) is used in place of I because the activity coefficients are smooth in r, not in I, at 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tarebook.chemistry.equilibrium.acids import CARBONIC, Acid
from tarebook.chemistry.equilibrium.activity import ActivityModel
from tarebook.chemistry.equilibrium.constants import LN10
from tarebook.core.arrays import BoolArray, FloatArray

LOW_X, HIGH_X = -15.5 * LN10, 1.0 * LN10
"""Where the fast path looks: pH -1 to 15.5."""

BISECTIONS = 9
NEWTON_STEPS = 12
X_TOLERANCE = 3e-7
"""Size of the last Newton step in x, r and a_w; what is left after it is its square, 1e-13."""

ROUNDING = 1e-15
"""Relative rounding error allowed in the charge balance where nothing buffers."""

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
        Activity of CO2 that the gas holds in solution; inf without a gas.
    """

    charge: FloatArray
    square: FloatArray
    strong: FloatArray
    totals: tuple[FloatArray, ...]
    k: tuple[tuple[FloatArray, ...], ...]
    water: FloatArray
    slope: FloatArray
    gas: FloatArray

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
    gas : ndarray
        Molality of CO2 that the gas holds in solution.
    """

    steps: list[list[FloatArray]]
    proton: FloatArray
    hydroxide: FloatArray
    gas: FloatArray


@dataclass(slots=True)
class Coupling:
    """Derivatives that tie a_w to the rest, needed unless it is 1 by the model.

    Of `charge`, `square` and `amount` (see `Sums`) in x, in ln gamma of z = 1 (`_l`) and of z = 0
    (`_n`), and in ln a_w (`_w`). The arrays are added to in place.
    """

    amount_x: FloatArray
    amount_l: FloatArray
    amount_n: FloatArray
    charge_w: FloatArray
    square_w: FloatArray
    amount_w: FloatArray


@dataclass(slots=True)
class Sums:
    """Sums over all species and their derivatives, added to in place.

    `charge` is sum z m, `square` sum z**2 m, `amount` sum m; `_x`, `_l`, `_n` mark the derivatives
    in x, ln gamma of z = 1 and ln gamma of z = 0. The derivative of `charge` in l is minus that of
    `square` in x.
    """

    charge: FloatArray
    square: FloatArray
    amount: FloatArray
    charge_x: FloatArray
    square_x: FloatArray
    square_l: FloatArray
    charge_n: FloatArray
    square_n: FloatArray
    coupling: Coupling | None


def _powers(acid: Acid) -> FloatArray:
    """Return 1, z, z**2, z**3, z**4 of the forms and, if water takes part, its w, z w, z**2 w."""
    rows = [[z**p for z in acid.charges] for p in range(5)]
    if any(acid.water):
        taken = [sum(acid.water[:j]) for j in range(len(acid.species))]
        rows += [[w * z**p for w, z in zip(taken, acid.charges, strict=True)] for p in range(3)]
    return np.array(rows, dtype=np.float64)


class Kernel:
    """The equations of one set of acids under one activity model.

    Parameters
    ----------
    acids : sequence of Acid
        The acids, in the order of `Problem.totals`.
    model : ActivityModel
        The activity model.
    """

    def __init__(self, acids: Sequence[Acid], model: ActivityModel) -> None:
        self.acids = tuple(acids)
        self.names = tuple(acid.name for acid in self.acids)
        self.model = model
        self.powers = [_powers(acid) for acid in self.acids]

    def conditional(self, p: Problem, root: FloatArray, water: FloatArray) -> Conditional:
        """Return the conditional constants at r = `root` and a_w = `water`."""
        strength = root * root
        ion = p.slope * (self.model.b * strength - root / (1.0 + root))
        neutral = (LN10 * self.model.neutral) * strength
        ratios: dict[int, FloatArray] = {}

        def ratio(z: int) -> FloatArray:
            # gamma(z)/gamma(z - 1), shared by all acids
            if z not in ratios:
                exponent = (2 * z - 1) * ion
                if z == 0:
                    exponent += neutral
                elif z == 1:
                    exponent -= neutral
                ratios[z] = np.exp(exponent)
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
            proton=inverse,
            hydroxide=inverse * (p.water * water),
            gas=p.gas * np.exp(-neutral),
        )

    def charge(self, p: Problem, c: Conditional, x: FloatArray) -> FloatArray:
        """Return the charge F(x), and nothing else."""
        h = np.exp(x)
        q = 1.0 / h
        total = c.proton * h
        total -= c.hydroxide * q
        total += p.charge
        for acid, steps, amount in zip(self.acids, c.steps, p.totals, strict=True):
            weight = steps[0] * q
            lost = weight
            norm = weight + 1.0
            for j, step in enumerate(steps[1:], start=2):
                weight = weight * step
                weight *= q
                norm += weight
                lost = lost + j * weight
            kept = np.minimum(amount, c.gas * norm) if acid.name == CARBONIC else amount
            mean = lost / norm
            if acid.charge:
                total += kept * (acid.charge - mean)
            else:
                mean *= kept
                total -= mean
        return total

    def sums(self, p: Problem, c: Conditional, x: FloatArray) -> Sums:
        """Return all sums over the species with their derivatives."""
        h = np.exp(x)
        proton = c.proton * h
        q = np.divide(1.0, h, out=h)
        hydroxide = c.hydroxide * q
        both = proton + hydroxide  # also their sums of z**2 m and z**4 m
        odd = proton - hydroxide  # also their sum of z**3 m
        coupling = None
        if self.model.water:
            coupling = Coupling(
                amount_x=odd.copy(),
                amount_l=-both,
                amount_n=np.zeros_like(x),
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
            charge_n=np.zeros_like(x),
            square_n=np.zeros_like(x),
            coupling=coupling,
        )
        for i, acid in enumerate(self.acids):
            if len(acid.steps) == 1 and acid.name != CARBONIC:
                self._add_pair(s, acid, p.totals[i], c.steps[i][0] * q)
            else:
                self._add_acid(s, p, c, i, q)
        return s

    def _add_pair(self, s: Sums, acid: Acid, total: FloatArray, ratio: FloatArray) -> None:
        """Add an acid of two forms: each covariance is a product of differences times f(1 - f)."""
        first, second = acid.charges
        square = second**2 - first**2
        neutral = (second == 0) - (first == 0)
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
        if neutral:
            s.charge_n += neutral * spread
            s.square_n -= (square * neutral) * spread
        if acid.water[0] and s.coupling is not None:
            s.coupling.charge_w -= acid.water[0] * spread
            s.coupling.square_w += (square * acid.water[0]) * spread

    def _add_acid(self, s: Sums, p: Problem, c: Conditional, i: int, q: FloatArray) -> None:
        """Add an acid of any number of forms from the moments of its charge."""
        charges = self.acids[i].charges
        weights = self._weights(c.steps[i], q)
        moments = self.powers[i] @ weights
        norm = moments[0]
        kept, closed = self._kept(p, c, i, norm)
        # With all carbon held by the gas the total is not fixed: the moments are then about 0.
        moments[1:] /= norm
        centre1, centre2 = moments[1:3] * (1.0 if closed is None else closed)
        neutral = weights[charges.index(0)] / norm if 0 in charges else None
        moments[1:] *= kept
        s1, s2, s3, s4 = moments[1:5]
        s.amount += kept
        s.charge += s1
        s.square += s2
        s.charge_x += s2
        s.charge_x -= s1 * centre1
        s.square_x += s3
        s.square_x -= s2 * centre1
        s.square_l -= s4
        s.square_l += s2 * centre2
        if neutral is not None:
            neutral *= kept
            s.charge_n += neutral * centre1
            s.square_n += neutral * centre2
        if s.coupling is not None and len(moments) > 5:
            w0, w1, w2 = moments[5:]
            s.coupling.charge_w += w1
            s.coupling.charge_w -= w0 * centre1
            s.coupling.square_w += w2
            s.coupling.square_w -= w0 * centre2
            if closed is not None:
                # carbonic acid held by the gas: its amount moves too, that of CO2 only with gamma
                free = 1.0 - closed
                s.coupling.amount_x += free * s1
                s.coupling.amount_l -= free * s2
                s.coupling.amount_n -= free * weights[0] / norm * kept
                s.coupling.amount_w += free * w0

    def _weights(self, steps: list[FloatArray], q: FloatArray) -> FloatArray:
        """Return the molalities of the forms of an acid relative to the first, shape (forms, n)."""
        weights = np.empty((len(steps) + 1, q.size))
        weights[0] = 1.0
        for j, step in enumerate(steps):
            np.multiply(step, q, out=weights[j + 1])
            if j:
                weights[j + 1] *= weights[j]
        return weights

    def _held(self, p: Problem) -> bool:
        """Return whether the gas limits carbonic acid in any of the solutions."""
        return CARBONIC in self.names and bool(np.isfinite(p.gas).any())

    def _kept(
        self, p: Problem, c: Conditional, i: int, norm: FloatArray
    ) -> tuple[FloatArray, FloatArray | None]:
        """Return what is dissolved of acid `i`, and 1 where that is its total (None: all)."""
        if self.acids[i].name != CARBONIC or not self._held(p):
            return p.totals[i], None
        held = c.gas * norm
        return np.minimum(p.totals[i], held), (p.totals[i] <= held).astype(np.float64)

    def newton(
        self, p: Problem, x: FloatArray, root: FloatArray, water: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray, BoolArray]:
        """Return x, r and a_w after one step, and where it was the last one needed."""
        s = self.sums(p, self.conditional(p, root, water), x)
        # derivatives of l and n in r, then of the sums
        ion = 1.0 + root
        ion *= ion
        ion = p.slope * (2.0 * self.model.b * root - 1.0 / ion)
        neutral = (2.0 * LN10 * self.model.neutral) * root
        charge_r = s.charge_n * neutral
        charge_r -= s.square_x * ion
        square_r = s.square_l * ion
        square_r += s.square_n * neutral
        # The equations are F = 0, r**2 - Q/2 = 0 and a_w = 1 - c * amount.
        charge, charge_x = s.charge, s.charge_x
        rest = root * root
        rest -= 0.5 * s.square
        rest_x = -0.5 * s.square_x
        rest_r = 2.0 * root
        rest_r -= 0.5 * square_r
        c = self.model.water
        da = (1.0 - water) - c * s.amount
        drag_x = drag_r = np.array(0.0)
        if s.coupling is not None:
            # da = lift - drag_x dx - drag_r dr, put into the two other equations
            k = s.coupling
            scale = 1.0 / (1.0 + c * k.amount_w / water)
            da *= scale
            scale *= c
            drag_x, drag_r = scale * k.amount_x, scale * (k.amount_l * ion + k.amount_n * neutral)
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
        x = x + np.clip(dx, -2.0, 2.0)
        root = np.clip(root + dr, 0.25 * root, 1.4)
        return x, root, np.clip(water + da, 0.5, 1.0), done

    def start(self, p: Problem, n: int) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return x, r and a_w to start from: bisection in x at a guess of r."""
        # A start from above, as r**2 - Q/2 = 0 wants: from below a step may go anywhere.
        ions = p.square + np.abs(p.charge)
        for acid, total in zip(self.acids, p.totals, strict=True):
            if acid.charge:
                ions = ions + acid.charge**2 * total
        root = np.sqrt(np.minimum(0.5 * ions + 1e-3, 1.5))
        solutes = p.strong + sum(np.where(np.isfinite(t), t, 0.0) for t in p.totals)
        water = 1.0 - self.model.water * solutes
        c = self.conditional(p, root, water)
        x = np.full(n, 0.5 * (LOW_X + HIGH_X))
        width = 0.25 * (HIGH_X - LOW_X)
        for _ in range(BISECTIONS):
            # F < 0: the root lies above
            x -= np.copysign(width, self.charge(p, c, x))
            width *= 0.5
        return x, np.full(n, root), np.full(n, water)

    def fast(self, p: Problem, n: int) -> tuple[FloatArray, FloatArray, FloatArray, BoolArray]:
        """Return x, r, a_w and where they have converged, each of shape (n,)."""
        x, root, water = self.start(p, n)
        closed = self._closed(p, x, root, water)
        if closed is None:
            return self._refine(p, x, root, water)
        # Which of total and gas limits the carbon is settled first, so that Newton meets no kink;
        # where the solution shows that the other one does, it is solved once more.
        x, root, water, converged = self._refine(self._settled(p, closed), x, root, water)
        after = self._closed(p, x, root, water)
        wrong = np.flatnonzero(converged & (after != closed))
        if wrong.size:
            part = self._settled(p.take(wrong), ~closed[wrong])
            again = self._refine(part, x[wrong], root[wrong], water[wrong])
            x[wrong], root[wrong], water[wrong], converged[wrong] = again
        return x, root, water, converged

    def _closed(
        self, p: Problem, x: FloatArray, root: FloatArray, water: FloatArray
    ) -> BoolArray | None:
        """Return where the total limits the carbon; None if that is known beforehand."""
        if not self._held(p):
            return None
        i = self.names.index(CARBONIC)
        if np.isinf(p.totals[i]).all():
            return None
        c = self.conditional(p, root, water)
        norm = self._weights(c.steps[i], np.exp(-x)).sum(axis=0)
        return np.asarray(p.totals[i] <= c.gas * norm)

    def _settled(self, p: Problem, closed: BoolArray) -> Problem:
        """Return the problem with only the total (where `closed`) or only the gas as limit."""
        totals = tuple(
            np.where(closed, total, np.inf) if acid.name == CARBONIC else total
            for acid, total in zip(self.acids, p.totals, strict=True)
        )
        return replace(p, totals=totals, gas=np.where(closed, np.inf, p.gas))

    def _refine(
        self,
        p: Problem,
        x: FloatArray,
        root: FloatArray,
        water: FloatArray,
        steps: int = NEWTON_STEPS,
    ) -> tuple[FloatArray, FloatArray, FloatArray, BoolArray]:
        """Return x, r, a_w after Newton's iteration, and where it has converged."""
        done = np.zeros(x.size, dtype=np.bool_)
        for step in range(steps):
            x, root, water, done = self.newton(p, x, root, water)
            left = np.flatnonzero(~done)
            if left.size == 0:
                break
            if 5 * left.size < x.size:
                # only these few go on
                more = steps - step - 1
                part = self._refine(p.take(left), x[left], root[left], water[left], more)
                x[left], root[left], water[left], done[left] = part
                break
        return x, root, water, done

    def molalities(
        self, p: Problem, x: FloatArray, root: FloatArray, water: FloatArray, out: FloatArray
    ) -> FloatArray:
        """Write the molality of H+, OH- and all forms of all acids into the rows of `out`.

        Returns
        -------
        ndarray, shape (n,), [mol/kg]
            Dissolved carbonic acid in all its forms; zero if there is none in the system.
        """
        c = self.conditional(p, root, water)
        q = np.exp(-x)
        np.divide(c.proton, q, out=out[0])
        np.multiply(c.hydroxide, q, out=out[1])
        carbon: FloatArray = np.zeros(x.size)
        row = 2
        for i, acid in enumerate(self.acids):
            weights = self._weights(c.steps[i], q)
            norm = weights.sum(axis=0)
            kept, _ = self._kept(p, c, i, norm)
            if acid.name == CARBONIC:
                carbon = np.broadcast_to(kept, x.shape)
            forms = len(weights)
            np.multiply(weights, kept / norm, out=out[row : row + forms])
            row += forms
        return carbon
