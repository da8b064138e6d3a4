"""The shared unknowns of a series from those of its runs that agree with one another.

Each run says two numbers, so what a set of runs says about the shared unknowns is a sum of small
matrices: leaving runs out costs nothing. Every choice of up to three runs is tried; what the runs
that stay disagree about is weighed against how many had to go, so two slips cannot hide behind one
another.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Generator, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.diagnosis.slips.cups import (
    CONCENTRATION,
    CONTENT,
    CONTENT_U,
    OWN_ACID,
    Asked,
    Cups,
    Shared,
    Views,
    cups_of,
    shared_prior,
    views_together,
)
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.distributions import chi2_tail
from tarebook.reduction.joint.problem import N_SHARED, READ, joint_problem
from tarebook.series.experiment import Experiment

T = TypeVar("T")

MOST_LEFT_OUT = 3
LEAST_KEPT = 0.6
"""Part of the runs that stays, whatever they say."""

A_ROW = 5
"""Runs from which that holds; of fewer, half may go."""

PRICE = 16.0
"""Growth of the sum of squares that a run must cause to be left out: 0.03 % of good runs do."""

MOST_SETS = 800
MOST_ROUNDS = 20
AS_BAD = 0.5
"""Of a long row single runs are tried, several going at once: those whose going gains at least this
part of what the worst one's does."""

MOST_TOGETHER = 60
"""Runs that are looked at where all of a long row would say no more: spread evenly over it."""

MOST_STEPS = 12
GLANCE_STEPS = 3
SETTLED = 0.02
"""Change of every shared unknown, in natural steps, at which the fit has settled."""

LONGEST_STEP = 4.0
"""In natural steps: the model is not straight over longer ones."""

FARTHEST = 6.0
"""Natural steps from the centre that a shared unknown may take; the content has its own range."""

STARTS = np.linspace(0.05, 1.15, 12)
"""Contents from which the fit may begin."""


OWN_ACIDS = np.linspace(-2.0, 2.0, 5)
"""Own acids of the sample from which the fit may begin, in standard uncertainties."""

WELL_KNOWN = 0.0002
"""Standard uncertainty of the own acid, mol/g, up to which one start in it does."""

MOST_STARTS = 4
STARTS_APART, STARTS_APART_ACID = 0.15, 0.9
"""How far apart starts lie: contents in g/g, own acids in standard uncertainties."""

SCATTER_FROM = 0.01
"""Chance of so large a misfit of all other runs, below which one run is given as much room."""

ALL_EXPLAINED = 0.001
"""Chance of so large a misfit, below which another start is tried."""


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
    _squares: FloatArray = field(init=False, repr=False)
    _said: tuple[FloatArray, FloatArray, float] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        weight = np.linalg.inv(self.views.own)
        squares = np.einsum("ka,kab,kb->k", self.views.gap, weight, self.views.gap)
        said = (
            self.says[self.kept].sum(axis=0),
            self.pulls[self.kept].sum(axis=0),
            float(squares[self.kept].sum()),
        )
        object.__setattr__(self, "_squares", squares)
        object.__setattr__(self, "_said", said)

    def _saying(self, gone: list[int]) -> tuple[FloatArray, FloatArray, float]:
        """Return information, pull and sum of squares of the runs kept but some."""
        says, pulls, square = self._said
        out = [run for run in gone if self.kept[run]]
        if not out:
            return says, pulls, square
        return (
            says - self.says[out].sum(axis=0),
            pulls - self.pulls[out].sum(axis=0),
            square - float(self._squares[out].sum()),
        )

    def few(self) -> SharedFit:
        """Return the same as seen by some of the runs of a long row, spread evenly over it."""
        places = spread_over(self.cups.n)
        if len(places) == self.cups.n:
            return self
        return SharedFit(
            prior=self.prior,
            shared=self.shared,
            cups=self.cups.pick(places),
            views=self.views.pick(places),
            says=self.says[places],
            pulls=self.pulls[places],
            kept=self.kept[places],
        )

    @property
    def cost(self) -> float:
        """What the runs that are kept disagree about, and the price of those that are not."""
        return self.misfit([]) + PRICE * float(np.count_nonzero(~self.kept))

    @property
    def explains_all(self) -> bool:
        """Whether no run is left out and those that are kept agree."""
        return bool(self.kept.all()) and self.agrees

    @property
    def agrees(self) -> bool:
        """Whether the runs that are kept agree with one another and with what was known before."""
        return self._chance([]) > ALL_EXPLAINED

    def misfit(self, runs: list[int]) -> float:
        """Return the sum of squares at the best shared unknowns, some runs not counted."""
        says, pulls, square = self._saying(runs)
        right = pulls - self.prior.precision @ self.shared
        matrix = says + self.prior.precision
        square += float(self.shared @ self.prior.precision @ self.shared)
        square -= float(right @ np.linalg.solve(matrix, right))
        return square

    def _freedom(self, runs: list[int]) -> int:
        use = self.kept.copy()
        use[runs] = False
        # Every shared unknown has its prior; of the content alone nothing is known.
        return int(np.count_nonzero(self.views.known[use])) - 1

    def _chance(self, runs: list[int]) -> float:
        return chi2_tail(self.misfit(runs), max(self._freedom(runs), 0))

    def scatter(self, runs: list[int]) -> float:
        """Return the factor on variances by which the runs but these scatter more than they should.

        One as long as chance may do as much. A row that as a whole does not keep to the model is
        no measure of a single cup.
        """
        if self._chance(runs) > SCATTER_FROM:
            return 1.0
        return max(1.0, self.misfit(runs) / self._freedom(runs))

    def without(self, runs: list[int]) -> tuple[FloatArray, FloatArray]:
        """Return mean (from `shared`) and covariance of the shared unknowns without some runs."""
        said, pulled, _ = self._saying(runs)
        return self.solved(said, pulled)

    def with_run(
        self, run: int, says: FloatArray, pulls: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return mean and covariance with one run saying something else."""
        said, pulled, _ = self._saying([run])
        return self.solved(said + says, pulled + pulls)

    def solved(self, says: FloatArray, pulls: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return mean (from `shared`) and covariance from information and the priors."""
        precision = self.prior.precision
        covariance = np.asarray(np.linalg.inv(says + precision), dtype=np.float64)
        return covariance @ (pulls - precision @ self.shared), covariance

    def content(self, moved: FloatArray, covariance: FloatArray) -> tuple[float, float]:
        """Return the content and its standard uncertainty, [g/g]."""
        step, centre = self.prior.step[CONTENT], self.prior.centre[CONTENT]
        value = centre + step * (self.shared[CONTENT] + moved[CONTENT])
        return float(value), float(step * np.sqrt(covariance[CONTENT, CONTENT]))


def spread_over(n: int, most: int = MOST_TOGETHER) -> list[int]:
    """Return the places of at most so many runs, spread evenly over a row of n."""
    places = np.linspace(0, n - 1, min(n, most)).round()
    return [int(place) for place in np.unique(places)]


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


Walk = Generator[Asked, Views, T]
"""A search that says what it would ask the model and is told: many then ask in one call."""


def together(experiment: Experiment, walks: Iterable[Walk[T]]) -> tuple[T, ...]:
    """Return where walks lead that are walked side by side, each as if it were alone.

    Parameters
    ----------
    experiment : Experiment
    walks : iterable of Walk

    Raises
    ------
    OutOfRangeError
        That of the first walk which ends in one.
    """
    under_way = dict(enumerate(walks))
    ended: dict[int, T | OutOfRangeError] = {}
    told: dict[int, Views | OutOfRangeError | None] = dict.fromkeys(under_way)
    while told:
        asked: dict[int, Asked] = {}
        for place, answer in told.items():
            walk = under_way[place]
            try:
                if isinstance(answer, OutOfRangeError):
                    asked[place] = walk.throw(answer)
                else:
                    asked[place] = next(walk) if answer is None else walk.send(answer)
            except StopIteration as end:
                ended[place] = end.value
            except OutOfRangeError as error:
                ended[place] = error
        told = dict(zip(asked, views_together(experiment, list(asked.values())), strict=True))
    found = []
    for place in under_way:
        end_of_walk = ended[place]
        if isinstance(end_of_walk, OutOfRangeError):
            raise end_of_walk
        found.append(end_of_walk)
    return tuple(found)


def fit_shared(experiment: Experiment, prior: Shared, cups: Cups) -> SharedFit:
    """Return the shared unknowns from the runs that agree.

    Parameters
    ----------
    experiment : Experiment
    prior : Shared
    cups : Cups
        The runs, as read.
    """
    (fit,) = together(experiment, [fitting(prior, cups)])
    return fit


def fitting(prior: Shared, cups: Cups) -> Walk[SharedFit]:
    """Walk to the shared unknowns from the runs that agree; see `fit_shared`."""
    starts = yield from _starts(prior, cups)
    best = yield from _settling(prior, cups, starts[0])
    # A start in the wrong valley leaves good runs out: another one may need no such thing.
    for start in starts[1:]:
        if best.explains_all:
            break
        other = yield from glancing(prior, cups, start)
        if other.cost < best.cost:
            other = yield from _settling(prior, cups, other.shared)
            best = min(best, other, key=lambda fit: fit.cost)
    return best


def shared_fit(experiment: Experiment, table: RunTable) -> SharedFit | None:
    """Return the shared unknowns of a sheet; None where the model cannot be asked about its cups.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    runs = tuple(run for run in table.runs if any(table.of(run, q) for q in READ))
    try:
        problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
        return fit_shared(experiment, shared_prior(problem), cups_of(problem))
    except OutOfRangeError:
        return None


def glancing(prior: Shared, cups: Cups, shared: FloatArray) -> Walk[SharedFit]:
    """Walk a little from `shared`: enough to tell what is worth a whole walk."""
    return (yield from _settling(prior, cups, shared, GLANCE_STEPS))


def _settling(
    prior: Shared, cups: Cups, shared: FloatArray, most_steps: int = MOST_STEPS
) -> Walk[SharedFit]:
    """Walk to where the fit settles that begins at `shared`."""
    kept = np.ones(cups.n, dtype=np.bool_)
    suspect: BoolArray | None = None
    for _ in range(most_steps):
        views = yield Asked(prior=prior, shared=shared, cups=cups, suspect=suspect)
        suspect = ~views.possible
        says, pulls = information(views)
        before = kept
        kept, moved = _choose(views, says, pulls, shared, prior.precision)
        longest = float(np.max(np.abs(moved)))
        there = _in_range(prior, shared + moved * min(1.0, LONGEST_STEP / max(longest, 1e-12)))
        # What stands at an end of its range goes no farther, however long the step.
        went = float(np.max(np.abs(there - shared)))
        shared = there
        if went < SETTLED and np.array_equal(kept, before):
            break
    views = yield Asked(prior=prior, shared=shared, cups=cups, suspect=suspect)
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


def _starts(prior: Shared, cups: Cups) -> Walk[list[FloatArray]]:
    """Return contents, and acids of the sample, from which the fit may begin, the best first.

    Where the sample's own acid is known badly, content and acid are looked for together: the one
    that is right with a wrong other one leaves good runs out.
    """
    cups = cups.pick(spread_over(cups.n))
    tried = _grid(prior)
    n_starts, n = len(tried), cups.n
    shared = np.zeros((n_starts, N_SHARED))
    shared[:, [CONTENT, OWN_ACID]] = tried
    many = cups.pick(np.tile(np.arange(n), n_starts))
    views = yield Asked(prior=prior, shared=np.repeat(shared, n, axis=0), cups=many)
    others = views.by_shared.copy()
    others[:, :, CONTENT] *= 0.1 * CONTENT_U / prior.step[CONTENT]
    others[:, :, OWN_ACID] *= 0.5 if n_starts > len(STARTS) else 1.0
    spread = views.own + np.einsum("kas,kbs->kab", others, others)
    misfit = np.einsum("ka,ka->k", views.gap, np.linalg.solve(spread, views.gap[..., None])[..., 0])
    score = np.minimum(np.where(views.possible, misfit, PRICE).reshape(n_starts, n), PRICE)
    cost = score.sum(axis=1) + np.sum(tried**2, axis=1)
    chosen: list[int] = []
    for place in np.argsort(cost, kind="stable"):
        # Neighbours on the grid lie in one valley.
        near = [np.max(np.abs(tried[place] - tried[other]) / _apart(prior)) for other in chosen]
        if len(chosen) < MOST_STARTS and all(distance > 1.0 for distance in near):
            chosen.append(int(place))
    return [shared[place] for place in chosen]


def _grid(prior: Shared) -> FloatArray:
    """Return contents and own acids to begin from, in natural steps, shape (k, 2)."""
    contents = (STARTS - prior.centre[CONTENT]) / prior.step[CONTENT]
    acids = OWN_ACIDS if prior.step[OWN_ACID] > WELL_KNOWN else np.zeros(1)
    return np.array(list(itertools.product(contents, acids)))


def _apart(prior: Shared) -> FloatArray:
    """Return how far apart two starts must lie in content or in own acid, in natural steps."""
    return np.array([STARTS_APART / prior.step[CONTENT], STARTS_APART_ACID])


def _choose(
    views: Views, says: FloatArray, pulls: FloatArray, shared: FloatArray, precision: FloatArray
) -> tuple[BoolArray, FloatArray]:
    """Return which runs to keep and the step of the shared unknowns that they ask for."""
    n = len(views.gap)
    weight = np.linalg.inv(views.own)
    squares = np.einsum("ka,kab,kb->k", views.gap, weight, views.gap)
    kept = np.ones(n, dtype=np.bool_)
    kept[~views.possible] = False
    # Runs that are mostly left out say nothing of those that stay: the row scatters as a whole.
    there = int(np.count_nonzero(kept))
    least = math.ceil(LEAST_KEPT * there) if there >= A_ROW else there // 2
    if 1 + there + math.comb(there, 2) > MOST_SETS:
        told = _Told(squares=squares, says=says, pulls=pulls)
        return _choose_of_many(told, kept, there - least, shared, precision)
    while True:
        sets = _sets(kept, int(np.count_nonzero(kept)) - least)
        use = np.repeat(kept[None, :], len(sets), axis=0)
        for row, gone in enumerate(sets):
            use[row, list(gone)] = False
        weights = use.astype(np.float64)
        # As one product of matrices, which is quicker than an einsum of three axes.
        matrices = (weights @ says.reshape(n, -1)).reshape(-1, *precision.shape) + precision
        right = weights @ pulls - precision @ shared
        steps = np.linalg.solve(matrices, right[..., None])[..., 0]
        objective = weights @ squares - np.einsum("si,si->s", right, steps)
        price = PRICE * np.array([len(gone) for gone in sets])
        best = int(np.argmin(objective + price))
        full = len(sets[best]) == max(len(sets[-1]), 1)
        kept = use[best]
        if not full or kept.sum() <= MOST_LEFT_OUT:
            return kept, steps[best]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Told:
    """What each run says: its sum of squares, its information, where it pulls."""

    squares: FloatArray
    says: FloatArray
    pulls: FloatArray


def _choose_of_many(
    told: _Told, kept: BoolArray, most: int, shared: FloatArray, precision: FloatArray
) -> tuple[BoolArray, FloatArray]:
    """Return which runs of a long row to keep, and the step that they ask for.

    Each run is left out alone; the worst go together, and the others are looked at once more. The
    work grows with the number of runs, as there are so many such rounds at most.
    """
    kept = kept.copy()
    for _ in range(MOST_ROUNDS):
        there = np.flatnonzero(kept)
        matrix = told.says[there].sum(axis=0) + precision
        right = told.pulls[there].sum(axis=0) - precision @ shared
        less = right - told.pulls[there]
        without = np.linalg.solve(matrix - told.says[there], less[..., None])[..., 0]
        step = np.linalg.solve(matrix, right)
        gain = told.squares[there] - float(right @ step) + np.einsum("ks,ks->k", less, without)
        bad = gain > max(PRICE, AS_BAD * float(np.max(gain)))
        if most <= 0 or not bad.any():
            break
        worst = there[np.argsort(-np.where(bad, gain, -np.inf), kind="stable")]
        gone = worst[: min(int(np.count_nonzero(bad)), most)]
        kept[gone] = False
        most -= len(gone)
    # In the last round some may have gone for whom the step is still the one before.
    matrix = told.says[kept].sum(axis=0) + precision
    return kept, np.linalg.solve(matrix, told.pulls[kept].sum(axis=0) - precision @ shared)


def _sets(kept: BoolArray, most: int) -> list[tuple[int, ...]]:
    there = [int(i) for i in np.flatnonzero(kept)]
    sets: list[tuple[int, ...]] = []
    for size in range(min(MOST_LEFT_OUT, most) + 1):
        if sets and len(sets) + math.comb(len(there), size) > MOST_SETS:
            break
        sets += itertools.combinations(there, size)
    return sets
