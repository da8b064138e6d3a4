"""Instruments, constants and sources of an experiment as tables in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarebook.chemistry.equilibrium.acids import equilibrium_table, table_source
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.core.units import millilitres
from tarebook.findings.instruments import called
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.model.cup_chemistry import cup_chemistry
from tarebook.report import numbers, typeset
from tarebook.report.languages.words import Words
from tarebook.report.languages.writing import Writing
from tarebook.series.experiment import Experiment

METHOD_SOURCES = ("gum", "monte_carlo", "lines")
"""What the reduction follows: keys of the messages that name it."""


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


def instruments_table(experiment: Experiment, how: Writing) -> Table:
    """Return what each instrument reads, how exact it is and who says so."""
    equipment, words = experiment.equipment, how.words
    rows = [
        _volume_row(experiment.reagent.name, equipment.reagent, how),
        _volume_row(experiment.diluent, equipment.diluent, how),
    ]
    if equipment.sample_balance == equipment.balance:
        rows.append(_balance_row("all_masses", equipment.balance, how))
    else:
        rows.append(_balance_row("vessels", equipment.balance, how))
        rows.append(_balance_row("sample_g", equipment.sample_balance, how))
    columns = ("for", "instrument", "tolerance", "repeating", "source")
    return Table(
        caption=words("tables.instruments_note"),
        columns=tuple(words(f"tables.column_{column}") for column in columns),
        rows=tuple(rows),
        words=(0, 1, 2, 3, 4),
    )


def constants_table(experiment: Experiment, how: Writing) -> Table:
    """Return the numbers that were used beside the readings."""
    reaction, reagent, sample = experiment.reaction, experiment.reagent, experiment.sample
    masses = (
        (reaction.analyte, reaction.analyte_molar_mass),
        (reaction.gas, reaction.gas_molar_mass),
        (reaction.reagent, reaction.reagent_molar_mass),
    )
    rows = [
        (
            how("report.molar_mass", name=typeset.formula(name)),
            how.quantity(mass),
            mass.source.work,
        )
        for name, mass in masses
    ]
    strength = how.quantity(reagent.concentration)
    rows.append((how("report.strength_of", name=reagent.name), strength, reagent.how))
    if sample.claimed_mass_fraction is not None:
        claimed = sample.claimed_mass_fraction
        source = source_in_words(claimed.source, how.words)
        rows.append((how("report.content_claimed"), how.quantity(claimed), source))
    return Table(
        caption=how("report.constants_note"),
        columns=(
            how("report.column_what"),
            how("report.column_value"),
            how("tables.column_source"),
        ),
        rows=tuple(rows),
        words=(0, 1, 2),
    )


def sources(experiment: Experiment, how: Writing, *, with_model: bool = False) -> tuple[str, ...]:
    """Return every work that a number rests on, each once, with how sure it is.

    Parameters
    ----------
    experiment : Experiment
    how : Writing
    with_model : bool
        Whether the equilibria of the model of the cup are among them; what was known of its
        parameters stands in a table of its own.
    """
    known = (*_all_sources(experiment), *(_equilibrium_sources(experiment) if with_model else ()))
    named = dict.fromkeys(
        source_in_words(source, how.words)
        for source in known
        if source.basis not in ("declared", "found", "common practice")
        and not source.work.endswith("the definition")
    )
    return (*named, *(how(f"report.source_{key}") for key in METHOD_SOURCES))


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


def _volume_row(used_for: str, instrument: VolumeInstrument, how: Writing) -> tuple[str, ...]:
    style, words = how.style, how.words
    tolerance, half, repeat = (
        numbers.with_unit(numbers.plain(millilitres(value), 0.0, style), "mL", style)
        for value in (instrument.tolerance, instrument.reading_half_width,
                      instrument.repeatability)
    )  # fmt: skip
    reads = "reads_and_repeats" if instrument.repeatability > 0 else "reads"
    return (
        used_for,
        instrument_name(instrument, how),
        f"±{style.around}{tolerance}",
        words(f"tables.{reads}", half=f"{style.around}{half}", repeat=repeat),
        source_in_words(instrument.tolerance_source, words),
    )


def _balance_row(used_for: str, balance: Balance, how: Writing) -> tuple[str, ...]:
    style, words = how.style, how.words
    step, repeat, linearity = (
        numbers.with_unit(numbers.plain(value, 0.0, style), "g", style)
        for value in (balance.readability, balance.repeatability, balance.linearity)
    )
    return (
        words(f"tables.{used_for}"),
        instrument_name(balance, how),
        f"±{style.around}{linearity}",
        words("tables.shows_and_repeats", step=step, repeat=repeat),
        source_in_words(balance.source, words),
    )


def instrument_name(instrument: VolumeInstrument | Balance, how: Writing) -> str:
    """Return what an instrument is called; in English as the budget names it."""
    return how.say(instrument.name if how.words.language == "en" else called(instrument))


def source_in_words(of: Source, words: Words) -> str:
    """Return where a number comes from and how sure that is; the work keeps its language."""
    return typeset.source(of, {of.basis: words(f"basis.{of.basis}")})
