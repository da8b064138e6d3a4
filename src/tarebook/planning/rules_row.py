"""What can be wrong with the row itself: its runs, its volumes, what is known beforehand."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tarebook.core.units import millilitres
from tarebook.measurement.volumes import SINGLE_MARK
from tarebook.model.cup_chemistry import gas_kept_is_unknown, protons_of_extent
from tarebook.model.own_acid import own_acid
from tarebook.planning.advice import Advice
from tarebook.planning.facts import Facts, shown
from tarebook.planning.rows import readable
from tarebook.planning.span import ON_EACH_SIDE
from tarebook.records.pours import n_fillings

FEWEST_RUNS = 4
"""Two on either side of the equivalence point; the joint fit itself needs three."""

HARDLY_KNOWN = 0.3
"""Relative uncertainty of the sample's own acid from which a cup should show it alone."""


def too_few_runs(known: Facts) -> Iterator[Advice]:
    """Notice: too few runs for an equivalence point to show."""
    n = len(known.row)
    if n < FEWEST_RUNS:
        yield Advice(
            code="too-few-runs",
            severity="stop",
            message=f"A row of {n} cannot show an equivalence point.",
            do=f"Plan at least {FEWEST_RUNS} runs, two on either side of it.",
            evidence={"runs": float(n)},
        )


def chemistry_unknown(known: Facts) -> Iterator[Advice]:
    """Notice: a reaction of which nobody can say how much gas the liquid keeps."""
    reaction = known.experiment.reaction
    if not gas_kept_is_unknown(reaction):
        return
    yield Advice(
        code="chemistry-unknown",
        severity="stop",
        message=f"How much {reaction.gas} the liquid keeps is not known here for "
        f"{reaction.analyte} and {reaction.reagent}: the row can show the limiting reactant, and "
        "no content will be stated.",
        do="Take a carbonate and an acid that are known here: docs/model.md says where they stand.",
        evidence={},
    )


def changeover_outside(known: Facts) -> Iterator[Advice]:
    """Notice: the equivalence point before the first or beyond the last run."""
    row, at = known.places, known.at
    first, last = float(row.min()), float(row.max())
    if first < at < last:
        return
    if known.experiment.grows == "sample":
        # A place farther on is a smaller portion.
        beyond, before = "less than your smallest portion", "more than your largest portion"
    else:
        beyond, before = "beyond your last cup", "before your first cup"
    end, where = (last, beyond) if at >= last else (first, before)
    where = f"{where} ({known.shown_place(end)})"
    limits = "reagent" if at >= last else "sample"
    yield Advice(
        code="change-over-outside",
        severity="stop",
        message=f"The equivalence point lies at {known.shown_place(at)}, {where}: the {limits} "
        "would limit in all of them.",
        do="",
        evidence={
            "change_over_mL": millilitres(at),
            "first_mL": millilitres(first),
            "last_mL": millilitres(last),
        },
    )


def changeover_near_edge(known: Facts) -> Iterator[Advice]:
    """Notice: for some content of the range too few runs on one side."""
    row, at = known.places, known.at
    if not row.min() < at < row.max():
        return
    before = int(np.count_nonzero(row < known.at_low))
    after = int(np.count_nonzero(row > known.at_high))
    sides = min(ON_EACH_SIDE, len(row) // 2)
    if before >= sides and after >= sides:
        return
    few, at_high = (before, False) if before < sides else (after, True)
    low, high = known.shown_place(known.at_low), known.shown_place(known.at_high)
    if known.experiment.grows == "sample":
        # A place farther on is a smaller portion.
        low, high = high, low
        side = "smaller than that" if at_high else "larger than that"
    else:
        side = "beyond that" if at_high else "before that"
    yield Advice(
        code="change-over-near-edge",
        severity="look",
        message=f"The equivalence point may lie anywhere from {low} to {high}; "
        f"{_of_few(few, side, at_high)}.",
        do="",
        evidence={
            "change_over_low_mL": millilitres(known.at_low),
            "change_over_high_mL": millilitres(known.at_high),
            "runs_before": float(before),
            "runs_after": float(after),
        },
    )


def _of_few(few: int, side: str, at_high: bool) -> str:
    """Return how few cups lie on a side, and what it means if none does."""
    if few == 0:
        contents, limits = ("highest", "reagent") if at_high else ("lowest", "sample")
        return (
            f"no cup is {side}. For the {contents} contents the {limits} would limit in every cup, "
            "and the row would show no equivalence point"
        )
    return f"only {few} of the cups {'is' if few == 1 else 'are'} {side}"


def _times(number: int) -> str:
    return "twice" if number == 2 else f"{number} times"


def volumes_readable(known: Facts) -> Iterator[Advice]:
    """Notice: targets that fall between two readable steps, or do not fit into their ware."""
    equipment = known.experiment.equipment
    for words, instrument, volumes in (
        ("reagent", equipment.reagent, known.row),
        ("diluent", equipment.diluent, known.experiment.total_volume - known.row),
    ):
        poured = volumes[volumes > 0]
        odd = poured[~readable(instrument, poured)]
        if odd.size:
            single = instrument.kind in SINGLE_MARK
            step = instrument.capacity if single else instrument.finest_reading
            nearest = [max(round(v / step), 1) * step for v in odd]
            yield Advice(
                code="volume-not-readable",
                severity="stop" if single else "look",
                message=f"The {instrument.name} cannot be read to "
                f"{', '.join(f'{millilitres(v):.6g}' for v in odd)} mL of {words}.",
                do="Use " + ", ".join(f"{millilitres(v):.6g}" for v in nearest) + " mL, or a row "
                "from the table of rows.",
                evidence={"step_mL": millilitres(step)},
            )
        most = float(volumes.max())
        if instrument.kind not in SINGLE_MARK and most > instrument.capacity * (1 + 1e-9):
            times = int(n_fillings(instrument, volumes.max()))
            yield Advice(
                code="ware-filled-twice",
                severity="look",
                message=f"{shown(most)} of {words} do not fit into the {instrument.name}: it is "
                f"filled {_times(times)}, and each time liquid stays "
                "behind.",
                do="Use a larger one; or write the fillings with + between them, as in 20 + 15.",
                evidence={
                    "volume_mL": millilitres(most),
                    "capacity_mL": millilitres(instrument.capacity),
                },
            )


def strength_sure(known: Facts) -> Iterator[Advice]:
    """Notice: a strength without uncertainty."""
    reagent = known.experiment.reagent
    if not reagent.strength_is_sure:
        yield Advice(
            code="strength-not-sure",
            severity="look",
            message="The definition does not say how sure the strength of the stock is; the plan "
            "takes it for exact, and the expected ± is too small.",
            do="Give relative_u or tolerance_percent, or titrate the stock.",
        )


def nothing_claimed(known: Facts) -> Iterator[Advice]:
    """Notice: a content that nobody claims."""
    contents = known.contents
    if not contents.claimed:
        yield Advice(
            code="content-unknown",
            severity="note",
            message=f"Nothing is claimed of the sample: the row is planned for anything from "
            f"{100 * contents.low:.0f} to {100 * contents.high:.0f} %.",
            do="Give claimed_mass_fraction if a label says it; the row can then be narrower.",
        )


def acid_of_the_sample(known: Facts) -> Iterator[Advice]:
    """Notice: what a cup without reagent teaches of the sample's acid, or that one is missing."""
    experiment = known.experiment
    protons = own_acid(experiment).protons
    counts = protons.value > 0.0 and protons_of_extent(experiment.reaction) > 0.0
    if not counts or experiment.grows != "reagent":
        return
    bare = [run.run for run in experiment.planned if run.reagent == 0.0 and run.sample > 0.0]
    name, gas = experiment.reagent.name, experiment.reaction.gas
    if bare:
        message = (
            f"Run {bare[0]} holds no {name}: the {gas} that leaves there comes of the acid of the "
            f"sample alone, and each pour adds to that up to {shown(known.at)}."
        )
        do = "Keep it: no other cup tells the acid of the sample apart from the acid poured."
    elif protons.u > HARDLY_KNOWN * protons.value:
        message = (
            "The sample brings acid of its own, nobody knows how much, and no cup shows it alone."
        )
        do = f"Plan one cup without {name}: what leaves there is the work of that acid."
    else:
        return
    yield Advice(
        code="acid-of-the-sample",
        severity="note",
        message=message,
        do=do,
        evidence={
            "own_acid_mmol_per_g": 1000.0 * protons.value,
            "equivalence_mL": millilitres(known.at),
        },
    )
