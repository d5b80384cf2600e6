"""What the shop's own record says."""

from sheetkit.trade.record import thinnest_kept


def test_the_thinnest_kept_slice_is_the_evidence():
    """Case P10: the saw's own record; the torn one does not count."""
    assert thinnest_kept([(0.5, True), (0.2, False), (0.3, True)]) == 0.3
    assert thinnest_kept([(0.2, False)]) is None
