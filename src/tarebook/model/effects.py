"""The effects that the textbook calculation leaves out; each can be switched off by name."""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class CupEffect(StrEnum):
    """One thing that happens in the cup and that the textbook calculation knows nothing of."""

    CALIBRATION = "calibration"
    HOLD_UP = "hold-up"
    OWN_ACID = "own acid"
    DISSOLVED_GAS = "dissolved gas"
    HEAD_GAS = "head gas"
    VAPOUR = "vapour"
    EVAPORATION = "evaporation"
    COOLING = "cooling"
    BUOYANCY = "buoyancy"

    @property
    def words(self) -> str:
        """What it is, in a sentence of its own."""
        return _WORDS[self]


_WORDS: Final[dict[CupEffect, str]] = {
    CupEffect.CALIBRATION: "The scales of the two measuring vessels are a little long or short.",
    CupEffect.HOLD_UP: "A little liquid stays behind in the measuring vessel at every pour.",
    CupEffect.OWN_ACID: (
        "Acid that the sample brings makes gas without any reagent; a base beside the analyte "
        "takes reagent up without any gas."
    ),
    CupEffect.DISSOLVED_GAS: "Some of the gas made stays dissolved, and an excess of the sample's "
    "analyte holds more of it back.",
    CupEffect.HEAD_GAS: "Some of the gas lies in the vessel, denser than the air it displaced, and "
    "is weighed.",
    CupEffect.VAPOUR: "The gas that leaves carries water vapour away with it.",
    CupEffect.EVAPORATION: "Water evaporates while the vessel stands and waits.",
    CupEffect.COOLING: "The reaction cools or warms the liquid: a cold one holds more gas, "
    "a warm one loses more vapor.",
    CupEffect.BUOYANCY: "Air carries part of the weight of whatever lies on the balance.",
}

ALL_EFFECTS: Final = frozenset(CupEffect)
NO_EFFECTS: Final[frozenset[CupEffect]] = frozenset()
