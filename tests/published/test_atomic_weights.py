"""Standard atomic weights against the table of 2021 as others carry it."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

import periodictable
import pytest

from tarebook.chemistry.weights import ELEMENTS, NoAtomicWeightError, standard_atomic_weight


def abridged(value: Decimal, plus_minus: Decimal) -> tuple[Decimal, Decimal]:
    """Round to five figures and widen the half-width until it holds the full one."""
    place = Decimal(1).scaleb(value.adjusted() - 4)
    rounded = value.quantize(place, ROUND_HALF_UP)
    reach = (abs(rounded - value) + plus_minus) / place
    return rounded, reach.to_integral_value(ROUND_CEILING) * place


@pytest.mark.published(
    "Prohaska et al., Pure Appl. Chem. 94 (2022) 573, standard atomic weights 2021, full values as "
    "periodictable 2.1.0 carries them; library"
)
def test_all_84_abridged_values() -> None:
    found = {}
    for element in periodictable.elements:
        if element.number and element._mass_unc:
            full = Decimal(str(element.mass)), Decimal(str(element._mass_unc))
            found[element.symbol] = abridged(*full)
    assert len(found) == 84
    for symbol, (value, plus_minus) in found.items():
        ours = standard_atomic_weight(symbol)
        # Exact: both are short decimal numbers; the tolerances are those of binary fractions.
        assert ours.value == pytest.approx(float(value), rel=1e-12, abs=0)
        assert ours.u * math.sqrt(3) == pytest.approx(float(plus_minus), rel=1e-12, abs=0)
    for symbol in ELEMENTS - set(found):
        with pytest.raises(NoAtomicWeightError):
            standard_atomic_weight(symbol)


# Elements whose standard atomic weight is an interval, and its ends.
INTERVALS = {
    "H": (1.00784, 1.00811),
    "Li": (6.938, 6.997),
    "B": (10.806, 10.821),
    "C": (12.0096, 12.0116),
    "N": (14.00643, 14.00728),
    "O": (15.99903, 15.99977),
    "Mg": (24.304, 24.307),
    "Si": (28.084, 28.086),
    "S": (32.059, 32.076),
    "Cl": (35.446, 35.457),
    "Ar": (39.792, 39.963),
    "Br": (79.901, 79.907),
    "Tl": (204.382, 204.385),
    "Pb": (206.14, 207.94),
}


@pytest.mark.published(
    "Prohaska et al., Pure Appl. Chem. 94 (2022) 573, Table 1, intervals as MilanSkocic/ciaaw, "
    "data/src/saw_2021.txt, carries them; secondary"
)
@pytest.mark.parametrize(("symbol", "ends"), INTERVALS.items())
def test_the_half_width_holds_the_interval(symbol: str, ends: tuple[float, float]) -> None:
    ours = standard_atomic_weight(symbol)
    half_width = ours.u * math.sqrt(3)
    assert ours.value - half_width <= ends[0] + 1e-12
    assert ends[1] - 1e-12 <= ours.value + half_width
