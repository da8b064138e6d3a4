"""Grubbs' and Dixon's tests against printed critical values and a worked example."""

from __future__ import annotations

import numpy as np
import pytest

from tarebook.diagnosis.outliers import dixon, dixon_critical, grubbs, grubbs_critical

PENNIES = np.array([3.067, 3.049, 3.039, 2.514, 3.048, 3.079, 3.094, 3.109, 3.102])
"""Masses of nine pennies in g; the fourth is the suspect."""

GRUBBS_N = (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30)
GRUBBS = {
    (0.05, False): (
        1.1531, 1.4625, 1.6714, 1.8221, 1.9381, 2.0317, 2.1096, 2.1761, 2.2850, 2.4090, 2.5566,
        2.6629, 2.7451,
    ),
    (0.05, True): (
        1.1543, 1.4813, 1.7150, 1.8871, 2.0200, 2.1266, 2.2150, 2.2900, 2.4116, 2.5483, 2.7082,
        2.8217, 2.9085,
    ),
    (0.01, True): (
        1.1547, 1.4963, 1.7637, 1.9728, 2.1391, 2.2744, 2.3868, 2.4821, 2.6357, 2.8061, 3.0008,
        3.1353, 3.2361,
    ),
}  # fmt: skip

DIXON_N = (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15, 20, 25, 30)
DIXON = {
    0.05: (
        0.970, 0.829, 0.710, 0.625, 0.568, 0.526, 0.493, 0.466, 0.444, 0.426, 0.384, 0.342, 0.317,
        0.298,
    ),
    0.10: (
        0.941, 0.765, 0.642, 0.560, 0.507, 0.468, 0.437, 0.412, 0.392, 0.376, 0.338, 0.300, 0.277,
        0.260,
    ),
}  # fmt: skip


@pytest.mark.published(
    "D. T. Harvey, Modern Analytical Chemistry (2000), Example 4.22, p. 94: Q = 0.882; basis: read"
)
def test_dixon_of_the_pennies() -> None:
    found = dixon(PENNIES)
    assert found.index == 3
    assert found.is_outlier
    np.testing.assert_allclose(found.statistic, 0.882, rtol=0, atol=0.000_5)


@pytest.mark.published(
    "D. T. Harvey, Modern Analytical Chemistry, later edition, the same pennies: G = 2.64 against "
    "2.215; basis: memory"
)
def test_grubbs_of_the_pennies() -> None:
    found = grubbs(PENNIES)
    assert found.index == 3
    assert found.is_outlier
    np.testing.assert_allclose(found.statistic, 2.64, rtol=0, atol=0.005)
    np.testing.assert_allclose(found.critical, 2.215, rtol=0, atol=0.000_5)


@pytest.mark.published(
    "NIST/SEMATECH e-Handbook 1.3.5.17.1, eight measurements of a uranium isotope after Tietjen "
    "and Moore (1972): G = 2.468765; basis: data and 2.4687 secondary (public test files that cite "
    "the page), the last digits memory"
)
def test_grubbs_of_the_isotope() -> None:
    isotope = np.array([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    found = grubbs(isotope)
    assert found.index == 7
    assert found.is_outlier
    np.testing.assert_allclose(found.statistic, 2.468_765, rtol=0, atol=0.000_000_5)


@pytest.mark.published(
    "NIST/SEMATECH e-Handbook 1.3.5.17.1 and NIST Dataplot GRUBB.DP: formula of the critical "
    "values; anchor n = 8 one-sided 2.032; basis: read (the formula)"
)
def test_critical_values_of_grubbs() -> None:
    for (alpha, two_sided), printed in GRUBBS.items():
        found = [grubbs_critical(n, alpha, two_sided=two_sided) for n in GRUBBS_N]
        # Half of the last digit, and a hair: n = 4 at 1 % is 1.49625, a tie.
        np.testing.assert_allclose(found, printed, rtol=0, atol=0.000_050_1)
    np.testing.assert_allclose(grubbs_critical(8, two_sided=False), 2.032, rtol=0, atol=0.000_5)
    # Also noted with the formula: 3.013 for n = 38, two-sided. The formula itself gives 3.0141;
    # where 3.013 was printed was not seen, so it is told here and held against nothing.
    assert 3.013 < grubbs_critical(38) < 3.015


@pytest.mark.published(
    "table after Dixon 1951 / D. B. Rorabacher, Anal. Chem. 63 (1991) 139, as the R package "
    "outliers carries it: r10, two-tailed; basis: secondary"
)
def test_critical_values_of_dixon() -> None:
    """Ours are integrated from the distribution; the printed ones go back to 1951.

    They differ by up to 0.0025 (n = 6), more than half a unit of the last digit, hence the wider
    tolerance. Drawn samples side with ours: two million of nine gave 0.4919 where we have 0.4922
    and the table 0.493. Mixing up the columns of one and two tails would make 0.056 (n = 9).
    """
    for alpha, printed in DIXON.items():
        found = [dixon_critical(n, alpha) for n in DIXON_N]
        np.testing.assert_allclose(found, printed, rtol=0, atol=0.003)


def test_critical_values_of_dixon_against_drawn_samples() -> None:
    rng = np.random.Generator(np.random.SFC64(4))
    for n in (4, 6, 9):
        ranked = np.sort(rng.standard_normal((200_000, n)), axis=1)
        gaps = np.maximum(ranked[:, -1] - ranked[:, -2], ranked[:, 1] - ranked[:, 0])
        beyond = np.mean(gaps / (ranked[:, -1] - ranked[:, 0]) > dixon_critical(n))
        # 200000 draws: 0.0005 is one standard deviation of a share of 0.05.
        np.testing.assert_allclose(beyond, 0.05, rtol=0, atol=0.002)
