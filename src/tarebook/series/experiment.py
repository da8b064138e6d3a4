"""The definition of an experiment, as everything after it uses it: in g, L, mol and K."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.chemistry.equation import Equation
from tarebook.core.quantity import Measured
from tarebook.measurement.instruments import Balance, Thermometer, VolumeInstrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Reaction:
    """What happens in the vessel, and the part that each species plays.

    Attributes
    ----------
    equation : Equation
        Balanced to the smallest integers.
    analyte, reagent, gas : str
        Formulas as the definition writes them: the wanted substance of the sample, the dissolved
        reagent, the product that leaves.
    analyte_coefficient, reagent_coefficient, gas_coefficient : int
        Their coefficients in `equation`.
    analyte_molar_mass, reagent_molar_mass, gas_molar_mass : Measured, [g/mol]
    mass_ratio : Measured, [1]
        M(analyte) / M(gas), with the errors of the elements they share taken together.
    """

    equation: Equation
    analyte: str
    reagent: str
    gas: str
    analyte_coefficient: int
    reagent_coefficient: int
    gas_coefficient: int
    analyte_molar_mass: Measured
    reagent_molar_mass: Measured
    gas_molar_mass: Measured
    mass_ratio: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """The weighed solid whose content is wanted.

    Attributes
    ----------
    name : str
    nominal_mass : float, [g]
        The mass asked for in every run; results per series are given for it.
    claimed_mass_fraction : Measured or None, [g/g]
        What the label or the supplier says.
    own_acid : Measured or None, [mol/g]
        Acid that the solid itself carries, in moles of protons per gram.
    """

    name: str
    nominal_mass: float
    claimed_mass_fraction: Measured | None = None
    own_acid: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reagent:
    """The solution whose share grows along the series.

    Attributes
    ----------
    name : str
    concentration : Measured, [mol/L]
        Amount concentration of the reagent species.
    density : Measured, [g/L]
        At 20 degC, or as the definition gives it.
    how : str
        How the strength was come by, for a reader.
    strength_is_sure : bool
        False if the definition gives no uncertainty for the strength.
    """

    name: str
    concentration: Measured
    density: Measured
    how: str
    strength_is_sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedRun:
    """One vessel of the row as it was planned; volumes in L."""

    run: str
    reagent: float
    diluent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """The cup, beaker or flask: what matters for gas and vapour.

    Attributes
    ----------
    name : str
    capacity : float, [L]
        To the rim.
    opening_diameter : float, [m]
        Inner width at the rim.
    height : float, [m]
        Inner height.
    """

    name: str
    capacity: float
    opening_diameter: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The air around the bench.

    Attributes
    ----------
    temperature : float, [K]
        Of room and liquids, unless a run has its own reading.
    pressure : float, [Pa]
    relative_humidity : float, [1]
    """

    temperature: float
    pressure: float
    relative_humidity: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """What is done with the vessel after the fizzing, as far as the definition says.

    Attributes
    ----------
    minutes : float, [min]
        From the end of the fizzing to the last weighing, unless a run has its own reading.
    gas_pressure : Measured or None, [Pa]
        Pressure of the gas that the liquid is in balance with when the fizzing stops.
    degassing : Measured or None, [1/min]
    head_fraction : Measured or None, [1]
        Part of the head space that still holds the gas at the last weighing.
    evaporation : Measured or None, [g/min]
    vapour_saturation : Measured or None, [1]
    """

    minutes: float
    gas_pressure: Measured | None = None
    degassing: Measured | None = None
    head_fraction: Measured | None = None
    evaporation: Measured | None = None
    vapour_saturation: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """Who measures what."""

    reagent: VolumeInstrument
    diluent: VolumeInstrument
    balance: Balance
    sample_balance: Balance
    thermometer: Thermometer


@dataclass(frozen=True, slots=True, kw_only=True)
class Experiment:
    """A whole definition.

    Attributes
    ----------
    title : str
    invented : str
        Not empty if the readings are simulated; shown on every page.
    total_volume : float, [L]
        Of reagent and diluent together, the same in every run.
    planned : tuple of PlannedRun
    digest : str
        SHA-256 of the definition's text.
    """

    title: str
    invented: str
    notes: str
    reaction: Reaction
    sample: Sample
    reagent: Reagent
    diluent: str
    total_volume: float
    planned: tuple[PlannedRun, ...]
    vessel: Vessel
    room: Room
    procedure: Procedure
    equipment: Equipment
    digest: str
