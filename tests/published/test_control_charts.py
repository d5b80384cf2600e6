"""Control charts and their constants against published figures."""

import math

import pytest

from sheetkit.trade.capability import indices
from sheetkit.trade.chart_constants import chart_constants
from sheetkit.trade.control import individuals

ROWS = """
2   1.12838   0.85250   0.79788   1.87997   2.65868   0   3.26653   0   3.26653   2.65868
3   1.69257   0.88837   0.88623   1.02333   1.95441   0   2.57459   0   2.56817   1.77245
4   2.05875   0.87981   0.92132   0.72860   1.62810   0   2.28205   0   2.26605   1.45719
5   2.32593   0.86408   0.93999   0.57682   1.42730   0   2.11450   0   2.08900   1.28981
6   2.53441   0.84804   0.95153   0.48325   1.28713   0   2.00383   0.03036   1.96964   1.18371
7   2.70436   0.83321   0.95937   0.41928   1.18192   0.07571   1.92429   0.11769   1.88231   1.10932
8   2.84720   0.81983   0.96503   0.37253   1.09910   0.13617   1.86383   0.18509   1.81491   1.05367
9   2.97003   0.80783   0.96931   0.33670   1.03166   0.18401   1.81599   0.23913   1.76087   1.01009
10   3.07751   0.79705   0.97266   0.30826   0.97535   0.22302   1.77698   0.28371   1.71629   0.97482
15   3.47183   0.75621   0.98232   0.22311   0.78854   0.34656   1.65344   0.42820   1.57180   0.86410
20   3.73495   0.72869   0.98693   0.17961   0.67970   0.41470   1.58530   0.51023   1.48977   0.80322
25   3.93063   0.70844   0.98964   0.15265   0.60628   0.45929   1.54071   0.56479   1.43521   0.76324
"""
"""Size, d2, d3, c4, A2, A3, D3, D4, B3, B4, E2: tables after ASTM, recomputed by integration and the gamma function."""

NAMES = ("d2", "d3", "c4", "a2", "a3", "lower_d", "upper_d", "lower_b", "upper_b", "e2")

RINGS = """
74.030 74.002 74.019 73.992 74.008
73.995 73.992 74.001 74.011 74.004
73.988 74.024 74.021 74.005 74.002
74.002 73.996 73.993 74.015 74.009
73.992 74.007 74.015 73.989 74.014
74.009 73.994 73.997 73.985 73.993
73.995 74.006 73.994 74.000 74.005
73.985 74.003 73.993 74.015 73.988
74.008 73.995 74.009 74.005 74.004
73.998 74.000 73.990 74.007 73.995
73.994 73.998 73.994 73.995 73.990
74.004 74.000 74.007 74.000 73.996
73.983 74.002 73.998 73.997 74.012
74.006 73.967 73.994 74.000 73.984
74.012 74.014 73.998 73.999 74.007
74.000 73.984 74.005 73.998 73.996
73.994 74.012 73.986 74.005 74.007
74.006 74.010 74.018 74.003 74.000
73.984 74.002 74.003 74.005 73.997
74.000 74.010 74.013 74.020 74.003
73.988 74.001 74.009 74.005 73.996
74.004 73.999 73.990 74.006 74.009
74.010 73.989 73.990 74.009 74.014
74.015 74.008 73.993 74.000 74.010
73.982 73.984 73.995 74.017 74.013
"""
"""Piston rings, mm: D. C. Montgomery, Introduction to Statistical Quality Control, 2nd edition, pages 206 to 213."""

FLOW = """
1.3235 1.4128 1.6744 1.4573 1.6914
1.4314 1.3592 1.6075 1.4666 1.6109
1.4284 1.4871 1.4932 1.4324 1.5674
1.5028 1.6352 1.3841 1.2831 1.5507
1.5604 1.2735 1.5265 1.4363 1.6441
1.5955 1.5451 1.3574 1.3281 1.4198
1.6274 1.5064 1.8366 1.4177 1.5144
1.4190 1.4303 1.6637 1.6067 1.5519
1.3884 1.7277 1.5355 1.5176 1.3688
1.4039 1.6697 1.5089 1.4627 1.5220
1.4158 1.7667 1.4278 1.5928 1.4181
1.5821 1.3355 1.5777 1.3908 1.7559
1.2856 1.4106 1.4447 1.6398 1.1928
1.4951 1.4036 1.5893 1.6458 1.4969
1.3589 1.2863 1.5996 1.2497 1.5471
1.5747 1.5301 1.5171 1.1839 1.8662
1.3680 1.7269 1.3957 1.5014 1.4449
1.4163 1.3864 1.3057 1.6210 1.5573
1.5796 1.4185 1.6541 1.5116 1.7247
1.7106 1.4412 1.2361 1.3820 1.7601
1.4371 1.5051 1.3485 1.5670 1.4880
1.4738 1.5936 1.6583 1.4973 1.4720
1.5917 1.4333 1.5551 1.5295 1.6866
1.6399 1.5243 1.5705 1.5563 1.5530
1.5797 1.3663 1.6240 1.3732 1.6887
"""
"""Flow width, micrometres: the same book, 6th edition, example 6.1, table 6.1."""


def subgroups(text: str) -> list[list[float]]:
    return [[float(value) for value in line.split()] for line in text.split("\n") if line.strip()]


def chart_of_means(text: str) -> tuple[float, float, float]:
    """Grand mean, mean range and mean standard deviation."""
    rows = subgroups(text)
    means = [sum(row) / len(row) for row in rows]
    ranges = [max(row) - min(row) for row in rows]
    sds = [
        math.sqrt(sum((value - mean) ** 2 for value in row) / (len(row) - 1))
        for row, mean in zip(rows, means, strict=True)
    ]
    return sum(means) / len(means), sum(ranges) / len(ranges), sum(sds) / len(sds)


@pytest.mark.parametrize("row", subgroups(ROWS), ids=lambda row: f"size {row[0]:.0f}")
def test_constants_are_those_of_the_tables(row):
    found = chart_constants(int(row[0]))
    for name, wanted in zip(NAMES, row[1:], strict=True):
        assert getattr(found, name) == pytest.approx(wanted, abs=1e-5), name


def test_d2_and_d3_of_two_have_a_closed_form():
    """Range of two normal values: mean 2 / sqrt(pi), mean square 2; of three: mean 3 / sqrt(pi)."""
    assert chart_constants(2).d2 == pytest.approx(2 / math.sqrt(math.pi), abs=1e-11)
    assert chart_constants(2).d3 == pytest.approx(math.sqrt(2 - 4 / math.pi), abs=1e-10)
    assert chart_constants(3).d2 == pytest.approx(3 / math.sqrt(math.pi), abs=1e-11)


def test_the_printed_constant_2_114_for_five_holds_within_its_last_digit():
    """ASTM and Montgomery print 2.114, NIST 2.115; exact is 2.114499."""
    assert chart_constants(5).upper_d == pytest.approx(2.114, abs=0.001)
    assert chart_constants(5).upper_d == pytest.approx(2.115, abs=0.001)


def test_individuals_chart_of_the_handbook():
    """NIST/SEMATECH e-Handbook 6.3.2.2. Its limits use d2 = 1.128; ours d2 = 1.128379, recomputed."""
    chart = individuals([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    assert chart.mean == pytest.approx(50.81, abs=1e-4)
    assert chart.moving_range == pytest.approx(1.8778, abs=1e-4)
    assert chart.mean + 3 * chart.moving_range / 1.128 == pytest.approx(55.8041, abs=1e-4)
    assert chart.mean - 3 * chart.moving_range / 1.128 == pytest.approx(45.8159, abs=1e-4)
    assert chart.upper == pytest.approx(55.8024, abs=1e-4)
    assert chart.lower == pytest.approx(45.8176, abs=1e-4)
    assert chart.range_upper == pytest.approx(6.1338, abs=2e-4)
    assert chart.sd == pytest.approx(2.03385, abs=1e-5)


def test_means_and_ranges_of_the_piston_rings():
    """Montgomery, as distributed in an open R package (see RINGS)."""
    mean, mean_range, mean_sd = chart_of_means(RINGS)
    five = chart_constants(5)
    assert mean == pytest.approx(74.001176, abs=1e-6)
    assert mean_range == pytest.approx(0.02276, abs=1e-5)
    assert mean_range / five.d2 == pytest.approx(0.0097853, abs=1e-5)
    assert mean - five.a2 * mean_range == pytest.approx(73.98805, abs=1e-5)
    assert mean + five.a2 * mean_range == pytest.approx(74.01430, abs=1e-5)
    assert five.upper_d * mean_range == pytest.approx(0.04812, abs=1e-5)
    assert mean + 2 / 3 * five.a2 * mean_range == pytest.approx(74.00993, abs=1e-5)
    assert mean - 2 / 3 * five.a2 * mean_range == pytest.approx(73.99242, abs=1e-5)
    assert mean_sd == pytest.approx(0.009240, abs=1e-5)
    assert mean - five.a3 * mean_sd == pytest.approx(73.98799, abs=1e-5)
    assert mean + five.a3 * mean_sd == pytest.approx(74.01436, abs=1e-5)
    assert five.upper_b * mean_sd == pytest.approx(0.019302, abs=1e-5)


def test_capability_of_the_piston_rings():
    """Limits 73.95 and 74.05; the same source gives 1.70 and 1.66."""
    mean, mean_range, _ = chart_of_means(RINGS)
    values = [value for row in subgroups(RINGS) for value in row]
    sd = math.sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))
    short, long = (indices(mean, one, 73.95, 74.05) for one in (mean_range / chart_constants(5).d2, sd))
    assert (short.spread, short.worst) == (pytest.approx(1.7033, abs=1e-3), pytest.approx(1.6632, abs=1e-3))
    assert (long.spread, long.worst) == (pytest.approx(1.6551, abs=1e-3), pytest.approx(1.6162, abs=1e-3))


def test_means_and_ranges_of_the_flow_widths():
    """Montgomery, example 6.1, whose limits use A2 = 0.577 and D4 = 2.114."""
    mean, mean_range, mean_sd = chart_of_means(FLOW)
    five = chart_constants(5)
    assert mean == pytest.approx(1.505610, abs=1e-4)
    assert mean_range == pytest.approx(0.325208, abs=1e-4)
    assert mean + five.a2 * mean_range == pytest.approx(1.69326, abs=1e-4)
    assert mean - five.a2 * mean_range == pytest.approx(1.31797, abs=1e-4)
    assert 2.114 * mean_range == pytest.approx(0.68749, abs=1e-4)
    assert mean_range / five.d2 == pytest.approx(0.13982, abs=1e-4)
    assert indices(mean, mean_range / five.d2, 1.0, 2.0).spread == pytest.approx(1.192, abs=1e-3)
    assert mean_sd == pytest.approx(0.131555, abs=1e-4)
    assert five.upper_b * mean_sd == pytest.approx(0.27482, abs=1e-4)
