"""In which order to saw: the fewest changes of the dial from the first board to the last."""

from collections.abc import Sequence

from sheetkit.trade.exact import picometres


def order_of_settings(advances_mm: Sequence[Sequence[float]]) -> list[list[float]]:
    """Order the settings of each board so that as often as possible a board starts with the setting before it.

    Args:
        advances_mm: the different advances each board needs, board after board in the order to saw them [mm]

    Returns:
        The same advances board by board, in the order to saw them.

    Source: own derivation: a board may take over the last setting of the one before, so the shortest chain over first
    and last settings (dynamic programming, Bellman 1957) has the fewest changes. Otherwise thick before thin.

    >>> order_of_settings([[2.0, 3.0], [2.0, 5.0], [5.0]])
    [[3.0, 2.0], [2.0, 5.0], [5.0]]
    """
    chains: dict[int, tuple[int, list[list[float]]]] = {-1: (0, [])}
    for settings in advances_mm:
        chains = _longer(chains, sorted(settings, reverse=True))
    return min(chains.values(), key=lambda chain: chain[0])[1]


def _longer(
    chains: dict[int, tuple[int, list[list[float]]]], settings: list[float]
) -> dict[int, tuple[int, list[list[float]]]]:
    """Add one board to the best chain for each setting that it may end with."""
    if not settings:
        return {end: (changes, [*chain, []]) for end, (changes, chain) in chains.items()}
    longer: dict[int, tuple[int, list[list[float]]]] = {}
    for end, (changes, chain) in chains.items():
        for order in _orders(end, settings):
            last, kept = picometres(order[-1]), picometres(order[0]) == end
            total = changes + len(order) - kept
            if last not in longer or total < longer[last][0]:
                longer[last] = (total, [*chain, order])
    return longer


def _orders(end: int, settings: list[float]) -> list[list[float]]:
    """One order for each way to start with the setting that stands, if it can, and to end."""
    if len(settings) == 1:
        return [settings]
    first = [each for each in settings if picometres(each) == end]
    rest = [each for each in settings if each not in first]
    orders = []
    for last in rest:
        middle = [each for each in rest if each != last]
        orders.append([*first, *middle, last])
    if not first:
        return orders
    return [*orders, *([*(each for each in settings if each not in first), *first],)]
