"""How much gas leaves the liquid: the chemistry of the cup behind one seam.

`cup_state` takes the function that answers this as an argument. `by_equilibrium` is ours; a study
puts another chemistry in its place to see how far ours can be trusted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final, TypeAlias

import numpy as np

from tarebook.chemistry.equilibrium import Equilibrium, capped
from tarebook.chemistry.equilibrium.acids import CARBONIC
from tarebook.chemistry.equilibrium.solids import solids
from tarebook.chemistry.substances import Substance
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.cup_chemistry import ANION, CATION, CupChemistry
from tarebook.model.own_acid import OwnAcid

LEAST_WATER: Final = 1e-5
"""kg, the hundredth part of a mL: with less there is no solution whose molalities mean anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Where the chemistry of a cup may be off; arrays that broadcast with the mixture's, [1].

    Attributes
    ----------
    first_pk_shift, activity, saturation : ndarray
        As in `Parameters`.
    """

    first_pk_shift: FloatArray
    activity: FloatArray
    saturation: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """What is in the liquid when the fizzing is over; the arrays broadcast to one shape.

    Attributes
    ----------
    chemistry : CupChemistry
    totals : dict of str to ndarray, [mol/kg]
        Weak acids in all their forms, gas included.
    strong : dict of str to ndarray, [mol/kg]
        Strong ions.
    water : ndarray, [kg]
    temperature : ndarray, [K]
    pressure : ndarray, [Pa]
        Of CO2, that the liquid is in balance with.
    doubt : Doubt
    left_over : dict of str to ndarray, [mol/kg]
        Solid that found no acid, by formula; empty where everything dissolves of itself.
    """

    chemistry: CupChemistry
    totals: dict[str, FloatArray]
    strong: dict[str, FloatArray]
    water: FloatArray
    temperature: FloatArray
    pressure: FloatArray
    doubt: Doubt
    left_over: dict[str, FloatArray] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Released:
    """What became of a mixture.

    Attributes
    ----------
    gas : ndarray, [mol]
        CO2 that left the liquid.
    ph, ionic_strength : ndarray, [1] and [mol/kg]
    extrapolated : ndarray of bool
        Where the activity model is beyond its range.
    u_ph : ndarray or None, [1]
        Standard uncertainty of pH that the chemistry itself leaves; None where nobody asked.
    """

    gas: FloatArray
    ph: FloatArray
    ionic_strength: FloatArray
    extrapolated: BoolArray
    u_ph: FloatArray | None = None


Release: TypeAlias = Callable[[Mixture], Released]
"""From what is in the liquid to what leaves it."""


def by_equilibrium(mixture: Mixture) -> Released:
    """Return what leaves when the liquid keeps what the pressure holds, at equilibrium.

    Parameters
    ----------
    mixture : Mixture

    Raises
    ------
    OutOfRangeError
        If a temperature, a molality or an ionic strength leaves the range of the constants.
    """
    return _released(mixture, _solved(mixture))


def with_uncertainty(mixture: Mixture) -> Released:
    """Return the same as `by_equilibrium`, with the uncertainty of pH from the activity model.

    Parameters
    ----------
    mixture : Mixture

    Raises
    ------
    OutOfRangeError
        As for `by_equilibrium`.
    """
    solution = _solved(mixture)
    return replace(_released(mixture, solution), u_ph=solution.u_ph)


def _solved(mixture: Mixture) -> Equilibrium:
    return capped(
        mixture.chemistry.system,
        totals=mixture.totals,
        strong=mixture.strong,
        temperature=mixture.temperature,
        pressure=mixture.pressure,
        shifts={CARBONIC: (mixture.doubt.first_pk_shift, np.array(0.0))},
        solids=mixture.left_over,
        saturation=mixture.doubt.saturation,
    )


def _released(mixture: Mixture, solution: Equilibrium) -> Released:
    return Released(
        gas=(solution.released - _more_kept(mixture, solution)) * mixture.water,
        ph=solution.ph,
        ionic_strength=solution.ionic_strength,
        extrapolated=solution.extrapolated,
    )


def _more_kept(mixture: Mixture, solution: Equilibrium) -> FloatArray:
    """Return what a liquid keeps more than the activity model says, [mol/kg].

    No more than what left, so that nothing enters; no less either, so that a liquid which is just
    about to let go its first gas does so little by little.
    """
    activity = mixture.doubt.activity
    if not np.any(activity):
        return np.zeros_like(solution.released)
    more = solution.dissolved * np.expm1(activity * solution.u_dissolved)
    return np.asarray(np.clip(more, -solution.released, solution.released))


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """What was put into the liquid; arrays that broadcast, [mol].

    Attributes
    ----------
    analyte, reagent : ndarray
    left_over : ndarray
        Of the analyte, what found no acid and did not dissolve of itself.
    own_protons : ndarray
        That the sample's own acid gives; negative for a sample that takes them up.
    own_acid : OwnAcid
        What they are made of.
    """

    analyte: FloatArray
    reagent: FloatArray
    left_over: FloatArray
    own_protons: FloatArray
    own_acid: OwnAcid

    def of_substances(self, chemistry: CupChemistry) -> tuple[tuple[Substance, FloatArray], ...]:
        """Return each named substance with its amount."""
        protons = np.maximum(self.own_protons, 0.0)
        carried = tuple((acid, per_proton * protons) for acid, per_proton in self.own_acid.named)
        return ((chemistry.analyte, self.analyte), (chemistry.reagent, self.reagent), *carried)


def mixture_of(
    chemistry: CupChemistry,
    amounts: Amounts,
    water: FloatArray,
    temperature: FloatArray,
    pressure: FloatArray,
    doubt: Doubt,
) -> Mixture:
    """Return the mixture that amounts of analyte, reagent and own acid make in water.

    The sample's own acid takes part as what it is; without a name it counts as hydrochloric acid. A
    sample that takes up protons brings cations in place of anions.

    Parameters
    ----------
    chemistry : CupChemistry
    amounts : Amounts
    water : ndarray, [kg]
    temperature : ndarray, [K]
    pressure : ndarray, [Pa]
        Of CO2.
    doubt : Doubt

    Raises
    ------
    OutOfRangeError
        If there is no water to speak of in a vessel.
    """
    least = float(np.min(water))
    if not least >= LEAST_WATER:
        raise OutOfRangeError(
            "water in a vessel",
            1000.0 * least,
            "g",
            f"the range of {1000.0 * LEAST_WATER:g} g and more",
            "What is poured hardly exceeds what stays behind at the pour: check the volumes, their "
            "unit and the strength of the stock.",
        )
    totals: dict[str, FloatArray] = {}
    unnamed = np.maximum(amounts.own_protons, 0.0) * amounts.own_acid.unnamed
    strong = {
        ANION.name: unnamed / water,
        CATION.name: np.maximum(-amounts.own_protons, 0.0) / water,
    }
    for substance, amount in amounts.of_substances(chemistry):
        molality = amount / water
        for name, per_mole in substance.acids.items():
            totals[name] = totals.get(name, 0.0) + per_mole * molality
        for name, per_mole in substance.ions.items():
            strong[name] = strong.get(name, 0.0) + per_mole * molality
    return Mixture(
        chemistry=chemistry,
        totals=totals,
        strong=strong,
        water=water,
        temperature=temperature,
        pressure=pressure,
        doubt=doubt,
        left_over=_left_over(chemistry, amounts.left_over / water),
    )


def _left_over(chemistry: CupChemistry, molality: FloatArray) -> dict[str, FloatArray]:
    """Return the solid that lies in the liquid, if its solubility is known and any does."""
    formula = chemistry.analyte.formula
    if chemistry.analyte.dissolves or formula not in solids() or not np.any(molality > 0):
        return {}
    return {formula: molality}
