"""The acid that the sample itself carries: how much is known of it, and what it is made of.

One unknown of the fit stands for all of it: the protons per gram that count with the reagent. Which
acids they come from, in which proportion, is what the definition says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tarebook.chemistry.equilibrium.acids import table_source
from tarebook.chemistry.substances import Substance, acid_substance
from tarebook.core.kept import kept_for
from tarebook.core.quantity import Measured
from tarebook.core.tables import reference_table
from tarebook.model.cup_chemistry import may_hold_base
from tarebook.series.experiment import Experiment, Sample, SampleAcid


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnAcid:
    """The acid of a sample.

    Attributes
    ----------
    protons : Measured, [mol/g]
        That a gram gives, all acids together, before any reading.
    named : tuple of (Substance, float)
        Each named acid, with its moles for one mole of all those protons.
    unnamed : float, [1]
        Part of the protons that belongs to no named acid and counts as strong acid.
    """

    protons: Measured
    named: tuple[tuple[Substance, float], ...]
    unnamed: float

    @property
    def formulas(self) -> tuple[str, ...]:
        """Formulas of the named acids."""
        return tuple(substance.formula for substance, _ in self.named)


@kept_for
def own_acid(experiment: Experiment) -> OwnAcid:
    """Return what is known of the sample's own acid before any reading.

    Parameters
    ----------
    experiment : Experiment

    Returns
    -------
    OwnAcid
        Without a word in the definition: none, give or take what impurities may do; more in a
        carbonate that does not dissolve of itself, which may be lime. An acid whose amount is left
        out has the wide prior of the table.
    """
    sample = experiment.sample
    table = reference_table("tarebook.model", "cup")
    acids = _acids(sample)
    if not acids:
        row = table["own_acid_mineral" if may_hold_base(experiment) else "own_acid"]
        nothing = Measured(
            value=0.0, u=row["u_mmol_per_g"] / 1000.0, unit="mol/g", source=table_source(row)
        )
        return OwnAcid(protons=sample.own_acid or nothing, named=(), unnamed=1.0)
    wide = table["own_acid_unknown"]
    guess = wide["mmol_per_g"] / 1000.0 / len(acids)
    given = [
        (acid.substance.protons * acid.amount.value, acid.substance.protons * acid.amount.u)
        if acid.amount is not None
        else (guess, math.inf)
        for acid in acids
    ]
    bare = sample.own_acid
    total = sum(value for value, _ in given) + (bare.value if bare else 0.0)
    u = math.sqrt(sum(u**2 for _, u in given) + (bare.u if bare else 0.0) ** 2)
    sources = [acid.amount.source for acid in acids if acid.amount is not None]
    is_open = math.isinf(u)
    protons = Measured(
        value=total,
        u=wide["u_mmol_per_g"] / 1000.0 if is_open else u,
        unit="mol/g",
        source=table_source(wide) if is_open else sources[0],
    )
    whole = total or 1.0
    parts = [value / whole if total else 1.0 / len(acids) for value, _ in given]
    return OwnAcid(
        protons=protons,
        named=tuple(
            (acid.substance, part / acid.substance.protons)
            for acid, part in zip(acids, parts, strict=True)
        ),
        unnamed=1.0 - sum(parts),
    )


def _acids(sample: Sample) -> tuple[SampleAcid, ...]:
    """Return the acids by name; citric acid stands for one of which nothing is known."""
    if sample.acids or not sample.acid_is_unknown:
        return sample.acids
    formula = reference_table("tarebook.model", "cup")["own_acid_unknown"]["stands_for"]
    substance = acid_substance(formula)
    if substance is None:
        raise LookupError(f"{formula} is not among the acids of substances.toml")
    return (SampleAcid(substance=substance),)
