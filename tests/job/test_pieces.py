"""Pieces from the maker's rows: figures worked by hand, and wishes that cannot be met answered with what can."""

from math import asin, atan, cos, degrees, hypot, radians, sin, sqrt, tan

import pytest

from sheetkit.errors import Harm
from sheetkit.job.results import compute

INCH = 25.4


@pytest.fixture
def panel(job):
    """A panel 24 in long, 2 in wide: 1/16 in layers of two woods in turn, glue lines 0.003 in, stack 6 in and a bit."""

    def made(length=24.0, width=2.0, pairs=46, copies=1):
        job.panel("P", length=length, width=width, repeats=pairs, copies=copies)
        job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")
        return job

    return made


def pieces_of(job):
    return compute(job.inputs()).pieces


def inches(length_mm):
    return length_mm / INCH


def test_a_face_tilted_two_ways_shows_each_layer_by_its_true_angle(panel):
    """30 deg along and 20 deg across: tan^2 adds up to 34.31 deg; a layer of 0.0625 shows 0.0625 / sin(34.31 deg)."""
    roll = degrees(atan(tan(radians(20.0)) * cos(radians(30.0))))
    handle = pieces_of(panel().handle("Grip", 4.0, 1.0, 0.75, angle=30.0, tilt=roll)).handles[0]
    side, edge, end = handle.faces
    assert side.angle_deg == pytest.approx(34.31, abs=0.005)
    assert side.off_square_deg == pytest.approx(90 - 34.31, abs=0.005)
    assert 0.0625 * side.factor == pytest.approx(0.0625 / sin(atan(hypot(tan(radians(30)), tan(radians(20))))))
    assert end.angle_deg == pytest.approx(60.0)
    # the three normals are square to one another: cos^2 of their angles to the stack add up to 1
    assert sum((1 - sin(radians(face.angle_deg)) ** 2) for face in (side, edge, end)) == pytest.approx(1.0)


def test_blanks_along_the_layers_are_counted_by_hand(panel):
    """24 in long holds 4 blanks of 5 in with kerfs of 0.035; a stack of 92 * 0.0625 + 91 * 0.003 = 6.023 in holds 7 of
    0.75 in (7 * 0.75 + 6 * 0.035 = 5.46); 2 in of width hold 2 of 0.9 in."""
    answer = pieces_of(panel().handle("Grip", 5.0, 0.9, 0.75, quantity=56)).handles[0]
    assert inches(answer.stack.thickness_mm) == pytest.approx(6.023)
    assert (answer.blanks.layout.count, answer.blanks.rows, answer.blanks.count) == (28, 2, 56)
    assert answer.blanks.share_used == pytest.approx(28 * 5 * 0.75 / (24 * 6.023) * 2 * 0.9 / 2)
    # 28 from one row: 7 high, so 4 along: 4 * 5 + 3 * 0.035
    assert inches(answer.length_needed.demand()) == pytest.approx(20.105, abs=1e-4)


def test_too_few_blanks_are_said_with_what_would_be_enough(panel):
    found = pieces_of(panel().handle("Grip", 5.0, 0.9, 0.75, quantity=60))
    problem = found.problems[0]
    assert (problem.sheet, problem.cell, problem.harm) == ("Handles", "A3", Harm.DOUBTFUL)
    assert problem.found == "60 pieces wanted of Grip"
    assert problem.wanted == "no more than the 56 that panel P gives"
    # 30 from one row: 7 high, so 5 along: 5 * 5 + 4 * 0.035
    assert problem.fix == "make 2 such panels, or one 25.140 in long"


def test_a_blank_that_reaches_beyond_the_stack_stops_the_piece_with_the_longest_that_fits(panel):
    """At 30 deg a blank reaches length / 2 + 0.75 * cos 30 = 0.6495 through a stack of 20 * 0.0655 - 0.003 = 1.307."""
    found = pieces_of(panel(pairs=10).handle("Grip", 5.0, 0.9, 0.75, angle=30.0).handle("Small", 1.0, 0.5, 0.5))
    problem = found.problems[0]
    assert problem.harm is Harm.STOPS_JOB
    assert problem.found == (
        "the blank reaches 3.150 in through a stack of 1.307 in; at this angle one of 1.315 in length fits "
        "(layers as planned)"
    )
    assert [item.row.piece for item in found.handles] == ["Grip", "Small"]
    assert found.handles[1].blanks.count > 0


def test_a_wished_stripe_leads_back_to_the_angle_and_to_the_layer(panel):
    """sin(angle) = 0.0625 / 0.125, so 30 deg; at 20 deg a layer of 0.125 * sin 20 shows it."""
    answer = pieces_of(panel().handle("Grip", 4.0, 1.0, 0.75, angle=20.0, stripe=0.125)).handles[0]
    assert answer.wish.demand() == pytest.approx(30.0)
    assert inches(answer.layer_wish_mm) == pytest.approx(0.125 * sin(radians(20)))
    narrow = pieces_of(panel().handle("Narrow", 4.0, 1.0, 0.75, angle=20.0, stripe=0.05)).problems
    assert narrow[-1].found == (
        "a stripe of 0.0500 in is narrower than the layer itself; cut square through the layers it shows 0.0625 in"
    )


def test_a_crowned_face_along_the_layers_shows_eyes_by_the_chord_of_a_circle(job):
    """Radius 0.5 in from a crown 0.5 in high and 1 in wide: the panel's middle lies at 0.3 of 0.6 in, the piece
    0.28 thick reaches 0.14 up, so the boundary 0.1 above the middle lies 0.04 below the top."""
    job.shop["glue_line_mm"] = 0.0
    job.panel("P", length=10.0, width=2.0, repeats=3)
    job.layer("white ash", 0.1, panel="P").layer("purpleheart", 0.1, panel="P")
    answer = pieces_of(job.handle("Scale", 4.0, 1.0, 0.28, crown=0.5)).handles[0]
    assert inches(answer.eyes_mm[0]) == pytest.approx(2 * sqrt(2 * 0.5 * 0.04 - 0.04**2))
    assert inches(answer.eyes_mm[0]) == pytest.approx(0.392, abs=5e-4)


def test_a_bookmatched_blank_is_twice_as_thick_with_kerf_and_cleaning(panel):
    answer = pieces_of(panel().handle("Scales", 4.0, 1.0, 0.25, pair=True, quantity=2)).handles[0]
    assert inches(answer.section_mm[1]) == pytest.approx(0.25 * 2 + 0.035 + 2 * 0.010)


def test_a_board_cut_slantwise_gives_the_strips_and_the_loss_known_beforehand(job):
    """24 x 6 in at 45 deg, strips 1 in, kerf 0.125: 11 strips of 1 x 6 * sqrt 2, 93.3 of 144 sq in, 64.8 %."""
    job.shop |= {"glue_line_mm": 0.0, "blank_kerf_mm": 0.125 * INCH}
    job.panel("P", length=24.0, width=0.75, repeats=48)
    job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")
    board = pieces_of(job.step("Zigzag", 1.0, angle=45.0)).boards[0]
    assert board.results[0].strips == 11
    assert board.results[0].strip_share == pytest.approx(0.648, abs=5e-4)


def test_the_repeat_along_a_slanted_joint_is_said(panel):
    """Two layers of 1/16 with lines of 0.003 repeat every 0.131 in across, 0.131 * sqrt 2 = 0.1853 along the joint."""
    board = pieces_of(panel().step("Zigzag", 1.0, angle=45.0).step("Zigzag", 1.5)).boards[0]
    assert inches(board.results[0].joint_repeat_mm) == pytest.approx(0.1853, abs=5e-5)
    assert [result.board is not None for result in board.results] == [True, True]


def test_a_round_that_gives_no_board_names_the_widest_strip_and_leaves_other_pieces_alone(panel):
    found = pieces_of(
        panel().step("Wide", 20.0, angle=45.0).handle("Wide", 4.0, 1.0, 0.5).handle("Grip", 4.0, 1.0, 0.5)
    )
    assert [(item.sheet, item.harm) for item in found.problems] == [("Steps", Harm.STOPS_JOB)]
    # 24 - 6.023 = 17.977 along, times sin 45
    assert "the widest is 12.712 in" in found.problems[0].found
    assert [item.row.piece for item in found.handles] == ["Grip"]


def straight(job, **more):
    """Boards 3/4 in, spacing 3/4 in: 45 deg."""
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 1.0}
    job.panel("P", length=12.0, width=0.75, repeats=46)
    job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")
    return job.bowl("Dish", 11.5, foot=2.5, wall=0.4, rings=5, **more)


def test_rings_of_a_straight_bowl_have_the_published_sizes(job):
    """Blank 11-1/2, spacing and board 3/4: 5 rings and a base 4 in on top, 4.5 in high; shift 0.750, face 0.7005, wall
    0.495; the foot of 2.5 takes a circle of 4 on top; a solid block 4.13 board feet, one board 0.689."""
    bowl = pieces_of(straight(job)).bowls[0]
    plan = bowl.plan
    assert len(plan.rings) == 6
    assert inches(plan.profile.height_mm) == pytest.approx(4.5)
    assert {round(ring.tilt_deg, 9) for ring in plan.rings} == {45.0}
    assert inches(2 * plan.rings[0].outer_top_mm) == pytest.approx(4.0)
    top = plan.rings[-1]
    assert inches(top.outer_top_mm - top.outer_bottom_mm) == pytest.approx(0.75)
    face = inches(top.outer_top_mm - top.inner_top_mm)
    assert face == pytest.approx(0.7005, abs=5e-5)
    assert face / sqrt(2) == pytest.approx(0.495, abs=5e-4)
    assert bowl.block_mm3 / (144 * INCH**3) == pytest.approx(4.13, abs=5e-3)
    assert bowl.boards_mm3 / (144 * INCH**3) == pytest.approx(0.689, abs=5e-4)
    # 11.5 in over a stack of 92 * 0.0625 = 5.75 in
    assert (bowl.side_by_side, bowl.panels_needed) == (2, 2)


def test_a_table_set_to_whole_degrees_leaves_a_ledge_at_every_joint(job):
    """Board 1/2, spacing 1/4 ask for 26.57 deg; set at 27 the shift is 0.2548: 0.0048 a joint, 0.019 over four."""
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 1.0}
    job.panel("P", length=8.0, width=0.5, repeats=46)
    job.layer("white ash", 0.0625, panel="P").layer("purpleheart", 0.0625, panel="P")
    plan = pieces_of(job.bowl("Dish", 5.5, foot=3.0, wall=0.15, rings=4)).bowls[0].plan
    ledges = [inches(joint.ledge_mm) for joint in plan.joints]
    assert ledges == pytest.approx([0.0048] * 4, abs=5e-5)
    assert sum(ledges) == pytest.approx(0.019, abs=5e-4)


def test_turned_rings_add_up_and_the_least_tilt_is_said(job):
    """7.5 deg a ring: ring 5 stands at 37.5, one step is 0.753 along a rim of radius 5.75; wall 0.25 + kerf 0.035 from
    boards of 0.75 need 22.33 deg."""
    bowl = pieces_of(straight(job, turn=7.5)).bowls[0]
    assert bowl.plan.rings[5].turn_deg == pytest.approx(37.5)
    assert inches(bowl.turn_arc_mm) == pytest.approx(0.753, abs=5e-4)
    # 11.5 in across, half the pattern turned: the two panels read differently from both sides, so a full turn
    assert bowl.repeats_after == 48
    assert bowl.steepest.demand() == pytest.approx(degrees(asin((0.4 + 0.035) / 0.75)))


def test_colour_changes_are_counted_twice_for_every_boundary_inside_the_rim(job):
    """Layers of 0.5 in, radius 3, a boundary on the centre: 11 inside, those at 3.000 are tangent, so 22 changes."""
    job.shop |= {"glue_line_mm": 0.0}
    job.panel("P", length=8.0, width=0.75, repeats=7)
    job.layer("white ash", 0.5, panel="P").layer("purpleheart", 0.5, panel="P")
    assert pieces_of(job.bowl("Dish", 6.0, foot=2.0, wall=0.3)).bowls[0].changes == 22


def test_half_rings_are_out_of_round_by_kerf_and_cleaning(job):
    job.shop |= {"blank_kerf_mm": 0.040 * INCH, "cleaning_mm": 0.010 * INCH}
    assert inches(pieces_of(straight(job, halves=True)).bowls[0].oval_mm) == pytest.approx(0.060)


def test_a_wall_that_no_tilt_gives_is_refused_with_the_wall_that_can_be(job):
    job.shop |= {"glue_line_mm": 0.0}
    job.panel("P", length=12.0, width=0.75).layer("white ash", 0.0625, plies=90, panel="P")
    found = pieces_of(job.bowl("Thick", 9.0, foot=3.0, wall=0.8).bowl("Dish", 9.0, foot=3.0, wall=0.3))
    problem = found.problems[0]
    assert (problem.cell, problem.harm) == ("A3", Harm.STOPS_JOB)
    assert problem.found == (
        "no tilt leaves a wall of 0.800 in; rings of this board stay below 0.715 in, or take them from 2 boards in turn"
    )
    assert [item.row.piece for item in found.bowls] == ["Dish"]


def test_a_side_too_steep_for_its_wall_is_told_how_many_boards_keep_it(job):
    """8 boards of 0.75 are 6 in; (9 - 6) / 2 over 6 leans 14.04 deg: 0.75 * sin - 0.035 = 0.1469 from one board."""
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 0.0}
    job.panel("P", length=12.0, width=0.75).layer("white ash", 0.0625, plies=90, panel="P")
    found = pieces_of(job.bowl("Pail", 9.0, foot=6.0, wall=0.25, height=6.0))
    assert found.problems[0].found == "a wall of 0.250 in of which 0.147 in is left at the thinnest place"
    assert found.problems[0].fix.startswith(
        "take rings from 2 boards in turn (Boards in turn), or ask for a wall of 0.146 in"
    )


def test_a_profile_of_points_wins_and_each_ring_has_its_own_tilt(job):
    """Radius 1.5 at the foot, 2.5 at 0.75, 3.0 at 1.5: atan(1 / 0.75) = 53.13, atan(0.5 / 0.75) = 33.69."""
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 0.0}
    job.panel("P", length=12.0, width=0.75).layer("white ash", 0.0625, plies=120, panel="P")
    job.bowl("Dish", 6.0, foot=3.0, wall=0.2)
    for height, radius in ((1.5, 3.0), (0.0, 1.5), (0.75, 2.5)):
        job.point("Dish", height, radius)
    found = pieces_of(job)
    tilts = [ring.tilt_deg for ring in found.bowls[0].plan.rings]
    assert tilts == pytest.approx([53.13, 33.69], abs=0.005)
    assert [problem.found for problem in found.problems] == ["a tilt of 53.1° for the base"]


def test_a_blank_larger_than_the_panel_is_said_with_the_rim_that_fits(job):
    job.shop |= {"glue_line_mm": 0.0, "tilt_step_deg": 0.0}
    job.panel("P", length=8.0, width=0.75).layer("white ash", 0.0625, plies=160, panel="P")
    problem = pieces_of(job.bowl("Dish", 9.0, foot=3.0, wall=0.3, rings=3)).problems[0]
    assert problem.harm is Harm.STOPS_JOB
    assert problem.wanted == "a board for the largest ring of Dish, 9.000 in across"
    assert problem.fix == "make the panel at least 9.000 in long, or a rim of at most 8.000 in"


def test_pieces_follow_the_measured_slices_once_there_are_some(job):
    job.board("A", "white ash", 2.0, length=12.0, width=2.0)
    job.panel("P", length=10.0, width=1.5).layer("white ash", 0.1, plies=4, tolerance=0.01, panel="P")
    for number, reading in enumerate((0.102, 0.101, 0.103), start=1):
        job.slice(f"A-{number}", 0.1, reading)
    stack = pieces_of(job).stacks["P"]
    assert stack.measured == 3
    assert sorted(inches(layer.thickness_mm) for layer in stack.layers) == pytest.approx([0.1, 0.101, 0.102, 0.103])


def test_a_piece_without_its_panel_is_left_out_and_the_others_stay(panel):
    job = panel()
    job.panel("Q", length=5.0, width=1.0).layer("white ash", 0.1, panel="Q")
    found = pieces_of(job.handle("Lost", 4.0, 1.0, 0.5).handle("Grip", 4.0, 1.0, 0.5, panel="P"))
    assert [(item.sheet, item.harm) for item in found.problems] == [("Handles", Harm.LEFT_OUT)]
    assert found.problems[0].wanted == "one of the panels that Targets describes (P, Q)"
    assert [item.row.piece for item in found.handles] == ["Grip"]
