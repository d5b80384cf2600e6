"""Blocks of the sheet Pieces about handles and scales."""

from math import isinf

from sheetkit.job.handles import HAIR_MM, HandleAnswer
from sheetkit.job.measure import Measure
from sheetkit.job.piece_stacks import PieceStack
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.model import Look
from sheetkit.trade.handles import Face, complement

SHOWN = {"side": "length by width", "edge": "length by thickness", "end": "width by thickness"}
EYES_SHOWN = 6


def handle_block(sheet: SheetBuilder, answer: HandleAnswer, measure: Measure) -> None:
    """Everything about one handle: what to do in sentences, then its faces and stripes."""
    row, text = answer.row, measure.board_text
    sizes = f"{text(row.length_mm)} x {text(row.width_mm)} x {text(row.thickness_mm)}"
    many = f"{counted(row.quantity, 'pair' if row.pair else 'piece')} wanted"
    sheet.section(f"Handle {row.piece}: {many}, {sizes}, from panel {answer.stack.panel.name}")
    count, look = _count_words(answer, measure)
    sheet.line(count, look)
    sheet.line(_saw_words(answer, measure))
    for words in (_wish_words(answer, measure), _pair_words(answer, measure), _eye_words(answer, measure)):
        if words:
            sheet.line(words)
    if answer.steps:
        sheet.line(
            "It is cut from a board that was sawn and glued again: the stripes change direction at every joint, so "
            "the figures below hold for a strip that lies as it was sawn."
        )
    faces = _faces(sheet, answer)
    sheet.blank()
    _stripes(sheet, answer, measure, faces)


def _count_words(answer: HandleAnswer, measure: Measure) -> tuple[str, Look]:
    row, panel, blanks = answer.row, answer.stack.panel, answer.blanks
    needed = answer.length_needed
    enough = ""
    if needed is not None and needed.met:
        enough = f" The number wanted needs a panel {measure.least_text(needed.value)} long"
        enough += " each." if panel.copies > 1 else "."
    if blanks is None:
        why = (
            "is not known by length and width" if panel.length_mm is None or panel.width_mm is None else "is too large"
        )
        return f"Panel {panel.name} {why} to count its blanks.{enough}", Look.WATCH
    ways = (
        f"strips along the blanks give {blanks.along * blanks.rows}, strips across them {blanks.across * blanks.rows}"
    )
    if blanks.count == 0:
        return f"No such blank fits into panel {panel.name}; see the top of this sheet.{enough}", Look.BAD
    deep = f", {blanks.rows} deep" if blanks.rows > 1 else ""
    words = (
        f"One panel gives {counted(blanks.count, 'blank')}{deep}: {ways}; "
        f"{blanks.share_used:.0%} of the panel becomes blanks."
    )
    if panel.copies > 1:
        words += f" All {panel.copies} panels give {answer.from_all_copies}."
    return words + enough, Look.GOOD if answer.from_all_copies >= row.quantity else Look.BAD


def _saw_words(answer: HandleAnswer, measure: Measure) -> str:
    row, text = answer.row, measure.board_text
    width, height = answer.section_mm
    words = (
        f"Saw blanks {text(row.length_mm)} long and {text(width)} x {text(height)} in section, long axis "
        f"{row.angle_deg:g}° to the layers ({complement(row.angle_deg):g}° from square)"
    )
    if row.tilt_deg:
        side = answer.faces[0]
        words += f", then turn each {row.tilt_deg:g}° about its length: its side stands {side.angle_deg:.2f}° to them"
    return words + "."


def _wish_words(answer: HandleAnswer, measure: Measure) -> str:
    wish, row = answer.wish, answer.row
    if wish is None or row.stripe_mm is None:
        return ""
    wished, thickest = measure.text(row.stripe_mm), measure.text(answer.thickest_mm)
    if not wish.met:
        return f"Stripe wished: {wish.sentence(measure.text)}."
    layer = answer.layer_wish_mm or 0.0
    would = (
        "the side runs along the layers and shows only one"
        if layer < HAIR_MM
        else f"a layer of {measure.text(layer)} would"
    )
    return (
        f"Stripe wished: the {thickest} layer shows {wished} on the side at {wish.value:.2f}° to the layers "
        f"({complement(wish.value):.2f}° from square); at the angle asked for, {would}."
    )


def _pair_words(answer: HandleAnswer, measure: Measure) -> str:
    if answer.shift_mm is None:
        return ""
    return (
        f"Each blank is split and opened into a pair; kerf and cleaning set the stripes of the halves off by "
        f"{measure.text(answer.shift_mm)}."
    )


def _eye_words(answer: HandleAnswer, measure: Measure) -> str:
    if answer.row.crown_mm is None:
        return ""
    if not answer.eyes_mm:
        return "Crown: its side crosses the layers, or no layer ends within the crown, so no eyes show."
    shown = ", ".join(measure.board_texts(*answer.eyes_mm[:EYES_SHOWN]))
    more = f" and {len(answer.eyes_mm) - EYES_SHOWN} wider" if len(answer.eyes_mm) > EYES_SHOWN else ""
    return f"Crown: the rounding cuts through layers and shows eyes {shown}{more} wide, one around the other."


def _faces(sheet: SheetBuilder, answer: HandleAnswer) -> int:
    """The table of faces; gives the row of its first."""
    headings = (
        Heading("Face", note="Of the finished piece, the two sizes that bound it."),
        Heading("To layers (deg)", "0.00", "Angle between this face and the layers."),
        Heading("From square (deg)", "0.00", "Its complement: what a gauge counting from square shows."),
        Heading("Run at (deg)", "0.0", "Direction of the stripes, from the edge of the face that is named first."),
        Heading("Stripes", "0", "Layers that show on this face, the piece lying in the panel's middle."),
        Heading("Wider by", "0.000", "A layer shows its thickness times this."),
    )  # fmt: skip
    first = sheet.next_row + 1
    both = zip(answer.faces, answer.across, strict=True)
    records = [_face(face, count, row) for row, (face, count) in enumerate(both, first)]
    sheet.table(headings, records)
    return first


def _face(face: Face, count: int, row: int) -> list[Value]:
    factor = None if isinf(face.factor) else round(face.factor, 12)
    off_square = Figure(round(face.off_square_deg, 6), f"90-B{row}")
    name = f"{face.name}, {SHOWN[face.name]}"
    return [name, round(face.angle_deg, 6), off_square, round(face.direction_deg, 6), count, factor]


def _stripes(sheet: SheetBuilder, answer: HandleAnswer, measure: Measure, faces: int) -> None:
    unit, fine = measure.unit, measure.fine
    shows = "Visible width, square to the stripe; empty where the face runs along the layers."
    headings = (
        Heading("Stripe of", note="The wood of the layer that shows, or the glue."),
        Heading("Layers", "0", "So many in the panel."),
        Heading(f"Layer ({unit})", fine, "Thickness; the mean where slices are measured."),
        Heading(f"On side ({unit})", fine, shows),
        Heading(f"On edge ({unit})", fine, shows),
        Heading(f"On end ({unit})", fine, shows),
    )
    records: list[list[Value]] = []
    for row, (label, count, thickness) in enumerate(stripe_kinds(answer.stack), sheet.next_row + 1):
        shown = [
            None if isinf(face.factor) else Figure(measure.of(thickness * face.factor), f"C{row}*F{at}")
            for at, face in enumerate(answer.faces, faces)
        ]
        records.append([label, count, measure.of(thickness), *shown])
    sheet.table(headings, records)
    if answer.stack.measured:
        sheet.line(
            "Slices of one kind differ a little: a slice's own mean on Lay-up, times the face's factor, is its own."
        )


def stripe_kinds(stack: PieceStack) -> list[tuple[str, int, float]]:
    """Each wood and planned thickness with its number of layers and mean thickness, then the glue lines."""
    groups: dict[tuple[str, float], list[float]] = {}
    for planned, lying in zip(stack.panel.layers, stack.layers, strict=True):
        groups.setdefault((planned.species, planned.finished_mm), []).append(lying.thickness_mm)
    kinds = [(species, len(found), sum(found) / len(found)) for (species, _), found in groups.items()]
    if len(stack.layers) > 1 and stack.glue_mm > 0:
        kinds.append(("glue line", len(stack.layers) - 1, stack.glue_mm))
    return kinds
