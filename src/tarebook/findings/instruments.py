"""What an instrument is called in a sentence, as data."""

from __future__ import annotations

from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance, Thermometer


def called(instrument: VolumeInstrument | Balance | Thermometer) -> Phrase | str:
    """Return the name of an instrument: what people call it here, else kind and size.

    Examples
    --------
    >>> from tarebook.measurement.instruments import volume_instrument
    >>> called(volume_instrument("burette", 0.025)).key
    'ware-burette'
    """
    if isinstance(instrument, Thermometer):
        usual = instrument.name == "thermometer"
        return Phrase("instrument-thermometer") if usual else instrument.name
    if isinstance(instrument, Balance):
        if instrument.name != f"{instrument.readability:g} g balance":
            return instrument.name
        step = Phrase.of("step-mass", step_g=instrument.readability)
        return Phrase.of("tables-balance", step=step)
    size, kind = millilitres(instrument.capacity), instrument.kind.value
    if instrument.name != f"{size:g} mL {kind}":
        return instrument.name
    size_of = Phrase.of("plan-volume", volume_mL=size)
    return Phrase.of(f"ware-{kind.replace(' ', '_')}", size=size_of)
