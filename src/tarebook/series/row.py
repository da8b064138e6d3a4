"""From the definition's table of the series to the planned runs."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from tarebook.core.errors import Fault, InputError
from tarebook.core.units import litres
from tarebook.series import schema
from tarebook.series.experiment import PlannedRun


def read_row(table: schema.SeriesTable, sample: schema.SampleTable) -> tuple[PlannedRun, ...]:
    """Return the planned runs of a definition.

    Parameters
    ----------
    table : SeriesTable
    sample : SampleTable
        Its nominal mass is asked for where the series has no `sample_g`.

    Returns
    -------
    tuple of PlannedRun

    Raises
    ------
    InputError
        With every fault of the row.
    """
    faults = [*_faults_of_lists(table), *_faults_of_masses(table)]
    if faults:
        raise InputError(faults)
    n = n_runs(table)
    names = table.runs or [str(number) for number in range(1, n + 1)]
    masses = _spread(table.sample_g or [nominal_grams(table, sample)], n)
    return tuple(
        PlannedRun(
            run=run, reagent=litres(volume), diluent=litres(table.total_mL - volume), sample=mass
        )
        for run, volume, mass in zip(names, _spread(table.reagent_mL, n), masses, strict=True)
    )


def n_runs(table: schema.SeriesTable) -> int:
    """Return how many runs a series has: as many as the longer of its two lists."""
    return max(len(table.reagent_mL), len(table.sample_g or ()))


def nominal_grams(table: schema.SeriesTable | None, sample: schema.SampleTable) -> float:
    """Return the mass for which results are given: as said, or the middle of those asked for."""
    if sample.nominal_g is not None:
        return sample.nominal_g
    asked = [mass for mass in (table.sample_g if table else None) or () if mass > 0]
    return float(median(asked)) if asked else 1.0


def _spread(values: list[float], n: int) -> list[float]:
    """Return a value for every run: a list of one holds for all."""
    return values * n if len(values) == 1 else values


def _faults_of_lists(table: schema.SeriesTable) -> Iterator[Fault]:
    n = n_runs(table)
    for key in ("reagent_mL", "sample_g"):
        values: list[float] = getattr(table, key) or [0.0]
        if len(values) not in (1, n):
            yield Fault(
                where=key,
                found=f"{len(values)} numbers",
                allowed=f"{n}, one for each run, or one for all",
                do="reagent_mL and sample_g stand side by side: the first numbers of both are the "
                "first run.",
            )
    if table.runs is not None and len(table.runs) != n:
        yield Fault(
            where="runs",
            found=f"{len(table.runs)} names",
            allowed=f"{n}, one for each volume in reagent_mL",
            do="Leave the key out and the runs are numbered from 1.",
        )
    names = table.runs or []
    twice = sorted({run for run in names if names.count(run) > 1})
    if twice:
        yield Fault(where="runs", found=f"{', '.join(twice)} twice", allowed="each name once")
    for volume in table.reagent_mL:
        if volume > table.total_mL:
            yield Fault(
                where="reagent_mL",
                found=f"{volume:g} mL",
                allowed=f"at most the total volume, {table.total_mL:g} mL",
                do="Take less reagent or a larger total_mL.",
            )


def _faults_of_masses(table: schema.SeriesTable) -> Iterator[Fault]:
    if table.sample_g is None:
        return
    if not any(table.sample_g):
        yield Fault(
            where="sample_g",
            found="0 g in every run",
            allowed="at least one run with sample",
            do="A run with 0 g is a blank cup: it shows what evaporates.",
        )
