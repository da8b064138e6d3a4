"""One line of the list of supplies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Unit: TypeAlias = Literal["mL", "g", "pieces"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of the list.

    Attributes
    ----------
    key : str
        What it is, for the language file.
    detail : str
        Name as the definition has it; may be empty.
    size : float, [`size_unit`]
        Of ware or of the last digit of a balance; 0 if it has none.
    per_group : float
        For one group; 0 for what is there once.
    total : float
        With the margin.
    work : str
        What ware of the prep room is for; empty for all else.
    unit : str
        ``"mL"``, ``"g"`` or ``"pieces"``: these figures leave memory, so volumes are in mL.
    """

    key: str
    detail: str
    per_group: float
    total: float
    unit: Unit
    size: float = 0.0
    size_unit: Literal["", "mL", "g"] = ""
    work: Literal["", "stock", "titration"] = ""
