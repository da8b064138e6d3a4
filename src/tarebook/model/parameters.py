"""What is true of a whole series and not read off anything: the nuisances and the answer.

References
----------
.. [1] The values taken where the definition says nothing stand beside each prior, with their basis.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.effects import CupEffect

AIR_CO2_PRESSURE = 42.0
"""Partial pressure of CO2 in outdoor air, Pa (about 415 ppm; a closed room holds more)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameters:
    """What all runs of a series share. Each is a number or an array with a run axis of length 1.

    Attributes
    ----------
    content : ndarray, [g/g]
        Mass fraction of the analyte in the sample.
    own_acid : ndarray, [mol/g]
        Protons that a gram of sample gives; negative for a sample that takes them up.
    concentration : ndarray, [mol/L]
        Of the reagent in its stock.
    scale_reagent, scale_diluent : ndarray, [1]
        Relative error of the scale of each measuring vessel.
    hold_up_reagent, hold_up_diluent : ndarray, [L]
        Liquid left behind at each pour.
    gas_pressure : ndarray, [Pa]
        Pressure of CO2 that the solution is in balance with when the fizzing stops.
    degassing : ndarray, [1/min]
        Rate at which that pressure falls towards the room's.
    head_fraction : ndarray, [1]
        Part of the head space that still holds the gas at the last weighing.
    evaporation : ndarray, [g/min]
        Water lost from the standing vessel.
    vapour_saturation : ndarray, [1]
        Humidity of the gas that leaves, relative to saturation.
    heat_kept : ndarray, [1]
        Part of the heat of reaction that warms or cools the liquid itself.
    waiting : ndarray, [1]
        Where the waiting time was not read: how many times the definition's it was.
    first_pk_shift : ndarray, [1]
        Added to the first pK of carbonic acid: what published sets of constants disagree about.
    saturation : ndarray, [1]
        ln of the saturation that a carbonate left over has brought about; 0 at equilibrium.
    activity : ndarray, [1]
        By how many of the standard uncertainties of the activity model the liquid keeps more gas.
    """

    content: FloatArray
    own_acid: FloatArray
    concentration: FloatArray
    scale_reagent: FloatArray
    scale_diluent: FloatArray
    hold_up_reagent: FloatArray
    hold_up_diluent: FloatArray
    gas_pressure: FloatArray
    degassing: FloatArray
    head_fraction: FloatArray
    evaporation: FloatArray
    vapour_saturation: FloatArray
    heat_kept: FloatArray
    waiting: FloatArray
    first_pk_shift: FloatArray
    saturation: FloatArray
    activity: FloatArray

    def with_values(self, **values: FloatArray) -> Parameters:
        """Return the same with some of them changed."""
        return replace(self, **values)

    def under(self, effects: frozenset[CupEffect]) -> Parameters:
        """Return the same with what belongs to other effects at the value that does nothing.

        Parameters
        ----------
        effects : frozenset of CupEffect
            Those that count.
        """
        off = [name for effect, names in NOTHING_AT_ZERO if effect not in effects for name in names]
        if not off:
            return self
        return replace(self, **{name: np.zeros_like(getattr(self, name)) for name in off})


NOTHING_AT_ZERO = (
    (CupEffect.CALIBRATION, ("scale_reagent", "scale_diluent")),
    (CupEffect.HOLD_UP, ("hold_up_reagent", "hold_up_diluent")),
    (CupEffect.OWN_ACID, ("own_acid",)),
    (CupEffect.HEAD_GAS, ("head_fraction",)),
    (CupEffect.EVAPORATION, ("evaporation",)),
)
"""Effects that are nothing but a parameter: with it at 0 they do nothing. The others are switched
where they happen: warmth and vapour act on one another, and no parameter says whether gas dissolves
or air carries."""


NAMES = tuple(field.name for field in fields(Parameters))
"""The parameters, in the order in which a fit holds them."""


def parameters_at(values: FloatArray) -> Parameters:
    """Return parameters from values on the scale of the fit, in the order of `NAMES`.

    Parameters
    ----------
    values : ndarray, shape (..., len(NAMES))
    """
    return Parameters(
        **{name: from_fit_scale(name, values[..., i]) for i, name in enumerate(NAMES)}
    )


class Scale(StrEnum):
    """On which scale a parameter is fitted; it can then never leave its range."""

    LINEAR = "linear"
    LOGARITHMIC = "logarithmic"
    LOGISTIC = "logistic"


SCALES = {
    "gas_pressure": Scale.LOGARITHMIC,
    "degassing": Scale.LOGARITHMIC,
    "evaporation": Scale.LOGARITHMIC,
    "vapour_saturation": Scale.LOGISTIC,
    "heat_kept": Scale.LOGISTIC,
    "waiting": Scale.LOGARITHMIC,
}
"""Parameters that are not fitted on their own scale.

The hold-ups and the head gas are: readings depend on them in a straight line, so that the intervals
hold and the fit does not creep along a bent valley. A fit may then find a little less than nothing
where there is nothing; draws do not.
"""


def to_fit_scale(name: str, value: FloatArray) -> FloatArray:
    """Return a parameter on the scale on which it is fitted."""
    scale = SCALES.get(name, Scale.LINEAR)
    if scale is Scale.LOGARITHMIC:
        return np.log(value)
    if scale is Scale.LOGISTIC:
        return np.log(value / (1.0 - value))
    return value


def from_fit_scale(name: str, value: FloatArray) -> FloatArray:
    """Return a parameter from the scale on which it is fitted.

    Examples
    --------
    >>> fitted = to_fit_scale("vapour_saturation", np.array(0.2))
    >>> float(from_fit_scale("vapour_saturation", fitted).round(9))
    0.2
    """
    scale = SCALES.get(name, Scale.LINEAR)
    if scale is Scale.LOGARITHMIC:
        return np.exp(value)
    if scale is Scale.LOGISTIC:
        return 1.0 / (1.0 + np.exp(-value))
    return value
