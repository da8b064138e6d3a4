"""The constants as a database for another program: every reaction balances."""

from __future__ import annotations

import re

import numpy as np

from tarebook.chemistry.equilibrium import (
    StrongIon,
    System,
    acid,
    acid_names,
    phreeqc_database,
)
from tarebook.chemistry.equilibrium.constants import constants_at

SYSTEM = System(
    acids=tuple(acid(name) for name in acid_names()),
    strong_ions=(StrongIon("Na+", 1), StrongIon("Ca++", 2), StrongIon("Cl-", -1)),
)


def parse(side: str) -> dict[str, int]:
    """Return the atoms and the charge of one side of a reaction."""
    total: dict[str, int] = {}
    for term in side.split(" + "):
        found = re.fullmatch(r"(?:(\d+) )?([A-Za-z0-9]+?)?([+-]\d*)?", term.strip())
        assert found, term
        times = int(found[1] or 1)
        for symbol, count in re.findall(r"([A-Z][a-z]*)(\d*)", found[2]):
            total[symbol] = total.get(symbol, 0) + times * int(count or 1)
        sign = found[3] or "+0"
        charge = int(sign + "1" if sign in "+-" else sign)
        total["charge"] = total.get("charge", 0) + times * charge
    return {key: value for key, value in total.items() if value}


def test_reactions_balance() -> None:
    reactions = [
        line for line in phreeqc_database(SYSTEM).splitlines() if " = " in line and "e-" not in line
    ]
    assert len(reactions) > 25
    for reaction in reactions:
        left, right = reaction.split(" = ")
        assert parse(left) == parse(right), reaction


def test_constants_are_ours() -> None:
    """The association constants of the text, read back, against the dissociation constants."""
    text = phreeqc_database(SYSTEM).splitlines()
    t = 285.0
    known = constants_at(SYSTEM.acids, np.array(t))
    for one, steps in zip(SYSTEM.acids, known.k, strict=True):
        n = len(one.steps)
        symbol = one.name.capitalize()
        for j in range(n):
            at = next(
                i
                for i, line in enumerate(text)
                if line.startswith(symbol) and f" + {n - j} H+ = " in line
            )
            c0, c1, c2, c3, c4 = map(float, text[at + 1].split()[1:])
            found = c0 + c1 * t + c2 / t + c3 * np.log10(t) + c4 / t**2
            expected = -sum(np.log10(k) for k in steps[j:])
            np.testing.assert_allclose(found, expected, rtol=0, atol=1e-9)
