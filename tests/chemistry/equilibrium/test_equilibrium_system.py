"""Limits, shapes, errors and the meaning of what is returned."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.cups import closed, invented_acid, open_to

from tarebook.chemistry.equilibrium import (
    StrongIon,
    System,
    UnknownSubstanceError,
    acid,
    capped,
)
from tarebook.chemistry.equilibrium.constants import constants_at
from tarebook.core.errors import OutOfRangeError

SYSTEM = System(
    acids=(acid("carbonic"), acid("acetic")),
    strong_ions=(StrongIon("Na+", 1), StrongIon("Cl-", -1)),
)
ROOM = 298.15


def test_nothing_added_nothing_released() -> None:
    r = capped(SYSTEM, totals={}, strong={}, temperature=ROOM, pressure=101325.0)
    assert float(r.released) == 0.0
    assert float(r.dissolved) == 0.0
    assert float(r.pressure) == 0.0
    assert float(r.ph) == pytest.approx(6.9974, abs=1e-4)


def test_strong_acid_in_excess_at_no_pressure_releases_all() -> None:
    r = capped(
        SYSTEM,
        totals={"carbonic": 0.5},
        strong={"Na+": 0.5, "Cl-": 0.9},
        temperature=ROOM,
        pressure=0.0,
    )
    assert float(r.released) == 0.5
    assert float(r.dissolved) == 0.0


def test_below_the_pressure_nothing_leaves_and_nothing_enters() -> None:
    case: dict[str, Any] = {
        "totals": {"carbonic": 0.01},
        "strong": {"Na+": 0.01},
        "temperature": ROOM,
    }
    shut = closed(SYSTEM, **case)
    r = capped(SYSTEM, **case, pressure=101325.0)
    assert float(r.released) == 0.0
    assert float(r.dissolved) == 0.01
    assert float(r.ph) == pytest.approx(float(shut.ph), abs=1e-13)
    assert float(r.pressure) < 101325.0


def test_above_the_pressure_more_carbon_only_leaves() -> None:
    case: dict[str, Any] = {"strong": {"Na+": 0.3}, "temperature": ROOM, "pressure": 9e4}
    r = capped(SYSTEM, totals={"carbonic": 0.3, "acetic": 0.5}, **case)
    gas = open_to(SYSTEM, totals={"acetic": 0.5}, **case)
    assert float(r.ph) == pytest.approx(float(gas.ph), abs=1e-12)
    assert float(r.dissolved) == pytest.approx(float(gas.dissolved), abs=1e-13)
    assert float(r.released + r.dissolved) == pytest.approx(0.3, abs=1e-15)


def test_capped_meets_closed_where_the_pressure_is_just_reached() -> None:
    """The released gas starts from zero without a jump."""
    totals = np.linspace(0.02, 0.06, 4001)
    r = capped(
        SYSTEM,
        totals={"carbonic": totals, "acetic": 0.5},
        strong={"Na+": totals},
        temperature=ROOM,
        pressure=9e4,
    )
    assert r.released[0] == 0.0
    assert r.released[-1] > 0.01
    assert np.abs(np.diff(r.released)).max() < 1.1e-5
    assert (np.diff(r.released) >= 0).all()
    assert np.abs(np.diff(r.ph)).max() < 1e-3


def test_dissolved_carbon_dioxide_follows_henry() -> None:
    r = open_to(
        System(acids=(acid("carbonic"),)), totals={}, strong={}, temperature=ROOM, pressure=5e4
    )
    henry = float(constants_at([], np.array(ROOM)).henry)
    assert float(r.of("CO2")) == pytest.approx(henry * 5e4, rel=1e-4)


def test_salt_drives_gas_out() -> None:
    r = open_to(
        SYSTEM,
        totals={},
        strong={"Na+": [0.0, 1.0], "Cl-": [0.0, 1.0]},
        temperature=ROOM,
        pressure=1e5,
    )
    # log10 gamma of CO2 = (0.0869 - 0.0043) m: 17 % less at 1 mol/kg
    assert float(r.of("CO2")[1] / r.of("CO2")[0]) == pytest.approx(10**-0.0826, rel=1e-5)


def test_acid_salts_out_less_than_salt() -> None:
    """Hydrochloric acid leaves the solubility of CO2 nearly as it is, sodium chloride does not."""
    r = open_to(
        SYSTEM, totals={}, strong={"Na+": [0.0, 1.0], "Cl-": 1.0}, temperature=ROOM, pressure=1e5
    )
    acid_cup, salt_cup = r.of("CO2")
    assert float(salt_cup / acid_cup) == pytest.approx(10**-0.0869, rel=1e-5)


def test_ions_act_by_their_names() -> None:
    """Potassium and calcium are not sodium; an ion nobody knows counts as the usual one."""
    answers = {}
    for name, charge in (("Na+", 1), ("K+", 1), ("Li+", 1), ("M+", 1), ("Ca^2+", 2), ("M2+", 2)):
        cup = System(acids=SYSTEM.acids, strong_ions=(StrongIon(name, charge),))
        answers[name] = capped(
            cup,
            totals={"acetic": 1.2, "carbonic": 1.0},
            strong={name: 1.0 / charge},
            temperature=ROOM,
            pressure=1e5,
        )
    assert float(answers["M+"].ph) == float(answers["Li+"].ph) == float(answers["Na+"].ph)
    assert float(answers["M2+"].ph) == float(answers["Ca^2+"].ph)
    assert abs(float(answers["K+"].ph - answers["Na+"].ph)) > 0.005
    assert float(answers["K+"].dissolved / answers["Na+"].dissolved) > 1.02


def test_shapes_broadcast() -> None:
    r = capped(
        SYSTEM,
        totals={"carbonic": np.full((4, 1, 1), 0.1), "acetic": np.linspace(0, 0.3, 3)[:, None]},
        strong={"Na+": 0.1},
        temperature=np.array([288.15, 298.15]),
        pressure=9e4,
        shifts={"carbonic": [0.0, 0.01], "henry": [np.zeros((4, 1, 1))]},
    )
    assert r.ph.shape == (4, 3, 2)
    assert r.molality.shape == (len(SYSTEM.species), 4, 3, 2)
    assert (r.of("Na+") == 0.1).all()
    assert np.ptp(r.ph, axis=0).max() == 0.0


def test_empty_arrays_stay_empty() -> None:
    r = closed(SYSTEM, totals={"acetic": np.empty((0, 2))}, strong={}, temperature=ROOM)
    assert r.ph.shape == (0, 2)
    assert r.molality.shape == (len(SYSTEM.species), 0, 2)


def test_shift_of_the_pk_moves_the_ph() -> None:
    case: dict[str, Any] = {"totals": {"acetic": 0.1}, "strong": {"Na+": 0.05}, "temperature": ROOM}
    plain = closed(SYSTEM, **case)
    moved = closed(SYSTEM, **case, shifts={"acetic": [np.array([0.0, 0.1])]})
    assert float(moved.ph[0]) == pytest.approx(float(plain.ph), abs=1e-13)
    assert float(moved.ph[1] - moved.ph[0]) == pytest.approx(0.1, abs=1e-3)


def test_beyond_the_reach_of_the_model_is_flagged() -> None:
    salt = [3.49, 3.51]
    r = closed(SYSTEM, totals={}, strong={"Na+": salt, "Cl-": salt}, temperature=ROOM)
    assert r.extrapolated.tolist() == [False, True]


def test_system_without_carbonic_acid() -> None:
    r = closed(System(acids=(acid("boric"),)), totals={"boric": 0.1}, strong={}, temperature=ROOM)
    assert not r.dissolved.any()
    assert not r.pressure.any()
    with pytest.raises(UnknownSubstanceError, match="carbonic"):
        capped(System(acids=(acid("boric"),)), totals={}, strong={}, temperature=ROOM, pressure=1.0)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"totals": {"acetic": -0.1}}, "molality of acetic = -0.1 mol/kg"),
        ({"totals": {"acetic": [0.1, np.nan]}}, "molality of acetic = nan"),
        ({"totals": {"acetic": 21.0}}, r"\[0, 20\]"),
        ({"totals": {"carbonic": np.inf}}, "molality of carbonic = inf"),
        ({"strong": {"Na+": -1e-9}}, "molality of Na"),
        ({"temperature": 278.0}, r"temperature = 4.85 degC is outside \[5, 40\]"),
        ({"temperature": 313.2}, "temperature"),
        ({"temperature": 25.0}, "instead of K"),
        ({"temperature": np.nan}, "temperature = nan"),
        ({"strong": {"Na+": 4.1, "Cl-": 4.1}}, "ionic strength = 4.1 mol/kg.*take more water"),
        ({"strong": {"Na+": 1.0}, "totals": {"carbonic": 0.0}}, None),
        ({"pressure": -1.0}, "pressure of CO2 = -1 Pa"),
        ({"pressure": np.inf}, "pressure of CO2 = inf"),
        ({"pressure": np.nan}, "pressure of CO2 = nan"),
    ],
)
def test_what_is_out_of_range_is_refused(change: dict[str, Any], match: str | None) -> None:
    case: dict[str, Any] = {
        "totals": {"acetic": 0.1},
        "strong": {},
        "temperature": ROOM,
        "pressure": 1e5,
        **change,
    }
    if match is None:
        # 1 mol/kg of sodium hydroxide is allowed: it is within the limit of ionic strength
        assert float(capped(SYSTEM, **case).ph) > 13
        return
    with pytest.raises(OutOfRangeError, match=match):
        capped(SYSTEM, **case)


def test_ionic_strength_made_by_the_acids_is_refused_too() -> None:
    """0.8 mol/kg citrate(3-) has I = 4.8 mol/kg, which only the solution itself shows."""
    with pytest.raises(OutOfRangeError, match="ionic strength"):
        closed(
            System(acids=(acid("citric"),), strong_ions=(StrongIon("Na+", 1),)),
            totals={"citric": 0.8},
            strong={"Na+": 2.4},
            temperature=ROOM,
        )


def test_names_that_are_not_in_the_system_are_refused() -> None:
    with pytest.raises(UnknownSubstanceError, match="citric"):
        closed(SYSTEM, totals={"citric": 0.1}, strong={}, temperature=ROOM)
    with pytest.raises(UnknownSubstanceError, match=r"K\+"):
        closed(SYSTEM, totals={}, strong={"K+": 0.1}, temperature=ROOM)
    with pytest.raises(UnknownSubstanceError, match="HCO3"):
        closed(SYSTEM, totals={}, strong={}, temperature=ROOM).of("bicarbonate")


def test_two_substances_of_one_name_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="used before"):
        System(acids=(acid("acetic"), acid("acetic")))


def test_the_range_of_an_acid_holds() -> None:
    own = invented_acid("own", 0, [4.0], low=293.15, high=303.15)
    system = System(acids=(own,))
    closed(system, totals={"own": 0.1}, strong={}, temperature=298.15)
    with pytest.raises(OutOfRangeError, match=r"\[20, 30\]"):
        closed(system, totals={"own": 0.1}, strong={}, temperature=288.15)


def u_of(acid_name: str, metal: str, amount: float) -> float:
    """Return u of pH of a cup of a carbonate with half as much acid again as it needs."""
    charge = 2 if metal.startswith(("Ca", "Mg")) else 1
    cup = System(acids=(acid("carbonic"), acid(acid_name)), strong_ions=(StrongIon(metal, charge),))
    r = capped(
        cup,
        totals={"carbonic": amount, acid_name: 1.5 * amount},
        strong={metal: amount / charge},
        temperature=ROOM,
        pressure=9e4,
    )
    return float(r.u_ph)


def test_u_of_ph_grows_with_what_is_not_known() -> None:
    """With the ionic strength, with ions of many charges, and where calcium binds citrate."""
    thin, thick = u_of("acetic", "Na+", 0.02), u_of("acetic", "Na+", 1.0)
    assert 0.01 < thin < 0.015
    assert 0.03 < thick < 0.05
    assert u_of("citric", "Na+", 1.0) > thick
    assert u_of("acetic", "Ca^2+", 0.3) > 2 * u_of("acetic", "Na+", 0.3)
    assert u_of("citric", "Ca^2+", 0.3) > 0.15


def test_u_of_dissolved_is_nothing_where_no_gas_limits_it() -> None:
    totals: dict[str, Any] = {"carbonic": 0.1, "acetic": [0.0, 0.2]}
    case: dict[str, Any] = {"strong": {"Na+": 0.1}, "temperature": ROOM}
    shut = closed(SYSTEM, totals=totals, **case)
    assert not shut.u_dissolved.any()
    assert (shut.u_ph > 0).all()
    cups = capped(SYSTEM, totals=totals, pressure=9e4, **case)
    assert cups.held_by_gas.tolist() == [False, True]
    assert float(cups.u_dissolved[0]) == 0.0
    assert 0.0 < float(cups.u_dissolved[1]) < 0.02
    water = System(acids=(acid("acetic"),))
    assert (
        float(closed(water, totals={"acetic": 0.1}, strong={}, temperature=ROOM).u_dissolved) == 0
    )
