"""Every number of a definition is held against what can be, and the message says what was meant."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import annotated_types
import pytest
from pydantic.fields import FieldInfo

from tarebook.core.errors import InputError
from tarebook.series import schema
from tarebook.series.definition import parse_definition

TOP = Path(__file__).parents[2]
POOL = TOP / "tests" / "snapshots" / "pool"
CLEAN = (POOL / "experiment.toml").read_text(encoding="utf-8")
STRENGTH = CLEAN[CLEAN.index("given_as =") : CLEAN.index("[series]")]
OWN_ACID = "own_acid_mmol_per_g = 0.0\nown_acid_u_mmol_per_g = 0.03"
VESSEL = "capacity_mL = 200\nopening_diameter_cm = 7.0\nheight_cm = 8.5"
WARE = 'kind = "graduated cylinder"\ncapacity_mL = 50\ngrade = "A"\n\n[instruments.diluent]'
BALANCE = "readability_g = 0.001\ncapacity_g = 300"
MINUTES = "minutes = 10"
DILUTED = 'given_as = "dilution"\nof = { given_as = "mol per L", mol_per_L = 12 }\n'
SOLID = 'given_as = "weighed solid"\nmass_g = 14.0\n'
TITRANT = "titrant_mol_per_L = 0.2000\ntitrant_u_mol_per_L = 0.0004"
ALIQUOT = "aliquot_tolerance_mL = 0.01"
ROOM = "relative_humidity_percent = 50"


def ware(more: str) -> str:
    return WARE.replace("grade", f"{more}\ngrade")


def strength(text: str) -> tuple[str, str]:
    return STRENGTH, f"{text}\n"


# fmt: off
MEANT: tuple[tuple[str, str, str, str], ...] = (
    # In the definition, instead of it, the key that is named, and what was meant.
    ("temperature_C = 21", "temperature_C = 69.8", "room.temperature_C", "21 °C (69.8 °F)"),
    ("temperature_C = 21", "temperature_C = 294.15", "room.temperature_C", "21 °C (294.15 K)"),
    ("pressure_kPa = 101.3", "pressure_kPa = 1013", "room.pressure_kPa", "101.3 kPa (1013 hPa)"),
    ("pressure_kPa = 101.3", "pressure_kPa = 101300", "room.pressure_kPa",
     "101.3 kPa (101300 Pa)"),
    ("pressure_kPa = 101.3", "pressure_kPa = 760", "room.pressure_kPa",
     "76 kPa (760 hPa) or 101.3 kPa (760 mmHg)"),
    ("pressure_kPa = 101.3", "pressure_kPa = 1.0", "room.pressure_kPa", "101.3 kPa (1 atm)"),
    (ROOM, "relative_humidity_percent = 0.5", "room.relative_humidity_percent", "50 %"),
    (ROOM, f"{ROOM}\nvolume_m3 = 200000", "room.volume_m3", "200 m³ (200000 L)"),
    (ROOM, f"{ROOM}\nair_changes_per_hour = 200", "room.air_changes_per_hour", "20"),
    ("nominal_g = 1.500", "nominal_g = 1500", "sample.nominal_g", "1.5 g (1500 mg)"),
    ("nominal_g = 1.500", "nominal_g = 150", "sample.nominal_g", "0.15 g (150 mg)"),
    ("nominal_g = 1.500", "nominal_g = 1.5\npiece_g = 3200", "sample.piece_g", "3.2 g (3200 mg)"),
    ("claimed_mass_fraction = 0.95", "claimed_mass_fraction = 95",
     "sample.claimed_mass_fraction", "0.95 g/g (95 %)"),
    ("claimed_tolerance = 0.02", "claimed_tolerance = 2", "sample.claimed_tolerance",
     "0.02 g/g (2 %)"),
    ("claimed_tolerance = 0.02", "claimed_u = 2", "sample.claimed_u", "0.02 g/g (2 %)"),
    ("claimed_tolerance = 0.02", "claimed_u = 0.97", "sample.claimed_u", "0.0097 g/g (0.97 %)"),
    (OWN_ACID, "own_acid_mmol_per_g = 1900", "sample.own_acid_mmol_per_g", "1.9 mmol/g"),
    (OWN_ACID, "own_acid_mmol_per_g = 1.9\nown_acid_u_mmol_per_g = 100",
     "sample.own_acid_u_mmol_per_g", "0.1 mmol/g (100 µmol/g)"),
    (OWN_ACID, 'acids = [{ formula = "C6H8O7", mmol_per_g = 19 }]',
     "sample.acids[1].mmol_per_g", "1.9 mmol/g"),
    (OWN_ACID, 'acids = [{ formula = "C6H8O7", mmol_per_g = 1, u_mmol_per_g = 100 }]',
     "sample.acids, item 1.u_mmol_per_g", "0.1 mmol/g (100 µmol/g)"),
    (OWN_ACID, 'acids = [{ formula = "C6H8O7", mass_fraction = 30 }]',
     "sample.acids, item 1.mass_fraction", "0.3 g/g (30 %)"),
    (OWN_ACID, 'acids = [{ formula = "C6H8O7", mass_fraction = 0.3, u_mass_fraction = 2 }]',
     "sample.acids, item 1.u_mass_fraction", "0.02 g/g (2 %)"),
    (OWN_ACID, 'piece_g = 1.5\nacids = [{ formula = "C6H8O7", mg_per_piece = 90000 }]',
     "sample.acids[1].mg_per_piece", "90 mg (90000 µg)"),
    (OWN_ACID, 'piece_g = 1.5\nacids = [{ formula = "C6H8O7", mg_per_piece = 90, '
     "u_mg_per_piece = 200000 }]", "sample.acids, item 1.u_mg_per_piece", "200 mg (200000 µg)"),
    ("[reagent.strength]", "density_g_per_mL = 1010\n[reagent.strength]",
     "reagent.density_g_per_mL", "1.01 g/mL (1010 g/L)"),
    ("titrant_mL = [18.75, 18.80, 18.75]", "titrant_mL = [18.75, 18.80, 187.5]",
     "reagent.strength.titrant_mL, item 3", "18.75 mL"),
    ("titrant_mL = [18.75, 18.80, 18.75]", "titrant_mL = [0.01875]",
     "reagent.strength.titrant_mL, item 1", "18.75 mL (0.01875 L)"),
    (TITRANT, "titrant_mol_per_L = 200\ntitrant_u_mol_per_L = 0.0004",
     "reagent.strength.titrant_mol_per_L", "0.2 mol/L (200 mmol/L)"),
    (TITRANT, "titrant_mol_per_L = 0.2\ntitrant_u_mol_per_L = 0.4",
     "reagent.strength.titrant_u_mol_per_L", "0.0004 mol/L (0.4 mmol/L)"),
    ("aliquot_mL = 5.00", "aliquot_mL = 5000", "reagent.strength.aliquot_mL", "5 mL (5000 µL)"),
    (ALIQUOT, "aliquot_tolerance_mL = 10", "reagent.strength.aliquot_tolerance_mL",
     "0.01 mL (10 µL)"),
    ("burette_tolerance_mL = 0.05", "burette_tolerance_mL = 50",
     "reagent.strength.burette_tolerance_mL", "0.05 mL (50 µL)"),
    (ALIQUOT, f"{ALIQUOT}\ntitrant_moles_per_mole = 20",
     "reagent.strength.titrant_moles_per_mole", "2"),
    (*strength('given_as = "mol per L"\nmol_per_L = 750'), "reagent.strength.mol_per_L",
     "0.75 mol/L (750 mmol/L)"),
    (*strength('given_as = "mol per L"\nmol_per_L = 0.75\nrelative_u = 2'),
     "reagent.strength.relative_u", "0.02 (2 %)"),
    (*strength('given_as = "mol per L"\nmol_per_L = 0.75\ntolerance_percent = 100'),
     "reagent.strength.tolerance_percent", "10"),
    (*strength('given_as = "mass percent"\nmass_percent = 0.0005'),
     "reagent.strength.mass_percent", "0.005"),
    (*strength('given_as = "g per 100 mL"\ng_per_100_mL = 2700'),
     "reagent.strength.g_per_100_mL", "2.7 g/100 mL (2700 mg/100 mL)"),
    (*strength('given_as = "mass fraction and density"\nmass_fraction = 2.7\n'
               "density_g_per_mL = 1.01"), "reagent.strength.mass_fraction", "0.027 g/g (2.7 %)"),
    (*strength('given_as = "mass fraction and density"\nmass_fraction = 0.027\n'
               "density_g_per_mL = 1010"), "reagent.strength.density_g_per_mL", "1.01 g/mL"),
    (*strength(f"{SOLID}made_up_to = {{ mL = 0.5 }}"), "reagent.strength.made_up_to.mL",
     "500 mL (0.5 L)"),
    (*strength(f"{SOLID.replace('14.0', '14000')}made_up_to = {{ mL = 500 }}"),
     "reagent.strength.mass_g", "14 g (14000 mg)"),
    (*strength(f"{SOLID}purity = 98\nmade_up_to = {{ mL = 500 }}"), "reagent.strength.purity",
     "0.98 g/g (98 %)"),
    (*strength(f"{SOLID}made_up_to = {{ mL = 500, tolerance_mL = 250 }}"),
     "reagent.strength.made_up_to.tolerance_mL", "0.25 mL (250 µL)"),
    (*strength(f"{DILUTED}taken = {{ mL = 50 }}\nmade_up_to = {{ mL = 1 }}"),
     "reagent.strength.made_up_to.mL", "1000 mL (1 L)"),
    ("total_mL = 40", "total_mL = 0.04", "series.total_mL", "40 mL (0.04 L)"),
    ("total_mL = 40", "total_mL = 4", "series.total_mL", "40 mL"),
    ("[5, 10, 14,", "[5, 100, 14,", "series.reagent_mL, item 2", "10 mL"),
    ("total_mL = 40", "total_mL = 40\nsample_g = [1500]", "series.sample_g, item 1", "1.5 g"),
    ("total_mL = 40", "total_mL = 40\npieces = [2000]", "series.pieces, item 1", "200"),
    ("total_mL = 40", "total_mL = 40\ndiluent_density_g_per_mL = 998",
     "series.diluent_density_g_per_mL", "0.998 g/mL (998 g/L)"),
    (WARE, WARE.replace("50", "50000"), "instruments.reagent.capacity_mL", "50 mL (50000 µL)"),
    (WARE, ware("tolerance_mL = 250"), "instruments.reagent.tolerance_mL", "0.25 mL (250 µL)"),
    (WARE, ware("graduation_mL = 1000"), "instruments.reagent.graduation_mL", "1 mL (1000 µL)"),
    (WARE, ware("reading_half_width_mL = 200"), "instruments.reagent.reading_half_width_mL",
     "0.2 mL (200 µL)"),
    (WARE, ware("repeatability_mL = 100"), "instruments.reagent.repeatability_mL",
     "0.1 mL (100 µL)"),
    (WARE, WARE.replace("graduated cylinder", "piston pipette").replace("50", "1000", 1),
     "instruments.reagent.capacity_mL", "1 mL (1000 µL)"),
    (BALANCE, "readability_g = 10\ncapacity_g = 300", "instruments.balance.readability_g",
     "0.01 g (10 mg)"),
    (BALANCE, "readability_g = 0.001\ncapacity_g = 0.3", "instruments.balance.capacity_g",
     "300 g (0.3 kg)"),
    (BALANCE, "readability_g = 0.001\ncapacity_g = 2", "instruments.balance.capacity_g",
     "2000 g (2 kg)"),
    (BALANCE, f"{BALANCE}\nrepeatability_g = 1", "instruments.balance.repeatability_g",
     "0.001 g (1 mg)"),
    (BALANCE, f"{BALANCE}\nlinearity_g = 2", "instruments.balance.linearity_g", "0.002 g (2 mg)"),
    ("readability_C = 0.5", "readability_C = 50", "instruments.thermometer.readability_C", "5 °C"),
    ("tolerance_C = 1.0", "tolerance_C = 100", "instruments.thermometer.tolerance_C", "10 °C"),
    ("[waiting]", '[weighing]\nsealed_runs = ["8"]\nsealed_vessel_rated_kPa = 600000\n[waiting]',
     "weighing.sealed_vessel_rated_kPa", "600 kPa (600000 Pa)"),
    ("[waiting]", '[weighing]\nsealed_runs = ["8"]\nsealed_vessel_rated_kPa = 600\n'
     "sealed_vessel_mL = 0.4\n[waiting]", "weighing.sealed_vessel_mL", "400 mL (0.4 L)"),
    (VESSEL, VESSEL.replace("200", "0.2"), "vessel.capacity_mL", "200 mL (0.2 L)"),
    (VESSEL, VESSEL.replace("7.0", "70").replace("8.5", "85"), "vessel.opening_diameter_cm",
     "7 and 8.5 cm (both in mm)"),
    (VESSEL, VESSEL.replace("8.5", "0.085"), "vessel.height_cm", "8.5 cm (0.085 m)"),
    (MINUTES, "minutes = 36000", "waiting.minutes", "600 min (36000 s)"),
    (MINUTES, "gas_pressure_atm = 101.3", "waiting.gas_pressure_atm", "0.9998 atm (101.3 kPa)"),
    (MINUTES, "gas_pressure_atm = 1.0\ngas_pressure_relative_u = 15",
     "waiting.gas_pressure_relative_u", "0.15 (15 %)"),
    (MINUTES, "degassing_per_minute = 200", "waiting.degassing_per_minute", "20"),
    (MINUTES, "degassing_per_minute = 0.02\ndegassing_relative_u = 70",
     "waiting.degassing_relative_u", "0.7 (70 %)"),
    (MINUTES, "head_gas_fraction = 15", "waiting.head_gas_fraction", "0.15 (15 %)"),
    (MINUTES, "head_gas_fraction = 0.15\nhead_gas_u = 8", "waiting.head_gas_u", "0.08 (8 %)"),
    (MINUTES, "evaporation_mg_per_minute = 900", "waiting.evaporation_mg_per_minute",
     "0.9 mg/min (900 µg/min)"),
    (MINUTES, "evaporation_mg_per_minute = 1\nevaporation_relative_u = 50",
     "waiting.evaporation_relative_u", "0.5 (50 %)"),
    (MINUTES, "vapour_saturation = 90", "waiting.vapour_saturation", "0.9 (90 %)"),
    (MINUTES, "vapour_saturation = 0.9\nvapour_saturation_u = 6", "waiting.vapour_saturation_u",
     "0.06 (6 %)"),
    ("[room]", "[prepare]\nmargin_percent = 1000\n[room]", "prepare.margin_percent", "100"),
    ("[room]", "[prepare]\nrinsing_mL = 10000\n[room]", "prepare.rinsing_mL", "10 mL (10000 µL)"),
    ("[room]", "[prepare]\nstudents_per_group = 40\n[room]", "prepare.students_per_group", "4"),
    ("[room]", "[prepare]\ncups_per_visit = 400\n[room]", "prepare.cups_per_visit", "40"),
    ("[room]", "[prepare]\nlesson_minutes = 5400\n[room]", "prepare.lesson_minutes",
     "90 min (5400 s)"),
    ("[room]", "[prepare]\nweighing_minutes = 90\n[room]", "prepare.weighing_minutes",
     "1.5 min (90 s)"),
    ("[room]", "[prepare]\npouring_minutes = 120\n[room]", "prepare.pouring_minutes",
     "2 min (120 s)"),
    ("[room]", "[prepare]\nadding_minutes = 90\n[room]", "prepare.adding_minutes",
     "1.5 min (90 s)"),
    ("[room]", "[prepare]\nfizzing_minutes = 900\n[room]", "prepare.fizzing_minutes",
     "15 min (900 s)"),
    ("[room]", '[prepare.bought]\nname = "x"\nsolid = "HCl"\npurity = 99.5\n[room]',
     "prepare.bought.purity", "0.995 g/g (99.5 %)"),
)
# fmt: on


def faults_of(old: str, new: str) -> list[Any]:
    assert old in CLEAN
    with pytest.raises(InputError) as raised:
        parse_definition(CLEAN.replace(old, new, 1))
    return list(raised.value.faults)


@pytest.mark.parametrize(("old", "new", "key", "meant"), MEANT)
def test_a_number_off_by_a_unit_or_a_point_is_named_with_what_was_meant(
    old: str, new: str, key: str, meant: str
) -> None:
    said = {one.where.removeprefix("experiment.toml, key "): one.do for one in faults_of(old, new)}
    assert key in said
    assert f"Was it {meant}" in said[key] or f" or {meant}" in said[key]


def tables() -> Iterator[type[schema.Table]]:
    for one in vars(schema).values():
        if isinstance(one, type) and issubclass(one, schema.Table) and one is not schema.Table:
            yield one


def metadata(annotation: Any) -> Iterator[Any]:
    """Yield what is said of the numbers of a key, wherever in its annotation."""
    for part in getattr(annotation, "__metadata__", ()):
        yield from part.metadata if isinstance(part, FieldInfo) else [part]
    for part in get_args(annotation):
        yield from metadata(part)


def has_number(annotation: Any) -> bool:
    return annotation in (float, int) or any(map(has_number, get_args(annotation)))


def numbers() -> Iterator[tuple[str, str, FieldInfo]]:
    for table in tables():
        for key, field in table.model_fields.items():
            if has_number(field.annotation):
                yield table.__name__, key, field


def test_every_number_of_a_definition_has_bounds_on_both_sides() -> None:
    for table, key, field in numbers():
        said = [*field.metadata, *metadata(field.annotation)]
        least = [one for one in said if isinstance(one, annotated_types.Ge | annotated_types.Gt)]
        most = [one for one in said if isinstance(one, annotated_types.Le | annotated_types.Lt)]
        assert least, (table, key)
        assert most, (table, key)


def test_every_number_of_a_definition_has_a_row_above() -> None:
    named = {re.sub(r", item \d+$", "", key).rpartition(".")[2] for _, _, key, _ in MEANT}
    assert {key for _, key, _ in numbers()} - named == set()


def test_a_row_that_no_balance_sees_is_refused() -> None:
    weak = CLEAN.replace(STRENGTH, 'given_as = "mol per L"\nmol_per_L = 0.0005\n')
    assert parse_definition(weak).reagent
    with pytest.raises(InputError) as raised:
        parse_definition(weak.replace(BALANCE, "readability_g = 0.01"))
    assert "at most 0.00077 g of CO2 from any cup, on a balance that shows" in str(raised.value)


def test_a_density_of_the_bottle_instead_of_the_stock_is_refused() -> None:
    (one,) = faults_of("[reagent.strength]", "density_g_per_mL = 1.19\n[reagent.strength]")
    assert "1.011 g/mL, which a stock of this strength has" in one.allowed
    assert parse_definition(
        CLEAN.replace("[reagent.strength]", "density_g_per_mL = 1.02\n[reagent.strength]")
    )


@pytest.mark.parametrize("solid", ["NaHCO3", "H2SO4"])
def test_a_solid_that_lacks_atoms_of_the_reagent_is_refused(solid: str) -> None:
    text = f'{SOLID}solid = "{solid}"\nmade_up_to = {{ mL = 500 }}'
    (one,) = faults_of(*strength(text))
    assert one.where == "experiment.toml, key reagent.strength.solid"
    (one,) = faults_of("[room]", f'[prepare.bought]\nname = "x"\nsolid = "{solid}"\n[room]')
    assert one.where == "experiment.toml, key prepare.bought.solid"


DEFINITIONS = sorted(
    [*TOP.glob("examples/*/experiment.toml"), *TOP.glob("tests/laboratories/*/experiment.toml")]
)


@pytest.mark.parametrize("path", DEFINITIONS, ids=lambda path: path.parent.name)
def test_no_laboratory_is_refused(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text)["title"]
    assert parse_definition(text)
