"""Normal tolerance factors against published figures; exact and approximate factors differ in the third digit."""

import importlib
import warnings

import pytest

from sheetkit.trade.tolerance_interval import (
    two_sided_approximate,
    two_sided_factor,
)

ISO = [
    (5, 0.95, 0.95, 5.0769), (10, 0.95, 0.95, 3.3935), (26, 0.95, 0.95, 2.6188), (90, 0.95, 0.95, 2.2519),
    (200, 0.95, 0.95, 2.1430), (1000, 0.95, 0.95, 2.0362), (9, 0.99, 0.95, 4.6329), (17, 0.99, 0.95, 3.7606),
    (35, 0.99, 0.95, 3.2762), (8, 0.90, 0.90, 2.7542), (16, 0.90, 0.90, 2.2537), (30, 0.95, 0.90, 2.4166),
    (8, 0.90, 0.95, 3.1561), (16, 0.90, 0.95, 2.4486),
]  # fmt: skip
"""Readings, share, confidence, factor: ISO 16269-6:2014, annex F, rounded up at the fourth decimal."""


@pytest.mark.parametrize(("count", "share", "confidence", "factor"), ISO)
def test_exact_two_sided_factor_of_the_standard(count, share, confidence, factor):
    assert two_sided_factor(count, share, confidence) == pytest.approx(factor, abs=2e-4)


@pytest.mark.parametrize("count", [2, 3, 7, 60, 5000])
def test_exact_two_sided_factor_against_an_independent_library(count):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)  # the library leaves a file of its own open
        library = importlib.import_module("toleranceinterval.twoside._normal_exact")
    assert two_sided_factor(count, 0.95, 0.9) == pytest.approx(library.tolerance_factor(count, 0.95, 0.9, 1), rel=1e-7)


def test_the_handbooks_two_sided_example():
    """NIST/SEMATECH e-Handbook 7.2.6.3: 43 wafers, mean 97.07, s 0.0268, 90 % at 99 %: factor 2.217."""
    factor = two_sided_approximate(43, 0.90, 0.99)
    assert factor == pytest.approx(2.217, abs=5e-4)
    assert 97.07 - factor * 0.0268 == pytest.approx(97.01058, abs=1e-5)
    assert 97.07 + factor * 0.0268 == pytest.approx(97.12942, abs=1e-5)
    assert two_sided_factor(43, 0.90, 0.99) == pytest.approx(2.22283, abs=1e-5)


def test_approximate_and_exact_factor_differ_in_the_second_decimal_for_ten():
    """Recomputed: approximate 3.3819, exact 3.3934; older tables print 3.379."""
    assert two_sided_approximate(10, 0.95, 0.95) == pytest.approx(3.3819, abs=1e-4)
    assert two_sided_factor(10, 0.95, 0.95) == pytest.approx(3.3934, abs=1e-4)
