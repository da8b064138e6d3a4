"""What may stand in `experiment.toml`: one class a table, one attribute a key.

The names carry their unit, as everything that people type does. Ranges that no bench leaves are set
here; what two keys must have in common is checked in `tarebook.series.definition`.
"""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Final, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    ValidationInfo,
    model_validator,
)

LEAST = 1e-9
"""Size of a number that is not zero, in the unit of its key: nothing at a bench is below."""

KNOWN_LANGUAGES: Final = "languages"
"""Under which the reader of a definition names the languages that there are."""


def _no_dust(value: float) -> float:
    if 0 < value < LEAST:
        raise ValueError(f"0, or {LEAST:g} or more")
    return value


def _known_language(language: str, info: ValidationInfo) -> str:
    """Refuse a language that is not among those that the reader names in its context."""
    known = (info.context or {}).get(KNOWN_LANGUAGES, (language,))
    if language not in known:
        raise ValueError(", ".join(f'"{one}"' for one in known))
    return language


# What a key may hold. The bounds are our own and far outside of what a laboratory has, so that only
# a slip of the pen or another unit lies beyond them.
Fraction = Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False), AfterValidator(_no_dust)]
InnerShare = Annotated[float, Field(gt=0, lt=1, allow_inf_nan=False)]
RelativeU = Annotated[float, Field(ge=0, le=0.5, allow_inf_nan=False), AfterValidator(_no_dust)]
LearntU = Annotated[float, Field(gt=0, le=5, allow_inf_nan=False)]
Percent = Annotated[float, Field(ge=0, le=50, allow_inf_nan=False), AfterValidator(_no_dust)]
Portion = Annotated[float, Field(ge=0.001, le=1_000, allow_inf_nan=False)]
PortionOrNone = Annotated[
    float, Field(ge=0, le=1_000, allow_inf_nan=False), AfterValidator(_no_dust)
]
AcidInGram = Annotated[float, Field(ge=0, le=60, allow_inf_nan=False), AfterValidator(_no_dust)]
AcidInPiece = Annotated[
    float, Field(ge=0, le=100_000, allow_inf_nan=False), AfterValidator(_no_dust)
]
Molar = Annotated[float, Field(ge=LEAST, le=100, allow_inf_nan=False)]
MolarU = Annotated[float, Field(ge=0, le=10, allow_inf_nan=False), AfterValidator(_no_dust)]
Density = Annotated[float, Field(gt=0.5, lt=2.5, allow_inf_nan=False)]
BottleMass = Annotated[float, Field(ge=0.001, le=10_000, allow_inf_nan=False)]
Poured = Annotated[float, Field(ge=0.01, le=50_000, allow_inf_nan=False)]
Total = Annotated[float, Field(ge=0.5, le=20_000, allow_inf_nan=False)]
PouredOrNone = Annotated[
    float, Field(ge=0, le=20_000, allow_inf_nan=False), AfterValidator(_no_dust)
]
Titre = Annotated[float, Field(ge=0.05, le=2_000, allow_inf_nan=False)]
VolumeError = Annotated[float, Field(ge=0, le=1_000, allow_inf_nan=False), AfterValidator(_no_dust)]
Pieces = Annotated[float, Field(ge=0, le=1_000, allow_inf_nan=False), AfterValidator(_no_dust)]
Ware = Annotated[float, Field(ge=0.05, le=20_000, allow_inf_nan=False)]
Readability = Annotated[float, Field(ge=1e-7, le=5, allow_inf_nan=False)]
WeighingError = Annotated[float, Field(ge=0, le=50, allow_inf_nan=False), AfterValidator(_no_dust)]
BalanceCapacity = Annotated[float, Field(ge=0.5, le=100_000, allow_inf_nan=False)]
Degrees = Annotated[float, Field(ge=0.001, le=10, allow_inf_nan=False)]
DegreesError = Annotated[float, Field(ge=0, le=20, allow_inf_nan=False), AfterValidator(_no_dust)]
Rating = Annotated[float, Field(ge=1, le=50_000, allow_inf_nan=False)]
Centimetres = Annotated[float, Field(ge=0.3, le=100, allow_inf_nan=False)]
Minutes = Annotated[float, Field(ge=0, le=20_000, allow_inf_nan=False), AfterValidator(_no_dust)]
CONTROL = r"\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"
"""Control characters but ends of lines and tabs, as a part of a pattern's brackets."""

PRINTED = f"^[^{CONTROL}]*$"
"""Texts that can be printed."""

Text = Annotated[str, Field(min_length=1, max_length=200, pattern=PRINTED)]
Remark = Annotated[str, Field(pattern=PRINTED)]


class Table(BaseModel):
    """A table of the definition: unknown keys are faults, numbers are never made of texts."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class ReactionTable(Table):
    """What happens in the vessel."""

    equation: Text
    sample: Text
    reagent: Text
    gas: Text


class SampleAcidTable(Table):
    """One acid that the sample carries; without an amount the fit finds it."""

    formula: Text
    mmol_per_g: AcidInGram | None = None
    u_mmol_per_g: AcidInGram | None = None
    mass_fraction: Share | None = None
    u_mass_fraction: Share | None = None
    mg_per_piece: AcidInPiece | None = None
    u_mg_per_piece: AcidInPiece | None = None


class SampleTable(Table):
    """The weighed solid."""

    name: Text
    nominal_g: Portion | None = None
    claimed_mass_fraction: Fraction | None = None
    claimed_u: Share | None = None
    claimed_tolerance: Share | None = None
    own_acid_mmol_per_g: AcidInGram | None = None
    own_acid_u_mmol_per_g: AcidInGram | None = None
    own_acid: Literal["none", "unknown"] | None = None
    acids: list[SampleAcidTable] = Field(default_factory=list, max_length=6)
    piece_g: Portion | None = None
    pieces_in: Literal["wholes", "halves", "quarters"] = "wholes"


class Strength(Table):
    """A strength with how sure it is: a standard uncertainty or the label's tolerance, not both."""

    relative_u: RelativeU | None = None
    tolerance_percent: Percent | None = None

    @model_validator(mode="after")
    def _one_way_to_say_how_sure(self) -> Strength:
        if self.relative_u is not None and self.tolerance_percent is not None:
            raise ValueError("say how sure it is once: relative_u or tolerance_percent")
        return self


class Molarity(Strength):
    """Amount of substance in a litre of solution."""

    given_as: Literal["mol per L"]
    mol_per_L: Molar


class MassPercent(Strength):
    """Grams in 100 g of solution."""

    given_as: Literal["mass percent"]
    mass_percent: Annotated[float, Field(ge=0.001, lt=100, allow_inf_nan=False)]


class MassPerVolume(Strength):
    """Grams in 100 mL of solution, as on a bottle of vinegar."""

    given_as: Literal["g per 100 mL"]
    g_per_100_mL: Annotated[float, Field(ge=0.001, le=250, allow_inf_nan=False)]


class MassFractionAndDensity(Strength):
    """Grams in a gram of solution, and what a millilitre of it weighs."""

    given_as: Literal["mass fraction and density"]
    mass_fraction: Fraction
    density_g_per_mL: Density


class Pour(Table):
    """A volume and the ware it was measured with."""

    mL: Poured
    tolerance_mL: VolumeError | None = None
    kind: Text = "volumetric flask"
    standard: Text | None = None
    grade: Text = "B"


class Dilution(Table):
    """A measured volume of another stock, made up to a mark."""

    given_as: Literal["dilution"]
    of: Annotated[
        Molarity | MassPercent | MassPerVolume | MassFractionAndDensity,
        Field(discriminator="given_as"),
    ]
    taken: Pour
    made_up_to: Pour


class WeighedSolid(Strength):
    """A weighed solid made up to a mark; how sure it is covers purity and weighing."""

    given_as: Literal["weighed solid"]
    solid: Text | None = None
    mass_g: BottleMass
    purity: Fraction = 1.0
    made_up_to: Pour


class Titration(Table):
    """The result of a titration with a solution of known strength."""

    given_as: Literal["titration"]
    titrant_mol_per_L: Annotated[float, Field(ge=1e-4, le=20, allow_inf_nan=False)]
    titrant_u_mol_per_L: MolarU
    titrant_mL: Annotated[list[Titre], Field(min_length=1)]
    burette_tolerance_mL: VolumeError = 0.05
    aliquot_mL: Annotated[float, Field(ge=0.05, le=1_000, allow_inf_nan=False)]
    aliquot_tolerance_mL: VolumeError = 0.04
    titrant_moles_per_mole: Annotated[float, Field(ge=0.1, le=12, allow_inf_nan=False)] = 1.0


AnyStrength = Annotated[
    Molarity
    | MassPercent
    | MassPerVolume
    | MassFractionAndDensity
    | WeighedSolid
    | Dilution
    | Titration,
    Field(discriminator="given_as"),
]


class ReagentTable(Table):
    """The solution whose share grows along the row."""

    name: Text
    strength: AnyStrength
    density_g_per_mL: Density | None = None


class SeriesTable(Table):
    """The planned row."""

    total_mL: Total
    reagent_mL: Annotated[list[PouredOrNone], Field(min_length=1, max_length=200)]
    sample_g: Annotated[list[PortionOrNone], Field(min_length=1, max_length=200)] | None = None
    pieces: Annotated[list[Pieces], Field(min_length=1, max_length=200)] | None = None
    runs: list[Text] | None = None
    diluent: Text = "water"
    diluent_density_g_per_mL: Density | None = None


class VolumeTable(Table):
    """A graduated cylinder, a pipette, a burette."""

    kind: Text
    capacity_mL: Ware
    standard: Text | None = None
    grade: Text = "B"
    graduation_mL: VolumeError | None = None
    tolerance_mL: VolumeError | None = None
    reading_half_width_mL: VolumeError | None = None
    repeatability_mL: VolumeError | None = None
    read: Literal["one reading", "start and end"] = "one reading"
    name: Text | None = None


class BalanceTable(Table):
    """A balance."""

    readability_g: Readability
    repeatability_g: WeighingError | None = None
    linearity_g: WeighingError | None = None
    capacity_g: BalanceCapacity | None = None
    name: Text | None = None


class ThermometerTable(Table):
    """A thermometer."""

    readability_C: Degrees = 0.5
    tolerance_C: DegreesError = 1.0


class InstrumentsTable(Table):
    """Who measures what. The sample is weighed on `balance` unless it has one of its own."""

    reagent: VolumeTable
    diluent: VolumeTable
    balance: BalanceTable
    sample_balance: BalanceTable | None = None
    thermometer: ThermometerTable = ThermometerTable()


class WeighingTable(Table):
    """How cups and portions are weighed."""

    tare: Literal["each cup", "zeroed on the cup"] = "each cup"
    sample_in: Literal["on the balance", "holder before and after"] = "on the balance"
    sealed_runs: list[Text] = Field(default_factory=list, max_length=200)
    sealed_vessel_rated_kPa: Rating | None = None
    sealed_vessel_mL: Total | None = None


class VesselTable(Table):
    """The cup."""

    name: Text = "cup"
    capacity_mL: Annotated[float, Field(ge=0.5, le=50_000, allow_inf_nan=False)] = 200.0
    opening_diameter_cm: Centimetres = 7.5
    height_cm: Centimetres = 9.0


class WaitingTable(Table):
    """What is done with the vessel after the fizzing; what is left out is taken from a table."""

    minutes: Minutes = 10.0
    gas_pressure_atm: Annotated[float, Field(gt=0, le=2, allow_inf_nan=False)] | None = None
    gas_pressure_relative_u: LearntU = 0.15
    degassing_per_minute: Annotated[float, Field(ge=1e-6, le=100, allow_inf_nan=False)] | None = (
        None
    )
    degassing_relative_u: LearntU = 0.7
    head_gas_fraction: InnerShare | None = None
    head_gas_u: LearntU = 0.08
    evaporation_mg_per_minute: (
        Annotated[float, Field(ge=1e-6, le=10_000, allow_inf_nan=False)] | None
    ) = None
    evaporation_relative_u: LearntU = 0.5
    vapour_saturation: InnerShare | None = None
    vapour_saturation_u: LearntU = 0.06


class RoomTable(Table):
    """The air around the bench."""

    temperature_C: Annotated[float, Field(ge=0, le=40, allow_inf_nan=False)] = 21.0
    pressure_kPa: Annotated[float, Field(ge=60, le=110, allow_inf_nan=False)] = 101.325
    relative_humidity_percent: Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)] = 50.0
    volume_m3: Annotated[float, Field(ge=0.1, le=100_000, allow_inf_nan=False)] | None = None
    air_changes_per_hour: Annotated[float, Field(ge=0, le=60, allow_inf_nan=False)] | None = None


BoughtStrength = Molarity | MassPercent | MassPerVolume | MassFractionAndDensity


class BoughtTable(Table):
    """What the stock is made from: a solution of known strength or a solid."""

    name: Text
    strength: Annotated[BoughtStrength, Field(discriminator="given_as")] | None = None
    solid: Text | None = None
    purity: Fraction = 1.0

    @model_validator(mode="after")
    def _one_of_the_two(self) -> BoughtTable:
        if (self.strength is None) == (self.solid is None):
            raise ValueError("a bought solution has a strength, a bought solid its formula")
        return self


class ConfirmedTable(Table):
    """Who held a row of the hazard table against which safety data sheet."""

    substance: Text
    sheet: Text
    by: Text
    on: dt.date


class GasDecisionTable(Table):
    """Who decided that this gas is worked with, and why that is safe there."""

    by: Text
    on: dt.date
    why: Text


class PrepareTable(Table):
    """The work before the lesson, and how long things take at the bench."""

    margin_percent: Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)] = 10.0
    rinsing_mL: Annotated[float, Field(ge=0, le=1000, allow_inf_nan=False)] = 10.0
    students_per_group: Annotated[int, Field(ge=1, le=30)] = 2
    cups_per_visit: Annotated[int, Field(ge=1, le=200)] = 4
    lesson_minutes: Annotated[float, Field(gt=0, le=1440, allow_inf_nan=False)] = 90.0
    weighing_minutes: Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)] | None = None
    pouring_minutes: Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)] | None = None
    adding_minutes: Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)] | None = None
    fizzing_minutes: Annotated[float, Field(gt=0, le=600, allow_inf_nan=False)] | None = None
    bought: BoughtTable | None = None
    confirmed: list[ConfirmedTable] = Field(default_factory=list, max_length=100)
    gas_decision: GasDecisionTable | None = None


class CourseTable(Table):
    """Who the sheets are for."""

    name: Annotated[str, Field(max_length=200)] = ""
    language: Annotated[str, Field(max_length=20), AfterValidator(_known_language)] = "en"
    locale: Annotated[str, Field(max_length=20)] = ""


class DefinitionFile(Table):
    """The whole of `experiment.toml`."""

    title: Text
    invented: Remark = ""
    notes: Remark = ""
    reaction: ReactionTable
    sample: SampleTable
    reagent: ReagentTable
    series: SeriesTable
    instruments: InstrumentsTable
    weighing: WeighingTable = WeighingTable()
    vessel: VesselTable = VesselTable()
    waiting: WaitingTable = WaitingTable()
    room: RoomTable = RoomTable()
    prepare: PrepareTable = PrepareTable()
    course: CourseTable = CourseTable()
