"""Findings of the engine word for word: where, what was found, what was wanted, how to mend it.

Each case builds a job; its figures are worked by hand beside it.
"""

import pytest

from sheetkit.job.results import compute

INCH = 25.4
PSI, LBF = 6.894757293168361, 4.4482216152605


def said(job):
    return [str(problem) for problem in compute(job.inputs()).problems]


def too_short(job):
    """23.5 in of 24."""
    job.board("A", "cherry", 2.0, length=23.5, width=3.0).panel("P", length=24.0, width=2.0)
    job.layer("cherry", 0.05, panel="P")


def too_narrow(job):
    job.board("A", "cherry", 2.0, length=30.0, width=1.5).panel("P", length=24.0, width=2.0)
    job.layer("cherry", 0.05, panel="P")


def off_thickness(job):
    """4 layers of 0.05 and 3 glue lines of 0.003 are 0.209."""
    job.board("A", "cherry", 2.0).panel("P", thickness_mm=0.25 * INCH, tolerance_mm=0.01 * INCH)
    job.layer("cherry", 0.05, plies=4, panel="P")


def thinner_than_worth_keeping(job):
    job.board("A", "cherry", 2.0).layer("cherry", 0.006)


def apart(job):
    """Six slices 0.001 or 0.002 over the setting, one 0.032 over: 0.030 over the middle one of the seven, 0.002."""
    job.board("A", "cherry", 3.0).layer("cherry", 0.040, plies=9)
    for number, reading in enumerate((0.041, 0.042, 0.041, 0.042, 0.041, 0.042, 0.072), 1):
        job.slice(f"A-{number}", 0.040, reading)


def overspent(job):
    """10 passes of 0.042 + 0.050 = 0.920, of 1.0 less 0.25 held."""
    job.board("A", "cherry", 1.0).layer("cherry", 0.042, plies=20)
    for number in range(1, 11):
        job.slice(f"A-{number}", 0.042, 0.042)


def neither_setting_nor_reading(job):
    job.board("A", "cherry", 3.0).layer("cherry", 0.042, plies=20)
    job.slice("A-1", 0.042, 0.042).slice("A-2", None)


def of_a_wood_not_asked_for(job):
    job.board("A", "cherry", 3.0).board("W", "wenge", 3.0).layer("cherry", 0.042)
    job.slice("W-1", 0.042, 0.042)


def thickness_now_of_no_use(job):
    job.board("A", "cherry", 3.0, now_mm=2.8 * INCH).layer("cherry", 0.042, plies=4)
    job.slice("A-1", 0.042, 0.042).slice("A-2", 0.042)


def lost_more(job, truing=0.0):
    """Ten cuts of 0.042 + 0.050 are 0.920; from 3.0, less the truing pass, to 2.060 less the same: 0.020 more."""
    job.shop["truing_mm"] = truing * INCH
    job.board("A", "cherry", 3.0, now_mm=(2.060 - truing) * INCH).layer("cherry", 0.042, plies=20)
    for number in range(1, 11):
        job.slice(f"A-{number}", 0.042, 0.042)


def lost_more_after_truing(job):
    lost_more(job, truing=0.030)


def no_repeat(job):
    job.board("A", "cherry", 3.0).layer("cherry", 0.042, plies=4).slice("A-1", 0.042, 0.042)
    job.repeat("A-1", 0.0421, person="Ada").repeat("A-1", 0.0422, person="Ben")


RECORD = [
    (
        too_short,
        "Stock!A3: found board A, 23.500 in long, wanted at least 24.000 in, the rough size of the smallest panel of "
        "its wood. To fix: it is short by 0.500 in, so no slice is planned from it; allow less trim on Job, or keep it "
        "for another job.",
    ),
    (
        too_narrow,
        "Stock!A3: found board A, 1.500 in wide, wanted at least 2.000 in, the rough size of the smallest panel of "
        "its wood. To fix: it is short by 0.500 in, so no slice is planned from it; allow less trim on Job, or keep it "
        "for another job.",
    ),
    (
        off_thickness,
        "Panels!A3: found panel P, whose 4 layers and glue lines come to 0.2090 in as it stands, wanted 0.2500 in, "
        "within 0.0100 in. To fix: change Repeats or Plies, the layers, or the thickness wanted; Lay-up says what "
        "would come closest.",
    ),
    (
        thinner_than_worth_keeping,
        "Targets!A3: found a slice of 0.0060 in, wanted at least 0.0080 in, the thinnest slice worth keeping. To fix: "
        "ask for a thicker layer, or change Thinnest slice on Shop if your saw has shown that it can.",
    ),
    (
        apart,
        "Measurements!A9: found slice A-7, which came off 0.0300 in over the other cherry slices for what was set, "
        "wanted readings that agree with one another. To fix: look at the setting and the readings; the slice is "
        "judged as it stands, but left out of the offset.",
    ),
    (
        overspent,
        "Stock!A3: found board A, whose 10 slices used up 0.920 in, wanted no more than 0.750 in, what truing and "
        "holding leave. To fix: give the thickness before the first pass, or correct Board or Set thickness on "
        "Measurements.",
    ),
    (
        neither_setting_nor_reading,
        "Measurements!A4: found slice A-2 with neither a setting nor a reading, wanted what was set, or one reading. "
        "To fix: type either; until then it counts like the thickest setting used on its board.",
    ),
    (
        of_a_wood_not_asked_for,
        "Measurements!A3: found slice W-1 of wenge, wanted a wood that Targets asks for. To fix: add a layer of wenge "
        "to Targets, or leave the slice as a spare.",
    ),
    (
        thickness_now_of_no_use,
        "Stock!A3: found a thickness now of board A, which cannot be used: 1 of its slices lacks a setting or a "
        "reading, wanted a row on Measurements for every slice sawn from it, with its setting and a reading. To fix: "
        "add what is missing, or empty the cell.",
    ),
    (
        lost_more,
        "Stock!A3: found board A, which lost 0.0200 in more over 10 cuts than the dial was turned, wanted a board that "
        "loses what was dialled. To fix: measure it again; see whether a truing pass took something as well, whether "
        "slices are missing from Measurements, and whether the fence follows the dial.",
    ),
    (
        lost_more_after_truing,
        "Stock!A3: found board A, which lost 0.0200 in more over 10 cuts than the dial was turned, wanted a board that "
        "loses what was dialled. To fix: measure it again; see whether the truing pass took 0.0300 in, whether slices "
        "are missing from Measurements, and whether the fence follows the dial.",
    ),
    (
        no_repeat,
        "Repeats!A3: found 2 repeat readings, none of them a repeat, wanted a slice that was read twice by the same "
        "person with the same tool. To fix: read each slice again at its marked place, and type every reading.",
    ),
]


def glued(job, *woods, panel=None, **shop):
    job.shop.update(shop)
    job.panel("P", 12, 3, **(panel or {}))
    for number, (wood, more) in enumerate(woods):
        job.board(f"B{number}", wood, 4, 20, 4, **more).layer(wood, 0.05, plies=2)


def too_wet(job):
    glued(job, ("sugar maple", {"moisture_pct": 11.5}), ("black walnut", {"moisture_pct": 13.0}))


def too_dry(job):
    glued(job, ("sugar maple", {"moisture_pct": 3.0}))


def too_different(job):
    glued(job, ("sugar maple", {"moisture_pct": 7.0}), ("black walnut", {"moisture_pct": 10.0}))


def too_fast(job):
    """One line of 20 s and 60 s to close."""
    glued(job, ("sugar maple", {}), assembly_s=70.0)


def stale(job):
    glued(job, ("sugar maple", {}), panel={"surface_age_s": 110 * 60.0})


def few_clamps(job):
    """12 in x 3 in at 150 psi are 5400 lbf, 6 clamps of 1000 lbf; 4 of them give 4000 of 5400."""
    glued(job, ("sugar maple", {}), pressure_kpa=150 * PSI, clamp_force_n=1000 * LBF, clamps=4)


def without_figures(job):
    glued(job, ("pear", {}))


def oily(job):
    glued(job, ("iroko", {}))


GLUE = [
    (
        too_wet,
        "Stock!A4: found B1 (black walnut) reads 13 %, above the limit of 11 %, wanted at most 11 % moisture for "
        "gluing. To fix: let the wood settle in the shop and measure again, or change the limits on Shop if the data "
        "sheet says so.",
    ),
    (
        too_dry,
        "Stock!A3: found B0 (sugar maple) reads 3 %, below the limit of 6 %, wanted at least 6 % moisture for gluing. "
        "To fix: let the wood settle in the shop and measure again, or change the limits on Shop if the data sheet "
        "says so.",
    ),
    (
        too_different,
        "Stock!A4: found B1 (black walnut) at 10 % and B0 (sugar maple) at 7 % lie 3 points apart, more than 2, wanted "
        "boards of one panel within 2 points of each other. To fix: let the wood settle in the shop and measure again, "
        "or change the limits on Shop if the data sheet says so.",
    ),
    (
        too_fast,
        "Shop: found an assembly time of 70 s at the shop's temperature, wanted at least 80 s, one layer and the "
        "closing. To fix: take a slower glue, or spread and close faster.",
    ),
    (
        stale,
        "Panels!A3: found faces 110 min old when glued, wanted at most 60 min. To fix: surface the faces again just "
        "before gluing, or change Oldest surface on Shop; follow the adhesive's data sheet.",
    ),
    (
        few_clamps,
        "Shop: found 4 clamps for panel P, 74 % of the pressure wanted, wanted 6 clamps of that force. To fix: use "
        "more or stronger clamps or a press, or lower Glue pressure if the glue allows it: follow the adhesive's data "
        "sheet.",
    ),
    (
        without_figures,
        "Targets!A3: found pear: no figure for movement flat, movement quarter and specific gravity, wanted its "
        "movement and density, to work out how far it swells and moves. To fix: give your own on the Species sheet; "
        "all else is worked out without.",
    ),
    (
        oily,
        "Targets!A3: found iroko, whose oil can keep glue from holding, wanted a test joint that breaks in the wood "
        "and not in the glue. To fix: glue soon after surfacing, break a test joint first, and follow the adhesive's "
        "data sheet.",
    ),
]


def panel(job, length=24.0, width=2.0, pairs=46, copies=1):
    """Layers of 1/16 in, glue lines of 0.003: 92 layers make 6.023 in, 20 make 1.307 in."""
    job.panel("P", length=length, width=width, repeats=pairs, copies=copies)
    job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")
    return job


def narrow_stripe(job):
    """A layer of 0.0625 cut square shows 0.0625; at 20 deg 0.05 asks for a layer of 0.05 sin 20 deg = 0.0171."""
    panel(job).handle("Grip", 4.0, 1.0, 0.75, angle=20.0, stripe=0.05)


def too_long_for_the_stack(job):
    """At 30 deg 5 in reach 2.5 and 0.75 cos 30 deg = 0.650 through; (1.307 - 0.650) / sin 30 deg = 1.315 fit."""
    panel(job, pairs=10).handle("Grip", 5.0, 1.0, 0.75, angle=30.0)


def too_wide(job):
    panel(job).handle("Grip", 5.0, 2.5, 0.75)


def too_long_along(job):
    panel(job, length=4.0).handle("Grip", 5.0, 1.0, 0.75)


def too_many(job):
    """28 from a row and 2 rows; 30 from a row are 5 along: 5 * 5 + 4 * 0.035."""
    panel(job).handle("Grip", 5.0, 0.9, 0.75, quantity=60)


def too_high_a_crown(job):
    panel(job).handle("Grip", 5.0, 0.9, 0.75, crown=0.5)


def without_a_panel(job):
    panel(job).panel("Q", length=5.0, width=1.0).layer("white ash", 0.1, panel="Q").handle("Lost", 4.0, 1.0, 0.5)


def of_an_unknown_panel(job):
    panel(job).handle("Lost", 4.0, 1.0, 0.5, panel="R")


def no_length(job):
    panel(job, length=None).step("Zigzag", 1.0, angle=45.0, panel="P")


def too_wide_a_strip(job):
    """24 - 6.023 = 17.977 along, times sin 45 deg = 12.712."""
    panel(job).step("Wide", 20.0, angle=45.0)


HANDLES = [
    (
        narrow_stripe,
        "Handles!A3: found a stripe of 0.0500 in is narrower than the layer itself; cut square through the layers it "
        "shows 0.0625 in, wanted a width that the thickest layer can show. To fix: wish for 0.0625 in, or make the "
        "thickest layer 0.0171 in.",
    ),
    (
        too_long_for_the_stack,
        "Handles!A3: found the blank reaches 3.150 in through a stack of 1.307 in; at this angle one of 1.315 in "
        "length fits (layers as planned), wanted a blank that fits into panel P. To fix: shorten the piece, lay it "
        "flatter to the layers, or add layers.",
    ),
    (
        too_wide,
        "Handles!A3: found a blank of 2.500 in across from panel P, which is 2.000 in wide, wanted a blank that fits "
        "into panel P. To fix: make the panel wider, or the piece narrower by 0.500 in.",
    ),
    (
        too_long_along,
        "Handles!A3: found a piece that does not fit into panel P, which is 4.000 in long, wanted a blank that fits "
        "into panel P. To fix: make the panel at least 5.000 in long, or shorten the piece.",
    ),
    (
        too_many,
        "Handles!A3: found 60 pieces wanted of Grip, wanted no more than the 56 that panel P gives. To fix: make 2 "
        "such panels, or one 25.140 in long.",
    ),
    (
        too_high_a_crown,
        "Handles!A3: found a crown of 0.500 in, wanted at most half the width, 0.450 in. To fix: give the rise of the "
        "rounded face alone; beyond half the width it is no arc of the face.",
    ),
    (
        without_a_panel,
        "Handles!A3: found Lost with no panel named, wanted one of the panels that Targets describes (P, Q). To fix: "
        "name the panel that the piece is cut from.",
    ),
    (
        of_an_unknown_panel,
        "Handles!A3: found Lost with panel R, for which Targets has no layer, wanted one of the panels that Targets "
        "describes (P). To fix: name the panel that the piece is cut from.",
    ),
    (
        no_length,
        "Panels!A3: found no length of panel P, from which Zigzag is cut, wanted its Length on Panels. To fix: type "
        "the finished length; until then the strips cannot be counted.",
    ),
    (
        too_wide_a_strip,
        "Steps!A3: found not one whole strip of 20.000 in comes out of the board; the widest is 12.712 in, wanted a "
        "round that gives a board for Wide. To fix: saw narrower strips or a steeper cut, or start from a larger "
        "panel.",
    ),
]


def ash(job, length=12.0, plies=90):
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 0.0}
    job.panel("P", length=length, width=0.75).layer("white ash", 0.0625, plies=plies, panel="P")
    return job


def thin_wall(job):
    """8 boards of 0.75 are 6 in; 1.5 over 6 leans 14.04 deg: 0.75 sin 14.04 deg - 0.035 = 0.1469 from one board.
    0.25 + 0.035 of 0.75 is the sine of 22.3 deg."""
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25, height=6.0)


def wall_out_of_reach(job):
    """0.75 - 0.035 = 0.715, from a board sawn flat."""
    ash(job).bowl("Thick", 9.0, foot=3.0, wall=0.8)


def large_ring(job):
    ash(job, length=8.0, plies=160).bowl("Dish", 9.0, foot=3.0, wall=0.3, rings=3)


def steep(job):
    """Radius 1.5 at the foot and 2.5 at 0.75: atan(1 / 0.75) = 53.1 deg."""
    ash(job, plies=120).bowl("Dish", 6.0, foot=3.0, wall=0.2)
    job.point("Dish", 0.0, 1.5).point("Dish", 0.75, 2.5).point("Dish", 1.5, 3.0)


def bowl_of_two_panels(job):
    """90 layers of 0.0625 are 5.625 in: a ring of 9 in takes two side by side."""
    ash(job).bowl("Pail", 9.0, foot=6.0, wall=0.25, height=6.0)


def rings_and_height(job):
    """2.25 in high are a base and 2 rings of 0.75."""
    ash(job, plies=120).bowl("Dish", 9.0, foot=3.0, wall=0.3, rings=4, height=2.25)


def rim_beside_points(job):
    ash(job, plies=120).bowl("Dish", 7.0, foot=3.0, wall=0.2)
    job.point("Dish", 0.0, 1.5).point("Dish", 0.75, 2.25).point("Dish", 1.5, 3.0)


BOWLS = [
    (
        thin_wall,
        "Bowls!A3: found a wall of 0.250 in of which 0.147 in is left at the thinnest place, wanted rings that keep "
        "the wall; with this board and wall the side must lean at least 22.3° from upright. To fix: take rings from 2 "
        "boards in turn (Boards in turn), or ask for a wall of 0.146 in, or leave Height and Rings empty for the "
        "tallest straight bowl that keeps the wall.",
    ),
    (
        bowl_of_two_panels,
        "Bowls!A3: found 1 piece of Pail, which takes 2 panels, wanted no more than the 1 of P that Panels makes. To "
        "fix: make 2 such panels.",
    ),
    (
        wall_out_of_reach,
        "Bowls!A3: found no tilt leaves a wall of 0.800 in; rings of this board stay below 0.715 in, or take them from "
        "2 boards in turn, wanted a bowl Thick that can be made. To fix: ask for a thinner wall, take rings from more "
        "boards in turn, or give a Height or Rings of your own.",
    ),
    (
        large_ring,
        "Bowls!A3: found panel P, 8.000 in long, wanted a board for the largest ring of Dish, 9.000 in across. To fix: "
        "make the panel at least 9.000 in long, or a rim of at most 8.000 in.",
    ),
    (
        steep,
        "Bowls!A3: found a tilt of 53.1° for the base, wanted at most 45°, which the table reaches. To fix: make the "
        "bowl taller or its foot wider, tilt the work on a wedge as the saw's manual allows, or correct Greatest tilt "
        "on Shop.",
    ),
    (
        rings_and_height,
        "Bowls!A3: found 4 rings for a bowl 2.250 in high, wanted 2 rings, which boards of 0.750 in give at that "
        "height. To fix: empty Rings or Height; the height was used.",
    ),
    (
        rim_beside_points,
        "Bowls!A3: found a rim of 7.000 in, wanted 6.000 in, as the points on Profiles give it. To fix: correct "
        "either; the points were used.",
    ),
]


@pytest.mark.parametrize(
    ("build", "message"), [*RECORD, *GLUE, *HANDLES, *BOWLS], ids=lambda case: getattr(case, "__name__", "said")
)
def test_what_is_said(job, build, message):
    build(job)
    assert message in said(job)
