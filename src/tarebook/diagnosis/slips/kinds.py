"""The slips that are known here."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

PREFIX: Final = "slip-"
"""Before the kind in the code of a finding."""

STOP_FROM: Final = 0.95
LOOK_FROM: Final = 0.5
"""Probabilities that something went wrong from which a finding is one of stop or of look."""


class SlipKind(StrEnum):
    """One way to go wrong. With the prefix ``slip-`` it is the code of a finding."""

    DIGIT_WRONG = "digit-wrong"
    DIGITS_SWAPPED = "digits-swapped"
    DIGIT_EXTRA = "digit-extra"
    DIGIT_MISSING = "digit-missing"
    POINT_SHIFTED = "point-shifted"
    OTHER_UNIT = "other-unit"
    LINE_MISREAD = "line-misread"
    MENISCUS_EDGE = "meniscus-edge"
    TARGET_WRITTEN = "target-written"
    COPIED = "copied"
    NOT_ZEROED = "not-zeroed"
    TARE_SUBTRACTED = "tare-subtracted"
    LIQUIDS_EXCHANGED = "liquids-exchanged"
    VOLUMES_EXCHANGED = "volumes-exchanged"
    SAMPLE_MISSING = "sample-missing"
    SAMPLE_TWICE = "sample-twice"
    SAMPLE_LOST = "sample-lost"
    LIQUID_LOST = "liquid-lost"
    WEIGHED_EARLY = "weighed-early"
    WEIGHED_LATE = "weighed-late"
    OTHER_STOCK = "other-stock"
    RUNS_EXCHANGED = "runs-exchanged"
    COLUMN_SHIFTED = "column-shifted"
    OTHER_STOCK_THROUGHOUT = "other-stock-throughout"
    PORTIONS_OFF = "portions-off-throughout"
    WEIGHINGS_OFF = "weighings-off-throughout"
    LIQUIDS_EXCHANGED_THROUGHOUT = "liquids-exchanged-throughout"
    WEIGHED_EARLY_THROUGHOUT = "weighed-early-throughout"
    BALANCE_SCALE_OFF = "balance-scale-off"
    UNKNOWN = "unknown"


OF_A_ROW: Final = frozenset(
    {
        SlipKind.OTHER_STOCK_THROUGHOUT,
        SlipKind.PORTIONS_OFF,
        SlipKind.WEIGHINGS_OFF,
        SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT,
        SlipKind.WEIGHED_EARLY_THROUGHOUT,
        SlipKind.BALANCE_SCALE_OFF,
    }
)
"""Slips that are made with all runs of a series alike."""

DIGITS: Final = frozenset(
    {
        SlipKind.DIGIT_WRONG,
        SlipKind.DIGITS_SWAPPED,
        SlipKind.DIGIT_EXTRA,
        SlipKind.DIGIT_MISSING,
        SlipKind.POINT_SHIFTED,
        SlipKind.OTHER_UNIT,
    }
)
"""Slips in writing a number down: each proposes the number that was meant."""

TOO_LIGHT: Final = frozenset(
    {
        SlipKind.OTHER_STOCK,
        SlipKind.LIQUID_LOST,
        SlipKind.SAMPLE_LOST,
        SlipKind.WEIGHED_LATE,
        SlipKind.NOT_ZEROED,
        SlipKind.UNKNOWN,
    }
)
TOO_HEAVY: Final = frozenset(
    {SlipKind.WEIGHED_EARLY, SlipKind.OTHER_STOCK, SlipKind.NOT_ZEROED, SlipKind.UNKNOWN}
)
OF_FREE_SIZE: Final = frozenset({SlipKind.NOT_ZEROED, SlipKind.UNKNOWN})
ONCE_MORE: Final = frozenset({SlipKind.TARGET_WRITTEN, SlipKind.COPIED, SlipKind.UNKNOWN})
NOT_TOLD_APART: Final = (TOO_LIGHT, TOO_HEAVY, OF_FREE_SIZE, ONCE_MORE)
"""Sets of slips that the readings alone cannot tell apart: the same mass gone or come, whatever
took or brought it. Only how often each happens speaks for one of them."""

ROWS_NOT_TOLD_APART: Final = (
    frozenset({SlipKind.OTHER_STOCK_THROUGHOUT, SlipKind.WEIGHED_EARLY_THROUGHOUT}),
    frozenset({SlipKind.PORTIONS_OFF, SlipKind.WEIGHINGS_OFF}),
)
"""The same of whole rows: where one is named, the other is too if it explains the row."""
