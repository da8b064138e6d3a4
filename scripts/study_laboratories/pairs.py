"""The chemistry of the cup by PHREEQC: ion pairs, salts by name, constants that are not ours.

Ions have a size of their own in the activity coefficients (extended Debye and Hueckel), sodium,
potassium, calcium and magnesium form pairs with carbonate, hydrogen carbonate, phosphate, sulfate,
acetate, citrate and tartrate.

References
----------
.. [1] phreeqc.dat of PHREEQC version 3 (U.S. Geological Survey), read: carbonate, phosphate,
   sulfate, ammonium, sodium, potassium, calcium, magnesium and their pairs, -gamma.
.. [2] minteq.v4.dat of the same, read: citrate and tartrate with their pairs (after NIST 46 and the
   stability constants of Smith and Martell). Acetate pairs, acetylsalicylic acid: from memory.
.. [3] Henry constant and dissociation of carbonic acid: Plummer and Busenberg, Geochim. Cosmochim.
   Acta 46 (1982) 1011, as in [1].
.. [4] Salting-out of CO2 ion by ion: Weisenberger and Schumpe, AIChE J. 42 (1996) 298, from memory.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc

from tarebook.core.arrays import FloatArray
from tarebook.core.units import celsius
from tarebook.model.release import Mixture, Released

ATMOSPHERE = 101325.0
BEYOND = 0.5
"""mol/kg: from where the state of the cup says that its activities are extrapolated."""

ELEMENTS = {
    "carbonic": "C",
    "acetic": "Acetate",
    "citric": "Citrate",
    "tartaric": "Tartrate",
    "phosphoric": "P",
    "hydrogensulfate": "S",
    "ammonium": "Amm",
    "acetylsalicylic": "Asa",
}
"""Acid, in all its forms, and the element that stands for it in the database."""

IONS = {
    "Na+": "Na",
    "K+": "K",
    "Ca^2+": "Ca",
    "Mg^2+": "Mg",
    "Cl-": "Cl",
    "NO3-": "Nitrate",
    "Br-": "Br",
}
"""Strong ion and its element."""

NEUTRAL = 0.1
"""PHREEQC's salting-out of a neutral species: log10 of its activity coefficient over I, kg/mol."""

OF_THE_GAS = -0.0172
SALTING = {
    "Na+": 0.1143,
    "K+": 0.0922,
    "Ca^2+": 0.1762,
    "Mg^2+": 0.1694,
    "Cl-": 0.0318,
    "NO3-": 0.0128,
    "Br-": 0.0269,
    "H+": 0.0,
    "HCO3-": 0.0967,
}
"""What each ion and the gas itself add to log10 of the activity coefficient of CO2, L/mol [4]."""

DATABASE = """
SOLUTION_MASTER_SPECIES
H H+ -1 H 1.008
H(0) H2 0 H
H(1) H+ -1 0
E e- 0 0 0
O H2O 0 O 16
O(0) O2 0 O
O(-2) H2O 0 0
Na Na+ 0 Na 22.9898
K K+ 0 K 39.102
Ca Ca+2 0 Ca 40.08
Mg Mg+2 0 Mg 24.312
Cl Cl- 0 Cl 35.453
Br Br- 0 Br 79.904
Nitrate Nitrate- 0 62.005 62.005
C CO3-2 2 HCO3 12.0111
S SO4-2 0 SO4 32.064
P PO4-3 2 P 30.9738
Amm AmmH+ 0 AmmH 17
Acetate Acetate- 0 59.045 59.045
Citrate Citrate-3 0 189.1 189.1
Tartrate Tartrate-2 0 148.07 148.07
Asa Asa- 0 179.15 179.15
SOLUTION_SPECIES
H+ = H+
 -gamma 9 0
e- = e-
H2O = H2O
Na+ = Na+
 -gamma 4.08 0.082
K+ = K+
 -gamma 3.5 0.015
Ca+2 = Ca+2
 -gamma 5 0.165
Mg+2 = Mg+2
 -gamma 5.5 0.2
Cl- = Cl-
 -gamma 3.63 0.017
Br- = Br-
 -gamma 3 0
Nitrate- = Nitrate-
 -gamma 3 0
CO3-2 = CO3-2
 -gamma 5.4 0
SO4-2 = SO4-2
 -gamma 5 -0.04
PO4-3 = PO4-3
 -gamma 4 0
AmmH+ = AmmH+
 -gamma 2.5 0
Acetate- = Acetate-
Citrate-3 = Citrate-3
Tartrate-2 = Tartrate-2
Asa- = Asa-
2 H2O = O2 + 4 H+ + 4 e-
 log_k -86.08
2 H+ + 2 e- = H2
 log_k -3.15
H2O = OH- + H+
 -analytic 293.29227 0.1360833 -10576.913 -123.73158 0 -6.996455e-5
 -gamma 3.5 0
CO3-2 + H+ = HCO3-
 -analytic 107.8871 0.03252849 -5151.79 -38.92561 563713.9
 -gamma 5.4 0
CO3-2 + 2 H+ = CO2 + H2O
 -analytic 464.1965 0.09344813 -26986.16 -165.75951 2248628.9
SO4-2 + H+ = HSO4-
 -analytic -56.889 0.006473 2307.9 19.8858
PO4-3 + H+ = HPO4-2
 log_k 12.346
 delta_h -3.53 kcal
 -gamma 5 0
PO4-3 + 2 H+ = H2PO4-
 log_k 19.553
 delta_h -4.52 kcal
 -gamma 5.4 0
PO4-3 + 3 H+ = H3PO4
 log_k 21.721
 delta_h -10.1 kJ
AmmH+ = Amm + H+
 -analytic 0.6322 -0.001225 -2835.76
Acetate- + H+ = HAcetate
 log_k 4.757
 delta_h 0.41 kJ
Citrate-3 + H+ = HCitrate-2
 log_k 6.396
 delta_h 3.33 kJ
Citrate-3 + 2 H+ = H2Citrate-
 log_k 11.157
 delta_h 1.297 kJ
Citrate-3 + 3 H+ = H3Citrate
 log_k 14.285
 delta_h -2.736 kJ
Tartrate-2 + H+ = HTartrate-
 log_k 4.366
 delta_h -0.75 kJ
Tartrate-2 + 2 H+ = H2Tartrate
 log_k 7.402
 delta_h -3.68 kJ
Asa- + H+ = HAsa
 log_k 3.5
Na+ + CO3-2 = NaCO3-
 log_k 1.27
 delta_h 8.91 kcal
Na+ + HCO3- = NaHCO3
 log_k -0.25
 delta_h -1 kcal
Na+ + SO4-2 = NaSO4-
 log_k 0.7
 delta_h 1.12 kcal
 -gamma 5.4 0
K+ + SO4-2 = KSO4-
 log_k 0.85
 delta_h 2.25 kcal
 -gamma 5.4 0
Na+ + HPO4-2 = NaHPO4-
 log_k 0.29
 -gamma 5.4 0
K+ + HPO4-2 = KHPO4-
 log_k 0.29
 -gamma 5.4 0
Ca+2 + CO3-2 = CaCO3
 -analytic -1228.732 -0.29944 35512.75 485.818
Ca+2 + CO3-2 + H+ = CaHCO3+
 -analytic 1317.0071 0.34546894 -39916.84 -517.70761 563713.9
 -gamma 6 0
Mg+2 + CO3-2 = MgCO3
 -analytic 0.991 0.00667
Mg+2 + CO3-2 + H+ = MgHCO3+
 -analytic 48.6721 0.03252849 -2614.335 -18.00263 563713.9
 -gamma 4 0
Na+ + Acetate- = NaAcetate
 log_k -0.18
K+ + Acetate- = KAcetate
 log_k -0.1955
Ca+2 + Acetate- = CaAcetate+
 log_k 1.18
Mg+2 + Acetate- = MgAcetate+
 log_k 1.27
Na+ + Citrate-3 = NaCitrate-2
 log_k 1.03
 delta_h -2.8033 kJ
2 Na+ + Citrate-3 = Na2Citrate-
 log_k 1.5
 delta_h -5.1045 kJ
Na+ + Citrate-3 + H+ = NaHCitrate-
 log_k 6.45
 delta_h -3.5982 kJ
K+ + Citrate-3 = KCitrate-2
 log_k 1.1
 delta_h 5.4392 kJ
Ca+2 + Citrate-3 = CaCitrate-
 log_k 4.87
 delta_h -8.368 kJ
Ca+2 + Citrate-3 + H+ = CaHCitrate
 log_k 9.26
 delta_h -0.8368 kJ
Ca+2 + Citrate-3 + 2 H+ = CaH2Citrate+
 log_k 12.257
Na+ + Tartrate-2 = NaTartrate-
 log_k 0.9
 delta_h -0.8368 kJ
Na+ + Tartrate-2 + H+ = NaHTartrate
 log_k 4.58
 delta_h -2.8451 kJ
K+ + Tartrate-2 = KTartrate-
 log_k 0.8
Ca+2 + Tartrate-2 = CaTartrate
 log_k 2.8
 delta_h -8.368 kJ
PHASES
CO2(g)
 CO2 = CO2
 -analytic 108.3865 0.01985076 -6919.53 -40.45154 669365
Calcite
 CaCO3 = Ca+2 + CO3-2
 -analytic -171.9065 -0.077993 2839.319 71.595
"""

PUNCH = """
KNOBS
 -convergence_tolerance 1e-12
SELECTED_OUTPUT
 -reset false
USER_PUNCH
 -headings pH I carbon calcite free
 10 PUNCH -LA("H+"), MU, TOTMOLE("C"), EQUI("Calcite"), MOL("CO2")
"""


@cache
def program() -> IPhreeqc:
    """Return PHREEQC with the database, loaded once in each process."""
    loaded = IPhreeqc()
    loaded.load_database_string(DATABASE)
    return loaded


def with_pairs(mixture: Mixture) -> Released:
    """Return what leaves the liquid by this chemistry.

    Parameters
    ----------
    mixture : Mixture
    """
    totals = {ELEMENTS[name]: molality for name, molality in mixture.totals.items()}
    for name, molality in mixture.strong.items():
        key = IONS[name]
        totals[key] = totals.get(key, 0.0) + molality
    return _released(mixture, totals)


def _released(mixture: Mixture, totals: dict[str, FloatArray]) -> Released:
    chalk = mixture.left_over.get("CaCO3", np.array(0.0))
    water, temperature, pressure, carbon_in, chalk = np.broadcast_arrays(
        mixture.water, mixture.temperature, mixture.pressure, mixture.totals["carbonic"], chalk
    )
    rows = {name: np.broadcast_to(m, water.shape).ravel() for name, m in totals.items()}
    lines = [PUNCH]
    for i in range(water.size):
        lines += [f"SOLUTION {i + 1}", " units mol/kgw", " pH 6 charge"]
        lines += [f" temp {celsius(float(temperature.flat[i])):.12g}"]
        lines += [f" {name} {values[i]:.15g}" for name, values in rows.items() if values[i] > 0.0]
        log_p = np.log10(pressure.flat[i] / ATMOSPHERE)
        lines += [f"EQUILIBRIUM_PHASES {i + 1}", f" CO2(g) {log_p:.15g} 0"]
        lines += [f" Calcite 0 {chalk.flat[i]:.15g}"] if chalk.flat[i] > 0.0 else []
        lines += ["END"]
    engine = program()
    engine.run_string("\n".join([*lines, ""]))
    # each cup punches its solution and then the same after the gas has left
    found = np.array(engine.get_selected_output_array()[1:], dtype=np.float64)[1::2]
    columns = found.reshape(*water.shape, 5).transpose(-1, *range(water.ndim))
    ph, strength, carbon, lies, free = columns
    # Where the gas is at its pressure, as in every cup that fizzed, ions salt CO2 out by kind.
    more = free * (10.0 ** (NEUTRAL * strength - salting_out(mixture)) - 1.0)
    return Released(
        gas=(carbon_in + chalk - lies - carbon - more) * water,
        ph=ph,
        ionic_strength=strength,
        extrapolated=strength > BEYOND,
    )


def salting_out(mixture: Mixture) -> FloatArray:
    """Return log10 of the activity coefficient of CO2, ion by ion.

    What the strong ions leave of charge is H+, or anions that count as hydrogen carbonate.
    """
    log = np.zeros(np.broadcast_shapes(*(np.shape(m) for m in mixture.strong.values())))
    charge = np.zeros_like(log)
    for name, molality in mixture.strong.items():
        log = log + (SALTING[name] + OF_THE_GAS) * molality
        size = 2.0 if "2" in name else 1.0
        charge = charge + size * (1.0 if name.endswith("+") else -1.0) * molality
    protons, anions = np.maximum(-charge, 0.0), np.maximum(charge, 0.0)
    log = log + (SALTING["H+"] + OF_THE_GAS) * protons
    return np.asarray(log + (SALTING["HCO3-"] + OF_THE_GAS) * anions)
