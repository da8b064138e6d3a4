"""What the liquid readings of a row say: values only, no text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.records.readings import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class PouredCup:
    """What one cup holds before the sample goes in.

    Attributes
    ----------
    run : str
    reagent, diluent : Estimate, [L]
        Volumes that reached the cup: what was read, less what stayed behind.
    amount : Estimate, [mol]
        Of the reagent species.
    concentration : Estimate, [mol/L]
        That amount in the two volumes together.
    by_mass : Estimate or None, [g]
        Liquid as weighed; None where the cup was not weighed empty and with liquid.
    by_volume : Estimate or None, [g]
        What a balance would show for the volumes as they were read, nothing left behind; None where
        a volume was not read.
    left_behind : Estimate or None, [g]
        `by_volume` - `by_mass`: the liquid that stayed in the measuring vessels, with the errors of
        this cup's own readings.
    recovered : mapping of Quantity to Estimate, [L]
        Volumes that were not read and follow from the mass: what the scale would have shown.
    from_plan : tuple of Quantity
        Volumes that were not read and do not follow from anything: the plan stands in for them.
    mass_is_doubtful : bool
        Whether the mass of the liquid is contradicted and was not used.
    """

    run: str
    reagent: Estimate
    diluent: Estimate
    amount: Estimate
    concentration: Estimate
    by_mass: Estimate | None
    by_volume: Estimate | None
    left_behind: Estimate | None
    recovered: Mapping[Quantity, Estimate]
    from_plan: tuple[Quantity, ...]
    mass_is_doubtful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PouredRow:
    """What the liquid readings of a row say together.

    Attributes
    ----------
    cups : tuple of PouredCup
        In the order of the sheet.
    hold_up_reagent, hold_up_diluent, hold_up_both : Estimate, [L]
        Liquid left behind at each pour; the sum is known better than either part.
    strength : Estimate, [mol/L]
        Of the stock, as the definition has it.
    left_out : mapping of str to Phrase
        Runs of which nothing can be said, and why.
    """

    cups: tuple[PouredCup, ...]
    hold_up_reagent: Estimate
    hold_up_diluent: Estimate
    hold_up_both: Estimate
    strength: Estimate
    left_out: Mapping[str, Phrase]

    def cup(self, run: str) -> PouredCup | None:
        """Return what is known of a run; None where nothing is."""
        return next((cup for cup in self.cups if cup.run == run), None)
