"""Each way to give the strength of the stock, against sums done by hand in this file.

Molar masses from the IUPAC 2021 abridged atomic weights: H 1.008, C 12.011, O 15.999, Na 22.990,
Cl 35.45; HCl 36.458, CH3COOH 60.052, NaOH 39.997 g/mol.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.errors import InputError
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment, Reagent

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
CLEAN = (POOL / "experiment.toml").read_text(encoding="utf-8")
HCL, ACETIC_ACID = 36.458, 60.052
SALTS = {"HCl": "NaCl", "HBr": "NaBr", "CH3COOH": "NaCH3COO", "HCOOH": "NaHCOO",
         "NaHSO4": "Na2SO4"}  # fmt: skip
ROOT3, ROOT6 = math.sqrt(3.0), math.sqrt(6.0)


def experiment(strength: str, reagent: str = "HCl", density: str = "") -> Experiment:
    before, rest = CLEAN.split("[reagent.strength]")
    after = rest[rest.index("[series]") :]
    before = before.replace("NaCl", SALTS[reagent]).replace("HCl", reagent)
    before = before.replace("[reagent]\n", f"[reagent]\n{density}\n")
    return parse_definition(f"{before}[reagent.strength]\n{strength}\n{after}")


def stock(strength: str, reagent: str = "HCl", density: str = "") -> Reagent:
    return experiment(strength, reagent, density).reagent


def test_mol_per_litre_with_a_standard_uncertainty() -> None:
    found = stock('given_as = "mol per L"\nmol_per_L = 0.5\nrelative_u = 0.01')
    assert found.concentration.value == 0.5
    assert found.concentration.u == pytest.approx(0.005)
    assert found.strength_is_sure


def test_mol_per_litre_with_a_tolerance_is_rectangular() -> None:
    found = stock('given_as = "mol per L"\nmol_per_L = 0.5\ntolerance_percent = 1.0')
    assert found.concentration.u == pytest.approx(0.5 * 0.01 / ROOT3)


def test_a_strength_without_uncertainty_says_so() -> None:
    found = stock('given_as = "mol per L"\nmol_per_L = 0.5')
    assert found.concentration.u == 0.0
    assert not found.strength_is_sure


def test_grams_in_100_millilitres() -> None:
    """Vinegar of 5 %: 50 g/L of acetic acid."""
    found = stock('given_as = "g per 100 mL"\ng_per_100_mL = 5.0\nrelative_u = 0.02', "CH3COOH")
    assert found.concentration.value == pytest.approx(50.0 / ACETIC_ACID, rel=1e-6)
    assert found.concentration.u / found.concentration.value == pytest.approx(0.02, rel=1e-3)


def test_mass_fraction_and_density() -> None:
    found = stock(
        'given_as = "mass fraction and density"\nmass_fraction = 0.37\ndensity_g_per_mL = 1.184\n'
        "relative_u = 0.005"
    )
    assert found.concentration.value == pytest.approx(0.37 * 1184.0 / HCL, rel=1e-6)
    assert found.density.value == pytest.approx(1184.0)


def test_mass_percent_takes_the_density_from_the_table() -> None:
    """10 % HCl: 1.0474 g/mL at 20 degC in the shipped table, about 0.0002 less at 21 degC."""
    found = stock('given_as = "mass percent"\nmass_percent = 10.0\nrelative_u = 0.01')
    assert found.concentration.value == pytest.approx(0.10 * 1047.2 / HCL, rel=5e-4)
    assert found.density.value == pytest.approx(1047.2, abs=0.6)


def test_mass_percent_of_an_unknown_solute_says_what_to_give() -> None:
    with pytest.raises(InputError) as caught:
        stock('given_as = "mass percent"\nmass_percent = 5.0', "HBr")
    (fault,) = caught.value.faults
    assert fault.where.endswith("reagent.strength.mass_percent")
    assert "mass fraction and density" in fault.do


def test_a_weighed_solid_made_up_to_a_mark() -> None:
    found = stock(
        'given_as = "weighed solid"\nmass_g = 15.01\npurity = 0.998\nrelative_u = 0.001\n'
        "made_up_to = { mL = 250, tolerance_mL = 0.3 }",
        "CH3COOH",
    )
    expected = 15.01 * 0.998 / (ACETIC_ACID * 0.250)
    assert found.concentration.value == pytest.approx(expected, rel=1e-6)
    relative = math.hypot(0.001, 0.3 / ROOT6 / 250)
    assert found.concentration.u == pytest.approx(expected * relative, rel=1e-3)


def test_a_solid_with_water_may_be_weighed() -> None:
    """The hydrate of the acid melts far below a room; only its molar mass counts here."""
    found = stock(
        'given_as = "weighed solid"\nsolid = "HCl.H2O"\nmass_g = 10.0\nrelative_u = 0.001\n'
        "made_up_to = { mL = 250, tolerance_mL = 0.3 }"
    )
    assert found.concentration.value == pytest.approx(10.0 / (54.473 * 0.250), rel=1e-6)


def test_a_dilution_with_tolerances_of_the_standard() -> None:
    """Class A flasks of ISO 1042 in the shipped table: 100 mL +- 0.1 mL, 500 mL +- 0.25 mL."""
    found = stock(
        'given_as = "dilution"\n'
        'taken = { mL = 100, kind = "volumetric flask", standard = "ISO 1042", grade = "A" }\n'
        'made_up_to = { mL = 500, kind = "volumetric flask", standard = "ISO 1042", grade = "A" }\n'
        '[reagent.strength.of]\ngiven_as = "mol per L"\nmol_per_L = 4.0\ntolerance_percent = 1.0'
    )
    assert found.concentration.value == pytest.approx(4.0 * 100 / 500)
    parts = [0.01 / ROOT3, 0.1 / ROOT6 / 100, 0.25 / ROOT6 / 500]
    assert found.concentration.u == pytest.approx(0.8 * math.hypot(*parts), rel=1e-9)


def test_a_dilution_cannot_take_more_than_it_makes() -> None:
    with pytest.raises(InputError) as caught:
        stock(
            'given_as = "dilution"\ntaken = { mL = 500, tolerance_mL = 1 }\n'
            "made_up_to = { mL = 100, tolerance_mL = 1 }\n"
            '[reagent.strength.of]\ngiven_as = "mol per L"\nmol_per_L = 4.0'
        )
    (fault,) = caught.value.faults
    assert fault.where == "experiment.toml, key reagent.strength.made_up_to.mL"
    assert fault.found == "100 mL, and 500 mL were taken"
    assert fault.do == "Was it 1000 mL, with the decimal point elsewhere?"


def test_a_titration() -> None:
    """Burette and pipette err the same way in every repeat; only the scatter shrinks."""
    titres = np.array([18.75, 18.80, 18.75])
    mean = titres.mean()
    found = parse_definition(CLEAN).reagent.concentration
    expected = 0.2000 * mean / 5.00
    assert found.value == pytest.approx(expected, rel=1e-12)
    scatter = titres.std(ddof=1) / ROOT3
    relative = math.hypot(
        0.0004 / 0.2000, math.hypot(0.05 / ROOT6, scatter) / mean, 0.01 / ROOT6 / 5.00
    )
    assert found.u == pytest.approx(expected * relative, rel=1e-9)


def test_a_titrant_that_takes_two_for_one() -> None:
    text = CLEAN.replace("aliquot_mL = 5.00", "aliquot_mL = 5.00\ntitrant_moles_per_mole = 2.0")
    once = parse_definition(CLEAN).reagent.concentration.value
    assert parse_definition(text).reagent.concentration.value == pytest.approx(once / 2)


def test_a_density_of_ones_own_wins() -> None:
    strength = 'given_as = "mol per L"\nmol_per_L = 0.5\nrelative_u = 0.01'
    assert stock(strength, density="density_g_per_mL = 1.02").density.value == 1020.0


def test_unlisted_solution_is_heavier_than_water_by_what_is_dissolved() -> None:
    """Hydrobromic acid, 0.5 mol/L at 20 degC: 1026.0 g/L by Laliberte (2009), 1.3 u away."""
    density = stock('given_as = "mol per L"\nmol_per_L = 0.5\nrelative_u = 0.01', "HBr").density
    dissolved = 0.5 * 80.912
    assert density.u == pytest.approx(0.20 * dissolved, rel=0.01)
    assert density.value == pytest.approx(997.99 + (1 - 0.57) * dissolved, abs=0.2)
    assert abs(density.value - 1026.0) < 2.0 * density.u
    assert "estimated" in density.source.work


def test_stock_beyond_the_end_of_its_table_is_estimated_too() -> None:
    """Formic acid of 30 %, 7 mol/L: its table ends at 20 %."""
    density = stock('given_as = "mol per L"\nmol_per_L = 7.0\nrelative_u = 0.01', "HCOOH").density
    assert "estimated" in density.source.work
    assert density.value == pytest.approx(1070.0, abs=2.0 * density.u)


def test_hydrogen_sulfate_weighed_as_its_hydrate_has_the_density_of_the_table() -> None:
    """51.8 g of NaHSO4.H2O in 500 mL: 8.5 %; water's density would be 6 % too low."""
    density = stock(
        'given_as = "weighed solid"\nsolid = "NaHSO4.H2O"\nmass_g = 51.80\n'
        "made_up_to = { mL = 500 }\n",
        "NaHSO4",
    ).density
    assert density.value == pytest.approx(1061.0, abs=1.5)


def test_what_the_definition_says_arrives_in_memory_units() -> None:
    found = parse_definition(CLEAN)
    assert found.total_volume == pytest.approx(0.040)
    assert [run.reagent for run in found.planned][:2] == pytest.approx([0.005, 0.010])
    assert [run.run for run in found.planned] == [str(n) for n in range(1, 9)]
    assert found.planned[0].diluent == pytest.approx(0.035)
    assert found.room.temperature == pytest.approx(294.15)
    assert found.room.pressure == pytest.approx(101_300.0)
    assert found.vessel.capacity == pytest.approx(0.2)
    assert found.vessel.opening_diameter == pytest.approx(0.07)
    assert found.sample.claimed_mass_fraction is not None
    assert found.sample.claimed_mass_fraction.u == pytest.approx(0.02 / ROOT3)
    assert found.sample.own_acid is not None
    assert found.sample.own_acid.u == pytest.approx(0.03e-3)
    assert found.equipment.sample_balance is found.equipment.balance


def test_the_ratio_of_molar_masses_counts_shared_elements_once() -> None:
    """M(NaHCO3) = 84.006, M(CO2) = 44.009; u by hand from 0.001 (H: 0.0001, C: 0.002, O: 0.001)."""
    reaction = parse_definition(CLEAN).reaction
    gas, analyte = 44.009, 84.006
    assert reaction.mass_ratio.value == pytest.approx(analyte / gas, rel=1e-5)
    apart = (
        math.hypot(reaction.analyte_molar_mass.u / analyte, reaction.gas_molar_mass.u / gas)
        * reaction.mass_ratio.value
    )
    assert 0 < reaction.mass_ratio.u < apart


def test_the_waiting_of_the_definition() -> None:
    text = CLEAN.replace(
        "minutes = 10",
        "minutes = 12\ngas_pressure_atm = 0.5\ngas_pressure_relative_u = 0.1\n"
        "head_gas_fraction = 0.3\nevaporation_mg_per_minute = 2.0",
    )
    procedure = parse_definition(text).procedure
    assert procedure.minutes == 12
    assert procedure.gas_pressure is not None
    assert procedure.gas_pressure.value == pytest.approx(50_662.5)
    assert procedure.gas_pressure.u == pytest.approx(5_066.25)
    assert procedure.head_fraction is not None
    assert procedure.head_fraction.u == 0.08
    assert procedure.evaporation is not None
    assert procedure.evaporation.value == pytest.approx(0.002)
    assert procedure.degassing is None
