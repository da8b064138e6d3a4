"""The steps of a run in the order of work, worded for the person who does them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import millilitres
from tarebook.findings.instruments import called
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance, Thermometer
from tarebook.records.complete import asked_of, is_needed, quantity_of
from tarebook.records.instruments import instrument_of, ware_of
from tarebook.records.readings import PAIRS, Quantity
from tarebook.report.languages.writing import Writing
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


def steps(experiment: Experiment, how: Writing) -> tuple[Step, ...]:
    """Return the steps of a series; a run leaves out what its plan does not ask for.

    Parameters
    ----------
    experiment : Experiment
    how : Writing
    """
    asked = asked_of(experiment)
    return tuple(
        Step(
            quantity=quantity,
            label=how.say(Phrase(f"app-label-{quantity.value}", _names(experiment))),
            hint=" ".join(how.say(one) for one in _hint(experiment, quantity, asked, how)),
            finest=finest_step(experiment, quantity),
            instrument=shown_name(experiment, quantity, how),
            counts=quantity_of(quantity),
        )
        for quantity in asked
    )


def hints_of(experiment: Experiment, run: str, how: Writing) -> dict[str, str]:
    """Return what is to be done otherwise in one run: what stands in place of the steps' hints."""
    planned = experiment.planned_run(run)
    if experiment.is_sealed(run):
        return _sealed_hints(experiment, how)
    if planned is None or not planned.is_blank:
        return {}
    return {Quantity.FINAL.value: how.say(Phrase("app-hint-blank"))}


def _sealed_hints(experiment: Experiment, how: Writing) -> dict[str, str]:
    """Return what is done otherwise with a closed vessel made for pressure."""
    rated = Phrase("only-rated")
    hints = {
        Quantity.TARE: (rated, Phrase("app-hint-sealed-tare")),
        Quantity.LIQUID: (Phrase("app-hint-sealed-liquid"),),
        Quantity.FINAL: (rated, Phrase("app-hint-sealed-final", _names(experiment))),
    }
    return {
        quantity.value: " ".join(how.say(one) for one in several)
        for quantity, several in hints.items()
    }


def _names(experiment: Experiment) -> dict[str, Value]:
    """Return what the definition calls the things that are handled."""
    return {
        "vessel": experiment.vessel.name,
        "sample": experiment.sample.name,
        "reagent": experiment.reagent.name,
        "diluent": experiment.diluent,
    }


_GOGGLES: Final = Phrase("app-hint-goggles")
"""Where something is handled that can hurt; on a phone the line below the steps is out of sight."""

_START: Final = Phrase("app-hint-burette-start")
_END: Final = Phrase("app-hint-burette-end")
_POUR: Final = Phrase("app-hint-pour")
_FILLINGS: Final = Phrase("app-hint-fillings")


def _hint(
    experiment: Experiment, quantity: Quantity, asked: tuple[Quantity, ...], how: Writing
) -> tuple[Phrase, ...]:
    """Return what to do, sentence by sentence."""
    named = _names(experiment)
    wait = Phrase("app-hint-wait", {"minutes": how.number(experiment.procedure.minutes)})
    in_holder = experiment.weighing.sample_in is SampleIn.HOLDER
    pieces = experiment.sample.piece is not None
    sentences: dict[Quantity, tuple[Phrase, ...]] = {
        Quantity.TARE: (Phrase("app-hint-tare", named),),
        Quantity.REAGENT: (_GOGGLES, _POUR, *_more(experiment, Quantity.REAGENT)),
        Quantity.REAGENT_START: (_GOGGLES, _START),
        Quantity.REAGENT_END: (_END,),
        Quantity.DILUENT: (_POUR, *_more(experiment, Quantity.DILUENT)),
        Quantity.DILUENT_START: (_START,),
        Quantity.DILUENT_END: (_END,),
        Quantity.TEMPERATURE: (Phrase("app-hint-temperature"),),
        Quantity.LIQUID: (Phrase("app-hint-liquid"),),
        Quantity.PIECES: (Phrase("app-hint-pieces", {**named, "half": how.number(0.5)}),),
        Quantity.HOLDER_BEFORE: (Phrase("app-hint-holder-before", named),),
        Quantity.HOLDER_AFTER: (_GOGGLES, Phrase("app-hint-holder-after", named)),
        Quantity.SAMPLE: (
            Phrase("app-hint-weigh-pieces") if pieces else Phrase("app-hint-sample", named),
        ),
        Quantity.FINAL: (wait,) if in_holder else (_GOGGLES, Phrase("app-hint-add", named), wait),
        Quantity.MINUTES: (Phrase("app-hint-minutes"),),
    }
    return (*_zero_first(experiment, quantity, asked), *sentences[quantity])


def _more(experiment: Experiment, quantity: Quantity) -> tuple[Phrase, ...]:
    """Return how to write a pour in several fillings, where the ware is too small for one."""
    most = max(
        run.reagent if quantity is Quantity.REAGENT else run.diluent for run in experiment.planned
    )
    return (_FILLINGS,) if most > ware_of(experiment, quantity).capacity else ()


def _zero_first(
    experiment: Experiment, quantity: Quantity, asked: tuple[Quantity, ...]
) -> tuple[Phrase, ...]:
    """Return what comes before the first step where the balance is set to zero on the cup."""
    if experiment.weighing.tare is not Tare.ZEROED or quantity is not asked[0]:
        return ()
    return (Phrase("app-hint-zero", _names(experiment)),)


def shown_name(experiment: Experiment, quantity: Quantity, how: Writing) -> str:
    """Return what a quantity is read on, as people call it; empty where it is read on nothing."""
    instrument = instrument_of(experiment, quantity)
    if not isinstance(instrument, VolumeInstrument | Balance | Thermometer):
        return ""
    return how.say(called(instrument))


def instrument_name(experiment: Experiment, quantity: Quantity) -> str:
    """Return the name of what a quantity is read on, as it is recorded; empty without one."""
    instrument = instrument_of(experiment, quantity)
    return "" if instrument is None else instrument.name


def finest_step(experiment: Experiment, quantity: Quantity) -> float:
    """Return the finest step that can be read, in the unit of the column; 0 without a scale."""
    if quantity is Quantity.PIECES and experiment.sample.piece is not None:
        return experiment.sample.piece.part
    instrument = instrument_of(experiment, quantity)
    finest = 0.0 if instrument is None else instrument.finest_reading
    return round(millilitres(finest), 9) if quantity.is_volume else finest
