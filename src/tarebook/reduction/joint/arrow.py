"""Normal equations of the joint fit, in the shape that they have: an arrow.

A run's readings depend on what all runs share and on that run's own unknowns, so two runs meet only
through what they share. The own unknowns of each run are eliminated by themselves (Schur
complement), all runs at once; what is left is as small as what is shared. Work and memory grow with
the number of runs and never with its square [1]_.

Unknowns stand as in `JointProblem`: the s shared ones, then the p own ones of all n runs, kind by
kind. Rows stand as in `rows_of`: the q readings of all runs, kind by kind, then what was known.

References
----------
.. [1] B. Triggs, P. McLauchlan, R. Hartley, A. Fitzgibbon, Bundle Adjustment: A Modern Synthesis,
   LNCS 1883 (2000) 298, section 6 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray

RIDGE = 1e-12
"""Added to the normal matrix in natural steps, so that a content of which the readings say nothing
gets an enormous u and not a division by zero."""


def own_of(values: FloatArray, n_shared: int, n_own: int) -> FloatArray:
    """Return the own part of unknowns, run by run: shape (..., m) to (..., n, p)."""
    part = values[..., n_shared:]
    return np.swapaxes(part.reshape(*part.shape[:-1], n_own, -1), -1, -2)


def joined(shared: FloatArray, own: FloatArray) -> FloatArray:
    """Return unknowns from their two parts, shapes (..., s) and (..., n, p), to (..., m)."""
    flat = np.swapaxes(own, -1, -2).reshape(*own.shape[:-2], -1)
    return np.concatenate([shared, flat], axis=-1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Slopes:
    """Slopes of all rows.

    Attributes
    ----------
    shared : ndarray, shape (n, q, s)
        Of each run's readings, over u, with what all runs share.
    own : ndarray, shape (n, q, p)
        Of each run's readings with its own unknowns.
    known : ndarray, shape (s, s)
        Of the rows that say what was known beforehand.
    """

    shared: FloatArray
    own: FloatArray
    known: FloatArray

    def scaled(self, steps: FloatArray) -> Slopes:
        """Return the slopes in units of steps of the unknowns, shape (m,); 0 holds one in place."""
        s, p = self.shared.shape[-1], self.own.shape[-1]
        own = own_of(steps, s, p)
        return Slopes(
            shared=self.shared * steps[:s],
            own=self.own * own[:, None, :],
            known=self.known * steps[:s],
        )

    def along(self, step: FloatArray) -> FloatArray:
        """Return what steps of the unknowns do to the rows: shape (..., m) to (..., r)."""
        s, p = self.shared.shape[-1], self.own.shape[-1]
        shared, own = step[..., :s], own_of(step, s, p)
        of_readings = np.einsum("nqs,...s->...qn", self.shared, shared)
        of_readings += np.einsum("nqp,...np->...qn", self.own, own)
        of_known = shared @ self.known.T
        return np.concatenate([of_readings.reshape(*step.shape[:-1], -1), of_known], axis=-1)

    def against(self, rows: FloatArray) -> FloatArray:
        """Return how rows pull at the unknowns: shape (..., r) to (..., m)."""
        n, q, _ = self.shared.shape
        of_readings = rows[..., : q * n].reshape(*rows.shape[:-1], q, n)
        shared = np.einsum("nqs,...qn->...s", self.shared, of_readings)
        shared += rows[..., q * n :] @ self.known
        return joined(shared, np.einsum("nqp,...qn->...np", self.own, of_readings))

    def n_telling(self) -> int:
        """Return how many rows say something of any unknown."""
        of_readings = np.any(self.shared != 0.0, axis=2) | np.any(self.own != 0.0, axis=2)
        return int(np.count_nonzero(of_readings) + np.count_nonzero(self.known.any(axis=1)))

    def condensed(self) -> FloatArray:
        """Return what each run says of what is shared, its own unknowns eliminated: (n, s, s)."""
        side = np.swapaxes(self.own, 1, 2)
        across = side @ self.shared
        own = side @ self.own + RIDGE * np.eye(self.own.shape[-1])
        whole: FloatArray = np.swapaxes(self.shared, 1, 2) @ self.shared
        return whole - np.swapaxes(across, 1, 2) @ np.linalg.solve(own, across)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Covariance:
    """Covariance of the unknowns: that of what is shared, and of each run what concerns it.

    Attributes
    ----------
    shared : ndarray, shape (s, s)
    across : ndarray, shape (n, s, p)
        Of what is shared with each run's own unknowns.
    own : ndarray, shape (n, p, p)
        Of each run's own unknowns.
    """

    shared: FloatArray
    across: FloatArray
    own: FloatArray

    def column(self, place: int) -> FloatArray:
        """Return the covariance of one shared unknown with all unknowns, shape (m,)."""
        return joined(self.shared[place], self.across[:, place, :])

    def spread(self, shared: FloatArray, own: FloatArray) -> FloatArray:
        """Return the variances that slopes give numbers of each run.

        Parameters
        ----------
        shared : ndarray, shape (n, ..., s)
            Slopes with what is shared.
        own : ndarray, shape (n, ..., p)
            With the run's own unknowns.

        Returns
        -------
        ndarray, shape (n, ...)
        """
        both = np.concatenate([shared, own], axis=-1)
        s = len(self.shared)
        n, p = len(self.own), self.own.shape[-1]
        whole = np.empty((n, s + p, s + p))
        whole[:, :s, :s] = self.shared
        whole[:, :s, s:] = self.across
        whole[:, s:, :s] = np.swapaxes(self.across, 1, 2)
        whole[:, s:, s:] = self.own
        spread: FloatArray = np.einsum("n...i,nij,n...j->n...", both, whole, both, optimize=True)
        return spread

    def scaled(self, steps: FloatArray) -> Covariance:
        """Return the covariance of unknowns that were counted in steps, shape (m,)."""
        _, s, p = self.across.shape
        shared, own = steps[:s], own_of(steps, s, p)
        return Covariance(
            shared=self.shared * np.outer(shared, shared),
            across=self.across * shared[:, None] * own[:, None, :],
            own=self.own * own[:, :, None] * own[:, None, :],
        )


class Normal:
    """Normal matrix of slopes in natural steps.

    Parameters
    ----------
    slopes : Slopes
        0 for the unknowns that are held in place.
    free : ndarray of bool, shape (m,)
        The others.
    damping : ndarray, shape (k,), optional
        Added to the matrix in units of its diagonal: k matrices instead of one.
    """

    def __init__(self, slopes: Slopes, free: BoolArray, damping: FloatArray | None = None) -> None:
        side = np.swapaxes(slopes.shared, 1, 2)
        self.across = side @ slopes.own
        shared = slopes.known.T @ slopes.known + (side @ slopes.shared).sum(axis=0)
        own = np.swapaxes(slopes.own, 1, 2) @ slopes.own
        _, s, p = self.across.shape
        # What is held has no slope: with 1 in its place it takes no step.
        self.free = free.astype(np.float64)
        place = np.where(free, RIDGE, 1.0)
        shared = shared + np.diag(place[:s])
        own = own + own_of(place, s, p)[:, :, None] * np.eye(p)
        if damping is not None:
            grown = 1.0 + damping
            shared = np.where(np.eye(s), shared * grown[:, None, None], shared)
            own = np.where(np.eye(p), own * grown[:, None, None, None], own)
        self.own = own
        self.through = np.linalg.solve(own, np.swapaxes(self.across, 1, 2))
        self.condensed = shared - np.sum(self.across @ self.through, axis=-3)

    def solved(self, right: FloatArray) -> FloatArray:
        """Return the steps that balance pulls, shape (..., m)."""
        _, s, p = self.across.shape
        of_own = own_of(right, s, p)
        alone = np.linalg.solve(self.own, of_own[..., None])[..., 0]
        left = right[..., :s] - np.einsum("nsp,...np->...s", self.across, alone)
        shared = np.linalg.solve(self.condensed, left[..., None])[..., 0]
        own = alone - np.einsum("...nps,...s->...np", self.through, shared)
        return joined(shared, own)

    def covariance(self) -> Covariance:
        """Return the inverse, as far as it is wanted; 0 for what is held."""
        shared = np.linalg.inv(self.condensed)
        across = -shared @ np.swapaxes(self.through, 1, 2)
        own = np.linalg.inv(self.own) - self.through @ across
        whole = Covariance(shared=np.asarray(shared, dtype=np.float64), across=across, own=own)
        return whole.scaled(self.free)


def held(steps: FloatArray, free: BoolArray) -> FloatArray:
    """Return natural steps, shape (m,), of which those that are not free are 0."""
    return np.where(free, steps, 0.0)
