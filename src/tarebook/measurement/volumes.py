"""Volumetric ware and the error of a volume read on it.

A tolerance says how far the ware may be off at any point of its scale; it does not say how much of
that is common to two readings. Three parts make up the error of one reading V on a vessel of
capacity C and tolerance a (half-width; standard uncertainty u = a / sqrt(6) if triangular):

- *scale*: the bore of the whole vessel. One relative error kappa for every reading of that vessel,
  so the error is V kappa with u(kappa) = u / C. Shared; it cancels in a ratio of two pours.
- *line*: the position of the one graduation line that was used, sqrt(1 - (V / C)^2) u. Own to each
  reading, as another line is used each time. Scale and line together give u at every V, which is
  what the standard says, and all of it is scale at the top of the scale and in single-mark ware.
- *reading* and *repeatability*: the eye at the meniscus (rectangular, once a reading; a burette
  is read twice a portion) and the filling and draining itself (normal). Own to each reading.

The split into scale and line is ours. It is exact where it can be checked (the total at any V);
between the extremes "all scale" and "all line" it lets the scale take the share that grows with V.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.measurement.effects import Shape, u_of_half_width
from tarebook.measurement.own_errors import OwnError


class VolumeKind(StrEnum):
    """What measures a volume."""

    GRADUATED_CYLINDER = "graduated cylinder"
    TRANSFER_PIPETTE = "transfer pipette"
    GRADUATED_PIPETTE = "graduated pipette"
    BURETTE = "burette"
    VOLUMETRIC_FLASK = "volumetric flask"
    PISTON_PIPETTE = "piston pipette"
    DROPPING_PIPETTE = "dropping pipette"
    BEAKER = "beaker"
    SYRINGE = "syringe"
    MEDICINE_CUP = "medicine cup"


SINGLE_MARK = frozenset({VolumeKind.TRANSFER_PIPETTE, VolumeKind.VOLUMETRIC_FLASK})
"""Ware with one line, that of its capacity."""

TO_CONTAIN = frozenset(
    {
        VolumeKind.GRADUATED_CYLINDER,
        VolumeKind.VOLUMETRIC_FLASK,
        VolumeKind.BEAKER,
        VolumeKind.MEDICINE_CUP,
    }
)
"""Ware whose marks hold for what it contains, where nothing else is said."""

READ_TWICE = frozenset({VolumeKind.BURETTE, VolumeKind.GRADUATED_PIPETTE})
"""Ware whose portion is the difference of two readings, at the start and at the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VolumeInstrument:
    """A vessel or device that measures a volume.

    Attributes
    ----------
    name : str
        What people call it, e.g. ``"25 mL graduated cylinder"``.
    kind : VolumeKind
        What it is.
    capacity : float, [L]
        Volume at the top of the scale or at the line; the nominal volume of a piston pipette.
    graduation : float, [L]
        Distance of two lines; 0 for ware with a single mark and for volumes that are set.
    tolerance : float, [L]
        Largest permitted error at any point, half-width.
    tolerance_shape : Shape
        Shape that the tolerance is taken to have.
    reading_half_width : float, [L]
        Largest error of one reading of the meniscus, rectangular.
    repeatability : float, [L]
        Standard deviation of filling or draining to the same line.
    to_contain : bool
        True if the marks hold for what it contains (In, TC), False for what it delivers (Ex, TD).
    tolerance_source, reading_source, repeatability_source : Source
        Where the three come from.

    Raises
    ------
    OutOfRangeError
        If the capacity is not positive or one of the others is negative.
    """

    name: str
    kind: VolumeKind
    capacity: float
    graduation: float
    tolerance: float
    tolerance_shape: Shape
    reading_half_width: float
    repeatability: float
    to_contain: bool
    tolerance_source: Source
    reading_source: Source
    repeatability_source: Source

    def __post_init__(self) -> None:
        if not 0 < self.capacity < math.inf:
            raise OutOfRangeError(f"capacity of {self.name}", self.capacity, "L", "(0, inf)")
        for field in ("graduation", "tolerance", "reading_half_width", "repeatability"):
            value = getattr(self, field)
            if not 0 <= value < math.inf:
                what = f"{field.replace('_', ' ')} of {self.name}"
                raise OutOfRangeError(what, value, "L", "[0, inf)")

    @property
    def finest_reading(self) -> float:
        """Finest step that is read, [L]: a tenth of a graduation; 0 where nothing is read."""
        return self.graduation / 10.0

    @property
    def readings_per_portion(self) -> int:
        """How often the meniscus is read for one portion: twice on a burette."""
        return 2 if self.kind in READ_TWICE else 1

    @property
    def tolerance_u(self) -> float:
        """Standard uncertainty of the tolerance, [L]: scale and line together."""
        return u_of_half_width(self.tolerance, self.tolerance_shape)

    @property
    def scale_u(self) -> float:
        """Standard uncertainty of the relative error of the scale, kappa, [1]."""
        return self.tolerance_u / self.capacity

    @property
    def reading_u(self) -> float:
        """Standard uncertainty of reading one portion, [L]: own to each."""
        once = u_of_half_width(self.reading_half_width, Shape.RECTANGULAR)
        return once * math.sqrt(self.readings_per_portion)

    def own_errors(self, value: FloatArray) -> tuple[OwnError, ...]:
        """Return the errors that portions have of their own, each read at a volume, [L].

        Raises
        ------
        OutOfRangeError
            If a volume is negative or not a number.
        """
        return (
            OwnError(
                label="graduation line",
                shape=self.tolerance_shape,
                u=line_u(self, value),
                averages=False,
            ),
            OwnError(label="reading", shape=Shape.RECTANGULAR, u=self.reading_u),
            OwnError(label="repeatability", shape=Shape.NORMAL, u=self.repeatability),
        )


def _share_of_capacity(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    volumes = np.asarray(volume, dtype=np.float64)
    allowed = volumes >= 0
    if not allowed.all():
        first = float(volumes[~allowed].flat[0]) * 1000.0
        raise OutOfRangeError(f"volume on the {instrument.name}", first, "mL", "[0, inf)")
    share: FloatArray = volumes / instrument.capacity
    return share


def line_u(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    """Return the standard uncertainty of the position of the graduation line.

    Parameters
    ----------
    instrument : VolumeInstrument
        What the volume was read on.
    volume : ndarray, any shape, [L]
        Readings. Above the capacity (several fillings, or a slip) nothing is left for the line.

    Returns
    -------
    ndarray, shape of `volume`, [L]
        Own to each reading.

    Raises
    ------
    OutOfRangeError
        If a volume is negative or not a number.
    """
    share = np.minimum(_share_of_capacity(instrument, volume), 1.0)
    line: FloatArray = instrument.tolerance_u * np.sqrt(1.0 - share**2)
    return line


def shared_u(instrument: VolumeInstrument, volume: FloatArray) -> FloatArray:
    """Return the standard uncertainty that all readings of a vessel share, in proportion to each.

    Parameters
    ----------
    instrument : VolumeInstrument
        What the volume was read on.
    volume : ndarray, any shape, [L]
        Readings.

    Returns
    -------
    ndarray, shape of `volume`, [L]
        V u(kappa).

    Raises
    ------
    OutOfRangeError
        If a volume is negative or not a number.
    """
    return instrument.tolerance_u * _share_of_capacity(instrument, volume)
