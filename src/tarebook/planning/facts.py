"""What the rules of a planned row look at, computed once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.priors import central_parameters
from tarebook.planning.changes import places_of, row_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.expected import lost_as_planned
from tarebook.planning.span import equivalence_range
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Facts:
    """What the rules look at, computed once.

    Attributes
    ----------
    row : ndarray, shape (n,), [L]
    places : ndarray, [L]
        Of the runs that have a sample, see `places_of`.
    at, at_low, at_high : float, [L]
        Equivalence reading at the middle and the ends of the contents planned for.
    lost : ndarray, shape (n,), [g]
        Mass lost at the middle content.
    gas, water : ndarray, shape (n,), [g]
        Of it: gas that leaves the liquid; vapour with that gas and what evaporates while waiting.
    """

    experiment: Experiment
    contents: ContentRange
    row: FloatArray
    places: FloatArray
    at: float
    at_low: float
    at_high: float
    lost: FloatArray
    gas: FloatArray
    water: FloatArray

    @property
    def place(self) -> float:
        """Where the equivalence point lies between the first run (0) and the last (1)."""
        first, last = float(self.places.min()), float(self.places.max())
        return (self.at - first) / (last - first) if last > first else 0.0

    def shown_place(self, place: float) -> Phrase:
        """Return a place as what is taken there: mL of reagent, or g where the sample grows."""
        if self.experiment.grows == "sample" and place > 0:
            nominal, poured = self.experiment.sample.nominal_mass, float(self.row.max())
            return Phrase.of("plan-portion", sample_g=nominal * poured / place)
        return shown(place)


def facts(experiment: Experiment, contents: ContentRange) -> Facts:
    """Return what the rules look at.

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    low, high = equivalence_range(experiment, contents)
    middle = central_parameters(experiment).with_values(content=np.array(contents.centre))
    state, lost = lost_as_planned(experiment, middle)
    return Facts(
        experiment=experiment,
        contents=contents,
        row=row_of(experiment),
        places=places_of(experiment),
        at=float(equivalence_reading(experiment, middle)),
        at_low=low,
        at_high=high,
        lost=lost,
        gas=state.gas_released,
        water=state.vapour + state.evaporated,
    )


def shown(volume: float) -> Phrase:
    """Return a volume as the findings have it."""
    return Phrase.of("plan-volume", volume_mL=millilitres(volume))
