"""Gauss-Newton for the joint problem, damped where it must be, with the covariance at the end."""

from __future__ import annotations

import math
from contextlib import suppress

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.parameters import NAMES
from tarebook.reduction.joint.arrow import Covariance, Normal, held
from tarebook.reduction.joint.distributions import chi2_tail
from tarebook.reduction.joint.problem import (
    JointProblem,
)
from tarebook.reduction.joint.slopes import (
    Point,
    linearise,
    linearised_both_ways,
)
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.starts import scanned_starts
from tarebook.reduction.joint.trial import (
    CONTENT,
    CONTENT_RANGE,
    Calls,
    kept_in_range,
    rows_where_possible,
    squares,
)

MOST_STEPS = 50
"""Of one walk downhill. Good rows of the laboratories take up to 24 (computed)."""

SETTLED = 1e-6
"""The fit has settled when the next full step is this short: the square of its length in units of
the standard uncertainties that the readings leave, so a thousandth of one of them."""

NEARLY_SETTLED = 2e-5
"""From here on the next step is likely the last: its central slopes then come with it, as one call
of the model costs hardly more for both."""

GOOD_STEP = 0.5
"""Part of the gain that the straight model promises which makes a full step good enough."""

DAMPINGS = np.logspace(-4.0, 8.0, 13)
"""Of the steps that are tried at once where a full step is no good, in units of the diagonal."""

PROBE = 0.1
"""Length at which the bend of a damped step is felt out, in units of the step."""

NEAR, LITTLE = 1e-2, 1e-5
"""Where large residuals meet a bent model the full step overshoots however near the minimum is. The
fit has settled too when it is this near and the best of all damped steps gains so little: what is
left then is some hundredth of a standard uncertainty."""

LATE = NAMES.index("activity")
"""Stays where it is until the rest has nearly settled. A long first step may take all gas out of
all liquids; far from where they were meant, activities then hold it there, in a valley of its own:
eight standard uncertainties away and 120 higher in the sum of squares."""

CLOSE = 1.0
"""The rest has nearly settled when its next full step promises to gain less than this."""

LEAST_GAIN = 1e-9
"""Gains of less than this are rounding."""

DOUBTED_P, AROUND = 0.05, (0.9, 0.7, 1.15, 1.5)
"""Chance of a worse misfit below which a minimum may be one beside the lowest, and the contents, in
multiples of the one found, from which another is then looked for. Where a cup has only just begun
to give off gas, a fit that takes it for still clear of gas feels no slope towards the truth."""

ABSURD = 50.0
"""Mean square of the rows, in units of their u, above which another start is tried."""

GOES_NOWHERE, NOWHERE_STEPS = 0.01, 4
"""A fit far from all readings ends where it is when so many steps in a row each took off less than
this part of its sum of squares: no setting of the model makes readings such as these."""

HOPELESS = 20.0 * ABSURD
"""Mean square of the rows from which no other start is any help."""


def solve(
    problem: JointProblem,
    *,
    start: FloatArray | None = None,
    fixed: BoolArray | None = None,
    with_covariance: bool = True,
) -> Solution:
    """Return the unknowns that make the sum of squares smallest.

    Parameters
    ----------
    problem : JointProblem
    start : ndarray, shape (m,), optional
        Where to begin; else the priors, the readings and the best of a row of contents.
    fixed : ndarray of bool, shape (m,), optional
        Unknowns to leave where they start.
    with_covariance : bool
        Whether to finish with central differences and the covariance.

    Raises
    ------
    NoFitError
        If it does not settle.
    OutOfRangeError
        If the start, or each of them, is outside the range of the model.

    Notes
    -----
    Pressure, degassing and head gas act as products of their logarithms and bend the valley of the
    least squares: a full step then overshoots, again and again. Where it does, steps of all
    dampings are tried at once, straight and bent along the valley (one call of the model costs the
    same for one set of unknowns as for thirty), and the best is taken.

    References
    ----------
    .. [1] M. K. Transtrum, B. B. Machta, J. P. Sethna, Phys. Rev. E 83 (2011) 036701: geodesic
       acceleration, the bend of a damped step (from memory).
    """
    calls = Calls()
    if start is not None:
        return _descend(problem, start.copy(), fixed, with_covariance, calls)
    best: Solution | None = None
    why: NoFitError | OutOfRangeError = NoFitError()
    starts, chi2 = scanned_starts(problem)
    # The likeliest start is enough nearly always; then the others, and then all with care.
    hopeless = 0
    for attempt in range(2 * len(starts)):
        index, careful = attempt % len(starts), attempt >= len(starts)
        if hopeless == len(starts) or calls.left <= 0:
            break
        if best is not None and _plausible(best) and chi2[index] >= best.chi2:
            break
        try:
            begin = _relaxed(problem, starts[index], calls) if careful else starts[index]
            found = _descend(problem, begin, fixed, with_covariance, calls)
        except NoFitError:
            continue
        except OutOfRangeError as error:
            # The others would lead there as well, and slowly.
            why = error
            break
        hopeless += _is_hopeless(found)
        if best is None or found.chi2 < best.chi2:
            best = found
    if best is None:
        raise why
    if fixed is not None or _is_hopeless(best):
        return best
    return _lowest_around(problem, best, with_covariance, calls)


def _lowest_around(
    problem: JointProblem, best: Solution, with_covariance: bool, calls: Calls
) -> Solution:
    """Return the lowest minimum that is found from contents around a doubtful one."""
    centre = float(best.unknowns[CONTENT])
    for factor in AROUND:
        if chi2_tail(best.chi2, best.dof) >= DOUBTED_P or calls.left <= 0:
            break
        begin = problem.start()
        begin[CONTENT] = factor * centre
        try:
            begin = kept_in_range(problem, begin)
            found = _descend(problem, begin, None, False, calls, below=best.chi2 - LITTLE)
            if found.chi2 < best.chi2 - LITTLE:
                best = _descend(problem, found.unknowns, None, with_covariance, Calls())
        except (NoFitError, OutOfRangeError):
            continue
    return best


def _relaxed(problem: JointProblem, start: FloatArray, calls: Calls) -> FloatArray:
    """Return a start with all unknowns but the content where they fit best.

    A first step of all at once may carry the content to where the others could not follow.
    """
    held = np.zeros(len(start), dtype=np.bool_)
    held[CONTENT] = True
    return _descend(problem, start, held, False, calls).unknowns


def _is_hopeless(there: Solution | Point) -> bool:
    """Return whether a fit is so far from all readings that it will never be near."""
    return there.chi2 > HOPELESS * len(there.rows)


def _plausible(solution: Solution) -> bool:
    """Return whether a fit may be the best: not at an end of the range, not absurdly bad.

    A long step may end where nothing pulls it back: at an end, or where no gas leaves any vessel.
    """
    is_inside = CONTENT_RANGE[0] < solution.unknowns[CONTENT] < CONTENT_RANGE[1]
    return bool(is_inside and solution.chi2 < ABSURD * len(solution.rows))


def _descend(
    problem: JointProblem,
    unknowns: FloatArray,
    fixed: BoolArray | None,
    with_covariance: bool,
    calls: Calls,
    below: float = math.inf,
) -> Solution:
    """Return the minimum that lies downhill; where it will not lie below, it is not walked to.

    Raises
    ------
    NoFitError
        If it does not settle, or not below.
    OutOfRangeError
        If the start is outside the range of the model.
    """
    every = np.ones(len(unknowns), dtype=np.bool_) if fixed is None else ~fixed
    free = every.copy()
    free[LATE] = False
    here = linearise(problem, unknowns, central=False)
    at_the_end: Point | None = None
    steps, slow, central = 0, 0, False
    while True:
        local = _local(problem, here, free)
        if local.promised < CLOSE and not np.array_equal(free, every):
            free = every
            continue
        if local.promised < CLOSE and here.chi2 - local.promised > below:
            raise NoFitError
        if local.promised < SETTLED:
            if central or not with_covariance:
                break
            # Forward differences lean a little: the minimum is the one of central ones.
            central = True
            here = _central(problem, here, at_the_end)
            continue
        if steps == MOST_STEPS or calls.left <= 0:
            raise NoFitError
        steps += 1
        calls.left -= 1
        nearly = with_covariance and not central and local.promised < NEARLY_SETTLED
        there, at_the_end = _trial(problem, local, central, both_ways=nearly)
        if there is None or here.chi2 - there.chi2 < GOOD_STEP * local.promised:
            best = _best_damped(problem, local, there, calls)
            if best is None and calls.left <= 0:
                raise NoFitError
            if best is None and not np.array_equal(free, every):
                free = every
                continue
            if best is None:
                # Without equilibrium the model has a kink at the change-over, and a minimum on a
                # kink has no vanishing gradient: no step, however short, gains anything there.
                break
            there = best if isinstance(best, Point) else linearise(problem, best, central)
            nowhere = here.chi2 - there.chi2 < GOES_NOWHERE * here.chi2
            slow = slow + 1 if nowhere and here.chi2 > ABSURD * len(here.rows) else 0
            creeps = local.promised < NEAR and here.chi2 - there.chi2 < LITTLE
            if creeps or slow == NOWHERE_STEPS:
                here = there
                break
        here = there
    if with_covariance and not central:
        here = _central(problem, here, at_the_end)
    return Solution(
        problem=problem,
        unknowns=here.unknowns,
        predicted=here.predicted.only(1),
        about=here.predicted,
        rows=here.rows,
        slopes=here.slopes,
        covariance=_covariance(problem, here, free if with_covariance else np.zeros_like(free)),
        steps=steps,
    )


class _Local:
    """The straight model of the rows about a point, in natural steps of the free unknowns."""

    def __init__(self, problem: JointProblem, point: Point, free: BoolArray) -> None:
        self.point, self.free = point, free
        self.scales = held(problem.scales(), free)
        self.slopes = point.slopes.scaled(self.scales)
        self.gradient = self.slopes.against(point.rows)
        self.step = Normal(self.slopes, free).solved(self.gradient)
        # What a full step takes off the sum of squares if the rows are straight.
        self.promised = float(self.gradient @ self.step)

    def moved(self, problem: JointProblem, step: FloatArray) -> FloatArray:
        """Return the unknowns after steps, shape (..., m)."""
        return kept_in_range(problem, self.point.unknowns + step * self.scales)


def _covariance(problem: JointProblem, point: Point, free: BoolArray) -> Covariance:
    """Return the covariance that the slopes at a point give the free unknowns."""
    scales = held(problem.scales(), free)
    return Normal(point.slopes.scaled(scales), free).covariance().scaled(scales)


def _local(problem: JointProblem, point: Point, free: BoolArray) -> _Local:
    """Return the straight model; a content that pushes against its range is left where it is."""
    local = _Local(problem, point, free)
    content = float(point.unknowns[CONTENT])
    if free[CONTENT]:
        low, high = CONTENT_RANGE
        push = float(local.step[CONTENT])
        if (content >= high and push > 0) or (content <= low and push < 0):
            held = free.copy()
            held[CONTENT] = False
            return _Local(problem, point, held)
    return local


def _central(problem: JointProblem, here: Point, known: Point | None) -> Point:
    """Return a point with central slopes: the one that is known, if it is the same point."""
    if known is not None and known.unknowns is here.unknowns:
        return known
    return linearise(problem, here.unknowns, central=True)


def _trial(
    problem: JointProblem, local: _Local, central: bool, *, both_ways: bool
) -> tuple[Point | None, Point | None]:
    """Return where a full step ends, and the same with central slopes if it may be the last one.

    None where the model does not reach.
    """
    end = local.moved(problem, local.step)
    if both_ways:
        with suppress(OutOfRangeError):
            return linearised_both_ways(problem, end)
    try:
        return linearise(problem, end, central), None
    except OutOfRangeError:
        return None, None


def _best_damped(
    problem: JointProblem, local: _Local, full: Point | None, calls: Calls
) -> FloatArray | Point | None:
    """Return the best of damped steps, straight or bent, and the full step; None if none gains."""
    damped = Normal(local.slopes, local.free, DAMPINGS)
    straight = damped.solved(np.tile(local.gradient, (len(DAMPINGS), 1)))
    probes = local.moved(problem, PROBE * straight)
    rows = rows_where_possible(problem, probes, calls)
    # Second derivative of the predictions along each step; minus it that of the rows.
    bend = 2.0 / PROBE * ((local.point.rows - rows) / PROBE - local.slopes.along(straight))
    bent = straight - 0.5 * damped.solved(local.slopes.against(np.nan_to_num(bend)))
    candidates = local.moved(problem, np.concatenate([straight, bent]))
    chi2 = squares(rows_where_possible(problem, candidates, calls))
    best = int(np.argmin(chi2))
    if full is not None and full.chi2 <= chi2[best]:
        return full if full.chi2 < local.point.chi2 - LEAST_GAIN else None
    return candidates[best] if chi2[best] < local.point.chi2 - LEAST_GAIN else None
