"""From what the definition says of the acids of the sample to the memory's units."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.substances import acid_formulas, acid_substance
from tarebook.core.errors import Fault, InputError, TarebookError, faults_of
from tarebook.core.quantity import Measured, Source
from tarebook.series import schema
from tarebook.series.experiment import SampleAcid
from tarebook.series.faults import did_you_mean, shown

DECLARED = Source("the definition", "declared")

HALF_A_DIGIT = 0.05
"""Relative standard uncertainty of an amount that the definition gives without one: a label's two
digits (common practice, no source)."""


def read_own_acid(table: schema.SampleTable) -> Measured | None:
    """Return the unnamed acid that a definition declares, [mol/g] of protons.

    Parameters
    ----------
    table : SampleTable
    """
    if table.own_acid_mmol_per_g is None:
        return None
    return Measured(
        value=table.own_acid_mmol_per_g / 1000.0,
        u=(table.own_acid_u_mmol_per_g or 0.0) / 1000.0,
        unit="mol/g",
        source=DECLARED,
    )


def read_acids(table: schema.SampleTable) -> tuple[SampleAcid, ...]:
    """Return the named acids of a sample.

    Parameters
    ----------
    table : SampleTable

    Raises
    ------
    InputError
        With the faults of all of them: not an acid known here, an amount said twice, an uncertainty
        without its amount, or "none" beside an acid.
    """
    faults = list(_contradictions(table))
    found = []
    for number, row in enumerate(table.acids, start=1):
        where = f"acids[{number}]"
        try:
            faults += [*_half_said(row, where)]
            found.append(_read(row))
        except InputError as error:
            faults += [
                Fault(where=f"{where}.{f.where}", found=f.found, allowed=f.allowed, do=f.do)
                for f in error.faults
            ]
        except TarebookError as error:
            faults += faults_of(error, where)
    if faults:
        raise InputError(faults)
    return tuple(found)


def _contradictions(table: schema.SampleTable) -> Iterator[Fault]:
    said = table.acids or table.own_acid_mmol_per_g
    if table.own_acid == "none" and said:
        yield Fault(
            where="own_acid",
            found='"none" beside an acid of the sample',
            allowed='"none" alone, or the acids',
            do="Remove one of the two.",
        )
    if table.own_acid == "unknown" and table.own_acid_mmol_per_g is not None:
        yield Fault(
            where="own_acid",
            found='"unknown" beside own_acid_mmol_per_g',
            allowed="one of the two",
            do="Remove own_acid_mmol_per_g to let the fit find it.",
        )


def _half_said(row: schema.SampleAcidTable, where: str) -> Iterator[Fault]:
    if row.mmol_per_g is not None and row.mass_fraction is not None:
        yield Fault(
            where=where,
            found="mmol_per_g and mass_fraction",
            allowed="one of the two, or neither: the fit then finds the amount",
            do="Keep one.",
        )
    for key, of in (("u_mmol_per_g", "mmol_per_g"), ("u_mass_fraction", "mass_fraction")):
        if getattr(row, key) is not None and getattr(row, of) is None:
            yield Fault(
                where=f"{where}.{key}",
                found=f"no {of} beside it",
                allowed="both or neither",
                do=f"Add {of}, or remove {key}.",
            )


def _read(row: schema.SampleAcidTable) -> SampleAcid:
    substance = acid_substance(row.formula)
    if substance is None:
        known = acid_formulas()
        fault = Fault(
            where="formula",
            found=shown(row.formula),
            allowed=f"an acid known here: {', '.join(known)}",
            do=did_you_mean(
                row.formula, known, "Or give its protons in own_acid_mmol_per_g, without a name."
            ),
        )
        raise InputError([fault])
    amount = None
    if row.mmol_per_g is not None:
        u = HALF_A_DIGIT * row.mmol_per_g if row.u_mmol_per_g is None else row.u_mmol_per_g
        amount = _measured(row.mmol_per_g / 1000.0, u / 1000.0)
    elif row.mass_fraction is not None:
        mass = molar_mass(row.formula).value
        u = HALF_A_DIGIT * row.mass_fraction if row.u_mass_fraction is None else row.u_mass_fraction
        amount = _measured(row.mass_fraction / mass, u / mass)
    return SampleAcid(substance=substance, amount=amount)


def _measured(value: float, u: float) -> Measured:
    return Measured(value=value, u=u, unit="mol/g", source=DECLARED)
