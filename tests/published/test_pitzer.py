"""The solver against Pitzer's model, worked out by PHREEQC on our own constants.

Only the activity model differs, so what is left is its uncertainty: the constants are the same.
"""

from __future__ import annotations

from dataclasses import replace

from tarebook.chemistry.equilibrium import ActivityModel, System, phreeqc_database
from tarebook.chemistry.equilibrium.exchange import species_of

# Virial coefficients at 25 degC and, where given, their change with temperature (six columns).
PARAMETERS = """
PITZER
-MACINNES false
-B0
 Na+ Cl- 0.0765 -777.03 -4.4706 0.008946 -3.3158E-6
 K+ Cl- 0.04835 0 0 5.794E-4
 Ca+2 Cl- 0.3159 0 0 -1.725E-4
 Mg+2 Cl- 0.35235 0 0 -1.943E-4
 H+ Cl- 0.1775 0 0 -3.081E-4
 Na+ HCO3- 0.0277 0 0 1.00E-3
 K+ HCO3- 0.0296 0 0 0.996E-3
 Ca+2 HCO3- 0.4
 Mg+2 HCO3- 0.329
 Na+ CO3-2 0.0399 0 0 1.79E-3
 K+ CO3-2 0.1488 0 0 1.788E-3
 Na+ OH- 0.0864 0 0 7.00E-4
 K+ OH- 0.1298
 Ca+2 OH- -0.1747
 Na+ SO4-2 0.01958 0 0 2.367E-3
 K+ SO4-2 0.04995 0 0 1.44E-3
 Ca+2 SO4-2 0.2
 Mg+2 SO4-2 0.221 0 0 -0.69E-3
 H+ SO4-2 0.0298
 H+ HSO4- 0.2065
 Na+ HSO4- 0.0454
 K+ HSO4- -0.0003
 Ca+2 HSO4- 0.2145
 Mg+2 HSO4- 0.4746
 Na+ Acetate- 0.1426
 K+ Acetate- 0.1587
 Na+ H2PO4- -0.0533
 K+ H2PO4- -0.0678
 Na+ HPO4-2 -0.0583
 K+ HPO4-2 0.0248
-B1
 Na+ Cl- 0.2664 0 0 6.1608E-5 1.0715E-6
 K+ Cl- 0.2122 0 0 10.71E-4
 Ca+2 Cl- 1.614 0 0 3.9E-3
 Mg+2 Cl- 1.6815 0 0 3.6525E-3
 H+ Cl- 0.2945 0 0 1.419E-4
 Na+ HCO3- 0.0411 0 0 1.10E-3
 K+ HCO3- -0.013 0 0 1.104E-3
 Ca+2 HCO3- 2.977
 Mg+2 HCO3- 0.6072
 Na+ CO3-2 1.389 0 0 2.05E-3
 K+ CO3-2 1.43 0 0 2.051E-3
 Na+ OH- 0.253 0 0 1.34E-4
 K+ OH- 0.32
 Ca+2 OH- -0.2303
 Na+ SO4-2 1.113 0 0 5.6325E-3
 K+ SO4-2 0.7793 0 0 6.6975E-3
 Ca+2 SO4-2 3.1973 0 0 5.46E-2
 Mg+2 SO4-2 3.343 0 0 1.53E-2
 H+ HSO4- 0.5556
 Na+ HSO4- 0.398
 K+ HSO4- 0.1735
 Ca+2 HSO4- 2.53
 Mg+2 HSO4- 1.729
 Na+ Acetate- 0.3237
 K+ Acetate- 0.3251
 Na+ H2PO4- 0.0396
 K+ H2PO4- -0.1042
 Na+ HPO4-2 1.4655
 K+ HPO4-2 1.2743
-B2
 Ca+2 OH- -5.72
 Ca+2 SO4-2 -54.24 0 0 -0.516
 Mg+2 SO4-2 -37.23 0 0 -0.253
-C0
 Na+ Cl- 0.00127 33.317 0.09421 -4.655E-5
 K+ Cl- -0.00084 0 0 -5.095E-5
 Ca+2 Cl- -0.00034
 Mg+2 Cl- 0.00519 0 0 -1.64933E-4
 H+ Cl- 0.0008 0 0 6.213E-5
 K+ HCO3- -0.008
 Na+ CO3-2 0.0044
 K+ CO3-2 -0.0015
 Na+ OH- 0.0044 0 0 -18.94E-5
 K+ OH- 0.0041
 Na+ SO4-2 0.00497 0 0 -4.87904E-4
 Mg+2 SO4-2 0.025 0 0 0.523E-3
 H+ SO4-2 0.0438
 Na+ Acetate- -0.00629
 K+ Acetate- -0.0066
 Na+ H2PO4- 0.00795
 Na+ HPO4-2 0.0294
 K+ HPO4-2 0.0164
-THETA
 Na+ H+ 0.036
 K+ H+ 0.005
 Ca+2 H+ 0.092
 Mg+2 H+ 0.1
 K+ Na+ -0.012
 Ca+2 Na+ 0.07
 Mg+2 Na+ 0.07
 Cl- HCO3- 0.03
 Cl- CO3-2 -0.02
 Cl- OH- -0.05
 Cl- SO4-2 0.02
 Cl- HSO4- -0.006
 HCO3- CO3-2 -0.04
 CO3-2 OH- 0.1
 HCO3- SO4-2 0.01
 Cl- H2PO4- 0.1
-LAMDA
 Na+ CO2 0.085
 K+ CO2 0.051
 Ca+2 CO2 0.183
 Mg+2 CO2 0.183
 Cl- CO2 -0.005
 SO4-2 CO2 0.097
 HSO4- CO2 -0.003
-PSI
 Na+ H+ Cl- -0.004
 K+ H+ Cl- -0.011
 Ca+2 H+ Cl- -0.015
 Mg+2 H+ Cl- -0.011
 Na+ Cl- HCO3- -0.015
 Na+ Cl- CO3-2 0.0085
 Na+ Cl- OH- -0.006
 Na+ HCO3- CO3-2 0.002
 Na+ CO3-2 OH- -0.017
 K+ Cl- CO3-2 0.004
 K+ HCO3- CO3-2 0.012
 K+ Cl- OH- -0.006
 Mg+2 Cl- HCO3- -0.096
 Na+ Cl- SO4-2 0.0014
"""


def pitzer_database(system: System) -> str:
    """Return our constants under Pitzer's activity model."""
    names = {}
    for one in system.acids:
        for ours, theirs in zip(one.species, species_of(one), strict=True):
            plain = ours.replace("^2-", "-2").replace("^3-", "-3").replace("CH3COO-", "Acetate-")
            names[plain] = theirs
    names |= {"H+": "H+", "OH-": "OH-", "Na+": "Na+", "K+": "K+", "Cl-": "Cl-"}
    names |= {"Ca+2": "Ca+2", "Mg+2": "Mg+2"}
    lines = []
    for line in PARAMETERS.splitlines():
        words = line.split()
        species = [word for word in words if word[0].isalpha()]
        if line.startswith(" ") and all(word in names for word in species):
            line = " " + " ".join(names.get(word, word) for word in words)
        elif line.startswith(" "):
            continue
        lines.append(line)
    davies = replace(system, model=ActivityModel.davies())
    return phreeqc_database(davies) + "\n".join(lines) + "\n"
