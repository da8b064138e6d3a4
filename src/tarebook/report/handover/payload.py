"""A row that is not finished as JSON and CSV: keys and columns carry their unit."""

from __future__ import annotations

from tarebook.core.csv_text import csv_text
from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import Handover, PlanDifference
from tarebook.diagnosis.to_come import ToCome
from tarebook.records.readings import Quantity
from tarebook.records.stage import Stage
from tarebook.reduction.poured.results import PouredCup
from tarebook.report.languages.writing import csv_way
from tarebook.report.outcome import Outcome
from tarebook.report.payload_quantities import Json, in_millilitres, in_unit, quantity


def cup_payload(outcome: Outcome, run: str) -> Json | None:
    """Return what is known of one cup that is not finished; None of a finished one.

    Parameters
    ----------
    outcome : Outcome
    run : str

    Returns
    -------
    dict or None
        ``reagent_mL``, ``diluent_mL`` (in the cup), ``reagent_mol``, ``concentration_mol_per_L``,
        ``liquid_by_mass_g``, ``liquid_by_volume_g``, ``left_behind_g``: quantities, null where they
        are not known. ``recovered``: volumes that follow from the mass, by the column that lacks.
        ``from_plan``: columns for which the plan stands in. ``mass_is_doubtful``. ``difference``:
        to the plan. ``to_come``: ``sample_g``, ``lost_g``, ``final_g``.
    """
    handover = outcome.handover
    if handover is None or outcome.stage.runs.get(run) is Stage.FINISHED:
        return None
    cup, coming = handover.poured.cup(run), handover.to_come.get(run)
    difference = handover.difference(run)
    return {
        **(_cup(cup) if cup else _NO_CUP),
        "difference": _difference(difference) if difference else None,
        "to_come": _to_come(coming) if coming else None,
    }


_NO_CUP: Json = {
    "reagent_mL": None,
    "diluent_mL": None,
    "reagent_mol": None,
    "concentration_mol_per_L": None,
    "liquid_by_mass_g": None,
    "liquid_by_volume_g": None,
    "left_behind_g": None,
    "recovered": {},
    "from_plan": [],
    "mass_is_doubtful": False,
}


def _cup(cup: PouredCup) -> Json:
    return {
        "reagent_mL": in_millilitres(cup.reagent),
        "diluent_mL": in_millilitres(cup.diluent),
        "reagent_mol": quantity(cup.amount),
        "concentration_mol_per_L": quantity(cup.concentration),
        "liquid_by_mass_g": quantity(cup.by_mass),
        "liquid_by_volume_g": quantity(cup.by_volume),
        "left_behind_g": quantity(cup.left_behind),
        "recovered": {what.value: in_millilitres(value) for what, value in cup.recovered.items()},
        "from_plan": [what.value for what in cup.from_plan],
        "mass_is_doubtful": cup.mass_is_doubtful,
    }


def _difference(one: PlanDifference) -> Json:
    return {
        Quantity.REAGENT.value: None if one.reagent is None else millilitres(one.reagent),
        Quantity.DILUENT.value: None if one.diluent is None else millilitres(one.diluent),
        "differs": one.differs,
        "changes_side": one.changes_side,
    }


def _to_come(one: ToCome) -> Json:
    return {"sample_g": one.sample, "lost_g": quantity(one.lost), "final_g": quantity(one.final)}


def row_payload(handover: Handover | None) -> Json | None:
    """Return what is known of the row as a whole; None where every cup is finished.

    Parameters
    ----------
    handover : Handover or None

    Returns
    -------
    dict or None
        ``fitness``: ``"fit"``, ``"fit with remarks"`` or ``"not fit"``; ``reasons``: codes of
        findings with their runs; ``holdup_mL``, ``holdup_diluent_mL``, ``holdup_both_mL``;
        ``cups_before``, ``cups_after``: on either side of the equivalence point for every content
        in ``content``;
        ``u_mass_fraction_planned``, ``u_mass_fraction_poured``: how well the content would be
        known.
    """
    if handover is None:
        return None
    poured, telling, has_cups = handover.poured, handover.telling, bool(handover.poured.cups)
    low, high = handover.content
    return {
        "fitness": handover.fitness.value if has_cups else None,
        "reasons": [
            {"code": one.code, "severity": one.severity.value, "runs": list(one.runs)}
            for one in handover.reasons
        ],
        "holdup_mL": in_millilitres(poured.hold_up_reagent) if has_cups else None,
        "holdup_diluent_mL": in_millilitres(poured.hold_up_diluent) if has_cups else None,
        "holdup_both_mL": in_millilitres(poured.hold_up_both) if has_cups else None,
        "cups_before": handover.sides.before,
        "cups_after": handover.sides.after,
        "content": {"low": low, "high": high, "is_claimed": handover.content_is_claimed},
        "u_mass_fraction_planned": telling.planned if telling else None,
        "u_mass_fraction_poured": telling.poured if telling else None,
    }


_QUANTITIES = (
    ("reagent", "_mL"),
    ("diluent", "_mL"),
    ("reagent_amount", "_mmol"),
    ("concentration", "_mol_per_L"),
    ("liquid_by_mass", "_g"),
    ("liquid_by_volume", "_g"),
    ("left_behind", "_g"),
    ("lost", "_g"),
    ("final", "_g"),
)

HEADER = (
    "run",
    "stage",
    "recovered",
    "mass_is_doubtful",
    "sample_g",
    *(f"{name}{part}{unit}" for name, unit in _QUANTITIES for part in ("", "_u", "_low", "_high")),
)
"""Columns of the CSV; `lost` and `final` are what is to be expected."""


def handover_csv(outcome: Outcome, handover: Handover) -> str:
    """Return one row for each run of the row, in its order.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover

    Returns
    -------
    str
        CSV with a header row, written as in the place of the course; what is not known is blank.
    """
    rows: list[list[str]] = []
    way = csv_way(outcome.experiment.preparation.course)
    for run, stage in outcome.stage.runs.items():
        cup, coming = handover.poured.cup(run), handover.to_come.get(run)
        cells = [
            stage.value,
            " ".join(what.value for what in cup.recovered) if cup else "",
            ("yes" if cup.mass_is_doubtful else "no") if cup else "",
            f"{coming.sample:.6g}" if coming else "",
            *_cells(in_millilitres(cup.reagent) if cup else None),
            *_cells(in_millilitres(cup.diluent) if cup else None),
            *_cells(in_unit(cup.amount, 1000.0, "mmol") if cup else None),
            *_of(cup.concentration if cup else None),
            *_of(cup.by_mass if cup else None),
            *_of(cup.by_volume if cup else None),
            *_of(cup.left_behind if cup else None),
            *_of(coming.lost if coming else None),
            *_of(coming.final if coming else None),
        ]
        rows.append([run, *(way.number(cell) for cell in cells)])
    return csv_text([HEADER, *rows], line_end="\r\n", separator=way.separator)


def _of(estimate: Estimate | None) -> list[str]:
    return _cells(quantity(estimate))


def _cells(shown: Json | None) -> list[str]:
    if shown is None:
        return [""] * 4
    return ["" if (end := shown[key]) is None else f"{end:.6g}" for key in _PARTS]


_PARTS = ("value", "u", "low", "high")
