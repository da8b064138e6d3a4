"""The shared unknowns of a series from those of its runs that agree with one another.

Each run says two numbers, so what a set of runs says about the shared unknowns is a sum of small
matrices: leaving runs out costs nothing. Every choice of up to three runs is tried; what the runs
that stay disagree about is weighed against how many had to go, so two slips cannot hide behind one
another.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.diagnosis.slips.cups import (
    CONCENTRATION,
    CONTENT,
    CONTENT_U,
    Cups,
    Shared,
    Views,
    view,
)
from tarebook.reduction.joint.problem import N_SHARED
from tarebook.series.experiment import Experiment

MOST_LEFT_OUT = 3
PRICE = 16.0
"""Growth of the sum of squares that a run must cause to be left out: 0.03 % of good runs do."""

MOST_SETS = 800
MOST_STEPS = 8
SETTLED = 0.02
"""Change of every shared unknown, in natural steps, at which the fit has settled."""

LONGEST_STEP = 4.0
"""In natural steps: the model is not straight over longer ones."""

FARTHEST = 6.0
"""Natural steps from the centre that a shared unknown may take; the content has its own range."""

STARTS = np.linspace(0.05, 1.15, 12)
"""Contents from which the fit may begin."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SharedFit:
    """The shared unknowns and what each run says of them.

    Attributes
    ----------
    prior : Shared
    shared : ndarray, shape (16,)
        In natural steps from the centre of the priors.
    cups : Cups
    views : Views
        Of the runs as they were read, at `shared`.
    says, pulls : ndarray, shape (n, 16, 16) and (n, 16)
        Information of each run, and where it pulls.
    kept : ndarray of bool, shape (n,)
        Runs that `shared` rests on.
    """

    prior: Shared
    shared: FloatArray
    cups: Cups
    views: Views
    says: FloatArray
    pulls: FloatArray
    kept: BoolArray

    def without(self, runs: list[int]) -> tuple[FloatArray, FloatArray]:
        """Return mean (from `shared`) and covariance of the shared unknowns without some runs."""
        use = self.kept.copy()
        use[runs] = False
        return solved(self.says[use].sum(axis=0), self.pulls[use].sum(axis=0), self.shared)

    def with_run(
        self, run: int, says: FloatArray, pulls: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return mean and covariance with one run saying something else."""
        use = self.kept.copy()
        use[run] = False
        return solved(
            self.says[use].sum(axis=0) + says, self.pulls[use].sum(axis=0) + pulls, self.shared
        )

    def content(self, moved: FloatArray, covariance: FloatArray) -> tuple[float, float]:
        """Return the content and its standard uncertainty, [g/g]."""
        step, centre = self.prior.step[CONTENT], self.prior.centre[CONTENT]
        value = centre + step * (self.shared[CONTENT] + moved[CONTENT])
        return float(value), float(step * np.sqrt(covariance[CONTENT, CONTENT]))


def solved(
    says: FloatArray, pulls: FloatArray, shared: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return mean (from `shared`) and covariance from information and the unit prior."""
    covariance = np.asarray(np.linalg.inv(says + np.eye(N_SHARED)), dtype=np.float64)
    return covariance @ (pulls - shared), covariance


def information(views: Views, weight: FloatArray | None = None) -> tuple[FloatArray, FloatArray]:
    """Return what each view says of the shared unknowns: matrices and pulls.

    Parameters
    ----------
    views : Views
    weight : ndarray, shape (k, 2, 2), optional
        Of the differences; else the inverse of their own covariance.
    """
    used = np.linalg.inv(views.own) if weight is None else weight
    through = np.einsum("kas,kab->ksb", views.by_shared, used)
    says = np.einsum("ksb,kbt->kst", through, views.by_shared)
    pulls = np.einsum("ksb,kb->ks", through, views.gap)
    return says, pulls


def fit_shared(experiment: Experiment, prior: Shared, cups: Cups) -> SharedFit:
    """Return the shared unknowns from the runs that agree.

    Parameters
    ----------
    experiment : Experiment
    prior : Shared
    cups : Cups
        The runs, as read.
    """
    shared = _best_start(experiment, prior, cups)
    kept = np.ones(cups.n, dtype=np.bool_)
    for _ in range(MOST_STEPS):
        views = view(experiment, prior, shared, cups)
        says, pulls = information(views)
        before = kept
        kept, moved = _choose(views, says, pulls, shared)
        longest = float(np.max(np.abs(moved)))
        shared = shared + moved * min(1.0, LONGEST_STEP / max(longest, 1e-12))
        shared = _in_range(prior, shared)
        if longest < SETTLED and np.array_equal(kept, before):
            break
    views = view(experiment, prior, shared, cups)
    says, pulls = information(views)
    return SharedFit(
        prior=prior, shared=shared, cups=cups, views=views, says=says, pulls=pulls, kept=kept
    )


def _in_range(prior: Shared, shared: FloatArray) -> FloatArray:
    """Return shared unknowns for which the model can be asked, however bad the readings are."""
    inside: FloatArray = np.clip(shared, -FARTHEST, FARTHEST)
    own = prior.centre[CONCENTRATION]
    for index, ends in ((CONTENT, (0.01, 1.5)), (CONCENTRATION, (0.1 * own, 2.0 * own))):
        low, high = (np.array(ends) - prior.centre[index]) / prior.step[index]
        inside[index] = np.clip(shared[index], low, high)
    return inside


def _best_start(experiment: Experiment, prior: Shared, cups: Cups) -> FloatArray:
    """Return the priors with the content that most runs agree with."""
    n_starts, n = len(STARTS), cups.n
    shared = np.zeros((n_starts, N_SHARED))
    shared[:, CONTENT] = (STARTS - prior.centre[CONTENT]) / prior.step[CONTENT]
    many = cups.pick(np.tile(np.arange(n), n_starts))
    views = view(experiment, prior, np.repeat(shared, n, axis=0), many)
    others = views.by_shared.copy()
    others[:, :, CONTENT] *= 0.1 * CONTENT_U / prior.step[CONTENT]
    spread = views.own + np.einsum("kas,kbs->kab", others, others)
    misfit = np.einsum("ka,ka->k", views.gap, np.linalg.solve(spread, views.gap[..., None])[..., 0])
    score = np.minimum(misfit.reshape(n_starts, n), PRICE).sum(axis=1)
    score = score + shared[:, CONTENT] ** 2
    best: FloatArray = shared[int(np.argmin(score))]
    return best


def _choose(
    views: Views, says: FloatArray, pulls: FloatArray, shared: FloatArray
) -> tuple[BoolArray, FloatArray]:
    """Return which runs to keep and the step of the shared unknowns that they ask for."""
    n = len(views.gap)
    weight = np.linalg.inv(views.own)
    squares = np.einsum("ka,kab,kb->k", views.gap, weight, views.gap)
    kept = np.ones(n, dtype=np.bool_)
    kept[~views.possible] = False
    while True:
        sets = _sets(kept)
        use = np.repeat(kept[None, :], len(sets), axis=0)
        for row, gone in enumerate(sets):
            use[row, list(gone)] = False
        weights = use.astype(np.float64)
        matrices = np.einsum("sk,kij->sij", weights, says) + np.eye(N_SHARED)
        right = weights @ pulls - shared
        steps = np.linalg.solve(matrices, right[..., None])[..., 0]
        objective = weights @ squares + shared @ shared - np.einsum("si,si->s", right, steps)
        price = PRICE * np.array([len(gone) for gone in sets])
        best = int(np.argmin(objective + price))
        full = len(sets[best]) == MOST_LEFT_OUT
        kept = use[best]
        if not full or kept.sum() <= MOST_LEFT_OUT:
            return kept, steps[best]


def _sets(kept: BoolArray) -> list[tuple[int, ...]]:
    there = [int(i) for i in np.flatnonzero(kept)]
    sets: list[tuple[int, ...]] = []
    for size in range(MOST_LEFT_OUT + 1):
        more = list(itertools.combinations(there, size))
        if sets and len(sets) + len(more) > MOST_SETS:
            break
        sets += more
    return sets
