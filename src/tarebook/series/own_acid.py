"""From what the definition says of the acids of the sample to the memory's units."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.substances import acid_formulas, acid_substance
from tarebook.core.errors import Fault, InputError, TarebookError, faults_of
from tarebook.core.quantity import Measured
from tarebook.series import schema
from tarebook.series.experiment import SampleAcid
from tarebook.series.faults import did_you_mean, shown
from tarebook.series.other_units import was_it
from tarebook.series.procedure import DECLARED

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
            faults += [*_half_said(row, where), *_of_no_piece(row, where, table.piece_g)]
            one = _read(row, table.piece_g)
            faults += _more_than_all(row, one, where)
            found.append(one)
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


AMOUNTS = ("mmol_per_g", "mass_fraction", "mg_per_piece")


def _half_said(row: schema.SampleAcidTable, where: str) -> Iterator[Fault]:
    given = [key for key in AMOUNTS if getattr(row, key) is not None]
    if len(given) > 1:
        yield Fault(
            where=where,
            found=" and ".join(given),
            allowed="one of them, or none: the fit then finds the amount",
            do="Keep one.",
        )
    for of in AMOUNTS:
        if getattr(row, f"u_{of}") is not None and getattr(row, of) is None:
            yield Fault(
                where=f"{where}.u_{of}",
                found=f"no {of} beside it",
                allowed="both or neither",
                do=f"Add {of}, or remove u_{of}.",
            )


def _of_no_piece(row: schema.SampleAcidTable, where: str, piece_g: float | None) -> Iterator[Fault]:
    if row.mg_per_piece is not None and piece_g is None:
        yield Fault(
            where=f"{where}.mg_per_piece",
            found="no piece_g in [sample]",
            allowed="mg_per_piece for a sample that comes in pieces",
            do="Add piece_g, what a whole piece weighs, or give the acid per gram.",
        )


def _read(row: schema.SampleAcidTable, piece_g: float | None) -> SampleAcid:
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
    mass = molar_mass(row.formula).value
    for value, u, per_gram in (
        (row.mmol_per_g, row.u_mmol_per_g, 1e-3),
        (row.mass_fraction, row.u_mass_fraction, 1.0 / mass),
        (row.mg_per_piece, row.u_mg_per_piece, 1e-3 / mass / (piece_g or 1.0)),
    ):
        if value is not None:
            spread = HALF_A_DIGIT * value if u is None else u
            return SampleAcid(
                substance=substance, amount=_measured(value * per_gram, spread * per_gram)
            )
    return SampleAcid(substance=substance)


def _more_than_all(row: schema.SampleAcidTable, acid: SampleAcid, where: str) -> Iterator[Fault]:
    """Yield a fault for an acid of which a gram of the sample would hold more than a gram."""
    if acid.amount is None:
        return
    share = acid.amount.value * molar_mass(row.formula).value
    key = next((key for key in AMOUNTS if getattr(row, key) is not None), "")
    if not key or share <= 1.0:
        return
    value: float = getattr(row, key)
    yield Fault(
        where=f"{where}.{key}",
        found=f"{share:.3g} g of {shown(row.formula)} in a gram of sample",
        allowed="at most the whole gram",
        do=was_it(key, value, lambda other: 0.01 <= share * other / value <= 1.0)
        or "Check the number and its unit.",
    )


def _measured(value: float, u: float) -> Measured:
    return Measured(value=value, u=u, unit="mol/g", source=DECLARED)
