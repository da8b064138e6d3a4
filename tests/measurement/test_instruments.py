import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.errors import InputError, OutOfRangeError
from tarebook.core.tables import reference_table
from tarebook.measurement.effects import Shape
from tarebook.measurement.instruments import balance, is_readable, thermometer, volume_instrument
from tarebook.measurement.own_errors import own_u
from tarebook.measurement.volumes import (
    VolumeInstrument,
    VolumeKind,
    line_u,
    shared_u,
)
from tarebook.measurement.weighing import repeatability_with_floor


@pytest.fixture
def cylinder() -> VolumeInstrument:
    return volume_instrument("graduated cylinder", 0.025)


def test_what_the_standard_says_is_filled_in(cylinder: VolumeInstrument) -> None:
    assert cylinder.tolerance == pytest.approx(0.34e-3)
    assert cylinder.graduation == pytest.approx(0.5e-3)
    assert cylinder.finest_reading == pytest.approx(0.05e-3)
    assert cylinder.reading_half_width == pytest.approx(0.05e-3)
    assert cylinder.to_contain
    assert cylinder.tolerance_source.basis == "read"


@pytest.mark.parametrize(
    ("standard", "grade", "tolerance"),
    [("ASTM E1272", "A", 0.5), ("ISO 4788", "B", 1.0), ("older to-deliver", "A", 0.35)],
)
def test_a_standard_is_chosen_by_name(standard: str, grade: str, tolerance: float) -> None:
    cylinder = volume_instrument("graduated cylinder", 0.1, standard=standard, grade=grade)
    assert cylinder.tolerance == pytest.approx(tolerance * 1e-3)


def test_the_graduation_chooses_the_burette() -> None:
    coarse = volume_instrument("burette", 0.025, grade="A")
    fine = volume_instrument("burette", 0.025, grade="A", graduation=0.05e-3)
    assert coarse.graduation == pytest.approx(0.1e-3)
    assert (coarse.tolerance, fine.tolerance) == pytest.approx((0.05e-3, 0.03e-3))
    # two readings, each within a twentieth of a graduation
    assert coarse.reading_u == pytest.approx(0.005e-3 / math.sqrt(3) * math.sqrt(2))


def test_a_declared_figure_wins_and_says_so() -> None:
    flask = volume_instrument("volumetric flask", 0.1, tolerance=0.3e-3)
    assert flask.tolerance == 0.3e-3
    assert flask.tolerance_source.basis == "declared"
    assert flask.repeatability == pytest.approx(0.06e-3)
    odd = volume_instrument("graduated cylinder", 0.06, tolerance=1e-3, graduation=2e-3)
    assert odd.capacity == 0.06
    assert odd.to_contain


def test_a_piston_pipette_has_one_tolerance_for_every_volume() -> None:
    pipette = volume_instrument("piston pipette", 0.001)
    assert (pipette.tolerance, pipette.repeatability) == pytest.approx((8e-6, 3e-6))
    volumes = np.array([0.2e-3, 1e-3])
    total = np.hypot(line_u(pipette, volumes), shared_u(pipette, volumes))
    np.testing.assert_allclose(total, 8e-6 / math.sqrt(6), rtol=1e-12)
    assert pipette.reading_u == 0


def test_a_guide_needs_its_graduation() -> None:
    with pytest.raises(InputError, match="graduation of the 100 mL beaker"):
        volume_instrument("beaker", 0.1)
    assert volume_instrument("beaker", 0.1, graduation=0.01).tolerance == pytest.approx(0.005)


@pytest.mark.parametrize(
    ("kind", "options", "message"),
    [
        ("bucket", {}, "graduated cylinder, transfer pipette"),
        ("burette", {"standard": "ISO 648"}, "ISO 385, ASTM E287"),
        ("beaker", {"standard": "ISO 648"}, "none for this kind"),
        ("transfer pipette", {"grade": "C"}, "allowed: A, B"),
    ],
)
def test_an_unknown_word_lists_the_known_ones(
    kind: str, options: dict[str, str], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        volume_instrument(kind, 0.025, **options)  # type: ignore[arg-type]  # words only


def test_an_unknown_capacity_lists_the_sizes() -> None:
    with pytest.raises(OutOfRangeError, match="the sizes of ASTM E1272: 5, 10, 25, 50") as caught:
        volume_instrument("graduated cylinder", 0.06)
    assert caught.value.value == 60


def test_every_row_of_the_table_can_be_had() -> None:
    for table in reference_table("tarebook.measurement", "glassware")["tables"]:
        for row in table["rows"]:
            for grade, tolerance in row["tolerance_mL"].items():
                made = volume_instrument(
                    table["kind"],
                    row["capacity_mL"] / 1000,
                    standard=table["standard"],
                    grade=grade,
                    graduation=row["graduation_mL"][0] / 1000 if "graduation_mL" in row else None,
                )
                assert made.tolerance == pytest.approx(tolerance / 1000)
                assert 0 < made.tolerance / made.capacity < 0.025
            assert row["tolerance_mL"].get("A", 0) <= row["tolerance_mL"].get("B", 1)


@given(st.floats(0, 1))
def test_scale_and_line_together_are_the_tolerance_everywhere(share: float) -> None:
    cylinder = volume_instrument("graduated cylinder", 0.05)
    volume = np.array([share * 0.05])
    total = np.hypot(line_u(cylinder, volume), shared_u(cylinder, volume))
    np.testing.assert_allclose(total, 0.5e-3 / math.sqrt(6), rtol=1e-12)


def test_above_the_capacity_the_scale_alone_grows(cylinder: VolumeInstrument) -> None:
    volume = np.array([0.05])
    assert line_u(cylinder, volume)[0] == 0
    assert shared_u(cylinder, volume)[0] == pytest.approx(2 * 0.34e-3 / math.sqrt(6))


@pytest.mark.parametrize("volume", [-0.001, math.nan])
def test_a_volume_below_nothing_is_refused(cylinder: VolumeInstrument, volume: float) -> None:
    with pytest.raises(OutOfRangeError, match="volume on the 25 mL graduated cylinder"):
        own_u(cylinder, np.array([0.01, volume]))


@pytest.mark.parametrize("field", ["capacity", "graduation", "tolerance", "repeatability"])
def test_a_negative_figure_is_refused(field: str) -> None:
    figures = {"capacity": 0.025, "graduation": 1e-4, "tolerance": 1e-3, "repeatability": 0.0}
    figures[field] = -1e-3
    capacity = figures.pop("capacity")
    with pytest.raises(OutOfRangeError, match=field):
        volume_instrument("syringe", capacity, **figures)  # type: ignore[arg-type]  # numbers only


def test_kinds_are_plain_words() -> None:
    assert f"{VolumeKind.BURETTE}" == "burette"


@pytest.mark.parametrize(
    ("value", "finest", "readable"),
    [
        (12.35, 0.05, True),
        (0.01235, 0.05e-3, True),
        (12.37, 0.05, False),
        (0.3, 0.1, True),
        (152.3471, 0.0001, True),
        (152.34715, 0.0001, False),
        (-0.02, 0.01, True),
        (1.234567, 0.0, True),
    ],
)
def test_what_can_be_read(value: float, finest: float, readable: bool) -> None:
    assert bool(is_readable(np.array([value]), finest)[0]) is readable


@given(st.integers(0, 10**7), st.sampled_from([0.1, 0.05, 0.01, 0.002, 0.001, 0.0001]))
def test_every_multiple_can_be_read_and_no_half_step(steps: int, finest: float) -> None:
    values = np.array([steps, steps + 0.5]) * finest
    assert is_readable(values, finest).tolist() == [True, False]


@pytest.mark.parametrize(
    ("readability", "difference_u", "least"),
    [(0.1, 0.19, 200.0), (0.01, 0.019, 20.0), (0.001, 0.0019, 2.0), (0.0001, 0.00019, 0.2)],
)
def test_balances_of_the_table(readability: float, difference_u: float, least: float) -> None:
    scale = balance(readability)
    # worked by hand from two roundings, two repeatabilities and one linearity, to two figures
    found = math.hypot(math.sqrt(2) * scale.weighing_u, scale.linearity_u)
    assert found == pytest.approx(difference_u, rel=0.03)
    assert 2000 * repeatability_with_floor(scale) == pytest.approx(least)
    by_hand = 2 * (readability**2 / 12 + readability**2) + (2 * readability) ** 2 / 3
    assert found**2 == pytest.approx(by_hand)


def test_the_least_mass_has_a_floor() -> None:
    steady = balance(0.01, repeatability=0.001, linearity=0.0)
    assert 2000 * repeatability_with_floor(steady) == pytest.approx(820 * 0.01)
    assert steady.source.basis == "declared"
    assert steady.linearity_u == 0


def test_a_balance_of_no_class_needs_its_figures() -> None:
    with pytest.raises(OutOfRangeError, match="Give its repeatability and linearity"):
        balance(0.005, repeatability=0.005)
    assert balance(0.005, repeatability=0.005, linearity=0.01).finest_reading == 0.005
    with pytest.raises(OutOfRangeError, match="capacity"):
        balance(0.01, capacity=0.0)
    with pytest.raises(OutOfRangeError, match="linearity"):
        balance(0.01, linearity=-0.1)


def test_a_thermometer_has_a_rounding_and_a_tolerance() -> None:
    glass = thermometer(0.5, 1.0)
    assert glass.reading_u**2 == pytest.approx(0.5**2 / 12 + 1 / 3)
    assert glass.finest_reading == 0.5
    with pytest.raises(OutOfRangeError, match="tolerance of thermometer"):
        thermometer(0.5, -1.0)


def test_the_shape_of_the_tolerance_can_be_chosen() -> None:
    flat = volume_instrument("transfer pipette", 0.01, tolerance_shape=Shape.RECTANGULAR)
    assert flat.tolerance_u == pytest.approx(0.04e-3 / math.sqrt(3))


def test_the_step_that_cannot_be_is_the_one_that_is_named() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        is_readable(np.array([1.0, 2.0, 3.0]), np.array([0.05, -0.1, 0.5]))
    assert caught.value.value == -0.1
    assert is_readable(np.array([0.0]), 0.0), "nothing is between the steps of no step"
