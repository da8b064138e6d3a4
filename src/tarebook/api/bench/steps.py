"""The steps of a run in the order of work, worded for the person who does them."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.units import millilitres
from tarebook.records.readings import NEEDED, Quantity
from tarebook.report.payload import Json
from tarebook.series.experiment import Experiment

ORDER = (
    Quantity.TARE,
    # Acid goes into water, never water into acid.
    Quantity.DILUENT,
    Quantity.REAGENT,
    # The thermometer takes drops away with it: it goes in before the liquid is weighed.
    Quantity.TEMPERATURE,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.FINAL,
    Quantity.MINUTES,
)
"""What is read, in the order of work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do and to read.

    Attributes
    ----------
    quantity : Quantity
    label : str
        What is read, a few words.
    hint : str
        What to do, one sentence.
    finest : float
        Finest step that can be read, in the unit of the column; 0 where there is no scale.
    instrument : str
    """

    quantity: Quantity
    label: str
    hint: str
    finest: float
    instrument: str

    def as_json(self) -> Json:
        """Return the step as the bench page gets it."""
        return {
            "quantity": self.quantity.value,
            "label": self.label,
            "unit": self.quantity.unit,
            "hint": self.hint,
            "step": self.finest,
            "instrument": self.instrument,
            "optional": self.quantity not in NEEDED,
        }


def steps(experiment: Experiment) -> tuple[Step, ...]:
    """Return the steps of every run of an experiment."""
    vessel, sample = experiment.vessel.name, experiment.sample.name
    reagent, diluent = experiment.reagent.name, experiment.diluent
    words = {
        Quantity.TARE: (
            f"empty {vessel}",
            f"Weigh the {vessel} empty and dry, with the number of this run on it.",
        ),
        Quantity.REAGENT: (
            reagent,
            "Pour close to the target, read the scale, pour it into the cup. What you read counts.",
        ),
        Quantity.DILUENT: (
            diluent,
            "Pour close to the target, read the scale, pour it into the cup. What you read counts.",
        ),
        Quantity.TEMPERATURE: (
            "temperature",
            "If you can: the temperature of the liquid. Let the thermometer drip off into the cup.",
        ),
        Quantity.LIQUID: (
            f"{vessel} with liquid",
            "Weigh the cup with what is in it, before anything else goes in.",
        ),
        Quantity.SAMPLE: (
            sample,
            f"Weigh a portion of {sample} close to the target. Do not add it yet.",
        ),
        Quantity.FINAL: (
            "cup at the end",
            f"Add the {sample}, wait until the fizzing is over and "
            f"{experiment.procedure.minutes:g} minutes more, swirl, then weigh the cup.",
        ),
        Quantity.MINUTES: (
            "waiting time",
            "If you can: minutes from the end of the fizzing to the last weighing.",
        ),
    }
    return tuple(
        Step(
            quantity=quantity,
            label=words[quantity][0],
            hint=words[quantity][1],
            finest=finest_step(experiment, quantity),
            instrument=instrument_of(experiment, quantity),
        )
        for quantity in ORDER
    )


def instrument_of(experiment: Experiment, quantity: Quantity) -> str:
    """Return the name of what a quantity is read on; empty for the waiting time."""
    equipment = experiment.equipment
    if quantity is Quantity.MINUTES:
        return ""
    return {
        Quantity.REAGENT: equipment.reagent.name,
        Quantity.DILUENT: equipment.diluent.name,
        Quantity.SAMPLE: equipment.sample_balance.name,
        Quantity.TEMPERATURE: equipment.thermometer.name,
    }.get(quantity, equipment.balance.name)


def finest_step(experiment: Experiment, quantity: Quantity) -> float:
    """Return the finest step that can be read, in the unit of the column; 0 without a scale."""
    equipment = experiment.equipment
    if quantity is Quantity.REAGENT:
        return round(millilitres(equipment.reagent.finest_reading), 9)
    if quantity is Quantity.DILUENT:
        return round(millilitres(equipment.diluent.finest_reading), 9)
    if quantity is Quantity.SAMPLE:
        return equipment.sample_balance.finest_reading
    if quantity is Quantity.TEMPERATURE:
        return equipment.thermometer.finest_reading
    return equipment.balance.finest_reading if quantity.is_mass else 0.0
