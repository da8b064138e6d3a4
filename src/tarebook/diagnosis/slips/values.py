"""What the sentences about a slip need: the numbers as they stand on the sheet, and the phrases.

The keys of the phrases follow from the kind: ``slip-kind-…`` is what happened as a clause,
``slip-now-…`` what to do at once, ``slip-if-…`` what the whole row fits and ``slip-decide-…`` the
one measurement that shows whether it was this.
"""

from __future__ import annotations

import math
from functools import reduce
from typing import Final

from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import millilitres
from tarebook.diagnosis.slips.case import Case, decimals_of, same_as, step_of
from tarebook.diagnosis.slips.kinds import DIGITS, OF_FREE_SIZE, SlipKind
from tarebook.diagnosis.slips.weigh import Weighed
from tarebook.findings.instruments import called
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.records.instruments import instrument_of
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ

LIKELY: Final = 0.6
"""Probability from which one explanation is called the most likely one."""

OF_A_NUMBER: Final = DIGITS | {SlipKind.LINE_MISREAD, SlipKind.MENISCUS_EDGE}
"""Slips that propose the number that was meant."""


def values_of(case: Case, weighed: Weighed, gas_gap: float) -> dict[str, Value]:
    """Return what the sentences about a slip in a run need.

    Parameters
    ----------
    case : Case
    weighed : Weighed
    gas_gap : float, [g]
        Mass lost less mass that should have been lost, as read; nan where it was not weighed.
    """
    hypothesis = weighed.hypothesis
    kind, quantity = hypothesis.kind, hypothesis.quantity
    values: dict[str, Value] = {"quantity": quantity, "diluent": case.experiment.diluent}
    if kind in OF_A_NUMBER:
        return values | {
            "written": as_written(case, quantity, hypothesis.written),
            "meant": hypothesis.meant,
            "likely": weighed.probability >= LIKELY,
            "instrument": _instrument(case, quantity),
        }
    if kind in OF_FREE_SIZE:
        off = case.values[READ.index(quantity)] - weighed.value
        return values | {
            "about": "reading",
            "written": as_written(case, quantity),
            "off": shown(case, quantity, abs(off)),
            "side": "more" if off > 0 else "less",
        }
    if kind in (SlipKind.COPIED, SlipKind.TARGET_WRITTEN):
        return values | {
            "written": as_written(case, quantity),
            "same_as": same_as(case, quantity),
            "should_be": shown(case, quantity, weighed.value),
        }
    if kind is SlipKind.TARE_SUBTRACTED:
        return values | {"written": as_written(case, quantity), "meant": hypothesis.meant}
    if not math.isfinite(gas_gap):
        return values | {"side": "unseen"}
    return values | {"gap_g": abs(gas_gap), "side": "more" if gas_gap > 0 else "less"}


def kind_of(kind: SlipKind, diluent: str) -> Phrase:
    """Return what happened, as a clause."""
    return Phrase.of(f"slip-kind-{kind.value}", diluent=diluent)


def one_after_another(first: Phrase, *others: Phrase) -> Phrase:
    """Return sentences one after another."""
    return reduce(lambda a, b: Phrase.of("slip-then", first=a, then=b), others, first)


def written(case: Case, quantity: Quantity) -> str:
    """Return a reading as it stands on the sheet, for the evidence; of repeats the mean."""
    if quantity in case.typed:
        return f"{case.typed[quantity]} {quantity.unit}"
    return f"{_mean(case, quantity)} {quantity.unit} (mean)"


def as_written(case: Case, quantity: Quantity, typed: str = "") -> Phrase:
    """Return the same for a sentence; of repeats the one that is in doubt, else their mean."""
    typed = typed or case.typed.get(quantity, "")
    if typed:
        return Phrase.of("slip-written", typed=typed, quantity=quantity)
    return Phrase.of("slip-written-mean", typed=_mean(case, quantity), quantity=quantity)


def _mean(case: Case, quantity: Quantity) -> str:
    return shown(case, quantity, case.values[READ.index(quantity)])


def shown(case: Case, quantity: Quantity, value: float) -> str:
    """Return a value with the digits that its instrument shows, as it would be typed."""
    step = step_of(case.experiment, READ.index(quantity))
    if quantity in (Quantity.REAGENT, Quantity.DILUENT):
        value, step = millilitres(value), millilitres(step)
    return f"{value:.{decimals_of(step)}f}"


def _instrument(case: Case, quantity: Quantity) -> Phrase | str:
    """Return the name of what shows a reading; empty for the thermometer, which has none."""
    instrument = instrument_of(case.experiment, quantity)
    return "" if not isinstance(instrument, VolumeInstrument | Balance) else called(instrument)
