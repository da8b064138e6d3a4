"""From the text of `experiment.toml` to an `Experiment`, or to every fault in it at once."""

from __future__ import annotations

import difflib
import hashlib
import tomllib
from collections.abc import Callable, Iterator
from typing import Any, TypeVar

import numpy as np
from pydantic import ValidationError

from tarebook.chemistry.equation import Equation, parse_equation
from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.molar_mass import molar_mass, molar_mass_covariance
from tarebook.core.errors import Fault, InputError, TarebookError, faults_of
from tarebook.core.quantity import Measured, Source
from tarebook.core.units import kelvin, litres
from tarebook.series import schema
from tarebook.series.equipment import read_equipment
from tarebook.series.experiment import (
    Experiment,
    PlannedRun,
    Reaction,
    Reagent,
    Room,
    Sample,
    Vessel,
)
from tarebook.series.procedure import read_procedure
from tarebook.series.strength import read_reagent

DECLARED = Source("the definition", "declared")

Part = TypeVar("Part")


def parse_definition(text: str, name: str = "experiment.toml") -> Experiment:
    """Return the experiment that a definition describes.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        Name of the file, for the messages.

    Returns
    -------
    Experiment

    Raises
    ------
    InputError
        With every fault: file, key, what was found, what is allowed, what to do.
    """
    table = _read_toml(text, name)
    try:
        file = schema.DefinitionFile.model_validate(table)
    except ValidationError as error:
        raise InputError(_faults_of(error, name)) from None
    return _Reader(file, name).experiment(hashlib.sha256(text.encode()).hexdigest())


def _read_toml(text: str, name: str) -> dict[str, Any]:
    if not text.strip():
        fix = "Start from an example: tarebook start FOLDER."
        raise InputError([Fault(where=name, found="nothing", allowed="a definition", do=fix)])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        fault = Fault(
            where=name,
            found=str(error),
            allowed="TOML, one 'key = value' a line",
            do='Texts stand in "quotes", numbers use a decimal point.',
        )
        raise InputError([fault]) from None


class _Reader:
    """Builds each part of the experiment and gathers the faults of all of them."""

    def __init__(self, file: schema.DefinitionFile, name: str) -> None:
        self.file, self.name = file, name
        self.faults: list[Fault] = []

    def experiment(self, digest: str) -> Experiment:
        file = self.file
        reaction = self._part("reaction", self._reaction)
        sample = self._part("sample", self._sample)
        temperature = kelvin(file.room.temperature_C)
        reagent = None
        if reaction is not None:
            reagent = self._part("reagent.strength", lambda: self._reagent(reaction, temperature))
        equipment = self._part("instruments", lambda: read_equipment(file.instruments))
        planned = self._part("series", self._planned)
        if self.faults or not (reaction and sample and reagent and equipment and planned):
            raise InputError(self.faults)
        return Experiment(
            title=file.title,
            invented=file.invented,
            notes=file.notes,
            reaction=reaction,
            sample=sample,
            reagent=reagent,
            diluent=file.series.diluent,
            total_volume=litres(file.series.total_mL),
            planned=planned,
            vessel=self._vessel(),
            room=self._room(temperature),
            procedure=read_procedure(file.waiting),
            equipment=equipment,
            digest=digest,
        )

    def _part(self, key: str, build: Callable[[], Part]) -> Part | None:
        """Return a part of the experiment, or note why there is none."""
        try:
            return build()
        except TarebookError as error:
            self.faults += faults_of(error, f"{self.name}, key {key}")
        return None

    def _reaction(self) -> Reaction:
        table = self.file.reaction
        equation = _equation(table.equation)
        faults = list(_misplaced_species(equation, table))
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

    def _sample(self) -> Sample:
        table = self.file.sample
        if table.claimed_u is not None and table.claimed_tolerance is not None:
            allowed = "claimed_u (a standard uncertainty) or claimed_tolerance (a half-width)"
            raise InputError([Fault(where="", found="both", allowed=allowed, do="Keep one.")])
        claimed = None
        if table.claimed_mass_fraction is not None:
            u = table.claimed_u or (table.claimed_tolerance or 0.0) / np.sqrt(3.0)
            claimed = Measured(
                value=table.claimed_mass_fraction, u=float(u), unit="g/g", source=DECLARED
            )
        own_acid = None
        if table.own_acid_mmol_per_g is not None:
            own_acid = Measured(
                value=table.own_acid_mmol_per_g / 1000.0,
                u=(table.own_acid_u_mmol_per_g or 0.0) / 1000.0,
                unit="mol/g",
                source=DECLARED,
            )
        return Sample(
            name=table.name,
            nominal_mass=table.nominal_g,
            claimed_mass_fraction=claimed,
            own_acid=own_acid,
        )

    def _reagent(self, reaction: Reaction, temperature: float) -> Reagent:
        return read_reagent(self.file.reagent, reaction.reagent, temperature)

    def _planned(self) -> tuple[PlannedRun, ...]:
        table = self.file.series
        names = table.runs or [str(number) for number in range(1, len(table.reagent_mL) + 1)]
        faults = []
        if len(names) != len(table.reagent_mL):
            faults.append(
                Fault(
                    where="runs",
                    found=f"{len(names)} names",
                    allowed=f"{len(table.reagent_mL)}, one for each volume in reagent_mL",
                    do="Leave the key out and the runs are numbered from 1.",
                )
            )
        twice = sorted({run for run in names if names.count(run) > 1})
        if twice:
            faults.append(
                Fault(where="runs", found=f"{', '.join(twice)} twice", allowed="one of each")
            )
        faults += [
            Fault(
                where="reagent_mL",
                found=f"{volume:g} mL",
                allowed=f"at most the total volume, {table.total_mL:g} mL",
                do="Take less reagent or a larger total_mL.",
            )
            for volume in table.reagent_mL
            if volume > table.total_mL
        ]
        if faults:
            raise InputError(faults)
        return tuple(
            PlannedRun(run=run, reagent=litres(volume), diluent=litres(table.total_mL - volume))
            for run, volume in zip(names, table.reagent_mL, strict=True)
        )

    def _vessel(self) -> Vessel:
        table = self.file.vessel
        return Vessel(
            name=table.name,
            capacity=litres(table.capacity_mL),
            opening_diameter=table.opening_diameter_cm / 100.0,
            height=table.height_cm / 100.0,
        )

    def _room(self, temperature: float) -> Room:
        table = self.file.room
        return Room(
            temperature=temperature,
            pressure=table.pressure_kPa * 1000.0,
            relative_humidity=table.relative_humidity_percent / 100.0,
        )


def _equation(text: str) -> Equation:
    try:
        return parse_equation(text)
    except TarebookError as error:
        fault = Fault(
            where="equation",
            found=f"{text!r}",
            allowed="an equation that balances",
            do=" ".join(str(error).split("\n")),
        )
        raise InputError([fault]) from None


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
        close = difflib.get_close_matches(species, names, n=1)
        yield Fault(
            where=key,
            found=f"{species!r}",
            allowed=f"one of the equation's {side_name}: {', '.join(names)}",
            do=f"Did you mean {close[0]}?" if close else "Write it as the equation does.",
        )
    if table.sample == table.reagent:
        yield Fault(where="reagent", found="the sample's analyte", allowed="the other reactant")


def _faults_of(error: ValidationError, name: str) -> Iterator[Fault]:
    for item in error.errors():
        key = ".".join(_visible(item["loc"]))
        found = item["input"]
        if item["type"] == "missing":
            yield Fault(
                where=f"{name}, key {key}", found="nothing", allowed="a value", do="Add the key."
            )
        elif item["type"] == "extra_forbidden":
            yield Fault(
                where=f"{name}, key {key}",
                found="a key that is not known here",
                allowed="the keys of the blank definition",
                do=_did_you_mean(item["loc"]),
            )
        else:
            shown = repr(found) if not isinstance(found, dict) else "this table"
            yield Fault(where=f"{name}, key {key}", found=shown, allowed=_plain(item["msg"]))


def _visible(location: tuple[int | str, ...]) -> list[str]:
    """Return the keys a person typed: the tags that choose between tables are not among them."""
    tags = {"mol per L", "mass percent", "g per 100 mL", "mass fraction and density"}
    tags |= {"dilution", "titration", "weighed solid"}
    return [
        f"item {part + 1}" if isinstance(part, int) else part
        for part in location
        if part not in tags
    ]


def _plain(message: str) -> str:
    return message.removeprefix("Input should be ").removeprefix("Value error, ")


def _did_you_mean(location: tuple[int | str, ...]) -> str:
    model: Any = schema.DefinitionFile
    for part in location[:-1]:
        field = model.model_fields.get(part) if hasattr(model, "model_fields") else None
        if field is None:
            return "Remove it, or see the blank definition: tarebook start FOLDER --blank."
        model = field.annotation
    known = list(getattr(model, "model_fields", {}))
    close = difflib.get_close_matches(str(location[-1]), known, n=1)
    if close:
        return f"Did you mean {close[0]}?"
    return f"Known here: {', '.join(known)}." if known else "Remove it."
