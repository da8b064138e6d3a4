"""What may be wrong with all runs of a row alike, weighed against slips in single cups.

Each is the same fit of the shared unknowns with one thing taken otherwise. It pays for its rarity,
for every nuisance that it bends away from what is known, and for a content above 100 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
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
)
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.diagnosis.slips.shared import PRICE, SharedFit, fit_shared
from tarebook.model.parameters import NAMES
from tarebook.reduction.joint.problem import LINEARITIES
from tarebook.series.experiment import Experiment

OTHER_STOCK: Final = 0.5
"""Relative spread of a stock that is not the one of the definition: half or half as much again."""

TENFOLD: Final = (0.1, 10.0)
"""Strengths over that of the definition, of a point in the wrong place."""

OFFSET: Final = 1.0
"""Spread of a mass that all weighings of one kind are off by, [g]: a boat, a lid, a zero."""

PARTS_TO_COME: Final = (0.03, 0.06, 0.1, 0.15, 0.2, 0.3, 0.4)
USUAL_PART: Final = 0.15
"""Parts of the gas still to come where every cup was weighed too early, and their mean."""

FACTORS: Final = (0.8, 0.9, 0.95, 0.98, 1.02, 1.05, 1.1, 1.25)
"""By which a balance that was never adjusted shows too much."""

CLEARLY: Final = 4.0
"""By how much the row must fit better for a hypothesis to be worth saying."""

LEAST_CHANCE: Final = 0.01
"""What remains of a hypothesis that needs a content above 100 %: crystals may have lost water."""

BOAT: Final = len(NAMES) + LINEARITIES.index("sample")
OF_LAST: Final = len(NAMES) + LINEARITIES.index("final")
OF_EMPTY: Final = len(NAMES) + LINEARITIES.index("tare")


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
    probability : float, [1]
    by_place : int
        Place of the shared unknown that is off; -1 where it is none.
    """

    kind: SlipKind
    fit: SharedFit
    size: float
    how_many_u: float
    log_evidence: float
    probability: float = 0.0
    by_place: int = -1


def weigh_rows(experiment: Experiment, fit: SharedFit, odds: SlipOdds) -> tuple[RowSlip, ...]:
    """Return what may be wrong with all runs alike, the most probable of each kind first.

    Parameters
    ----------
    experiment : Experiment
    fit : SharedFit
        With everything as read and as defined.
    odds : SlipOdds
    """
    clearly = fit.cost - CLEARLY
    # What leaves the row at odds with itself, or hardly better, is never proposed.
    found = [s for s in _tried(experiment, fit, odds) if s.fit.agrees and s.fit.cost <= clearly]
    logs = np.array([_log_series(fit), *(slip.log_evidence for slip in found)])
    parts = np.exp(logs - logs.max())
    parts /= parts.sum()
    of_kind: dict[SlipKind, RowSlip] = {}
    for slip, part in zip(found, parts[1:], strict=True):
        before = of_kind.get(slip.kind)
        best = slip if before is None or slip.log_evidence > before.log_evidence else before
        sum_of = float(part) + (before.probability if before else 0.0)
        of_kind[slip.kind] = replace(best, probability=sum_of)
    return tuple(sorted(of_kind.values(), key=lambda slip: -slip.probability))


def _tried(experiment: Experiment, fit: SharedFit, odds: SlipOdds) -> Iterator[RowSlip]:
    yield from _stocks(experiment, fit, odds)
    for kind, places in (
        (SlipKind.PORTIONS_OFF, (BOAT,)),
        (SlipKind.WEIGHINGS_OFF, (OF_LAST, OF_EMPTY)),
    ):
        for place in places:
            prior = fit.prior.widened(place, OFFSET)
            moved = fit_shared(experiment, prior, fit.cups)
            size = OFFSET * float(moved.shared[place])
            known = abs(size) / float(fit.prior.step[place])
            slip = _slip(kind, moved, size, known, odds, 1.0 / len(places))
            yield replace(slip, by_place=place)
    others = fit_shared(experiment, fit.prior, _exchanged(fit.cups))
    yield _slip(SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT, others, math.nan, math.nan, odds, 1.0)
    shares = np.exp(-np.array(PARTS_TO_COME) / USUAL_PART)
    for part, share in zip(PARTS_TO_COME, shares / shares.sum(), strict=True):
        done = fit_shared(experiment, fit.prior, _let_out(fit.cups, part))
        # What is taken apart farther scatters more.
        wider = fit.cups.n * math.log1p(part / (1.0 - part))
        kind = SlipKind.WEIGHED_EARLY_THROUGHOUT
        yield _slip(kind, done, part, math.nan, odds, float(share), wider)
    for factor in FACTORS:
        scaled = fit_shared(experiment, fit.prior, _scaled(fit.cups, factor))
        wider = -2.0 * fit.cups.n * math.log(factor)
        kind = SlipKind.BALANCE_SCALE_OFF
        yield _slip(kind, scaled, factor, math.nan, odds, 1.0 / len(FACTORS), wider)


def _stocks(experiment: Experiment, fit: SharedFit, odds: SlipOdds) -> Iterator[RowSlip]:
    defined, u = (float(a[CONCENTRATION]) for a in (fit.prior.centre, fit.prior.step))
    tried = [(1.0, OTHER_STOCK * defined, 1.0 - 0.1 * len(TENFOLD))]
    tried += [(factor, factor * u, 0.1) for factor in TENFOLD]
    for factor, spread, share in tried:
        prior = fit.prior.widened(CONCENTRATION, spread, factor * defined)
        free = fit_shared(experiment, prior, fit.cups)
        strength = factor * defined + spread * float(free.shared[CONCENTRATION])
        off = abs(strength - defined) / u
        yield _slip(SlipKind.OTHER_STOCK_THROUGHOUT, free, strength, off, odds, share)


def _slip(
    kind: SlipKind,
    fit: SharedFit,
    size: float,
    how_many_u: float,
    odds: SlipOdds,
    share: float,
    log: float = 0.0,
) -> RowSlip:
    log_evidence = math.log(odds.rate(kind) * share) + _log_series(fit) + log
    return RowSlip(kind=kind, fit=fit, size=size, how_many_u=how_many_u, log_evidence=log_evidence)


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
    from scipy.special import ndtr

    content, u = fit.content(*fit.without([]))
    return math.log(max(float(ndtr((1.0 - content) / max(u, 1e-9))), LEAST_CHANCE))
