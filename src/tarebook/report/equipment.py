"""Instruments, constants and sources of an experiment as tables in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarebook.chemistry.equilibrium.acids import equilibrium_table, table_source
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.core.units import millilitres
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.model.cup_chemistry import cup_chemistry
from tarebook.report import numbers, typeset
from tarebook.report.languages.words import Words
from tarebook.report.numbers import NumberStyle
from tarebook.series.experiment import Experiment

METHOD_SOURCES = (
    "JCGM 100:2008 (GUM): standard uncertainty, rounding, budget",
    "JCGM 101:2008: propagation of distributions by Monte Carlo",
    "D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097: two lines that meet",
)
"""What the reduction follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table in words.

    Attributes
    ----------
    caption : str
    columns : tuple of str
        Heads; what follows a line break is the unit.
    rows : tuple of tuple of str
    words : tuple of int
        Columns that hold words and stand at the left; the others hold numbers.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: tuple[int, ...]


def instruments_table(experiment: Experiment, style: NumberStyle, words: Words) -> Table:
    """Return what each instrument reads, how exact it is and who says so."""
    equipment = experiment.equipment
    rows = [
        _volume_row(experiment.reagent.name, equipment.reagent, style, words),
        _volume_row(experiment.diluent, equipment.diluent, style, words),
    ]
    if equipment.sample_balance == equipment.balance:
        rows.append(_balance_row("all_masses", equipment.balance, style, words))
    else:
        rows.append(_balance_row("vessels", equipment.balance, style, words))
        rows.append(_balance_row("sample_g", equipment.sample_balance, style, words))
    columns = ("for", "instrument", "tolerance", "repeating", "source")
    return Table(
        caption=words("tables.instruments_note"),
        columns=tuple(words(f"tables.column_{column}") for column in columns),
        rows=tuple(rows),
        words=(0, 1, 2, 3, 4),
    )


def constants_table(experiment: Experiment, style: NumberStyle) -> Table:
    """Return the numbers that went in beside the readings."""
    reaction, reagent, sample = experiment.reaction, experiment.reagent, experiment.sample
    masses = (
        (reaction.analyte, reaction.analyte_molar_mass),
        (reaction.gas, reaction.gas_molar_mass),
        (reaction.reagent, reaction.reagent_molar_mass),
    )
    rows = [
        (f"molar mass of {typeset.formula(name)}", numbers.quantity(mass, style),
         mass.source.work)
        for name, mass in masses
    ]  # fmt: skip
    rows.append(
        (f"strength of {reagent.name}", numbers.quantity(reagent.concentration, style), reagent.how)
    )
    if sample.claimed_mass_fraction is not None:
        claimed = sample.claimed_mass_fraction
        rows.append(("content claimed", numbers.quantity(claimed, style),
                     typeset.source(claimed.source)))  # fmt: skip
    return Table(
        caption="Numbers that went in beside the readings.",
        columns=("what", "value", "where it is from"),
        rows=tuple(rows),
        words=(0, 1, 2),
    )


def sources(experiment: Experiment, *, with_model: bool = False) -> tuple[str, ...]:
    """Return every work that a number rests on, each once, with how sure it is.

    Parameters
    ----------
    experiment : Experiment
    with_model : bool
        Whether the equilibria of the model of the cup are among them; what was known of its
        parameters stands in a table of its own.
    """
    known = (*_all_sources(experiment), *(_equilibrium_sources(experiment) if with_model else ()))
    named = dict.fromkeys(
        typeset.source(source)
        for source in known
        if source.basis not in ("declared", "found", "common practice")
        and not source.work.endswith("the definition")
    )
    return (*named, *METHOD_SOURCES)


def _equilibrium_sources(experiment: Experiment) -> Iterable[Source]:
    chemistry = cup_chemistry(experiment.reaction)
    if chemistry is None:
        return
    table = equilibrium_table()
    for row in ("water", "henry"):
        yield table_source(table[row])
    yield table_source(reference_table("tarebook.chemistry", "interactions")["meta"])
    for acid in chemistry.system.acids:
        yield acid.source


def _all_sources(experiment: Experiment) -> Iterable[Source]:
    reaction, reagent, equipment = experiment.reaction, experiment.reagent, experiment.equipment
    yield reaction.analyte_molar_mass.source
    yield reagent.concentration.source
    yield reagent.density.source
    for volume in (equipment.reagent, equipment.diluent):
        yield volume.tolerance_source
        yield volume.reading_source
        yield volume.repeatability_source
    yield equipment.balance.source
    yield equipment.sample_balance.source


def _volume_row(
    used_for: str, instrument: VolumeInstrument, style: NumberStyle, words: Words
) -> tuple[str, ...]:
    tolerance, half, repeat, size = (
        numbers.with_unit(numbers.plain(millilitres(value), 0.0, style), "mL", style)
        for value in (instrument.tolerance, instrument.reading_half_width,
                      instrument.repeatability, instrument.capacity)
    )  # fmt: skip
    how = "reads_and_repeats" if instrument.repeatability > 0 else "reads"
    return (
        used_for,
        # Names are English; another language has its own.
        instrument.name
        if words.language == "en"
        else words(f"ware.{instrument.kind.value}", size=size),
        f"±{style.around}{tolerance}",
        words(f"tables.{how}", half=f"{style.around}{half}", repeat=repeat),
        _source(instrument.tolerance_source, words),
    )


def _balance_row(
    used_for: str, balance: Balance, style: NumberStyle, words: Words
) -> tuple[str, ...]:
    step, repeat, linearity = (
        numbers.with_unit(numbers.plain(value, 0.0, style), "g", style)
        for value in (balance.readability, balance.repeatability, balance.linearity)
    )
    return (
        words(f"tables.{used_for}"),
        balance.name if words.language == "en" else words("tables.balance", step=step),
        f"±{style.around}{linearity}",
        words("tables.shows_and_repeats", step=step, repeat=repeat),
        _source(balance.source, words),
    )


def _source(of: Source, words: Words) -> str:
    if words.language == "en":
        return typeset.source(of)
    return typeset.source(of, {of.basis: words(f"basis.{of.basis}")})
