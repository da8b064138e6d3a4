"""The constants in the database format of PHREEQC, so that the solver can be checked against it."""

from __future__ import annotations

from tarebook.chemistry.equilibrium.acids import CARBONIC, Acid, LogK
from tarebook.chemistry.equilibrium.constants import henry_log_k, water_log_k
from tarebook.chemistry.equilibrium.interactions import epsilon
from tarebook.chemistry.equilibrium.system import System

# Hydrogen and oxygen gas are there because the program wants a redox scale; at the pe of the
# calculations here both stay below 1e-10 mol/kg.
HEAD = """\
SOLUTION_MASTER_SPECIES
H H+ -1 H 1.008
H(0) H2 0 H
H(1) H+ -1 0
E e- 0 0 0
O H2O 0 O 16
O(0) O2 0 O
O(-2) H2O 0 0
"""
WATER = """\
SOLUTION_SPECIES
H+ = H+
 log_k 0
e- = e-
 log_k 0
H2O = H2O
 log_k 0
2 H2O = O2 + 4 H+ + 4 e-
 log_k -86.08
2 H+ + 2 e- = H2
 log_k -3.15
"""


def element(name: str) -> str:
    """Return the name of the element that stands for a substance: letters only, one capital.

    Examples
    --------
    >>> element("acetic"), element("Na+")
    ('Acetic', 'Na')
    """
    return "".join(c for c in name if c.isalpha()).capitalize()


def _sign(charge: int) -> str:
    if abs(charge) <= 1:
        return {0: "", 1: "+", -1: "-"}[charge]
    return f"{charge:+d}"


def _count(symbol: str, n: int) -> str:
    return symbol + (str(n) if n > 1 else "") if n else ""


def species_of(acid: Acid) -> tuple[str, ...]:
    """Return the names of the forms of an acid in the database, in the order of its species.

    The hydrogens and oxygens that make the reactions balance are written out.

    Examples
    --------
    >>> from tarebook.chemistry.equilibrium.acids import acid
    >>> species_of(acid("carbonic"))
    ('CarbonicH2', 'CarbonicH3O-', 'CarbonicH2O-2')
    """
    names = []
    steps = len(acid.steps)
    for j, charge in enumerate(acid.charges):
        taken = sum(acid.water[:j])
        hydrogen = _count("H", steps - j + 2 * taken)
        names.append(element(acid.name) + hydrogen + _count("O", taken) + _sign(charge))
    return tuple(names)


def _analytic(coefficients: LogK, factor: float = 1.0) -> str:
    return " -analytical_expression " + " ".join(f"{factor * c:.17g}" for c in coefficients)


def _acid_lines(acid: Acid) -> list[str]:
    """Return the association reactions of an acid, from its last form."""
    names = species_of(acid)
    n = len(acid.steps)
    lines = [f"{names[-1]} = {names[-1]}", " log_k 0"]
    for j in reversed(range(n)):
        # all protons from step j on go back, with the water they set free
        total = tuple(sum(step[c] for step in acid.steps[j:]) for c in range(5))
        water = sum(acid.water[j:])
        right = names[j] + (f" + {water} H2O" if water else "")
        lines.append(f"{names[-1]} + {n - j} H+ = {right}")
        lines.append(_analytic((total[0], total[1], total[2], total[3], total[4]), -1.0))
    return lines


def phreeqc_database(system: System) -> str:
    """Return a database with exactly the constants of a system.

    Each acid and strong ion is an element of its own. The coefficients of all pairs of a strong ion
    with a species follow in a block of their own, the last one; the activity of water is that
    program's. Carbonic acid has the gas phase ``CO2(g)``.

    Parameters
    ----------
    system : System
        Acids and strong ions.

    Returns
    -------
    str
        Text of the database.

    References
    ----------
    .. [1] Parkhurst and Appelo, Description of input and examples for PHREEQC version 3, USGS
       Techniques and Methods 6-A43, 2013.
    """
    masters, reactions = [], [WATER.rstrip(), "H2O = OH- + H+", _analytic(water_log_k())]
    phases: list[str] = []
    for acid in system.acids:
        name, forms = element(acid.name), species_of(acid)
        masters.append(f"{name} {forms[-1]} 0 100 100")
        reactions += _acid_lines(acid)
        if acid.name == CARBONIC:
            phases += ["PHASES", "CO2(g)", f"{forms[0]} = {forms[0]}", _analytic(henry_log_k())]
    for ion in system.strong_ions:
        name = element(ion.name)
        masters.append(f"{name} {name}{_sign(ion.charge)} 0 100 100")
        reactions += [f"{name}{_sign(ion.charge)} = {name}{_sign(ion.charge)}", " log_k 0"]
    pairs = _interaction_lines(system)
    return "\n".join([HEAD.rstrip(), *masters, *reactions, *phases, *pairs, ""])


def _interaction_lines(system: System) -> list[str]:
    """Return the specific interactions of each strong ion with each species, each pair once."""
    forms = [("H+", "H+", 1), ("OH-", "OH-", -1)]
    cations = [ion for ion in system.strong_ions if ion.charge > 0]
    forms += [(ion.name, element(ion.name) + _sign(ion.charge), ion.charge) for ion in cations]
    for acid in system.acids:
        forms += zip(acid.species, species_of(acid), acid.charges, strict=True)
    lines = ["SIT", "-epsilon"]
    for ion in system.strong_ions:
        theirs = element(ion.name) + _sign(ion.charge)
        for ours, name, charge in forms:
            value = epsilon(ours, charge, ion.name, ion.charge)
            lines.append(f" {name} {theirs} {value:.10g}")
    return lines
