"""Does the reaction of a definition happen? A balanced equation may still be none.

What is known of carbonates, metals and acids (`chemistry/tables/substances.toml`) says how many
protons pass from one to the other; an equation that counts them otherwise is refused, with the
right one beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from tarebook.chemistry.balance import EquationError
from tarebook.chemistry.equation import Equation, parse_equation
from tarebook.chemistry.formula import Formula, FormulaError, parse_formula
from tarebook.chemistry.substances import (
    Substance,
    acid_substance,
    carbonate,
    composition,
    metal,
    strong_ion,
)
from tarebook.core.errors import Fault
from tarebook.series import schema

METALS: Final = ("Li", "Na", "K", "Mg", "Ca", "Sr", "Ba", "Al", "Fe", "Zn", "Cu", "Mn", "Ni", "Pb")


def impossible_reaction(equation: Equation, table: schema.ReactionTable) -> Iterator[Fault]:
    """Yield a fault for each thing that the reaction cannot be.

    Parameters
    ----------
    equation : Equation
        Balanced; it holds the three species of the table.
    table : ReactionTable
    """
    yield from _charged(table)
    yield from _no_gas(equation, table)
    yield from _protons(equation, table)


def _charged(table: schema.ReactionTable) -> Iterator[Fault]:
    for key, formula in (("sample", table.sample), ("reagent", table.reagent), ("gas", table.gas)):
        charge = parse_formula(formula).charge
        if charge:
            yield Fault(
                where=key,
                found=f"{formula}, an ion with charge {charge:+d}",
                allowed="a substance without charge: what is weighed, poured or leaves is neutral",
                do="Write the substance that it comes in, such as HCl for H+ or NaHCO3 for HCO3-.",
            )


def _no_gas(equation: Equation, table: schema.ReactionTable) -> Iterator[Fault]:
    gas = parse_formula(table.gas)
    is_water = composition(gas) == composition("H2O")
    if not is_water and not any(gas.count(symbol) for symbol in METALS):
        return
    names = [formula.text for formula, _ in equation.products]
    others = [name for name in names if _may_be_gas(parse_formula(name))]
    yield Fault(
        where="gas",
        found=f"{table.gas}, which stays in the vessel",
        allowed="the product that leaves as a gas",
        do=f'Write gas = "{others[0]}".' if others else "Write the whole equation, with the gas.",
    )


def _may_be_gas(formula: Formula) -> bool:
    is_salt = any(formula.count(symbol) for symbol in METALS)
    return not is_salt and not formula.charge and composition(formula) != composition("H2O")


def _protons(equation: Equation, table: schema.ReactionTable) -> Iterator[Fault]:
    """Yield a fault where the equation passes on other protons than the two reactants would."""
    solid, acid = carbonate(table.sample) or metal(table.sample), acid_substance(table.reagent)
    if solid is None or acid is None:
        return
    wanted = "CO2" if carbonate(table.sample) else "H2"
    if composition(table.gas) != composition(wanted):
        return
    taken = solid.protons * equation.coefficient(table.sample)
    poured = equation.coefficient(table.reagent)
    if math.isclose(taken, poured * acid.protons):
        return
    each = taken / poured
    right = _right_equation(table, solid, acid, wanted)
    yield Fault(
        where="equation",
        found=f"{equation.text}, in which each {table.reagent} gives {each:g} "
        f"proton{'' if each == 1 else 's'}",
        allowed=f"{acid.protons:g} from each {table.reagent} (by its pK values) and "
        f"{solid.protons:g} to each {table.sample}",
        do=f'Write equation = "{right}".' if right else "Write the salt that these protons leave.",
    )


def _right_equation(
    table: schema.ReactionTable, solid: Substance, acid: Substance, gas: str
) -> str:
    """Return the equation with the right salt; empty where the salt is not easily written."""
    salt = _salt(table.sample, solid, table.reagent, acid)
    if not salt:
        return ""
    water = " + H2O" if gas == "CO2" else ""
    try:
        return parse_equation(f"{table.sample} + {table.reagent} -> {salt}{water} + {gas}").text
    except (EquationError, FormulaError):
        return ""


def _salt(sample: str, solid: Substance, reagent: str, acid: Substance) -> str:
    """Return the formula of the salt of a solid's cation and an acid's anion."""
    if acid.ions and not all(strong_ion(name).charge < 0 for name in acid.ions):
        return ""  # its own cation makes a salt of two
    if len(solid.ions) == 1:
        ((name, _),) = solid.ions.items()
        cation, charge = name.rstrip("+0123456789^"), strong_ion(name).charge
    elif metal(sample) is not None:
        cation, charge = sample, int(solid.protons)
    else:
        return ""
    left = dict(parse_formula(reagent.partition(".")[0]).counts)
    left["H"] = left.get("H", 0) - int(acid.protons)
    parts = [f"{symbol}{n if n > 1 else ''}" for symbol, n in left.items() if n > 0]
    anion = "".join(parts)
    both = math.lcm(charge, int(acid.protons))
    cations, anions = both // charge, both // int(acid.protons)
    if anions > 1:
        anion = f"({anion}){anions}" if len(parts) > 1 else f"{anion}{anions}"
    return f"{cation}{cations if cations > 1 else ''}{anion}"
