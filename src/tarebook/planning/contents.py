"""For which contents a row is planned: nobody knows the content before, else why measure it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.series.experiment import Experiment

CLAIM_HALF_WIDTH = 0.10
"""A row is planned for a content within 10 % of the claimed one, or 2 u of the claim if more."""

UNCLAIMED = (0.6, 1.0)
"""Where nothing is claimed: from a mixture to the pure substance."""

N_SCENARIOS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentRange:
    """Contents that a row must serve, all equally likely.

    Attributes
    ----------
    low, centre, high : float, [g/g]
    claimed : bool
        Whether the definition says anything about the content.
    """

    low: float
    centre: float
    high: float
    claimed: bool

    @property
    def scenarios(self) -> FloatArray:
        """Middles of equally likely slices of the range, shape (5,)."""
        slices = (np.arange(N_SCENARIOS) + 0.5) / N_SCENARIOS
        middles: FloatArray = self.low + slices * (self.high - self.low)
        return middles


def content_range(experiment: Experiment) -> ContentRange:
    """Return the contents that a row is planned for.

    Parameters
    ----------
    experiment : Experiment
    """
    claimed = experiment.sample.claimed_mass_fraction
    if claimed is None:
        low, high = UNCLAIMED
        return ContentRange(low=low, centre=(low + high) / 2.0, high=high, claimed=False)
    half = max(CLAIM_HALF_WIDTH * claimed.value, 2.0 * claimed.u)
    return ContentRange(
        low=max(claimed.value - half, 0.1 * claimed.value),
        centre=claimed.value,
        high=min(claimed.value + half, 1.0),
        claimed=True,
    )
