"""Far more copies of a panel than slices: only panels that have slices share what they miss with one another."""

from sheetkit.job.results import compute
from sheetkit.trade import layup_share


def test_panels_without_slices_are_not_set_against_one_another(job, monkeypatch):
    """Of 3000 copies of two layers the four slices fill four at most: six pairs in each round, not 4.5 million."""
    pairs, level = [], layup_share._level

    def counted(table, one, other):
        pairs.append((len(one.used), len(other.used)))
        level(table, one, other)

    monkeypatch.setattr(layup_share, "_level", counted)
    job.board("A", "cherry", 9.0).panel("P", copies=3000).layer("cherry", 0.040, plies=2, tolerance=0.002, panel="P")
    for number, reading in enumerate((0.0415, 0.0414, 0.0386, 0.0387), 1):
        job.slice(f"A-{number}", 0.040, reading)
    results = compute(job.inputs())
    laid = [
        panel
        for panel in results.laying.panels
        if panel.lay.layers and any(each.slice_key for each in panel.lay.layers)
    ]
    assert len(results.laying.panels) == 3000
    assert sum(sum(bool(each.slice_key) for each in panel.lay.layers) for panel in laid) == 4
    assert len(pairs) <= layup_share.ROUNDS * 6
    assert all(one and other for one, other in pairs)
