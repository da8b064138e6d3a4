"""The definition of an experiment, as everything after it uses it: in g, L, mol and K."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal, TypeAlias

from tarebook.chemistry.equation import Equation
from tarebook.chemistry.substances import Substance
from tarebook.core.quantity import Measured
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance, Thermometer


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


Grows: TypeAlias = Literal["reagent", "sample"]
"""What grows along a row; the other one is the same in all cups."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleAcid:
    """An acid that the sample carries.

    Attributes
    ----------
    substance : Substance
    amount : Measured or None, [mol/g]
        Moles of the acid in a gram of sample; None where the fit is to find it.
    """

    substance: Substance
    amount: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A sample that comes in pieces, such as tablets.

    Attributes
    ----------
    mass : float, [g]
        Of a whole piece, about.
    part : float, [1]
        Finest part that a portion may hold: 1 for whole pieces, 0.5 where they are broken in two.
    spread : float, [1]
        Relative standard deviation of a portion of pieces: whole ones are alike, broken ones not
        (common practice).
    """

    mass: float
    part: float
    spread: float = 0.05

    def nearest(self, mass: float) -> float:
        """Return the number of pieces that weighs closest to a mass, a multiple of the part.

        Examples
        --------
        >>> Piece(mass=3.2, part=0.5).nearest(1.7)
        0.5
        """
        return round(mass / (self.mass * self.part)) * self.part


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """The weighed solid whose content is wanted.

    Attributes
    ----------
    name : str
    nominal_mass : float, [g]
        The mass for which results per series are given; what a run asks for stands in its plan.
    claimed_mass_fraction : Measured or None, [g/g]
        What the label or the supplier says.
    own_acid : Measured or None, [mol/g]
        Unnamed acid that the solid itself carries, in moles of protons per gram; counted as a
        strong one.
    acids : tuple of SampleAcid
        Acids that the solid carries, by name.
    acid_is_unknown : bool
        Whether it carries acid of which the definition says neither which nor how much.
    acid_is_none : bool
        Whether the definition says that it carries neither acid nor base.
    piece : Piece or None
        None for a powder.
    """

    name: str
    nominal_mass: float
    claimed_mass_fraction: Measured | None = None
    own_acid: Measured | None = None
    acids: tuple[SampleAcid, ...] = ()
    acid_is_unknown: bool = False
    acid_is_none: bool = False
    piece: Piece | None = None

    @property
    def acid_is_open(self) -> bool:
        """Whether the amount of some acid of the sample is for the fit to find."""
        return self.acid_is_unknown or any(acid.amount is None for acid in self.acids)


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
    titres : tuple of float, [L]
        Those by which the strength was found; empty if it was found otherwise.
    titre_tolerance : float, [L]
        What the burette may be off.
    """

    name: str
    concentration: Measured
    density: Measured
    how: str
    strength_is_sure: bool
    titres: tuple[float, ...] = ()
    titre_tolerance: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedRun:
    """One vessel of the row as it was planned.

    Attributes
    ----------
    run : str
    reagent, diluent : float, [L]
    sample : float, [g]
        0 for a blank cup: it gets no sample, and shows what evaporates.
    """

    run: str
    reagent: float
    diluent: float
    sample: float

    @property
    def is_blank(self) -> bool:
        """Whether no sample goes in."""
        return self.sample == 0.0


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
    minutes_are_said : bool
        Whether the definition gives them; otherwise they are a guess.
    gas_pressure : Measured or None, [Pa]
        Pressure of the gas that the liquid is in balance with when the fizzing stops.
    degassing : Measured or None, [1/min]
    head_fraction : Measured or None, [1]
        Part of the head space that still holds the gas at the last weighing.
    evaporation : Measured or None, [g/min]
    vapour_saturation : Measured or None, [1]
    """

    minutes: float
    minutes_are_said: bool = False
    gas_pressure: Measured | None = None
    degassing: Measured | None = None
    head_fraction: Measured | None = None
    evaporation: Measured | None = None
    vapour_saturation: Measured | None = None


class Tare(StrEnum):
    """How the empty cup is weighed."""

    EACH_CUP = "each cup"
    ZEROED = "zeroed on the cup"
    """The balance is set to zero with the empty cup on it."""


class SampleIn(StrEnum):
    """How the sample is weighed."""

    ON_BALANCE = "on the balance"
    HOLDER = "holder before and after"
    """By difference: the holder with the sample, and the holder after it was emptied."""


class ReadAs(StrEnum):
    """How a pour is read on its ware."""

    ONCE = "one reading"
    START_AND_END = "start and end"


@dataclass(frozen=True, slots=True, kw_only=True)
class SealedVessel:
    """Runs that are weighed in a closed vessel made for pressure: nothing leaves it.

    Attributes
    ----------
    runs : frozenset of str
        At least one.
    rated : float, [Pa]
        Above the room's pressure, as the maker gives it.
    capacity : float, [L]
    most : float, [Pa]
        The highest pressure above the room's that a portion can make in it, if it is pure.
    """

    runs: frozenset[str]
    rated: float
    capacity: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """How cups and portions are weighed; `sealed` is None where every vessel stands open."""

    tare: Tare = Tare.EACH_CUP
    sample_in: SampleIn = SampleIn.ON_BALANCE
    sealed: SealedVessel | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """Who measures what, and how the pours are read."""

    reagent: VolumeInstrument
    diluent: VolumeInstrument
    balance: Balance
    sample_balance: Balance
    thermometer: Thermometer
    reagent_read: ReadAs = ReadAs.ONCE
    diluent_read: ReadAs = ReadAs.ONCE


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What the stock is made from.

    Attributes
    ----------
    name : str
        As the bottle has it; empty if the definition gives none.
    solution : Reagent or None
        A bought solution with its strength; None for a solid.
    solid : str
        Formula of a bought solid; empty for a solution.
    purity : float, [g/g]
        Of the solid.
    is_the_stock : bool
        Whether it is used as it comes.
    """

    name: str = ""
    solution: Reagent | None = None
    solid: str = ""
    purity: float = 1.0
    is_the_stock: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed:
    """A person held a row of the hazard table against the supplier's safety data sheet."""

    substance: str
    sheet: str
    by: str
    on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class GasDecision:
    """A person in charge decided that the gas of the row is worked with, and why that is safe."""

    by: str
    on: dt.date
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Durations:
    """How long things take at the bench, [min]; None where the definition says nothing."""

    weighing: float | None = None
    pouring: float | None = None
    adding: float | None = None
    fizzing: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """Who the sheets are for.

    Attributes
    ----------
    name : str
        Empty if the definition gives none.
    language : str
        Of the sheets.
    locale : str
        How dates, times and numbers are written; empty for the usual one of language and paper.
    """

    name: str = ""
    language: str = "en"
    locale: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """The work before the lesson.

    Attributes
    ----------
    margin : float, [1]
        Share of everything that is put out on top.
    rinsing : float, [L]
        Of reagent, with which each group rinses its measuring vessel.
    students_per_group, cups_per_visit : int
        How many vessels a group carries to the balance at once.
    lesson_minutes : float, [min]
    room_volume : float or None, [L]
    air_changes : float or None, [1/h]
    bought : Bought or None
        None if the definition does not say from what the stock is made.
    confirmed : tuple of Confirmed
    gas_decision : GasDecision or None
        Asked for where the gas is poisonous, above its limit or has none that is known here.
    """

    margin: float = 0.10
    rinsing: float = 0.010
    students_per_group: int = 2
    cups_per_visit: int = 4
    lesson_minutes: float = 90.0
    room_volume: float | None = None
    air_changes: float | None = None
    durations: Durations = Durations()
    bought: Bought | None = None
    confirmed: tuple[Confirmed, ...] = ()
    gas_decision: GasDecision | None = None
    course: Course = Course()


@dataclass(frozen=True, slots=True, kw_only=True)
class Experiment:
    """A whole definition.

    Attributes
    ----------
    title : str
    invented : str
        Not empty if the readings are simulated; shown on every page.
    diluent_density : Measured or None, [g/L]
        At 20 degC or as the definition gives it; None for water.
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
    preparation: Preparation = Preparation()
    weighing: Weighing = Weighing()
    diluent_density: Measured | None = None

    @property
    def grows(self) -> Grows:
        """What grows along the row: the sample where all other cups get the same reagent."""
        filled = [run for run in self.planned if not run.is_blank]
        same_reagent = len({run.reagent for run in filled}) == 1
        return "sample" if same_reagent and len({run.sample for run in filled}) > 1 else "reagent"

    @property
    def common_reagent(self) -> float:
        """The reagent of every cup of a row in which the sample grows, [L]; else the most."""
        return max((run.reagent for run in self.planned if not run.is_blank), default=0.0)

    def planned_run(self, run: str) -> PlannedRun | None:
        """Return the plan of a run; None for a run that is not in the plan."""
        return next((planned for planned in self.planned if planned.run == run), None)

    def is_sealed(self, run: str) -> bool:
        """Return whether a run is weighed in a closed vessel."""
        sealed = self.weighing.sealed
        return sealed is not None and run in sealed.runs

    def sample_asked(self, run: str) -> float:
        """Return the sample mass that a run asks for, [g]; the nominal one if it is not planned."""
        planned = self.planned_run(run)
        return self.sample.nominal_mass if planned is None else planned.sample

    def pieces_asked(self, run: str) -> float | None:
        """Return how many pieces a run asks for; None where the sample does not come in pieces."""
        piece = self.sample.piece
        return None if piece is None else piece.nearest(self.sample_asked(run))
