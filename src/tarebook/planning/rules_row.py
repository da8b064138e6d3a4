"""What can be wrong with the row itself: its runs, its volumes, what is known beforehand."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.findings.instruments import called
from tarebook.measurement.volumes import SINGLE_MARK, VolumeInstrument
from tarebook.model.cup_chemistry import gas_kept_is_unknown, protons_of_extent
from tarebook.model.own_acid import own_acid
from tarebook.planning.facts import Facts, shown
from tarebook.planning.rows import readable
from tarebook.planning.span import ON_EACH_SIDE
from tarebook.records.pours import n_fillings

FEWEST_RUNS = 4
"""Two on either side of the equivalence point; the joint fit itself needs three."""

HARDLY_KNOWN = 0.3
"""Relative uncertainty of the sample's own acid from which a cup should show it alone."""


def too_few_runs(known: Facts) -> Iterator[Finding]:
    """Notice: too few runs for an equivalence point to show."""
    n = len(known.row)
    if n < FEWEST_RUNS:
        yield Finding(
            code="too-few-runs",
            severity=Severity.STOP,
            evidence={"runs": float(n)},
            values={"n": n, "fewest": FEWEST_RUNS},
        )


def chemistry_unknown(known: Facts) -> Iterator[Finding]:
    """Notice: a reaction of which nobody can say how much gas the liquid keeps."""
    reaction = known.experiment.reaction
    if not gas_kept_is_unknown(reaction):
        return
    yield Finding(
        code="chemistry-unknown",
        severity=Severity.STOP,
        values={"gas": reaction.gas, "analyte": reaction.analyte, "reagent": reaction.reagent},
    )


def changeover_outside(known: Facts) -> Iterator[Finding]:
    """Notice: the equivalence point before the first or beyond the last run."""
    row, at = known.places, known.at
    first, last = float(row.min()), float(row.max())
    if first < at < last:
        return
    end = last if at >= last else first
    yield Finding(
        code="change-over-outside",
        severity=Severity.STOP,
        evidence={
            "change_over_mL": millilitres(at),
            "first_mL": millilitres(first),
            "last_mL": millilitres(last),
        },
        values={
            "at": known.shown_place(at),
            "side": _side(known, beyond=at >= last),
            "end": known.shown_place(end),
            "limits": "reagent" if at >= last else "sample",
        },
    )


def _side(known: Facts, *, beyond: bool) -> str:
    """Return on which side of a run or a place something lies, by what grows along the row."""
    if known.experiment.grows == "sample":
        # A place farther on is a smaller portion.
        return "smaller" if beyond else "larger"
    return "beyond" if beyond else "before"


def changeover_near_edge(known: Facts) -> Iterator[Finding]:
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
    ends = (known.shown_place(known.at_low), known.shown_place(known.at_high))
    # Of a growing sample a place farther on is a smaller portion.
    low, high = reversed(ends) if known.experiment.grows == "sample" else ends
    yield Finding(
        code="change-over-near-edge",
        severity=Severity.LOOK,
        evidence={
            "change_over_low_mL": millilitres(known.at_low),
            "change_over_high_mL": millilitres(known.at_high),
            "runs_before": float(before),
            "runs_after": float(after),
        },
        values={
            "low": low,
            "high": high,
            "few": few,
            "there": Phrase(f"side-{_side(known, beyond=at_high)}"),
            "limits": "reagent" if at_high else "sample",
        },
    )


def volumes_readable(known: Facts) -> Iterator[Finding]:
    """Notice: targets that fall between two readable steps, or do not fit into their ware."""
    equipment = known.experiment.equipment
    for liquid, instrument, volumes in (
        ("reagent", equipment.reagent, known.row),
        ("diluent", equipment.diluent, known.experiment.total_volume - known.row),
    ):
        poured = volumes[volumes > 0]
        odd = poured[~readable(instrument, poured)]
        if odd.size:
            yield _not_readable(liquid, instrument, odd)
        most = float(volumes.max())
        if instrument.kind not in SINGLE_MARK and most > instrument.capacity * (1 + 1e-9):
            yield Finding(
                code="ware-filled-twice",
                severity=Severity.LOOK,
                evidence={
                    "volume_mL": millilitres(most),
                    "capacity_mL": millilitres(instrument.capacity),
                },
                values={
                    "liquid": Phrase(f"liquid-{liquid}"),
                    "instrument": called(instrument),
                    "times": int(n_fillings(instrument, volumes.max())),
                },
            )


def _not_readable(liquid: str, instrument: VolumeInstrument, odd: FloatArray) -> Finding:
    """Return what to say of volumes that an instrument does not show."""
    single = instrument.kind in SINGLE_MARK
    step = instrument.capacity if single else instrument.finest_reading
    return Finding(
        code="volume-not-readable",
        severity=Severity.STOP if single else Severity.LOOK,
        evidence={"step_mL": millilitres(step)},
        values={
            "liquid": Phrase(f"liquid-{liquid}"),
            "instrument": called(instrument),
            "volumes": tuple(_exactly(volume) for volume in odd),
            "nearest": tuple(_exactly(max(round(volume / step), 1) * step) for volume in odd),
        },
    )


def _exactly(volume: float) -> Phrase:
    """Return a volume with all its digits, without its unit."""
    return Phrase.of("plan-volume-exact", volume_mL=millilitres(float(volume)))


def strength_sure(known: Facts) -> Iterator[Finding]:
    """Notice: a strength without uncertainty."""
    reagent = known.experiment.reagent
    if not reagent.strength_is_sure:
        yield Finding(code="strength-not-sure", severity=Severity.LOOK)


def nothing_claimed(known: Facts) -> Iterator[Finding]:
    """Notice: a content that nobody claims."""
    contents = known.contents
    if not contents.claimed:
        yield Finding(
            code="content-unknown",
            severity=Severity.NOTE,
            values={"low": contents.low, "high": contents.high},
        )


def acid_of_the_sample(known: Facts) -> Iterator[Finding]:
    """Notice: what a cup without reagent teaches of the sample's acid, or that one is missing."""
    experiment = known.experiment
    protons = own_acid(experiment).protons
    counts = protons.value > 0.0 and protons_of_extent(experiment.reaction) > 0.0
    if not counts or experiment.grows != "reagent":
        return
    bare = [run.run for run in experiment.planned if run.reagent == 0.0 and run.sample > 0.0]
    if not bare and protons.u <= HARDLY_KNOWN * protons.value:
        return
    values: dict[str, Value] = {"cup": "missing", "reagent": experiment.reagent.name}
    if bare:
        gas, up_to = experiment.reaction.gas, shown(known.at)
        values |= {"cup": "there", "bare": bare[0], "gas": gas, "up_to": up_to}
    yield Finding(
        code="acid-of-the-sample",
        severity=Severity.NOTE,
        evidence={
            "own_acid_mmol_per_g": 1000.0 * protons.value,
            "equivalence_mL": millilitres(known.at),
        },
        values=values,
    )
