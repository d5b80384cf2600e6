"""A simulated shop: how well the offset is learned, printed as a table.

Run: python tests/benchmarks/bench_offset.py [number of jobs]

Every job draws a blade whose kerf differs from the allowance, 3 to 6 species that differ from one another, a spread
between slices, a slow drift over the cuts, and a caliper with its own scatter and division. The learner sees the
readings alone. What counts as the truth is the offset at the next cut, drift included.
"""

import sys
import time
from dataclasses import dataclass

import numpy as np

from sheetkit.trade.offset import Observation, learn

INCH = 25.4
RANDOM_STATE = 20240229
READINGS_PER_SPECIES = 5
ALLOWANCE_IN = 0.050


@dataclass
class Shop:
    """What the simulation draws from; inches."""

    name: str
    species_sd: float = 0.0005
    slice_sd: float = 0.0007
    drift_sd: float = 0.000003
    caliper: float = 0.0005
    points: int = 5
    species: tuple[int, int] = (3, 6)
    readings: int = READINGS_PER_SPECIES
    allow_drift: bool = False


SHOPS = [
    Shop("as in the aim: slices 0.0007 apart"),
    Shop("species alike", species_sd=0.0001),
    Shop("species far apart", species_sd=0.002),
    Shop("coarse caliper, one reading a slice", caliper=0.001, points=1),
    Shop("even saw, fine caliper", slice_sd=0.0003, caliper=0.0001, drift_sd=0.000001),
    Shop("long run that drifts, not followed", drift_sd=0.00003, species=(1, 2), readings=40),
    Shop("long run that drifts, followed", drift_sd=0.00003, species=(1, 2), readings=40, allow_drift=True),
]


@dataclass
class Job:
    """One simulated job; inches."""

    observations: list[Observation]
    expected: np.ndarray
    following: np.ndarray
    names: list[str]


def draw(shop: Shop, random: np.random.Generator) -> Job:
    """Saw one job: species after species, as makers do, then one more slice of each."""
    count = int(random.integers(shop.species[0], shop.species[1] + 1))
    offsets = ALLOWANCE_IN - random.uniform(0.035, 0.055) + random.normal(0, shop.species_sd, count)
    settings = random.choice([0.010, 0.020, 0.040, 0.0625], count)
    drift = random.normal(0, shop.drift_sd)
    cuts = count * shop.readings
    middle = (cuts - 1) / 2
    names = [f"wood {place}" for place in range(count)]
    observations = []
    for cut in range(cuts):
        place = cut // shop.readings
        thickness = settings[place] + offsets[place] + drift * (cut - middle) + random.normal(0, shop.slice_sd)
        read = np.round((thickness + random.normal(0, 0.0002, shop.points)) / shop.caliper) * shop.caliper
        observations.append(
            Observation(
                species=names[place],
                set_mm=settings[place] * INCH,
                slice_mm=float(read.mean()) * INCH,
                order=cut,
                name=str(cut),
            )
        )
    expected = offsets + drift * (cuts - middle)
    following = expected + random.normal(0, shop.slice_sd, count) + random.normal(0, 0.0002 / shop.points**0.5, count)
    return Job(observations, expected, following, names)


def run(shop: Shop, jobs: int) -> dict[str, float]:
    """Coverage and errors over many jobs."""
    random = np.random.default_rng(RANDOM_STATE)
    covered, covered_next, errors, raw_errors, overall_errors = [], [], [], [], []
    for _ in range(jobs):
        job = draw(shop, random)
        learned = learn(
            job.observations,
            allowance_mm=ALLOWANCE_IN * INCH,
            caliper_mm=shop.caliper * INCH,
            allow_drift=shop.allow_drift,
        )
        overall = np.mean([one.offset_mm for one in job.observations]) / INCH
        for name, expected, following in zip(job.names, job.expected, job.following, strict=True):
            one = learned.of(name)
            covered.append(one.interval_mm[0] / INCH <= expected <= one.interval_mm[1] / INCH)
            covered_next.append(one.next_mm[0] / INCH <= following <= one.next_mm[1] / INCH)
            errors.append(one.offset_mm / INCH - expected)
            raw_errors.append(one.raw_mean_mm / INCH - expected)
            overall_errors.append(overall - expected)
    rms = [float(np.sqrt(np.mean(np.square(values)))) for values in (errors, raw_errors, overall_errors)]
    return {
        "offset covered": 100 * float(np.mean(covered)),
        "next covered": 100 * float(np.mean(covered_next)),
        "mean error": float(np.mean(np.abs(errors))),
        "learned": rms[0],
        "own mean": rms[1],
        "overall": rms[2],
    }


def main() -> None:
    """Print the table."""
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print(f"{jobs} jobs each, {READINGS_PER_SPECIES} readings a species (long run: 40); inches")
    print(f"Fixed random state {RANDOM_STATE}")
    print("95 % intervals that held: of the offset at the next cut, and of the next slice. Errors of the offset:")
    print(
        f"{'shop':38}{'offset':>8}{'next':>8}{'mean |e|':>11}{'rms learned':>13}{'own mean':>11}{'overall':>11}{'s':>7}"
    )
    for shop in SHOPS:
        start = time.perf_counter()
        row = run(shop, jobs)
        print(
            f"{shop.name:38}{row['offset covered']:7.1f}%{row['next covered']:7.1f}%{row['mean error']:11.6f}"
            f"{row['learned']:13.6f}{row['own mean']:11.6f}{row['overall']:11.6f}{time.perf_counter() - start:7.1f}"
        )


if __name__ == "__main__":
    main()
