"""Calcite under CO2: textbook values, and PHREEQC with the same solubility product."""

from __future__ import annotations

import numpy as np
import pytest
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc

from tarebook.chemistry.equilibrium import StrongIon, System, acid, capped, phreeqc_database
from tarebook.chemistry.equilibrium.solids import solids

CHALK = System(
    acids=(acid("carbonic"), acid("acetic")),
    strong_ions=(StrongIon("Ca^2+", 2), StrongIon("Cl-", -1)),
)


@pytest.mark.published(
    "Calcite in water at 25 degC: 0.5 mmol/L and pH 8.3 under 10^-3.5 atm of CO2, about 9 mmol/L "
    "and pH 6.0 under 1 atm; Appelo and Postma, Geochemistry, Groundwater and Pollution, and other "
    "textbooks; basis: memory"
)
def test_calcite_in_water() -> None:
    cups = capped(
        CHALK,
        totals={"carbonic": 1.0},
        strong={},
        temperature=298.15,
        pressure=[101325.0 * 10**-3.5, 101325.0],
        solids={"CaCO3": 1.0},
    )
    air, pure = 1000.0 * cups.from_solids["CaCO3"]
    assert float(air) == pytest.approx(0.5, abs=0.05)
    assert float(pure) == pytest.approx(9.0, abs=0.5)
    np.testing.assert_allclose(cups.ph, [8.3, 6.0], rtol=0, atol=0.05)


@pytest.mark.published("PHREEQC 3.7.3 through phreeqpy 0.6, run beside; basis: computed, library")
@pytest.mark.parametrize("celsius", [10.0, 25.0, 35.0])
def test_calcite_as_phreeqc_has_it(celsius: float) -> None:
    """Chalk left over in acid of many strengths, under CO2 of 0.0004 to 1 atm."""
    calcium, acetic, logs = (
        np.ravel(a)
        for a in np.meshgrid([0.0, 0.05, 0.3, 0.8], [0.0, 0.2, 0.8], [-3.4, -2.0, -1.0, 0.0])
    )
    n = calcium.size
    product = " ".join(f"{c:.17g}" for c in solids()["CaCO3"].product)
    phase = (
        f"PHASES\nChalk\nCaCarbonicH2O = Ca+2 + CarbonicH2O-2\n -analytical_expression {product}\n"
    )
    text = "".join(
        f"SOLUTION {i + 1}\n units mol/kgw\n temp {celsius}\n pH 3 charge\n Ca {calcium[i]}\n"
        f" Cl {2 * calcium[i]}\n Acetic {acetic[i]}\nEQUILIBRIUM_PHASES {i + 1}\n"
        f" Chalk 0 3\n CO2(g) {logs[i]} 10\nEND\n"
        for i in range(n)
    )
    program = IPhreeqc()
    # The phase must stand before the interactions, which end the database.
    database, interactions = phreeqc_database(CHALK).split("SIT\n")
    program.load_database_string(f"{database}{phase}SIT\n{interactions}")
    program.run_string(
        "SELECTED_OUTPUT\n -reset false\nUSER_PUNCH\n -headings pH left carbon water\n"
        ' 10 PUNCH -LA("H+"), EQUI("Chalk"), TOTMOLE("Carbonic"), TOT("water")\n' + text
    )
    rows = np.array(program.get_selected_output_array()[1:], dtype=np.float64)[1::2]
    ph, left, carbon, kg = rows.T
    assert ph.size == n
    # The gas gives or takes what carbon and water it must: ours are per kg of what is there then.
    ours = capped(
        CHALK,
        totals={"carbonic": 5.0, "acetic": acetic / kg},
        strong={"Ca^2+": calcium / kg, "Cl-": 2 * calcium / kg},
        temperature=celsius + 273.15,
        pressure=101325.0 * 10.0**logs,
        solids={"CaCO3": 5.0},
    )
    np.testing.assert_allclose(ours.ph, ph, rtol=0, atol=0.01)
    np.testing.assert_allclose(ours.from_solids["CaCO3"] * kg, 3.0 - left, rtol=0.005, atol=2e-6)
    np.testing.assert_allclose(ours.dissolved * kg, carbon, rtol=0.005, atol=1e-6)
