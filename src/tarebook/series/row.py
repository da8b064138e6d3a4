"""From the definition's table of the series to the planned runs."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from tarebook.core.errors import Fault, InputError
from tarebook.core.quantity import Measured, Source
from tarebook.core.units import litres
from tarebook.series import schema
from tarebook.series.experiment import Piece, PlannedRun
from tarebook.series.other_units import was_it

DECLARED = Source("the definition", "declared")

PARTS = {"wholes": 1.0, "halves": 0.5, "quarters": 0.25}

SPREADS = {1.0: 0.02, 0.5: 0.05, 0.25: 0.08}
"""By how much portions of pieces differ in mass, by the finest part: common practice, no source."""

OFF_A_PART = 0.1
"""A portion may miss a number of pieces by so much of the finest part: tablets differ by less."""

# fmt: off
WATER_WORDS = frozenset({
    "water", "wasser", "distilled", "destilliertes", "deionised",
    "deionized", "deionisiertes", "demineralised", "demineralized", "demineralisiertes",
    "entmineralisiertes", "purified", "pure", "reines", "tap",
    "leitungswasser", "boiled", "abgekochtes", "cold", "warm",
    "h2o",
})
# fmt: on
"""A diluent named with these words alone is water."""


def read_row(table: schema.SeriesTable, sample: schema.SampleTable) -> tuple[PlannedRun, ...]:
    """Return the planned runs of a definition.

    Parameters
    ----------
    table : SeriesTable
    sample : SampleTable
        Its nominal mass is asked for where the series says nothing of its own.

    Returns
    -------
    tuple of PlannedRun

    Raises
    ------
    InputError
        With every fault of the row.
    """
    faults = [
        *_faults_of_lists(table),
        *_faults_of_masses(table, sample),
        *_fault_of_diluent(table),
    ]
    if faults:
        raise InputError(faults)
    n = n_runs(table)
    names = table.runs or [str(number) for number in range(1, n + 1)]
    masses = _spread(_masses(table, sample) or [nominal_grams(table, sample)], n)
    return tuple(
        PlannedRun(
            run=run, reagent=litres(volume), diluent=litres(table.total_mL - volume), sample=mass
        )
        for run, volume, mass in zip(names, _spread(table.reagent_mL, n), masses, strict=True)
    )


def n_runs(table: schema.SeriesTable) -> int:
    """Return how many runs a series has: as many as the longest of its lists."""
    return max(len(table.reagent_mL), len(table.sample_g or ()), len(table.pieces or ()))


def nominal_grams(table: schema.SeriesTable | None, sample: schema.SampleTable) -> float:
    """Return the mass for which results are given: as said, or the middle of those asked for."""
    if sample.nominal_g is not None:
        return sample.nominal_g
    asked = [mass for mass in (_masses(table, sample) if table else None) or () if mass > 0]
    return float(median(asked)) if asked else sample.piece_g or 1.0


def read_piece(sample: schema.SampleTable) -> Piece | None:
    """Return the pieces in which a sample comes; None for a powder."""
    if sample.piece_g is None:
        return None
    part = PARTS[sample.pieces_in]
    return Piece(mass=sample.piece_g, part=part, spread=SPREADS[part])


def read_diluent_density(table: schema.SeriesTable) -> Measured | None:
    """Return the density of the diluent, [g/L]; None for water."""
    if table.diluent_density_g_per_mL is None:
        return None
    value = 1000.0 * table.diluent_density_g_per_mL
    return Measured(value=value, u=0.0, unit="g/L", source=DECLARED)


def _masses(table: schema.SeriesTable, sample: schema.SampleTable) -> list[float] | None:
    """Return the sample masses that a series asks for itself, in g; None where it does not."""
    if table.pieces is not None and sample.piece_g is not None:
        return [number * sample.piece_g for number in table.pieces]
    return table.sample_g


def _spread(values: list[float], n: int) -> list[float]:
    """Return a value for every run: a list of one holds for all."""
    return values * n if len(values) == 1 else values


def _faults_of_lists(table: schema.SeriesTable) -> Iterator[Fault]:
    n = n_runs(table)
    for key in ("reagent_mL", "sample_g", "pieces"):
        values: list[float] = getattr(table, key) or [0.0]
        if len(values) not in (1, n):
            yield Fault(
                where=key,
                found=f"{len(values)} numbers",
                allowed=f"{n}, one for each run, or one for all",
                do=f"reagent_mL and {'sample_g' if key == 'reagent_mL' else key} stand side by "
                "side: the first numbers of both are the first run.",
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
    yield from _faults_of_volumes(table)


def _faults_of_volumes(table: schema.SeriesTable) -> Iterator[Fault]:
    """Yield a fault for each volume above the total, or one for a total below all of them."""
    total, volumes = table.total_mL, table.reagent_mL
    fitting = [volume for volume in volumes if 0 < volume <= total]
    if not fitting and len(volumes) > 1 and max(volumes) > total:
        most = max(volumes)
        yield Fault(
            where="total_mL",
            found=f"{total:g} mL, less than every volume in reagent_mL",
            allowed=f"at least the largest of them, {most:g} mL",
            do=was_it("total_mL", total, lambda other: most <= other <= 4 * most)
            or "Take less reagent or a larger total_mL.",
        )
        return
    least = min(fitting, default=total)
    for place, volume in enumerate(volumes, start=1):
        if volume > total:
            yield Fault(
                where=f"reagent_mL, item {place}",
                found=f"{volume:g} mL",
                allowed=f"at most the total volume, {total:g} mL",
                do=was_it("reagent_mL", volume, lambda other: 0.5 * least <= other <= total)
                or "Take less reagent or a larger total_mL.",
            )


def _faults_of_masses(table: schema.SeriesTable, sample: schema.SampleTable) -> Iterator[Fault]:
    for key in ("sample_g", "pieces"):
        values: list[float] | None = getattr(table, key)
        if values is not None and not any(values):
            yield Fault(
                where=key,
                found="0 in every run",
                allowed="at least one run with sample",
                do="A run with 0 is a blank cup: it shows what evaporates.",
            )
    if table.pieces is not None and table.sample_g is not None:
        yield Fault(
            where="pieces",
            found="sample_g as well",
            allowed="pieces or sample_g",
            do="Keep one: the mass of a piece stands in [sample], piece_g.",
        )
    piece = read_piece(sample)
    if piece is None:
        if table.pieces is not None:
            yield Fault(
                where="pieces",
                found="no piece_g in [sample]",
                allowed="both or neither",
                do="Add to [sample] what one piece weighs, piece_g.",
            )
        return
    asked = _masses(table, sample) or [nominal_grams(table, sample)]
    for mass in dict.fromkeys(asked):
        yield from _fault_of_portion(mass, piece, "pieces" if table.pieces else "sample_g")


def _fault_of_portion(mass: float, piece: Piece, key: str) -> Iterator[Fault]:
    """Yield a fault for a portion that nobody can take from pieces of this mass."""
    nearest = piece.nearest(mass)
    finest = piece.mass * piece.part
    if abs(mass - nearest * piece.mass) <= OFF_A_PART * finest and (nearest > 0 or mass == 0):
        return
    below = max(nearest if nearest * piece.mass <= mass else nearest - piece.part, piece.part)
    yield Fault(
        where=key,
        found=f"{mass / piece.mass:.3g} pieces ({mass:g} g, at {piece.mass:g} g a piece)",
        allowed=f"multiples of {piece.part:g}, such as {below:g} ({below * piece.mass:.3g} g) or "
        f"{below + piece.part:g} ({(below + piece.part) * piece.mass:.3g} g)",
        do='Ask for a portion that can be had, or say pieces_in = "halves" or "quarters".',
    )


def _fault_of_diluent(table: schema.SeriesTable) -> Iterator[Fault]:
    words = table.diluent.lower().replace("-", " ").split()
    if table.diluent_density_g_per_mL is None and not WATER_WORDS.issuperset(words):
        yield Fault(
            where="diluent_density_g_per_mL",
            found=f"nothing, and the diluent is {table.diluent[:60]!r}",
            allowed="its density, or water as the diluent",
            do="Add a line: diluent_density_g_per_mL = ... (weigh 50.00 mL of it). The pH is "
            "worked out as in water.",
        )
