"""What is said of stock that runs short, and of pieces that cannot be made, word for word.

Each case builds a job; its figures are worked by hand beside it. Lengths in inches.
"""

import pytest

from sheetkit.job.results import compute

INCH = 25.4


def said(job):
    return [str(problem) for problem in compute(job.inputs()).problems]


def one_layer(job):
    job.board("A", "cherry", 2.0).panel("P", thickness_mm=0.25 * INCH, tolerance_mm=0.01 * INCH)
    job.layer("cherry", 0.05, panel="P")


def no_board_of_the_wood(job):
    """2 slices of 0.050 with 0.050 for the kerf, and 0.250 held."""
    job.board("A", "cherry", 2.0).layer("wenge", 0.05, plies=2)


def all_boards_too_short(job):
    job.board("A", "cherry", 2.0, length=10.0).panel("P", length=24.0).layer("cherry", 0.05, panel="P")


def too_thin_by_three(job):
    """0.4 less 0.25 held is room for one slice; three more take 0.3 and 0.25."""
    job.board("A", "cherry", 0.4).layer("cherry", 0.05, plies=4)


def two_layers_a_slice(job):
    """24 are twice 11; one slice gives 2 of 9, four more slices the other 7: 0.4 and 0.25 held."""
    job.board("A", "cherry", 0.4, length=24.0, width=4.0).panel("P", length=11.0, width=4.0)
    job.layer("cherry", 0.05, plies=9, panel="P")


STOCK = [
    (
        one_layer,
        "Panels!A3: found panel P, whose 1 layer comes to 0.0500 in as it stands, wanted 0.2500 in, within 0.0100 in. "
        "To fix: change Repeats or Plies, the layers, or the thickness wanted; Lay-up says what would come closest.",
    ),
    (
        no_board_of_the_wood,
        "Targets!A3: found stock for 0 of the 2 wenge layers of 0.0500 in still to be sawn for panel Panel, spares "
        "included, wanted stock for 2 more. To fix: Stock has no wenge that may be used; put a board at least 0.450 in "
        "thick there, or thinner if each slice gives several layers.",
    ),
    (
        all_boards_too_short,
        "Targets!A3: found stock for 0 of the 1 cherry layer of 0.0500 in still to be sawn for panel P, spares "
        "included, wanted stock for 1 more. To fix: put cherry boards on Stock that are long and wide enough for the "
        "rough size of panel P, or make the panel smaller.",
    ),
    (
        too_thin_by_three,
        "Targets!A3: found stock for 1 of the 4 cherry layers of 0.0500 in still to be sawn for panel Panel, spares "
        "included, wanted stock for 3 more. To fix: buy one more cherry board at least 0.550 in thick, or 3 more "
        "boards like A.",
    ),
    (
        two_layers_a_slice,
        "Targets!A3: found stock for 2 of the 9 cherry layers of 0.0500 in still to be sawn for panel P, spares "
        "included, wanted stock for 7 more. To fix: buy one more cherry board at least 0.650 in thick, long and wide "
        "enough that each slice gives 2 layers, or 4 more boards like A.",
    ),
]


def panel(job, length=24.0, width=2.0, pairs=46):
    """Layers of 1/16 in, glue lines of 0.003: 92 layers make 6.023, 8 make 0.521, 2 make 0.128."""
    job.panel("P", length=length, width=width, repeats=pairs)
    return job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")


def stripe_beyond_the_tilt(job):
    """Along the layers 0.0625 / cos 60 deg = 0.125; the side stands at acos(cos 20 deg cos 30 deg) to the layers, and
    0.3 times the sine of that is 0.1743."""
    panel(job).handle("Grip", 4.0, 1.0, 0.75, angle=20.0, tilt=30.0, stripe=0.3)


def no_height_fits(job):
    """5 sin 60 deg + 0.75 cos 60 deg = 4.705; 0.75 cos 60 deg alone is 0.375."""
    panel(job, pairs=1).handle("Grip", 5.0, 1.0, 0.75, angle=60.0)


def no_panel_at_all(job):
    job.handle("Lost", 4.0, 1.0, 0.5)


def slide_beyond_the_strips(job):
    """6.023 / sin 80 deg = 6.116 long; cot 80 deg + 8 = 8.176 lost; 6.023 / cos 80 deg = 34.685."""
    panel(job).step("Zigzag", 1.0, angle=80.0, panel="P", slide=8.0)


def flattened_away(job):
    panel(job).step("Zigzag", 1.0, angle=45.0, panel="P", flatten=3.0)


def too_flat_a_cut(job):
    """6.023 cot 20 deg = 16.548."""
    panel(job, length=1.0).step("Zigzag", 1.0, angle=20.0, panel="P")


HANDLES = [
    (
        stripe_beyond_the_tilt,
        "Handles!A3: found a stripe of 0.3000 in is wider than this tilt allows; along the layers it shows 0.1250 in, "
        "wanted a width that the thickest layer can show. To fix: wish for 0.1250 in, or make the thickest layer "
        "0.1743 in.",
    ),
    (
        no_height_fits,
        "Handles!A3: found the blank reaches 4.705 in through a stack of 0.128 in; at this angle none of its height "
        "fits (layers as planned), wanted a blank that fits into panel P. To fix: shorten the piece, lay it flatter to "
        "the layers, or add layers.",
    ),
    (
        no_panel_at_all,
        "Handles!A3: found Lost with no panel named, wanted one of the panels that Targets describes (none has layers "
        "yet). To fix: name the panel that the piece is cut from.",
    ),
    (
        slide_beyond_the_strips,
        "Steps!A3: found trimming the slanted ends and the slide takes 8.176 in off strips 6.116 in long; without a "
        "slide strips below 34.685 in work, wanted a round that gives a board for Zigzag. To fix: saw narrower strips "
        "or a steeper cut, or start from a larger panel.",
    ),
    (
        flattened_away,
        "Steps!A3: found flattening takes 3.000 in off a board of 2.000 in, wanted a round that gives a board for "
        "Zigzag. To fix: saw narrower strips or a steeper cut, or start from a larger panel.",
    ),
    (
        too_flat_a_cut,
        "Steps!A3: found at this angle no whole strip comes out of the board; it must be longer than 16.548 in, wanted "
        "a round that gives a board for Zigzag. To fix: saw narrower strips or a steeper cut, or start from a larger "
        "panel.",
    ),
]


def ash(job, length=12.0, plies=90, width=0.75):
    """Boards of 0.75, kerfs of 0.035, no glue."""
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 0.0}
    job.panel("P", length=length, width=width).layer("white ash", 0.0625, plies=plies, panel="P")
    return job


def joints_that_miss(job):
    """A board grows by 0.75 * 0.1 / 6 = 0.0125, and the kerf is a hair over 0.035: 0.0225 apart. 8 boards, 7 joints.
    0.25 + 0.035 of 0.75 is the sine of 22.3 deg."""
    ash(job).bowl("Pail", 9.0, foot=8.8, wall=0.25, height=6.0)


def one_joint_that_misses(job):
    """A board grows by 0.75 * 0.05 / 1.5 = 0.025: 0.010 apart. 0.05 + 0.035 of 0.75 is the sine of 6.5 deg."""
    ash(job).bowl("Pail", 9.0, foot=8.9, wall=0.05, height=1.5)


def wall_beyond_the_board(job):
    """0.75 sin(atan 1) - 0.035 = 0.495 is left where 3 in high lean 3 in out; 0.8 is more than 0.75 - 0.035."""
    ash(job).bowl("Thick", 9.0, foot=3.0, wall=0.8, height=3.0)


def upright_and_tall(job):
    """At the rim an arc of 0.01 over 20 leans in by 4 * 0.01 / 20, nearly 0.0015 a board, beside the kerf of 0.035.
    27 boards in turn are not searched for. 0.2 + 0.035 of 0.75 is the sine of 18.3 deg."""
    ash(job).bowl("Tub", 9.0, foot=9.0, wall=0.2, height=20.0, profile="arc", bulge=0.01)


def ring_beyond_the_pattern(job):
    """7 strips of 1 in from 8; 60 layers are 3.75, so three panels are as wide as 9."""
    ash(job, length=8.0, plies=60).bowl("Dish", 9.0, foot=3.0, wall=0.3, rings=3).step("Dish", 1.0, panel="P")


def ring_beyond_a_wide_pattern(job):
    """7 strips of 1 in from 8; 160 layers are 10."""
    ash(job, length=8.0, plies=160).bowl("Dish", 9.0, foot=3.0, wall=0.3, rings=3).step("Dish", 1.0, panel="P")


def without_a_thickness(job):
    ash(job, width=None).bowl("Pail", 9.0, foot=6.0, wall=0.25)


def too_many_rings(job):
    """2000 / 0.75 = 2667."""
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25, height=2000.0)


def too_full_a_bulge(job):
    """The chord of 1.5 over 3 leans 26.57 deg and is 3.354 long; an arc level at its end turns 63.43 deg from it, and
    rises 3.354 / 2 * tan(63.43 deg / 2) = 1.036."""
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25, height=3.0, profile="arc", bulge=3.0)


def floor_to_the_rim(job):
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25, height=0.75, floor=0.75)


def one_point(job):
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25).point("Pail", 0.0, 3.0)


def no_ring_between(job):
    """(0.3 + 0.035) / 0.75 is the sine of 26.53 deg, whose tangent is 0.4992; two boards are 1.5: 0.749."""
    ash(job).bowl("Pail", 9.0, foot=8.9, wall=0.3)


BOWLS = [
    (
        joints_that_miss,
        "Bowls!A3: found a bowl of which 7 joints do not close; below ring 3 the pieces miss by 0.023 in, wanted rings "
        "that keep the wall; with this board and wall the side must lean at least 22.3° from upright. To fix: take "
        "rings from 8 boards in turn (Boards in turn), or leave Height and Rings empty for the tallest straight bowl "
        "that keeps the wall.",
    ),
    (
        one_joint_that_misses,
        "Bowls!A3: found a bowl of which 1 joint does not close; below ring 1 the pieces miss by 0.010 in, wanted "
        "rings that keep the wall; with this board and wall the side must lean at least 6.5° from upright. To fix: "
        "take rings from 2 boards in turn (Boards in turn), or leave Height and Rings empty for the tallest straight "
        "bowl that keeps the wall.",
    ),
    (
        wall_beyond_the_board,
        "Bowls!A3: found a wall of 0.800 in of which 0.495 in is left at the thinnest place, wanted rings that keep "
        "the wall; with this board and wall the side must lean more than it can from upright. To fix: take rings from "
        "2 boards in turn (Boards in turn), or ask for a wall of 0.495 in, or leave Height and Rings empty for the "
        "tallest straight bowl that keeps the wall.",
    ),
    (
        upright_and_tall,
        "Bowls!A3: found a bowl of which 26 joints do not close; below ring 26 the pieces miss by 0.036 in, wanted "
        "rings that keep the wall; with this board and wall the side must lean at least 18.3° from upright. To fix: "
        "make the side flatter, the wall thinner or the board thicker.",
    ),
    (
        ring_beyond_the_pattern,
        "Bowls!A3: found a board of 7.000 in x 3.750 in after the rounds of Steps, wanted a board for the largest ring "
        "of Dish, 9.000 in across. To fix: start from a longer or thicker panel; 3 side by side are as wide as the "
        "ring, or a rim of at most 3.750 in.",
    ),
    (
        ring_beyond_a_wide_pattern,
        "Bowls!A3: found a board of 7.000 in x 10.000 in after the rounds of Steps, wanted a board for the largest "
        "ring of Dish, 9.000 in across. To fix: start from a longer or thicker panel, or a rim of at most 7.000 in.",
    ),
    (
        without_a_thickness,
        "Bowls!A3: found no thickness of the board for Pail, wanted a bowl Pail that can be made. To fix: type it "
        "here, or give the panel its Width on Panels.",
    ),
    (
        too_many_rings,
        "Bowls!A3: found a stack of about 2667 rings, wanted a bowl Pail that can be made. To fix: take thicker "
        "boards, or a height of 240 boards at the most.",
    ),
    (
        too_full_a_bulge,
        "Bowls!A3: found with a bulge of 3.000 in the side would run level or turn back; it must stay below 1.036 in, "
        "wanted a bowl Pail that can be made. To fix: ask for a smaller bulge, or a taller bowl.",
    ),
    (
        floor_to_the_rim,
        "Bowls!A3: found a wall of 0.250 in over a floor of 0.750 in leaves no hollow in a bowl 0.750 in high, wanted "
        "a bowl Pail that can be made. To fix: ask for a thinner wall or floor, or a larger bowl.",
    ),
    (
        one_point,
        "Bowls!A3: found a profile needs two points or more, each with a radius above 0, wanted a bowl Pail that can "
        "be made. To fix: on Profiles, give at least two points, the first at height 0, and each height once.",
    ),
    (
        no_ring_between,
        "Bowls!A3: found with a wall of 0.300 in not one ring fits between foot and rim; their radii must differ by "
        "0.749 in or more, wanted a bowl Pail that can be made. To fix: ask for a thinner wall, take rings from more "
        "boards in turn, or give a Height or Rings of your own.",
    ),
]


@pytest.mark.parametrize(
    ("build", "message"), [*STOCK, *HANDLES, *BOWLS], ids=lambda case: getattr(case, "__name__", "said")
)
def test_what_is_said(job, build, message):
    build(job)
    assert message in said(job)
