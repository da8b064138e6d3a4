"""The steps of a run in the order of work, worded for the person who does them."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.records.complete import asked_of, is_needed, quantity_of
from tarebook.records.instruments import instrument_of, ware_of
from tarebook.records.readings import PAIRS, Quantity
from tarebook.report.languages.writing import in_files
from tarebook.report.payload import Json
from tarebook.series.experiment import Experiment, SampleIn, Tare


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do and to read.

    Attributes
    ----------
    quantity : Quantity
    label : str
        What is read, a few words.
    hint : str
        What to do, one sentence or two.
    finest : float
        Finest step that can be read, in the unit of the column; 0 where there is no scale.
    instrument : str
    counts : Quantity
        What is found from it: itself, or the difference of which it is one reading.
    """

    quantity: Quantity
    label: str
    hint: str
    finest: float
    instrument: str
    counts: Quantity

    def as_json(self) -> Json:
        """Return the step as the bench page gets it."""
        return {
            "quantity": self.quantity.value,
            "label": self.label,
            "unit": self.quantity.unit,
            "hint": self.hint,
            "step": self.finest,
            "instrument": self.instrument,
            "optional": not is_needed(self.quantity),
            "counts": self.counts.value,
            # The reading that comes before it and from which it is counted on.
            "from": _counted_from(self.quantity, self.counts),
        }


def _counted_from(quantity: Quantity, counts: Quantity) -> str | None:
    """Return the start of the burette whose end is read; None for every other step."""
    pair = PAIRS.get(counts)
    at_the_end = pair is not None and counts.is_volume and quantity is pair.more
    return pair.less.value if pair is not None and at_the_end else None


def steps(experiment: Experiment) -> tuple[Step, ...]:
    """Return the steps of a series; a run leaves out what its plan does not ask for."""
    asked = asked_of(experiment)
    return tuple(
        Step(
            quantity=quantity,
            label=_label(experiment, quantity),
            hint=_zero_first(experiment, quantity, asked) + _hint(experiment, quantity),
            finest=finest_step(experiment, quantity),
            instrument=instrument_name(experiment, quantity),
            counts=quantity_of(quantity),
        )
        for quantity in asked
    )


def hints_of(experiment: Experiment, run: str) -> dict[str, str]:
    """Return what is to be done otherwise in one run: what stands in place of the steps' hints."""
    planned = experiment.planned_run(run)
    if experiment.is_sealed(run):
        return _sealed_hints(experiment)
    if planned is None or not planned.is_blank:
        return {}
    return {
        Quantity.FINAL.value: "No sample goes into this cup: it shows what evaporates. Let "
        "it stand as long as the others, then weigh it."
    }


def _sealed_hints(experiment: Experiment) -> dict[str, str]:
    """Return what is done otherwise with a closed vessel made for pressure."""
    only_rated = in_files().say(Phrase("only-rated"))
    return {
        Quantity.TARE.value: f"{only_rated} Weigh it empty and dry, with its closure and a small "
        "tube for the sample, and the number of this run on it.",
        Quantity.LIQUID.value: "Weigh it with the liquid, its closure and the small tube, before "
        "anything else goes in.",
        Quantity.FINAL.value: f"{only_rated} Goggles on. Put the {experiment.sample.name} into the "
        "tube and the tube upright into the vessel, so that it stays dry; close it, and only then, "
        "behind a shield, tip it. Let it stand until the fizzing is over and weigh it closed. Only "
        "then let the gas off, slowly, away from faces.",
    }


def _label(experiment: Experiment, quantity: Quantity) -> str:
    vessel, sample = experiment.vessel.name, experiment.sample.name
    reagent, diluent = experiment.reagent.name, experiment.diluent
    return {
        Quantity.TARE: f"empty {vessel}",
        Quantity.REAGENT: reagent,
        Quantity.REAGENT_START: f"{reagent}: start",
        Quantity.REAGENT_END: f"{reagent}: end",
        Quantity.DILUENT: diluent,
        Quantity.DILUENT_START: f"{diluent}: start",
        Quantity.DILUENT_END: f"{diluent}: end",
        Quantity.TEMPERATURE: "temperature",
        Quantity.LIQUID: f"{vessel} with liquid",
        Quantity.PIECES: f"pieces of {sample}",
        Quantity.HOLDER_BEFORE: f"{sample} in its holder",
        Quantity.HOLDER_AFTER: "holder, emptied",
        Quantity.SAMPLE: sample,
        Quantity.FINAL: f"{vessel} at the end",
        Quantity.MINUTES: "waiting time",
    }[quantity]


_GOGGLES = "Goggles on. "
"""Where something is handled that can hurt; on a phone the line below the steps is out of sight."""

_POUR = "Pour close to the target, read the scale, pour it into the cup. What you read counts."
_POUR_MORE = " In several fillings? Write them with + between them, as in 20 + 15."
_START = "Fill the burette if there is too little in it, wait a moment, and read it."
_END = "Let it run close to the target, wait a moment, and read the burette again."


def _hint(experiment: Experiment, quantity: Quantity) -> str:
    vessel, sample = experiment.vessel.name, experiment.sample.name
    wait = (
        f"wait until the fizzing is over and {experiment.procedure.minutes:g} minutes more, "
        "swirl, then weigh the cup."
    )
    in_holder = experiment.weighing.sample_in is SampleIn.HOLDER
    return {
        Quantity.TARE: f"Weigh the {vessel} empty and dry, with the number of this run on it.",
        Quantity.REAGENT: _GOGGLES + _POUR + _more(experiment, Quantity.REAGENT),
        Quantity.REAGENT_START: _GOGGLES + _START,
        Quantity.REAGENT_END: _END,
        Quantity.DILUENT: _POUR + _more(experiment, Quantity.DILUENT),
        Quantity.DILUENT_START: _START,
        Quantity.DILUENT_END: _END,
        Quantity.TEMPERATURE: "If you can: the temperature of the liquid. Let the thermometer drip "
        "off into the cup.",
        Quantity.LIQUID: "Weigh the cup with what is in it, before anything else goes in.",
        Quantity.PIECES: f"Take as many pieces of {sample} as asked for and write how many: 0.5 "
        "for a half.",
        Quantity.HOLDER_BEFORE: f"Put a portion of {sample} close to the target into the holder "
        "and weigh both together.",
        Quantity.HOLDER_AFTER: f"{_GOGGLES}Tip the {sample} into the open cup, a little at a time "
        "where it foams, and weigh the holder with what stayed in it.",
        Quantity.SAMPLE: "Weigh the pieces together: their mass counts. Do not add them yet."
        if experiment.sample.piece
        else f"Weigh a portion of {sample} close to the target. Do not add it yet.",
        Quantity.FINAL: f"{wait[0].upper()}{wait[1:]}"
        if in_holder
        else f"{_GOGGLES}Add the {sample} to the open cup, a little at a time where it foams; "
        f"{wait}",
        Quantity.MINUTES: "If you can: minutes from the end of the fizzing to the last weighing.",
    }[quantity]


def _more(experiment: Experiment, quantity: Quantity) -> str:
    """Return how to write a pour in several fillings, where the ware is too small for one."""
    most = max(
        run.reagent if quantity is Quantity.REAGENT else run.diluent for run in experiment.planned
    )
    return _POUR_MORE if most > ware_of(experiment, quantity).capacity else ""


def _zero_first(experiment: Experiment, quantity: Quantity, asked: tuple[Quantity, ...]) -> str:
    """Return what comes before the first step where the balance is set to zero on the cup."""
    if experiment.weighing.tare is not Tare.ZEROED or quantity is not asked[0]:
        return ""
    vessel = experiment.vessel.name
    return (
        f"First put the empty {vessel} on the balance and set it to zero; weigh this {vessel} "
        "with that zero to the end. "
    )


def instrument_name(experiment: Experiment, quantity: Quantity) -> str:
    """Return the name of what a quantity is read on; empty for the waiting time and for pieces."""
    instrument = instrument_of(experiment, quantity)
    return "" if instrument is None else instrument.name


def finest_step(experiment: Experiment, quantity: Quantity) -> float:
    """Return the finest step that can be read, in the unit of the column; 0 without a scale."""
    if quantity is Quantity.PIECES and experiment.sample.piece is not None:
        return experiment.sample.piece.part
    instrument = instrument_of(experiment, quantity)
    finest = 0.0 if instrument is None else instrument.finest_reading
    return round(millilitres(finest), 9) if quantity.is_volume else finest
