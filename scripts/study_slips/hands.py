"""Numbers written down wrong, in ways and sizes that do not come from the table of slips.

A writer gets a number as it should stand on the sheet and returns what was written instead.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tarebook.core.units import millilitres
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.records.readings import Quantity
from tarebook.series.experiment import Experiment

SCALE_LENGTH_MM = 130.0
"""From zero to the top line of a graduated cylinder of 50 mL: from memory of such a cylinder."""

MENISCUS_MM = (1.0, 3.0)
"""From the bottom of the meniscus to its edge: assumption."""


@dataclass(frozen=True, slots=True)
class Written:
    """A number as it should stand on the sheet, and where."""

    text: str
    tare: str
    quantity: Quantity
    of: Experiment

    @property
    def instrument(self) -> VolumeInstrument:
        """What the volume was read on."""
        equipment = self.of.equipment
        return equipment.reagent if self.quantity is Quantity.REAGENT else equipment.diluent

    def like(self, value: float) -> str:
        """Return a value with as many decimals as the number has."""
        return f"{value:.{len(self.text.partition('.')[2])}f}"


Writer = Callable[[Written, np.random.Generator], str]


def _places(text: str) -> list[int]:
    return [i for i, letter in enumerate(text) if letter != "."]


def _digit_wrong(number: Written, rng: np.random.Generator) -> str:
    """Any digit turns into any other, near on the keypad or not."""
    text = number.text
    place = int(rng.choice(_places(text)))
    others = [digit for digit in "0123456789" if digit != text[place]]
    return text[:place] + str(rng.choice(others)) + text[place + 1 :]


def _digits_swapped(number: Written, rng: np.random.Generator) -> str:
    """Two neighbours, or in one of ten two with a digit between them."""
    places = _places(number.text)
    apart = 2 if rng.random() < 0.1 and len(places) > 2 else 1
    first = int(rng.integers(len(places) - apart))
    i, j = places[first], places[first + apart]
    letters = list(number.text)
    letters[i], letters[j] = letters[j], letters[i]
    return "".join(letters)


def _digit_extra(number: Written, rng: np.random.Generator) -> str:
    """A digit hit twice, or any digit anywhere."""
    text = number.text
    place = int(rng.choice(_places(text)))
    digit = text[place] if rng.random() < 0.5 else str(rng.integers(10))
    return text[:place] + digit + text[place:]


def _digit_missing(number: Written, rng: np.random.Generator) -> str:
    text = number.text
    place = int(rng.choice(_places(text)))
    left = text[:place] + text[place + 1 :]
    return "0" + left if left.startswith(".") else left.rstrip(".")


def _times_ten_to(text: str, power: int) -> str:
    decimals = max(len(text.partition(".")[2]) - power, 0)
    return f"{float(text) * 10.0**power:.{decimals}f}"


def _point_shifted(number: Written, rng: np.random.Generator) -> str:
    """One place, or two in one of ten."""
    places = 2 if rng.random() < 0.1 else 1
    return _times_ten_to(number.text, int(rng.choice([places, -places])))


def _other_unit(number: Written, rng: np.random.Generator) -> str:
    return _times_ten_to(number.text, int(rng.choice([3, -3])))


def _line_misread(number: Written, rng: np.random.Generator) -> str:
    """One or ten lines in eight of ten, else two or five."""
    lines = float(rng.choice([1, 10, 2, 5], p=[0.4, 0.4, 0.1, 0.1]) * rng.choice([1, -1]))
    instrument = number.instrument
    value = float(number.text) + lines * millilitres(instrument.graduation)
    return number.like(value) if value <= millilitres(instrument.capacity) else number.text


def _meniscus_edge(number: Written, rng: np.random.Generator) -> str:
    per_mm = millilitres(number.instrument.capacity) / SCALE_LENGTH_MM
    return number.like(float(number.text) + per_mm * rng.uniform(*MENISCUS_MM))


def _not_zeroed(number: Written, rng: np.random.Generator) -> str:
    """A zero that has drifted, or a thing of 0.5 to 20 g on the pan when it should not be, or when
    the balance was set to zero."""
    if rng.random() < 0.5:
        off = 0.1 * rng.standard_normal()
    else:
        off = math.exp(rng.uniform(math.log(0.5), math.log(20.0))) * rng.choice([1.0, -1.0])
    return number.like(float(number.text) + off)


def _unknown(number: Written, rng: np.random.Generator) -> str:
    """A number that has nothing to do with the right one but its size."""
    return number.like(float(number.text) * (1.0 + 0.1 * rng.standard_normal()))


def _net(number: Written, _: np.random.Generator) -> str:
    return number.like(float(number.text) - float(number.tare))


WRITERS: dict[SlipKind, Writer] = {
    SlipKind.DIGIT_WRONG: _digit_wrong,
    SlipKind.DIGITS_SWAPPED: _digits_swapped,
    SlipKind.DIGIT_EXTRA: _digit_extra,
    SlipKind.DIGIT_MISSING: _digit_missing,
    SlipKind.POINT_SHIFTED: _point_shifted,
    SlipKind.OTHER_UNIT: _other_unit,
    SlipKind.LINE_MISREAD: _line_misread,
    SlipKind.MENISCUS_EDGE: _meniscus_edge,
    SlipKind.NOT_ZEROED: _not_zeroed,
    SlipKind.UNKNOWN: _unknown,
    SlipKind.TARE_SUBTRACTED: _net,
}
