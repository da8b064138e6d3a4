"""What may be wrong with all runs of a row alike, weighed against slips in single cups.

Each is the same fit of the shared unknowns with one thing taken otherwise. It pays for its rarity,
for every nuisance that it bends away from what is known, and for a content above 100 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.cups import (
    CONCENTRATION,
    DILUENT,
    FINAL,
    LIQUID,
    REAGENT,
    SAMPLE,
    TARE,
    Cups,
    Shared,
)
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.diagnosis.slips.shared import (
    PRICE,
    SharedFit,
    Walk,
    fitting,
    glancing,
    together,
)
from tarebook.model.parameters import NAMES
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.distributions import chance_below_zero
from tarebook.reduction.joint.problem import LINEAR
from tarebook.series.experiment import Experiment

OTHER_STOCK: Final = 0.5
"""Relative spread of a stock that is not the one of the definition: half or half as much again."""

TENFOLD: Final = (0.1, 10.0)
"""Strengths over that of the definition, of a point in the wrong place."""

OFFSET: Final = 1.0
"""Spread of a mass that all weighings of one kind are off by, [g]: a boat, a lid, a zero."""

BOAT_STEPS: Final = 3
BOAT_SETTLED: Final = 0.02
"""Times that a boat is taken off the portions, and the rest with which that ends, [g]."""

PARTS_TO_COME: Final = (0.03, 0.06, 0.1, 0.15, 0.2, 0.3, 0.4)
USUAL_PART: Final = 0.15
"""Parts of the gas still to come where every cup was weighed too early, and their mean."""

FACTORS: Final = (0.8, 0.9, 0.95, 0.98, 1.02, 1.05, 1.1, 1.25)
"""By which a balance that was never adjusted shows too much."""

CLEARLY: Final = 4.0
"""By how much the row must fit better for a hypothesis to be worth saying."""

PROMISING: Final = 1.0
"""By how much a short walk must better the fit for a hypothesis to be fitted to its end."""

LEAST_CHANCE: Final = 0.01
"""What remains of a hypothesis that needs a content above 100 %: crystals may have lost water."""

BOAT: Final = len(NAMES) + LINEAR.index(Quantity.SAMPLE)
OF_LAST: Final = len(NAMES) + LINEAR.index(Quantity.FINAL)
OF_EMPTY: Final = len(NAMES) + LINEAR.index(Quantity.TARE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RowSlip:
    """The series with one thing wrong in all runs.

    Attributes
    ----------
    kind : SlipKind
    fit : SharedFit
    size : float
        Strength of the stock [mol/L], mass that was written too much [g], part of the gas that was
        still to come, or factor of the balance; nan where it has none.
    how_many_u : float
        By how many standard uncertainties of what was known the thing is off; nan where that was
        nothing.
    log_evidence : float
        Its rate included.
    log_fits : float
        The same without its rate: what the readings say.
    probability : float, [1]
    by_place : int
        Place of the shared unknown that is off; -1 where it is none.
    """

    kind: SlipKind
    fit: SharedFit
    size: float
    how_many_u: float
    log_evidence: float
    log_fits: float
    probability: float = 0.0
    by_place: int = -1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Candidate:
    """One thing taken otherwise in all runs: how the fit is made that goes with it.

    Attributes
    ----------
    kind : SlipKind
    prior : Shared
    cups : Cups
    share : float, [1]
        Of the rate of its kind.
    size : float
        Of the candidate itself; nan where the fit finds all of it. What the fit finds is added.
    place : int
        Place of the shared unknown that is free; -1 where none is.
    log : float
        Added to the evidence: what is taken apart farther scatters more.
    """

    kind: SlipKind
    prior: Shared
    cups: Cups
    share: float = 1.0
    size: float = math.nan
    place: int = -1
    log: float = 0.0

    def start(self, fit: SharedFit) -> FloatArray:
        """Return where the shared unknowns of a fit lie among this candidate's steps."""
        own = fit.prior.centre + fit.prior.step * fit.shared
        moved = (own - self.prior.centre) / self.prior.step
        start: FloatArray = np.where(self.prior.step == fit.prior.step, fit.shared, moved)
        return start


def weigh_rows(
    experiment: Experiment, fit: SharedFit, odds: SlipOdds, *, thoroughly: bool = True
) -> tuple[RowSlip, ...]:
    """Return what may be wrong with all runs alike, the most probable of each kind first.

    Parameters
    ----------
    experiment : Experiment
    fit : SharedFit
        With everything as read and as defined.
    odds : SlipOdds
    thoroughly : bool
        Whether each is fitted whatever it promises: where `fit` is at odds with many runs, a short
        walk from there promises nothing.
    """
    # A long row would say no more than some of its runs, and would take long to say it.
    few = fit.few()
    clearly = few.cost - CLEARLY
    found: list[tuple[int, RowSlip]] = []
    walks = [_trying(few, untried, thoroughly=thoroughly) for untried in _candidates(few)]
    for place, fitted in enumerate(together(experiment, walks)):
        if fitted is None:
            continue
        candidate, moved = fitted
        # What leaves the row at odds with itself, or hardly better, is never proposed.
        if moved.agrees and moved.cost <= clearly:
            found.append((place, _slip(candidate, few, moved, odds)))
    logs = np.array([_log_series(few), *(slip.log_evidence for _, slip in found)])
    parts = np.exp(logs - logs.max())
    parts /= parts.sum()
    of_kind: dict[SlipKind, tuple[int, RowSlip]] = {}
    for (place, slip), part in zip(found, parts[1:], strict=True):
        before = of_kind.get(slip.kind)
        sum_of = float(part) + (before[1].probability if before else 0.0)
        if before is not None and slip.log_evidence <= before[1].log_evidence:
            place, slip = before
        of_kind[slip.kind] = place, replace(slip, probability=sum_of)
    ordered = sorted(of_kind.values(), key=lambda each: -each[1].probability)
    slips = [slip for _, slip in ordered]
    if slips and few is not fit:
        untried = next(islice(_candidates(fit), ordered[0][0], None))
        ((candidate, moved),) = together(experiment, [_fitting(untried)])
        whole = _slip(candidate, fit, moved, odds)
        slips[0] = replace(whole, probability=slips[0].probability)
    return tuple(slips)


def _trying(
    fit: SharedFit, candidate: _Candidate, *, thoroughly: bool
) -> Walk[tuple[_Candidate, SharedFit] | None]:
    """Walk to the fit of a candidate; only a little where that gets nowhere, unless thoroughly."""
    if not thoroughly:
        seen = yield from glancing(candidate.prior, candidate.cups, candidate.start(fit))
        if seen.cost > fit.cost - PROMISING:
            return None
    return (yield from _fitting(candidate))


def _fitting(candidate: _Candidate) -> Walk[tuple[_Candidate, SharedFit]]:
    """Walk to the fit of a candidate, with its size if the fit finds it."""
    moved = yield from fitting(candidate.prior, candidate.cups)
    if candidate.place == BOAT:
        return (yield from _without_boat(candidate, moved))
    return candidate, moved


def _without_boat(candidate: _Candidate, moved: SharedFit) -> Walk[tuple[_Candidate, SharedFit]]:
    """Walk to the fit with the boat taken off every portion.

    A whole boat changes which reactant limits: a straight line from what was written is no measure.
    """
    for _ in range(BOAT_STEPS):
        rest = float(moved.prior.step[BOAT] * moved.shared[BOAT])
        # From far off the straight line leads to a fit that is at odds, and yet nearer.
        if abs(rest) < BOAT_SETTLED:
            break
        boat = rest if math.isnan(candidate.size) else candidate.size + rest
        lighter = candidate.cups.observed.copy()
        # A boat goes with a portion: into a blank cup went neither.
        portions = lighter[SAMPLE] > 0.0
        lighter[SAMPLE] = np.where(portions, np.maximum(lighter[SAMPLE] - rest, 0.0), 0.0)
        candidate = replace(
            candidate,
            cups=replace(candidate.cups, observed=lighter),
            size=boat,
            log=-0.5 * (boat / OFFSET) ** 2,
        )
        moved = yield from fitting(candidate.prior, candidate.cups)
    return candidate, moved


def _candidates(fit: SharedFit) -> Iterator[_Candidate]:
    prior, cups = fit.prior, fit.cups
    yield from _stocks(fit)
    for kind, places in (
        (SlipKind.PORTIONS_OFF, (BOAT,)),
        (SlipKind.WEIGHINGS_OFF, (OF_LAST, OF_EMPTY)),
    ):
        for place in places:
            wide = prior.widened(place, OFFSET)
            share = 1.0 / len(places)
            yield _Candidate(kind=kind, prior=wide, cups=cups, share=share, place=place)
    yield _Candidate(kind=SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT, prior=prior, cups=_exchanged(cups))
    shares = np.exp(-np.array(PARTS_TO_COME) / USUAL_PART)
    for part, share in zip(PARTS_TO_COME, shares / shares.sum(), strict=True):
        yield _Candidate(
            kind=SlipKind.WEIGHED_EARLY_THROUGHOUT,
            prior=prior,
            cups=_let_out(cups, part),
            share=float(share),
            size=part,
            log=cups.n * math.log1p(part / (1.0 - part)),
        )
    for factor in FACTORS:
        yield _Candidate(
            kind=SlipKind.BALANCE_SCALE_OFF,
            prior=prior,
            cups=_scaled(cups, factor),
            share=1.0 / len(FACTORS),
            size=factor,
            log=-2.0 * cups.n * math.log(factor),
        )


def _stocks(fit: SharedFit) -> Iterator[_Candidate]:
    defined, u = (float(a[CONCENTRATION]) for a in (fit.prior.centre, fit.prior.step))
    tried = [(1.0, OTHER_STOCK * defined, 1.0 - 0.1 * len(TENFOLD))]
    tried += [(factor, factor * u, 0.1) for factor in TENFOLD]
    for factor, spread, share in tried:
        yield _Candidate(
            kind=SlipKind.OTHER_STOCK_THROUGHOUT,
            prior=fit.prior.widened(CONCENTRATION, spread, factor * defined),
            cups=fit.cups,
            share=share,
            place=CONCENTRATION,
        )


def _slip(candidate: _Candidate, fit: SharedFit, moved: SharedFit, odds: SlipOdds) -> RowSlip:
    """Return a candidate with its fit and its evidence, the rate of its kind included."""
    size, known, place = candidate.size, math.nan, candidate.place
    if place >= 0:
        size = 0.0 if math.isnan(size) else size
        size += float(moved.prior.centre[place] + moved.prior.step[place] * moved.shared[place])
        known = abs(size - float(fit.prior.centre[place])) / float(fit.prior.step[place])
    rate = math.log(odds.rate(candidate.kind) * candidate.share)
    fits = _log_series(moved) + candidate.log
    return RowSlip(
        kind=candidate.kind,
        fit=moved,
        size=size,
        how_many_u=known,
        log_evidence=rate + fits,
        log_fits=fits,
        by_place=place,
    )


def _exchanged(cups: Cups) -> Cups:
    """Return the cups with reagent and diluent in each other's column."""
    order = np.arange(len(cups.observed))
    order[[REAGENT, DILUENT]] = order[[DILUENT, REAGENT]]
    return replace(
        cups,
        observed=cups.observed[order],
        u=cups.u[order],
        taken=cups.taken[order],
        pours=cups.pours[::-1],
    )


def _let_out(cups: Cups, part: float) -> Cups:
    """Return the cups as they would weigh once the gas that is still to come is gone."""
    observed = cups.observed.copy()
    lost = observed[LIQUID] + observed[SAMPLE] - observed[FINAL]
    observed[FINAL] -= part / (1.0 - part) * np.where(cups.taken[FINAL], lost, 0.0)
    return replace(cups, observed=observed)


def _scaled(cups: Cups, factor: float) -> Cups:
    """Return the cups with all masses over a factor."""
    observed: FloatArray = cups.observed.copy()
    for row in (TARE, LIQUID, SAMPLE, FINAL):
        observed[row] = observed[row] / factor
    return replace(cups, observed=observed)


def _log_series(fit: SharedFit) -> float:
    """Return the logarithm of the evidence of a series, runs left out at their price."""
    use = fit.kept.astype(np.float64)
    matrix = np.einsum("k,kij->ij", use, fit.says) + fit.prior.precision
    objective = fit.misfit([]) + PRICE * float(np.sum(1.0 - use))
    known = np.linalg.slogdet(fit.prior.precision)[1]
    return log_sense(fit) - 0.5 * float(objective + np.linalg.slogdet(matrix)[1] - known)


def log_sense(fit: SharedFit) -> float:
    """Return the logarithm of the chance that the content is one that a sample can have."""
    content, u = fit.content(*fit.without([]))
    return math.log(max(chance_below_zero(content - 1.0, max(u, 1e-9)), LEAST_CHANCE))
