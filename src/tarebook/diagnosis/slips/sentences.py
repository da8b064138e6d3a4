"""What is said of a slip: one sentence on what happened, and what to do now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tarebook.core.units import millilitres
from tarebook.diagnosis.slips.case import Case, decimals_of, same_as, step_of
from tarebook.diagnosis.slips.kinds import DIGITS, SlipKind
from tarebook.diagnosis.slips.weigh import Weighed
from tarebook.records.instruments import instrument_of
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ

LIKELY: Final = 0.6
"""Probability from which one explanation is called the most likely one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A slip in words.

    Attributes
    ----------
    message : str
        One sentence.
    do : str
        What to check now.
    """

    message: str
    do: str


def say_slip(case: Case, weighed: Weighed, gas_gap: float) -> Said:
    """Return a slip in words.

    Parameters
    ----------
    case : Case
    weighed : Weighed
    gas_gap : float, [g]
        Mass lost less mass that should have been lost, as read.
    """
    kind, quantity = weighed.hypothesis.kind, weighed.hypothesis.quantity
    if kind in DIGITS or kind in (SlipKind.LINE_MISREAD, SlipKind.MENISCUS_EDGE):
        return _said_number(case, weighed)
    if kind in (SlipKind.NOT_ZEROED, SlipKind.UNKNOWN):
        return _said_of_any_size(case, weighed)
    if kind in (SlipKind.COPIED, SlipKind.TARGET_WRITTEN):
        return _said_repeated(case, weighed)
    if kind is SlipKind.TARE_SUBTRACTED:
        return Said(
            message=f"Run {case.run}: {quantity.words} is written as {written(case, quantity)}; "
            "with the empty vessel added it would fit the other readings, as if the empty vessel "
            "was already subtracted.",
            do=f"If it was, enter what the balance showed, vessel and all, as a correction: about "
            f"{weighed.hypothesis.meant} g.",
        )
    return _said_of_cup(case, kind, gas_gap)


def written(case: Case, quantity: Quantity) -> str:
    """Return a reading as it stands on the sheet, with its unit; of repeats the mean."""
    if quantity in case.typed:
        return f"{case.typed[quantity]} {quantity.unit}"
    return shown(case, quantity, case.values[READ.index(quantity)]) + " (mean)"


def shown(case: Case, quantity: Quantity, value: float) -> str:
    """Return a value with the digits that its instrument shows, and its unit."""
    row = READ.index(quantity)
    step = step_of(case.experiment, row)
    if quantity in (Quantity.REAGENT, Quantity.DILUENT):
        value, step = millilitres(value), millilitres(step)
    return f"{value:.{decimals_of(step)}f} {quantity.unit}"


def _said_number(case: Case, weighed: Weighed) -> Said:
    hypothesis = weighed.hypothesis
    quantity, kind = hypothesis.quantity, hypothesis.kind
    meant = f"{hypothesis.meant} {quantity.unit}"
    likely = "most likely" if weighed.probability >= LIKELY else "perhaps"
    stands = f"{hypothesis.written} {quantity.unit}" if hypothesis.written else ""
    stands = stands or written(case, quantity)
    message = (
        f"Run {case.run}: {quantity.words} is written as {stands}, but {meant} "
        f"would fit the other readings; {likely} {kind.words}."
    )
    if kind in DIGITS:
        do = (
            f"Look where the number was first written down, or at the "
            f"{_instrument(case, quantity)} if it still shows it; if it was {meant}, enter that as "
            "a correction."
        )
    else:
        do = (
            "If the liquid is still in the cylinder, read it again at eye level, at the bottom of "
            f"the curved surface, counting the lines; if it is {meant}, enter that as a "
            "correction. If it is poured already, leave the number and write a note."
        )
    return Said(message=message, do=do)


def _instrument(case: Case, quantity: Quantity) -> str:
    if quantity is Quantity.TEMPERATURE:
        return "thermometer"
    instrument = instrument_of(case.experiment, quantity)
    return "" if instrument is None else instrument.name


def _said_of_any_size(case: Case, weighed: Weighed) -> Said:
    quantity = weighed.hypothesis.quantity
    off = case.values[READ.index(quantity)] - weighed.value
    more = "more" if off > 0 else "less"
    size = shown(case, quantity, abs(off))
    message = (
        f"Run {case.run}: {quantity.words} is written as {written(case, quantity)}, {size} {more} "
        "than the other readings say"
    )
    if weighed.hypothesis.kind is SlipKind.NOT_ZEROED:
        thing = "something else was on it" if off > 0 else "it was set to zero with something on it"
        message += f"; perhaps the balance was not at zero, or {thing}."
        do = (
            "While the cup stands there: empty the pan, set the balance to zero, weigh again and "
            "enter the new reading as a correction. If it is gone, leave the number and write a "
            "note."
        )
        if quantity is Quantity.SAMPLE:
            do = (
                "Was the weighing boat on the balance too, or was it not at zero? If the boat is "
                "still there, weigh it and enter the sample alone as a correction."
            )
    else:
        message += ", and nothing we know of explains it."
        again = f"Weigh {quantity.words} again if you still can"
        if not quantity.is_mass:
            again = "Read the scale again if the liquid is still in it"
        do = (
            f"{again}, and look where the number was first written down; if neither helps, leave "
            "it and write a note."
        )
    return Said(message=message, do=do)


def _said_repeated(case: Case, weighed: Weighed) -> Said:
    quantity, kind = weighed.hypothesis.quantity, weighed.hypothesis.kind
    about = shown(case, quantity, weighed.value)
    like = "the number that was asked for" if kind is SlipKind.TARGET_WRITTEN else (
        f"the same number as in run {same_as(case, quantity)}"
    )  # fmt: skip
    return Said(
        message=f"Run {case.run}: {quantity.words} is written as {written(case, quantity)}, "
        f"{like}, "
        f"but the other readings say about {about}.",
        do="Ask who took it whether the number was read or only written down; if it was not "
        "read, take it back, or enter what was read as a correction.",
    )


_CUP: Final[dict[SlipKind, tuple[str, str]]] = {
    SlipKind.LIQUIDS_EXCHANGED: (
        "the masses fit if reagent and diluent were exchanged in the cup",
        "Ask who poured which liquid. If they were exchanged, enter each volume under the liquid "
        "that it was, as corrections; do this run again if there is time.",
    ),
    SlipKind.VOLUMES_EXCHANGED: (
        "the masses fit if the volumes of reagent and diluent are exchanged on the sheet",
        "Look where the two numbers were first written down; if they stand in each other's place, "
        "enter both as corrections.",
    ),
    SlipKind.SAMPLE_MISSING: (
        "as if the sample never went in",
        "Is the weighed sample still in its boat? If so, add it now, wait, and weigh the cup "
        "again.",
    ),
    SlipKind.SAMPLE_TWICE: (
        "as if two portions of the sample went in",
        "Ask who added it. If two went in, write a note; do this run again if there is time.",
    ),
    SlipKind.SAMPLE_LOST: (
        "as if part of the sample did not go in",
        "Look for solid in the boat, on the wall of the cup and on the bench; weigh what is left "
        "in the boat and enter the difference as a correction.",
    ),
    SlipKind.LIQUID_LOST: (
        "as if liquid splashed out or dripped off before the last weighing",
        "Look for drops on the bench, the balance and the outside of the cup. What is lost does "
        "not come back: write a note, and cover the next cup while it fizzes.",
    ),
    SlipKind.WEIGHED_EARLY: (
        "as if the cup was weighed while it still fizzed",
        "If the cup stands there, swirl it until no bubble rises, fan the gas out, weigh it again "
        "and enter that as a correction.",
    ),
    SlipKind.WEIGHED_LATE: (
        "as if the cup stood open for hours before the last weighing",
        "Ask when it was weighed, and correct the waiting time if it is wrong.",
    ),
    SlipKind.OTHER_STOCK: (
        "as if the reagent of this one cup was of another strength",
        "Look at the label of the bottle this cup was filled from, and whether it was shaken "
        "after it was made up.",
    ),
}


def _said_of_cup(case: Case, kind: SlipKind, gas_gap: float) -> Said:
    what, do = _CUP[kind]
    more = "more" if gas_gap > 0 else "less"
    message = f"Run {case.run}: {abs(gas_gap):.3f} g {more} was lost than expected, {what}."
    if kind in (SlipKind.LIQUIDS_EXCHANGED, SlipKind.VOLUMES_EXCHANGED):
        message = f"Run {case.run}: {what}."
    return Said(message=message, do=do)
