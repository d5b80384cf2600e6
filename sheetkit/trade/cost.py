"""Cost and time: board feet, waste, a slice with its kerf, set-up shared out, rejects, and the price from a margin."""

MM3_PER_BOARD_FOOT = 144.0 * 25.4**3
"""A board foot is a foot by a foot by an inch, 144 cubic inches: 0.002359737 m³ (NIST Special Publication 811, 2008,
appendix B.8)."""


def board_feet(length_mm: float, width_mm: float, nominal_mm: float) -> float:
    """Find how many board feet a board is sold as [board feet].

    The thickness is the nominal one, by which it is priced; what it yields is reckoned from the measured one.

    Args:
        length_mm: length, >= 0 [mm]
        width_mm: width, >= 0 [mm]
        nominal_mm: thickness by which it is sold, such as 1.25 in for 5/4, >= 0 [mm]

    Source: NIST Special Publication 811 (2008), appendix B.8: a board foot is 0.002359737 m³, 144 cubic inches.
    That the nominal thickness counts is common practice, no source.

    >>> round(board_feet(length_mm=72 * 25.4, width_mm=7.5 * 25.4, nominal_mm=1.25 * 25.4), 4)
    4.6875
    """
    return length_mm * width_mm * nominal_mm / MM3_PER_BOARD_FOOT


def to_buy(net: float, waste_share: float) -> float:
    """Find how much to buy when a share of what is bought is lost [as net].

    Args:
        net: what must be left, >= 0 [any amount]
        waste_share: share of what is bought that is lost, >= 0 and < 1 [1]

    Raises:
        ValueError: if everything would be lost.

    Source: own derivation: net = bought * (1 - waste), hence divided, not multiplied by 1 + waste.

    >>> to_buy(net=6.0, waste_share=0.25)
    8.0
    """
    return net / _kept(waste_share)


def waste_share(bought: float, net: float) -> float:
    """Find which share of what was bought is not in what was made [1].

    Args:
        bought: what was bought or used up, > 0 [any amount]
        net: what is left of it in the work, >= 0 [as bought]

    Source: own derivation: 1 - net / bought; the converse of `to_buy`.

    >>> waste_share(bought=8.0, net=6.0)
    0.25
    """
    return 1.0 - net / bought


def slice_cost(length_mm: float, width_mm: float, slice_mm: float, kerf_mm: float, per_board_foot: float) -> float:
    """Find what a slice costs with the kerf that frees it [money].

    Args:
        length_mm: length of the board, >= 0 [mm]
        width_mm: width of the board, >= 0 [mm]
        slice_mm: thickness of the slice, >= 0 [mm]
        kerf_mm: wood lost at its cut, >= 0 [mm]
        per_board_foot: price of the wood by measured thickness, >= 0 [money per board foot]

    Source: own derivation: the cut uses up slice + kerf of the board, whatever comes off as slice.

    >>> round(slice_cost(18 * 25.4, 3 * 25.4, slice_mm=0.040 * 25.4, kerf_mm=0.035 * 25.4, per_board_foot=14.0), 3)
    0.394
    """
    return board_feet(length_mm, width_mm, slice_mm + kerf_mm) * per_board_foot


def with_share_of_setup(each: float, setup: float, pieces: int) -> float:
    """Find time or cost of one piece with its share of the set-up [as each].

    Args:
        each: what one piece takes by itself, >= 0 [any amount]
        setup: what setting up takes once, >= 0 [as each]
        pieces: pieces made with that set-up, > 0 [count]

    Raises:
        ValueError: if there is no piece to share it.

    Source: own derivation: each + setup / pieces.

    >>> with_share_of_setup(each=25.0, setup=45.0, pieces=6)
    32.5
    """
    if pieces <= 0:
        raise ValueError(f"a set-up shared by {pieces} pieces; wanted at least 1")
    return each + setup / pieces


def per_good_piece(each: float, lost_share: float) -> float:
    """Find time or cost of a good piece when a share of the attempts is lost [as each].

    Args:
        each: what an attempt takes, good or not, >= 0 [any amount]
        lost_share: share of the attempts that is lost, >= 0 and < 1 [1]

    Raises:
        ValueError: if every attempt is lost.

    Source: own derivation: n attempts give n * (1 - lost) good ones, hence divided by the share kept.

    >>> per_good_piece(each=60.0, lost_share=0.25)
    80.0
    """
    return each / _kept(lost_share)


def cutting_time(length_mm: float, feed_mm_s: float) -> float:
    """Find how long the blade is in the cut [s].

    Args:
        length_mm: length sawn, all passes together, >= 0 [mm]
        feed_mm_s: speed at which the wood goes through the blade, > 0 [mm/s]

    Raises:
        ValueError: if the feed is not greater than zero.

    Source: definition of speed, length over time.

    >>> cutting_time(length_mm=3000.0, feed_mm_s=50.0)
    60.0
    """
    if feed_mm_s <= 0.0:
        raise ValueError(f"a feed of {feed_mm_s} mm/s; wanted more than 0")
    return length_mm / feed_mm_s


def blade_wear(cutting_s: float, life_s: float, price: float) -> float:
    """Find what the work costs in blades [money].

    Args:
        cutting_s: time in the cut, >= 0 [s]
        life_s: time in the cut until a blade is changed, > 0 [s]
        price: price of a blade, >= 0 [money]

    Raises:
        ValueError: if the life is not greater than zero.

    Source: own derivation: the blade's price shared out over its time in the cut.

    >>> blade_wear(cutting_s=1800.0, life_s=7200.0, price=28.0)
    7.0
    """
    if life_s <= 0.0:
        raise ValueError(f"a blade that lasts {life_s} s; wanted more than 0")
    return cutting_s / life_s * price


def price_at_margin(cost: float, margin_share: float) -> float:
    """Find the price of which a share is left after the cost [money].

    Args:
        cost: what the piece costs, >= 0 [money]
        margin_share: share of the price that is left, >= 0 and < 1 [1]

    Raises:
        ValueError: if nothing of the price would go to the cost.

    Source: definition of margin, a share of the price: price = cost / (1 - margin).

    >>> round(price_at_margin(cost=70.0, margin_share=0.30), 2)
    100.0
    """
    return cost / _kept(margin_share)


def mark_up_of_margin(margin_share: float) -> float:
    """Find the mark-up on the cost that gives a margin on the price [1].

    Args:
        margin_share: share of the price that is left, >= 0 and < 1 [1]

    Raises:
        ValueError: if nothing of the price would go to the cost.

    Source: own derivation from both definitions: 1 / (1 - margin) - 1.

    >>> round(mark_up_of_margin(margin_share=0.30), 4)
    0.4286
    """
    return 1.0 / _kept(margin_share) - 1.0


def _kept(lost_share: float) -> float:
    if not 0.0 <= lost_share < 1.0:
        raise ValueError(f"a share of {lost_share:g}; wanted at least 0 and less than 1")
    return 1.0 - lost_share
