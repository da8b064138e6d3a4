"""Liquid weighed against liquid read: what is in the cup should weigh what its volumes say."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.diagnosis.left_behind import LeftBehind, left_behind
from tarebook.diagnosis.tares import (
    by_volumes,
    liquid_temperature,
    without_zeros,
    zero_tares_contradicted,
)
from tarebook.findings.finding import Finding, Severity
from tarebook.measurement.volumes import shared_u
from tarebook.model.delivery import reagent_density
from tarebook.model.priors import Prior
from tarebook.records.pours import pours
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment

LOOK_AT = 3.5
STOP_AT = 6.0
"""Multiples of the standard uncertainty. At 3.5 one run in 2000 is odd by chance, one row in 250;
at 3 it would be one row in 50. At 6 none is."""

MEDIAN_OVER_MEAN = math.sqrt(math.pi / 2.0)
"""Standard error of a median over that of a mean, for normal values."""

FEWEST_FOR_A_MEDIAN = 3
"""With fewer runs the common liquid left behind cannot be told from one odd run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidCheck:
    """The comparison, for the runs that allow it.

    Attributes
    ----------
    runs : tuple of str
    difference : ndarray, shape (n,), [g]
        Liquid as weighed minus liquid by its volumes, as a balance would show both. Liquid left
        behind at each pour makes it negative.
    expected : ndarray, shape (n,), [g]
        What the difference should be: what the other cups show that a pour from each vessel leaves
        behind. A cup that only one vessel poured into lacks only that vessel's part.
    u : ndarray, shape (n,), [g]
        Standard uncertainty of `difference` less `expected` that each run has of its own.
    both : ndarray of bool, shape (n,)
        Which cups both vessels poured into, all equally often: the most that are alike.
    pours : ndarray, shape (2,), [1]
        How often each vessel was filled for those.
    common : float, [g]
        Median of the differences of the cups that both vessels poured into; 0 with too few.
    odd : ndarray, shape (n,), [1]
        (difference - expected) / u.
    """

    runs: tuple[str, ...]
    difference: FloatArray
    expected: FloatArray
    u: FloatArray
    both: BoolArray
    pours: FloatArray
    common: float
    odd: FloatArray


def compare_liquid(
    experiment: Experiment, table: RunTable, known: Iterable[Prior] | None = None
) -> LiquidCheck:
    """Return liquid mass against volume x density, run by run.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Runs that lack a mass or a volume, or that hold no liquid, are left out, and those whose
        empty vessel is written as a zero that is not its own.
    known : iterable of Prior, optional
        What is known beforehand; the experiment's own priors without it.
    """
    equipment = experiment.equipment
    # A zero that is not of this vessel says nothing of the liquid.
    table = without_zeros(table, zero_tares_contradicted(experiment, table))
    keep = _comparable(table)
    runs = tuple(run for run, kept in zip(table.runs, keep, strict=True) if kept)
    reagent = table.mean(Quantity.REAGENT, 0.0)[keep]
    diluent = table.mean(Quantity.DILUENT, 0.0)[keep]
    weighed = (table.mean(Quantity.LIQUID, 0.0) - table.mean(Quantity.TARE, 0.0))[keep]
    difference = weighed - by_volumes(experiment, table, keep)
    per_litre = reagent_density(experiment, liquid_temperature(experiment, table)[keep])
    found = [pours(experiment, table, liquid) for liquid in VOLUMES]
    own = np.zeros(len(runs))
    for liquid in found:
        own += (per_litre * liquid.own_u[keep]) ** 2
    own += 2.0 * equipment.balance.weighing_u**2
    # A scale error grows with the volume: about its mean over the row it is no common difference.
    for instrument, volume in ((equipment.reagent, reagent), (equipment.diluent, diluent)):
        if len(runs):
            own += (per_litre * shared_u(instrument, np.abs(volume - volume.mean()))) ** 2
    poured = np.array([liquid.fillings[keep] for liquid in found])
    left = _left_behind(left_behind(experiment, known), poured, difference, own)
    u = np.sqrt(own + left.u**2)
    expected = left.expected
    return LiquidCheck(
        runs=runs,
        difference=difference,
        expected=expected,
        u=u,
        both=left.alike,
        pours=left.pours,
        common=left.common,
        odd=(difference - expected) / u,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _LeftBehind:
    """What the pours of each cup left behind, as a difference in mass, and how unsure that is."""

    expected: FloatArray
    u: FloatArray
    alike: BoolArray
    pours: FloatArray
    common: float


def _left_behind(
    before: LeftBehind, poured: FloatArray, difference: FloatArray, own: FloatArray
) -> _LeftBehind:
    """Return the difference in mass that the pours of each cup let expect.

    Cups that were poured alike show what their pours leave behind: their median is what each of
    them lets expect. What one pour of each vessel leaves follows from those medians and from what
    was known beforehand, as unsurely as they leave it; that is what a cup of another kind lets
    expect.

    Parameters
    ----------
    before : LeftBehind
        What was known beforehand.
    poured : ndarray, shape (2, n), [1]
        How often the vessel of the reagent was filled, and that of the diluent.
    difference : ndarray, shape (n,), [g]
    own : ndarray, shape (n,), [g2]
        Variance of each difference.
    """
    centre, covariance = before.centre, before.covariance
    slopes = -poured
    # One number for both: of rows `unique` is slow, and this is done after each reading.
    both = poured[0] * (1.0 + poured[1].max(initial=0.0)) + poured[1]
    _, first, of_kind, counts = np.unique(
        both, return_index=True, return_inverse=True, return_counts=True
    )
    kinds = poured[:, first]
    known = np.flatnonzero(counts >= FEWEST_FOR_A_MEDIAN)
    medians = np.array([np.median(difference[of_kind == kind]) for kind in known])
    if known.size:
        variance = np.array([own[of_kind == kind].mean() / counts[kind] for kind in known])
        seen = -kinds[:, known]
        spread = seen.T @ covariance @ seen + np.diag(MEDIAN_OVER_MEAN**2 * variance)
        gain = np.linalg.solve(spread, seen.T @ covariance).T
        centre = centre + gain @ (medians - seen.T @ centre)
        covariance = covariance - gain @ seen.T @ covariance
    expected = centre @ slopes
    unsure = np.sqrt(np.maximum(np.einsum("in,ij,jn->n", slopes, covariance, slopes), 0.0))
    for kind, median in zip(known, medians, strict=True):
        expected[of_kind == kind], unsure[of_kind == kind] = median, 0.0
    from_both = [place for place, kind in enumerate(known) if kinds[:, kind].all()]
    if not from_both:
        none = np.zeros(poured.shape[1], dtype=np.bool_)
        return _LeftBehind(expected=expected, u=unsure, alike=none, pours=np.zeros(2), common=0.0)
    largest = max(from_both, key=lambda place: counts[known[place]])
    return _LeftBehind(
        expected=expected,
        u=unsure,
        alike=of_kind == known[largest],
        pours=kinds[:, known[largest]],
        common=float(medians[largest]),
    )


def _comparable(table: RunTable) -> BoolArray:
    needed = (Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID, Quantity.TARE)
    keep: BoolArray = np.all([table.taken(quantity) for quantity in needed], axis=0)
    for quantity in (Quantity.REAGENT, Quantity.DILUENT):
        keep &= table.mean(quantity, -1.0) >= 0
    keep &= table.mean(Quantity.REAGENT, 0.0) + table.mean(Quantity.DILUENT, 0.0) > 0
    keep &= table.mean(Quantity.LIQUID, 0.0) > table.mean(Quantity.TARE, 0.0)
    return keep


def check_liquid(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    """Yield a finding for each run whose liquid does not weigh what its volumes say."""
    yield from odd_liquids(compare_liquid(experiment, table))


def odd_liquids(check: LiquidCheck) -> Iterator[Finding]:
    """Yield a finding for each run of a comparison that is odd; none for one or two runs.

    With so few the check cannot tell an odd run from what every pour leaves behind.
    """
    if len(check.runs) < FEWEST_FOR_A_MEDIAN:
        return
    for run, difference, expected, u, odd in zip(
        check.runs, check.difference, check.expected, check.u, check.odd, strict=True
    ):
        if abs(odd) <= LOOK_AT:
            continue
        apart = float(difference - expected)
        yield Finding(
            code="liquid-mass-disagrees",
            severity=Severity.STOP if abs(odd) > STOP_AT else Severity.LOOK,
            run=run,
            reading=Quantity.LIQUID.value,
            evidence={
                "apart_g": apart,
                "weighed_less_volumes_g": float(difference),
                "left_behind_g": float(-expected),
                "u_g": float(u),
                "how_many_u": float(abs(odd)),
            },
            values={"by_g": abs(apart), "side": "more" if apart > 0 else "less"},
        )
