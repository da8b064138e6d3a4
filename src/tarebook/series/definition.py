"""From the text of `experiment.toml` to an `Experiment`, or to every fault in it at once."""

from __future__ import annotations

import contextlib
import hashlib
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np
from pydantic import TypeAdapter, ValidationError

from tarebook.chemistry.balance import EquationError
from tarebook.chemistry.equation import Equation, parse_equation
from tarebook.chemistry.formula import FormulaError, parse_formula
from tarebook.chemistry.molar_mass import molar_mass, molar_mass_covariance
from tarebook.core.errors import Fault, InputError, TarebookError, faults_of
from tarebook.core.quantity import Measured, Source
from tarebook.core.units import kelvin, litres
from tarebook.series import schema
from tarebook.series.equipment import read_equipment
from tarebook.series.experiment import (
    Experiment,
    PlannedRun,
    Preparation,
    Reaction,
    Room,
    Sample,
    Vessel,
)
from tarebook.series.faults import MOST_SHOWN, did_you_mean, schema_faults, shown
from tarebook.series.other_units import was_it
from tarebook.series.own_acid import read_acids, read_own_acid
from tarebook.series.possible_reaction import impossible_reaction
from tarebook.series.possible_sizes import impossible_sizes
from tarebook.series.possible_strength import no_gas_to_see
from tarebook.series.preparation import read_preparation
from tarebook.series.procedure import read_procedure
from tarebook.series.row import nominal_grams, read_diluent_density, read_piece, read_row
from tarebook.series.strength import read_reagent
from tarebook.series.weighing import read_weighing

DECLARED = Source("the definition", "declared")

MOST_LETTERS, MOST_POINTS = 500_000, 1_000
"""Characters of a definition and points in a line of it: more is some other file."""

Part = TypeVar("Part")
Table = TypeVar("Table", bound=schema.Table)


def parse_definition(
    text: str, name: str = "experiment.toml", languages: tuple[str, ...] = ()
) -> Experiment:
    """Return the experiment that a definition describes.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        Name of the file, for the messages.
    languages : tuple of str
        Those in which sheets can be made; any if none is named.

    Returns
    -------
    Experiment

    Raises
    ------
    InputError
        With every fault: file, key, what was found, what is allowed, what to do.
    """
    table = _read_toml(text, name)
    faults: tuple[Fault, ...] = ()
    try:
        context = {schema.KNOWN_LANGUAGES: languages} if languages else None
        file = schema.DefinitionFile.model_validate(table, context=context)
        tables = {key: getattr(file, key) for key in schema.DefinitionFile.model_fields}
    except ValidationError as error:
        faults, tables = schema_faults(error, name), _sound_tables(table)
    return _Reader(tables, name, faults).experiment(hashlib.sha256(text.encode()).hexdigest())


def _sound_tables(table: dict[str, Any]) -> dict[str, Any]:
    """Return the tables that have no fault of their own, so that they can be looked at further."""
    sound: dict[str, Any] = {}
    for key, field in schema.DefinitionFile.model_fields.items():
        value = table.get(key, field.default)
        with contextlib.suppress(ValidationError):
            kind: Any = field.annotation
            sound[key] = TypeAdapter(kind).validate_python(value, strict=True)
    return sound


def _read_toml(text: str, name: str) -> dict[str, Any]:
    if not text.strip():
        fix = "Begin with a blank one that explains itself: tarebook start NEW_FOLDER."
        raise InputError([Fault(where=name, found="nothing", allowed="a definition", do=fix)])
    _refuse_another_file(text, name)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
    except ValueError:
        # Python makes no number of more than 4,300 digits.
        message = "a number of thousands of digits"
    except RecursionError:
        message = "brackets within brackets without end"
    fault = Fault(
        where=name,
        found=message if len(message) <= MOST_SHOWN * 2 else f"{message[: MOST_SHOWN * 2]} …",
        allowed="TOML: [table] lines and 'key = value' lines, each key once",
        do='Texts stand in "quotes", numbers have a decimal point (1.5, not 1,5).',
    )
    raise InputError([fault])


def _refuse_another_file(text: str, name: str) -> None:
    """Raise for what is no definition, before it is read: a key of many parts takes very long."""
    found = f"{len(text):,} characters" if len(text) > MOST_LETTERS else ""
    for number, line in enumerate("" if found else text.splitlines(), start=1):
        if line.count(".") > MOST_POINTS and not line.startswith("#"):
            found = f"thousands of points in line {number}"
            break
    if found:
        allowed = f"a definition of at most {MOST_LETTERS:,} characters, with keys of a few parts"
        do = "Is this another file?"
        raise InputError([Fault(where=name, found=found, allowed=allowed, do=do)])


class _Reader:
    """Builds each part of the experiment and gathers the faults of all of them."""

    def __init__(self, tables: dict[str, Any], name: str, faults: tuple[Fault, ...]) -> None:
        self.tables, self.name = tables, name
        self.faults = list(faults)

    def experiment(self, digest: str) -> Experiment:
        reaction = self._part("reaction", schema.ReactionTable, _reaction)
        sample = self._part("sample", schema.SampleTable, self._sample)
        room = self._part("room", schema.RoomTable, _room)
        solute = self._solute()
        reagent = None
        if solute and room:
            reagent = self._part(
                "reagent",
                schema.ReagentTable,
                lambda table: read_reagent(table, solute, room.temperature),
                inner=".strength",
            )
        equipment = self._part("instruments", schema.InstrumentsTable, read_equipment)
        planned = self._part("series", schema.SeriesTable, self._planned)
        vessel = self._part("vessel", schema.VesselTable, self._vessel)
        procedure = self._part("waiting", schema.WaitingTable, read_procedure)
        # Where the strength cannot be used, what is bought would only repeat its faults.
        preparation = self._preparation(solute, room) if reagent else None
        weighing = None
        if reaction and planned and vessel and room:
            weighing = self._part(
                "weighing",
                schema.WeighingTable,
                lambda table: read_weighing(table, reaction, planned, vessel, room),
            )
        self.faults += self._sizes()
        if self.faults or not (
            reaction
            and sample
            and room
            and reagent
            and equipment
            and planned
            and vessel
            and procedure
            and preparation
            and weighing
        ):
            raise InputError(self.faults)
        series: schema.SeriesTable = self.tables["series"]
        experiment = Experiment(
            title=self.tables["title"],
            invented=self.tables["invented"],
            notes=self.tables["notes"],
            reaction=reaction,
            sample=sample,
            reagent=reagent,
            diluent=series.diluent,
            total_volume=litres(series.total_mL),
            planned=planned,
            vessel=vessel,
            room=room,
            procedure=procedure,
            equipment=equipment,
            digest=digest,
            preparation=preparation,
            weighing=weighing,
            diluent_density=read_diluent_density(series),
        )
        shows_nothing = no_gas_to_see(experiment)
        if shows_nothing is not None:
            raise InputError([replace(shows_nothing, where=self._place(shows_nothing.where))])
        return experiment

    def _place(self, key: str) -> str:
        return f"{self.name}, key {key}"

    def _sizes(self) -> Iterator[Fault]:
        """Yield the faults of sizes that contradict one another, where the tables can be used."""
        found = impossible_sizes(
            sample=self._table("sample", schema.SampleTable),
            series=self._table("series", schema.SeriesTable),
            instruments=self._table("instruments", schema.InstrumentsTable),
            vessel=self._table("vessel", schema.VesselTable),
            waiting=self._table("waiting", schema.WaitingTable),
        )
        return (replace(fault, where=self._place(fault.where)) for fault in found)

    def _table(self, key: str, kind: type[Table]) -> Table | None:
        table = self.tables.get(key)
        return table if isinstance(table, kind) else None

    def _preparation(self, solute: str, room: Room | None) -> Preparation | None:
        reagent = self.tables.get("reagent")
        course, place = self.tables.get("course"), self.tables.get("room")
        if not (solute and room and isinstance(reagent, schema.ReagentTable) and course and place):
            return None
        return self._part(
            "prepare",
            schema.PrepareTable,
            lambda table: read_preparation(table, course, place, reagent, solute, room.temperature),
        )

    def _part(
        self, key: str, kind: type[Table], build: Callable[[Table], Part], inner: str = ""
    ) -> Part | None:
        """Return a part of the experiment, or note why there is none."""
        table = self.tables.get(key)
        if not isinstance(table, kind):
            return None
        try:
            return build(table)
        except TarebookError as error:
            self.faults += faults_of(error, f"{self.name}, key {key}{inner}")
        return None

    def _solute(self) -> str:
        """Return the reagent's formula; empty where it cannot be read, which `_reaction` says."""
        table = self.tables.get("reaction")
        if not isinstance(table, schema.ReactionTable):
            return ""
        try:
            parse_formula(table.reagent)
        except TarebookError:
            return ""
        return table.reagent

    def _sample(self, table: schema.SampleTable) -> Sample:
        series = self.tables.get("series")
        known = series if isinstance(series, schema.SeriesTable) else None
        says_itself = known is None or known.sample_g is not None or known.pieces is not None
        if table.nominal_g is None and table.piece_g is None and not says_itself:
            fault = Fault(
                where="nominal_g",
                found="nothing",
                allowed="the mass asked for in every run, in g",
                do="Add a line: nominal_g = ...; or give each run its own: sample_g in [series].",
            )
            raise InputError([fault])
        return _sample(table, nominal_grams(known, table))

    def _planned(self, table: schema.SeriesTable) -> tuple[PlannedRun, ...]:
        sample = self.tables.get("sample")
        # Where the sample's table cannot be used, its own faults say so.
        if not isinstance(sample, schema.SampleTable):
            sample = schema.SampleTable(name="?", nominal_g=1.0)
        return read_row(table, sample)

    def _vessel(self, table: schema.VesselTable) -> Vessel:
        series = self.tables.get("series")
        if isinstance(series, schema.SeriesTable) and series.total_mL > table.capacity_mL:
            total = series.total_mL
            fault = Fault(
                where="capacity_mL",
                found=f"{table.capacity_mL:g} mL",
                allowed=f"at least the total volume, {total:g} mL",
                do=was_it("capacity_mL", table.capacity_mL, lambda o: total < o <= 10 * total)
                or "Say in the table [vessel] how much the vessel holds.",
            )
            raise InputError([fault])
        return Vessel(
            name=table.name,
            capacity=litres(table.capacity_mL),
            opening_diameter=table.opening_diameter_cm / 100.0,
            height=table.height_cm / 100.0,
        )


def _reaction(table: schema.ReactionTable) -> Reaction:
    equation = _equation(table.equation)
    faults = list(_misplaced_species(equation, table)) or list(impossible_reaction(equation, table))
    if faults:
        raise InputError(faults)
    analyte, gas = parse_formula(table.sample), parse_formula(table.gas)
    m_analyte, m_gas = molar_mass(analyte), molar_mass(gas)
    covariance = molar_mass_covariance([analyte, gas])
    ratio = m_analyte.value / m_gas.value
    gradient = np.array([1.0 / m_gas.value, -ratio / m_gas.value])
    return Reaction(
        equation=equation,
        analyte=table.sample,
        reagent=table.reagent,
        gas=table.gas,
        analyte_coefficient=equation.coefficient(table.sample),
        reagent_coefficient=equation.coefficient(table.reagent),
        gas_coefficient=equation.coefficient(table.gas),
        analyte_molar_mass=m_analyte,
        reagent_molar_mass=molar_mass(parse_formula(table.reagent)),
        gas_molar_mass=m_gas,
        mass_ratio=Measured(
            value=ratio,
            u=float(np.sqrt(gradient @ covariance @ gradient)),
            unit="1",
            source=m_analyte.source,
        ),
    )


def _sample(table: schema.SampleTable, nominal: float) -> Sample:
    faults = [*_half_said(table), *_unsure_claim(table)]
    if faults:
        raise InputError(faults)
    claimed = None
    if table.claimed_mass_fraction is not None:
        u = table.claimed_u or (table.claimed_tolerance or 0.0) / np.sqrt(3.0)
        claimed = Measured(
            value=table.claimed_mass_fraction, u=float(u), unit="g/g", source=DECLARED
        )
    return Sample(
        name=table.name,
        nominal_mass=nominal,
        claimed_mass_fraction=claimed,
        own_acid=read_own_acid(table),
        acids=read_acids(table),
        acid_is_unknown=table.own_acid == "unknown",
        acid_is_none=table.own_acid == "none",
        piece=read_piece(table),
    )


def _half_said(table: schema.SampleTable) -> Iterator[Fault]:
    """Yield a fault for each uncertainty that stands twice, or without its value."""
    if table.claimed_u is not None and table.claimed_tolerance is not None:
        yield Fault(
            where="claimed_tolerance",
            found="claimed_u as well",
            allowed="claimed_u (a standard uncertainty) or claimed_tolerance (a half-width)",
            do="Keep one.",
        )
    pairs = (
        ("claimed_u", "claimed_mass_fraction"),
        ("claimed_tolerance", "claimed_mass_fraction"),
        ("own_acid_u_mmol_per_g", "own_acid_mmol_per_g"),
    )
    for key, of in pairs:
        if getattr(table, key) is not None and getattr(table, of) is None:
            yield Fault(
                where=key,
                found=f"no {of} beside it",
                allowed="both or neither",
                do=f"Add {of}, or remove {key}.",
            )


def _unsure_claim(table: schema.SampleTable) -> Iterator[Fault]:
    """Yield a fault for a claim that is off by more than itself."""
    claim = table.claimed_mass_fraction
    for key in ("claimed_u", "claimed_tolerance"):
        value: float | None = getattr(table, key)
        if claim is not None and value is not None and value > claim:
            yield Fault(
                where=key,
                found=f"{value:g} g/g beside a claim of {claim:g} g/g",
                allowed="no more than the claim",
                do=was_it(key, value, lambda other: other <= 0.5 * claim),
            )


def _room(table: schema.RoomTable) -> Room:
    humidity = table.relative_humidity_percent
    if 0 < humidity < 1:
        fault = Fault(
            where="relative_humidity_percent",
            found=f"{humidity:g} %",
            allowed="0, or 1 to 100 %: no room is so dry",
            do=was_it("relative_humidity_percent", humidity, lambda other: 1 <= other <= 100),
        )
        raise InputError([fault])
    return Room(
        temperature=kelvin(table.temperature_C),
        pressure=table.pressure_kPa * 1000.0,
        relative_humidity=table.relative_humidity_percent / 100.0,
    )


def _equation(text: str) -> Equation:
    try:
        return parse_equation(text)
    except FormulaError as error:
        fault = Fault(
            where="equation",
            found=f"{shown(error.found)} in the formula {shown(error.text)}",
            allowed="formulas as in a textbook, such as NaHCO3",
            do=error.hint,
        )
    except EquationError as error:
        evidence = "; ".join(" ".join(line.split()) for line in error.evidence)
        fault = Fault(
            where="equation",
            found=f"{shown(text)} ({error.reason}{': ' if evidence else ''}{evidence})",
            allowed="an equation that can be balanced, such as A + B -> C + D",
            do=error.do,
        )
    raise InputError([fault])


def _misplaced_species(equation: Equation, table: schema.ReactionTable) -> Iterator[Fault]:
    sides = {
        "sample": (table.sample, equation.reactants),
        "reagent": (table.reagent, equation.reactants),
        "gas": (table.gas, equation.products),
    }
    for key, (species, side) in sides.items():
        names = [formula.text for formula, _ in side]
        if species in names:
            continue
        side_name = "products" if key == "gas" else "reactants"
        yield Fault(
            where=key,
            found=shown(species),
            allowed=f"one of the equation's {side_name}: {', '.join(names)}",
            do=did_you_mean(species, names, "Write it as the equation does."),
        )
    if table.sample == table.reagent:
        yield Fault(where="reagent", found="the sample's analyte", allowed="the other reactant")
