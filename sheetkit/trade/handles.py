"""What a face shows that is cut at an angle through the layers.

One convention everywhere: the *angle to the layers* lies between a face, or the long axis of a piece, and the layers.
At 0 degrees it runs along them, at 90 degrees square through them. A gauge counting from square shows the complement.

Directions: x runs along the grain, y through the stack of layers, z across the width of the slices.
A piece lies with its long axis in the x-y plane at its angle to the layers. At roll 0 its width lies along z, within
the layers, so that its wide face stands at the same angle to them; roll turns it about its own long axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, asin, atan2, cos, degrees, hypot, inf, isclose, radians, sin, sqrt, tan

from sheetkit.trade.wish import Answer

ALONG_THE_LAYERS_DEG = 1e-9
"""A face closer than this to the layers counts as lying along them."""


@dataclass(frozen=True, slots=True)
class BlankAxes:
    """Directions of a piece inside its panel, as unit vectors (along the grain, through the stack, across the slices).

    Attributes:
        long: along the piece's length [1]
        wide: along its width [1]
        thick: along its thickness [1]
    """

    long: tuple[float, float, float]
    wide: tuple[float, float, float]
    thick: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Face:
    """How the layers show on one face of a piece.

    Attributes:
        name: side (length by width), edge (length by thickness) or end (width by thickness)
        angle_deg: angle of the face to the layers, 0 along them, 90 square through them [deg]
        off_square_deg: its complement, what a gauge counting from square shows [deg]
        direction_deg: direction of the stripes, from the face's first edge towards its second, 0 to below 180 [deg]
        factor: visible width of a stripe over the thickness of its layer; infinite along the layers [1]
    """

    name: str
    angle_deg: float
    off_square_deg: float
    direction_deg: float
    factor: float


def complement(angle_deg: float) -> float:
    """Turn an angle to the layers into the angle from square, or back.

    Args:
        angle_deg: either angle, 0 to 90 [deg]

    Source: definition of the complementary angle.

    >>> complement(30.0)
    60.0
    """
    return 90.0 - angle_deg


def angle_for_stripe(thickness_mm: float, stripe_mm: float) -> Answer:
    """Find the angle to the layers, in degrees, that shows a layer at a wished width.

    Args:
        thickness_mm: thickness of the layer, > 0 [mm]
        stripe_mm: the width wished for, > 0 [mm]

    Source: side factor solved for the angle: sin(angle) = t / stripe; no answer below the layer's own thickness.

    >>> round(angle_for_stripe(thickness_mm=1.5, stripe_mm=3.0).demand(), 9)
    30.0
    >>> angle_for_stripe(thickness_mm=1.5, stripe_mm=1.2).sentence()
    'a stripe of 1.200 mm is narrower than the layer itself; cut square through the layers it shows 1.500 mm'
    """
    if stripe_mm < thickness_mm and not isclose(stripe_mm, thickness_mm, rel_tol=1e-12):
        reason = "a stripe of {} is narrower than the layer itself; cut square through the layers it shows {}"
        return Answer(False, 90.0, reason, (stripe_mm, thickness_mm))
    return Answer(True, degrees(asin(min(1.0, thickness_mm / stripe_mm))))


def layer_for_stripe(stripe_mm: float, angle_deg: float) -> float:
    """Find the layer thickness that shows a wished width at an angle.

    Args:
        stripe_mm: the width wished for, > 0 [mm]
        angle_deg: angle of the face to the layers, 0 to 90 [deg]

    Source: side factor solved for the thickness: stripe * sin(angle to the layers).

    >>> round(layer_for_stripe(stripe_mm=3.0, angle_deg=30.0), 12)
    1.5
    """
    return stripe_mm * sin(radians(angle_deg))


def blank_axes(angle_deg: float, roll_deg: float = 0.0) -> BlankAxes:
    """Find the directions of a piece inside its panel.

    Args:
        angle_deg: angle of the long axis to the layers, 0 to 90 [deg]
        roll_deg: turn about the long axis; 0 has the width within the layers [deg]

    Source: rotation about z by the angle, then about the new long axis by the roll.

    >>> blank_axes(angle_deg=0.0).long
    (1.0, 0.0, 0.0)
    """
    along, roll = radians(angle_deg), radians(roll_deg)
    level = (-sin(along), cos(along), 0.0)
    return BlankAxes(
        long=(cos(along), sin(along), 0.0),
        wide=(level[0] * sin(roll), level[1] * sin(roll), cos(roll)),
        thick=(level[0] * cos(roll), level[1] * cos(roll), -sin(roll)),
    )


def faces_of_blank(angle_deg: float, roll_deg: float = 0.0) -> tuple[Face, Face, Face]:
    """Find how the layers show on the side, the edge and the end of a piece.

    Args:
        angle_deg: angle of the long axis to the layers, 0 to 90 [deg]
        roll_deg: turn about the long axis; 0 has the width within the layers [deg]

    Source: a face with unit normal n cuts layers with unit normal m at sin(angle) = |n x m|; stripes run along n x m.

    >>> [(face.name, round(face.angle_deg, 6)) for face in faces_of_blank(angle_deg=30.0)]
    [('side', 30.0), ('edge', 90.0), ('end', 60.0)]
    """
    axes = blank_axes(angle_deg, roll_deg)
    return (
        _face("side", axes.long[1], axes.wide[1], axes.thick[1]),
        _face("edge", axes.long[1], axes.thick[1], axes.wide[1]),
        _face("end", axes.wide[1], axes.thick[1], axes.long[1]),
    )


def reach_through_stack(
    length_mm: float, width_mm: float, thickness_mm: float, angle_deg: float, roll_deg: float = 0.0
) -> float:
    """Find how far a piece reaches through the stack, which is the least stack it can be cut from.

    Args:
        length_mm: length of the piece, >= 0; with one size 0, that of a face [mm]
        width_mm: width of the piece, >= 0 [mm]
        thickness_mm: thickness of the piece, >= 0 [mm]
        angle_deg: angle of the long axis to the layers, 0 to 90 [deg]
        roll_deg: turn about the long axis; 0 has the width within the layers [deg]

    Source: extent of a box along a direction: the sum of its sides, each times |cos| of its angle to the direction.

    >>> round(reach_through_stack(length_mm=100.0, width_mm=30.0, thickness_mm=20.0, angle_deg=30.0), 6)
    67.320508
    """
    axes = blank_axes(angle_deg, roll_deg)
    return abs(axes.long[1]) * length_mm + abs(axes.wide[1]) * width_mm + abs(axes.thick[1]) * thickness_mm


def layers_within(
    layers_mm: Sequence[float], reach_mm: float, glue_mm: float = 0.0, centre_mm: float | None = None
) -> int:
    """Count the layers of which some wood lies within a reach through the stack: the stripes across a face or a piece.

    Args:
        layers_mm: thicknesses of the layers in order, each > 0 [mm]
        reach_mm: how far the face or piece reaches through the stack, > 0 [mm]
        glue_mm: thickness of a glue line, >= 0 [mm]
        centre_mm: where its middle lies, from the first face of the stack; None for the middle of the stack [mm]

    Source: own derivation: a layer from a to b shows when a < end and b > start of the reach.

    >>> layers_within(layers_mm=[1.5] * 40, reach_mm=30.0)
    20
    """
    total = sum(layers_mm) + glue_mm * max(0, len(layers_mm) - 1)
    middle = total / 2 if centre_mm is None else centre_mm
    start, end = middle - reach_mm / 2 + 1e-6, middle + reach_mm / 2 - 1e-6
    seen, at = 0, 0.0
    for thickness in layers_mm:
        seen += at < end and at + thickness > start
        at += thickness + glue_mm
    return seen


def eye_width(radius_mm: float, depth_mm: float) -> float:
    """Find the width of the eye where a round crown cuts through a layer boundary that lies along it.

    Args:
        radius_mm: radius of the crown, > 0 [mm]
        depth_mm: depth of the boundary below the top of the crown, 0 to the diameter [mm]

    Raises:
        ValueError: if the boundary lies above or below the whole round.

    Source: chord of a circle: 2 * sqrt(2 * r * d - d^2).

    >>> eye_width(radius_mm=12.5, depth_mm=2.5)
    15.0
    """
    if not 0.0 <= depth_mm <= 2 * radius_mm:
        raise ValueError(f"a boundary {depth_mm} mm below the crown does not cut a round of radius {radius_mm} mm")
    return 2 * sqrt(2 * radius_mm * depth_mm - depth_mm**2)


def crown_radius(width_mm: float, rise_mm: float) -> float:
    """Find the radius of a crown from its width and its rise in the middle.

    Args:
        width_mm: width of the crowned face, > 0 [mm]
        rise_mm: how far the middle stands above the edges, > 0 [mm]

    Source: sagitta of a circle: (width^2 / 4 + rise^2) / (2 * rise).

    >>> crown_radius(width_mm=24.0, rise_mm=6.0)
    15.0
    """
    return (width_mm**2 / 4 + rise_mm**2) / (2 * rise_mm)


def bookmatch_shift(lost_mm: float, angle_deg: float) -> float:
    """Find how far the stripes of two opened halves miss each other, because of the wood lost between them.

    Args:
        lost_mm: kerf and sanding between the two opened faces, >= 0 [mm]
        angle_deg: angle of the opened faces to the layers, above 0 to 90 [deg]

    Source: trigonometry: a layer leaning at the angle moves lost / tan(angle) along the face; nothing when square.

    >>> round(bookmatch_shift(lost_mm=1.0, angle_deg=45.0), 12)
    1.0
    """
    return lost_mm / tan(radians(angle_deg)) if angle_deg < 90.0 else 0.0


def _face(name: str, first: float, second: float, normal: float) -> Face:
    """A face from the parts of its two edges and its normal that point through the stack."""
    angle_deg = min(90.0, degrees(acos(min(1.0, abs(normal)))))
    direction_deg = degrees(atan2(-first, second)) % 180.0
    return Face(
        name=name,
        angle_deg=angle_deg,
        off_square_deg=complement(angle_deg),
        direction_deg=0.0 if isclose(direction_deg, 180.0, rel_tol=1e-14) else direction_deg,
        factor=1 / hypot(first, second) if hypot(first, second) > radians(ALONG_THE_LAYERS_DEG) else inf,
    )
