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


ALL_EFFECTS: Final = frozenset(CupEffect)
NO_EFFECTS: Final[frozenset[CupEffect]] = frozenset()
