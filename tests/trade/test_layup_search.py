"""The search among thousands of spare slices finds what a look at every single exchange finds."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.layup_search import GOOD_STEP, HARDLY, Stack, Table, meet_total


def table_of(chance, slices, kinds):
    """Random slices on a grid as a caliper gives them, so that many are alike."""
    off = chance.integers(-40, 41, slices) * 0.00254
    taper = chance.integers(-10, 11, (2, slices)) * 0.00127
    bad = np.abs(off) + chance.integers(0, 5, slices) * 0.00254
    return Table(off, taper[0], taper[1], chance.integers(0, kinds, slices), bad)


def one_by_one(table, used, spare, leeway):
    """The rule itself, in plain words of Python: of the exchanges with a good gain the one that costs least for it."""
    for _ in range(400):
        total = float(table.off[used].sum())
        now = max(0.0, abs(total) - leeway)
        tried = []
        for place, gone in enumerate(used):
            for at, come in enumerate(spare):
                if table.kind[gone] == table.kind[come]:
                    gain = now - max(abs(total + table.off[come] - table.off[gone]) - leeway, 0.0)
                    tried.append((gain, table.badness[come] - table.badness[gone], place, at))
        most = max((gain for gain, *_ in tried), default=0.0)
        if most <= HARDLY:
            return used, spare
        good = [
            (max(worse, 0.0) / max(gain, HARDLY), gain, place, at)
            for gain, worse, place, at in tried
            if gain >= GOOD_STEP * most
        ]
        least = min(price for price, *_ in good)
        _, _, place, at = max((one for one in good if one[0] <= least + HARDLY), key=lambda one: one[1])
        used[place], spare[at] = spare[at], used[place]
    return used, spare


@given(st.integers(0, 10_000), st.integers(1, 12), st.integers(0, 40), st.integers(1, 3))
def test_the_total_is_met_by_the_same_exchanges(seed, layers, spares, kinds):
    chance = np.random.default_rng(seed)
    table = table_of(chance, layers + spares, kinds)
    places = chance.permutation(layers + spares)
    used, spare = places[:layers].copy(), places[layers:].copy()
    wanted = one_by_one(table, used.tolist(), spare.tolist(), 0.00254)
    stack = Stack(used, np.zeros(layers, dtype=np.int64), np.full(3, 0.00254))
    left = meet_total(table, stack, spare)
    assert (stack.used.tolist(), left.tolist()) == wanted
