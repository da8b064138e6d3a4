"""What a row is drawn along, in words: the reagent as a rule, the sample where that grows."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.reduction.row_axis import RowAxis, row_axis
from tarebook.report import numbers
from tarebook.report.languages.writing import ENGLISH, Writing
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisWords:
    """The words of a row's axis.

    Attributes
    ----------
    axis : RowAxis
    acid : {"reagent", "acid"}
        What limits beside the sample: all acid in the cup where the sample brings some itself.
    falls : bool
        Whether the loss falls again beyond the equivalence point.
    how : Writing
        Language and numbers.
    """

    axis: RowAxis
    acid: str
    falls: bool
    how: Writing

    @property
    def title(self) -> str:
        """Title of the axis with its unit."""
        return self.how("charts.axis", grows=self.axis.grows)

    @property
    def unit(self) -> str:
        """Unit of the axis."""
        return "mL" if self.axis.grows == "reagent" else "g"

    @property
    def along(self) -> str:
        """The axis in a sentence: against what the mass lost is drawn."""
        return self.how("charts.along", grows=self.axis.grows)

    @property
    def rising(self) -> str:
        """What limits on the rising line, by its code."""
        return self.acid if self.axis.grows == "reagent" else "sample"

    @property
    def beyond(self) -> str:
        """What limits beyond the equivalence point, by its code."""
        return "sample" if self.axis.grows == "reagent" else self.acid

    def grown(self, reagent: float, sample: float) -> float:
        """Return that of the two amounts, [L] and [g], which grows along the row."""
        return reagent if self.axis.grows == "reagent" else sample

    def place(self, value: float) -> float:
        """Return a place, [L] or [g], in the unit of the axis."""
        return millilitres(value) if self.axis.grows == "reagent" else value

    def at(self, place: Estimate) -> str:
        """Return a place on the axis with its uncertainty."""
        shown = self.how.quantity(place)
        return shown if self.axis.grows == "reagent" else self.how("charts.at_sample", place=shown)

    @property
    def portion(self) -> str:
        """The portion of what stays the same, which the row is drawn for."""
        fixed, style = self.axis.fixed, self.how.style
        if self.axis.grows == "reagent":
            return numbers.with_unit(numbers.plain(fixed, 0.0, style), "g", style)
        return numbers.with_unit(numbers.plain(millilitres(fixed), 0.0, style), "mL", style)


def axis_words(experiment: Experiment, how: Writing = ENGLISH) -> AxisWords:
    """Return the words of a row's axis.

    Parameters
    ----------
    experiment : Experiment
    how : Writing, optional
        English without it.
    """
    axis = row_axis(experiment)
    falls = axis.grows == "sample" and lag_of(experiment.reaction) > 0.0
    acid = "acid" if brings_acid(experiment) else "reagent"
    return AxisWords(axis=axis, acid=acid, falls=falls, how=how)


def brings_acid(experiment: Experiment) -> bool:
    """Return whether the sample brings acid that counts with the reagent, by its definition."""
    sample = experiment.sample
    bare = sample.own_acid is not None and sample.own_acid.value > 0.0
    return protons_of_extent(experiment.reaction) > 0.0 and (
        bare or bool(sample.acids) or sample.acid_is_unknown
    )
