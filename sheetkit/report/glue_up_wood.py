"""Blocks of the sheet Glue-up: movement between the shop and the place of the piece, and the figures used."""

from sheetkit.job.gluing import Gluing, PanelGluing
from sheetkit.job.measure import Measure
from sheetkit.job.wood_movement import Air, KindMoves, PanelMoves, RingsTurned
from sheetkit.job.woods import JobWood, Span
from sheetkit.report.amounts import Amounts
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Look, ReportCell
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.species_data import Figure, Standing

STEPS_SHOWN = 8
MOVES = "Width x movement for each per cent x change of moisture: Wood Handbook, FPL-GTR-190 (2010), Eq. (13-2)."
AIR = "Wood Handbook, FPL-GTR-190 (2010), Eq. (4-5)"


def movement_block(
    sheet: SheetBuilder, item: PanelGluing, air: Air, measure: Measure, amounts: Amounts, inputs: Inputs
) -> None:
    """How the panel moves once it is where it will live."""
    moves = item.moves
    sheet.section(f"Movement where it will live, panel {item.panel.name}")
    sheet.line(air_sentence(air, amounts, inputs), Look.STRONG)
    for text in (*_moves_sentences(moves, measure), *air.doubts, *moves.doubts):
        sheet.line(f"{text[:1].upper()}{text[1:].rstrip('.')}.")
    for ring in moves.rings:
        _rings(sheet, ring, measure)
    _kinds(sheet, moves, air, measure)
    _steps(sheet, moves, measure)


def air_sentence(air: Air, amounts: Amounts, inputs: Inputs) -> str:
    """What the air of the shop and that of the place keep wood at."""
    shop, job = inputs.shop, inputs.job
    here = f"{amounts.temperature_text(shop.shop_c)}, {shop.shop_humidity_pct:g} % humidity"
    there = f"{amounts.temperature_text(job.home_c)}, {job.home_humidity_pct:g} %"
    return (
        f"The shop's air ({here}) keeps wood at {air.shop_pct:.1f} % moisture; where the piece will live ({there}) it "
        f"comes to {air.home_pct:.1f} %."
    )


def _moves_sentences(moves: PanelMoves, measure: Measure) -> list[str]:
    texts = []
    if moves.panel_face_mm is not None and moves.width_mm is not None:
        texts.append(
            f"Across its width of {measure.board_text(moves.width_mm)} the panel "
            f"{_words(moves.panel_face_mm, measure)}; glue holds the layers to one "
            "another, so it lies somewhere between its woods."
        )
    if moves.panel_thickness_mm is not None:
        texts.append(f"Through its thickness it {_words(moves.panel_thickness_mm, measure)}.")
    if moves.steps and moves.steps[0].step_mm > 0.0:
        step = moves.steps[0]
        texts.append(
            f"Edges that are flush now may be felt as steps: up to {measure.text(step.step_mm)} between "
            f"{step.one.species} and {step.other.species}."
        )
    if any(item.kind.grain is None for item in moves.kinds):
        texts.append("Where Grain on Stock is empty or mixed, both directions are counted, so the range is wide.")
    return texts


def _words(span: Span, measure: Measure) -> str:
    """A movement in words: shrinks or swells by so much, or by something between two figures."""
    low, high = span
    if low < 0.0 < high:
        return f"moves between {measure.text(low)} and +{measure.text(high)}"
    verb = "shrinks" if high <= 0.0 else "swells"
    small, large = sorted((abs(low), abs(high)))
    if measure.text(small) == measure.text(large):
        return f"{verb} by {measure.text(large)}"
    return f"{verb} by {measure.text(small)} to {measure.text(large)}"


def _rings(sheet: SheetBuilder, ring: RingsTurned, measure: Measure) -> None:
    bowl = ring.bowl
    if ring.movement_mm is None:
        return
    doubts = "".join(f"; {text}" for text in ring.doubts)
    sheet.line(
        f"Bowl {bowl.piece}: rings turned by {bowl.turn_deg:g}° work against each other by up to "
        f"{measure.text(ring.movement_mm)} across the rim{doubts}.",
        Look.WATCH if ring.doubts else Look.INTRO,
    )


def _kinds(sheet: SheetBuilder, moves: PanelMoves, air: Air, measure: Measure) -> None:
    unit, signed = measure.unit, measure.signed
    headings = (
        Heading("Wood"),
        Heading(f"Layer ({unit})", measure.fine, "Finished thickness."),
        Heading("Layers", "0"),
        Heading("Grain", note="From Grain on Stock, for the boards of this panel."),
        Heading("Now (%)", "0.0", "The wettest of its boards by your meter; where none is measured, what the shop's "
                f"air keeps wood at: {AIR}."),
        Heading("There (%)", "0.0", f"What the air of its place keeps wood at: {AIR}."),
        Heading(f"Face from ({unit})", signed, "Across the panel's width, if nothing held the layer. " + MOVES),
        Heading(f"Face to ({unit})", signed, "The other end of what is possible. " + MOVES),
        Heading(f"Thick from ({unit})", signed, "Of one layer's thickness. " + MOVES),
        Heading(f"Thick to ({unit})", signed, "The other end of what is possible. " + MOVES),
    )  # fmt: skip
    sheet.table(headings, [_kind(item, air, measure) for item in moves.kinds])


def _kind(item: KindMoves, air: Air, measure: Measure) -> list[Value]:
    ends = (*(item.face_mm or (None, None)), *(item.thickness_mm or (None, None)))
    return [
        item.kind.species,
        measure.of(item.kind.finished_mm),
        len(item.kind.places),
        item.kind.grain or "not known",
        round(item.kind.start_pct, 4),
        round(air.home_pct, 4),
        *(None if end is None else measure.of(end) for end in ends),
    ]


def _steps(sheet: SheetBuilder, moves: PanelMoves, measure: Measure) -> None:
    if not moves.steps:
        return
    sheet.blank()
    headings = (
        Heading("Wood beside"),
        Heading("the other"),
        Heading("Lines", "0", "Glue lines at which the two meet."),
        Heading(f"Step ({measure.unit})", measure.fine, "Difference of their movement across the width, where one edge "
                "is held flush: Wood Handbook, FPL-GTR-190 (2010), Eq. (13-2), twice. Glue holds back, so this is the "
                "most."),
    )  # fmt: skip
    rows: list[list[Value]] = [
        [s.one.species, s.other.species, s.lines, measure.of(s.step_mm)] for s in moves.steps[:STEPS_SHOWN]
    ]
    sheet.table(headings, rows)


def figures_used(sheet: SheetBuilder, gluing: Gluing) -> None:
    """The figures of each wood, where each comes from, and what is asked for."""
    used = dict.fromkeys(layer.species for item in gluing.panels for layer in item.panel.layers)
    sheet.section("Figures of the woods")
    sheet.line("Your own on Species win. Derived figures and those from memory deserve your own measurement.")
    headings = (
        Heading("Wood"),
        Heading("Scientific name"),
        Heading("Figure"),
        Heading("Value", "0.00000", "Movement: share of the width for each per cent of moisture, from 6 to 14 %. "
                "Specific gravity: oven-dry mass over the volume at 12 %."),
        Heading("Standing"),
        Heading("Source"),
    )  # fmt: skip
    rows = [row for label in used for row in _figures(gluing.woods[label])]
    sheet.table(headings, rows)
    for label in used:
        for asked in gluing.woods[label].figures.asks:
            sheet.line(f"{asked}.", Look.WATCH)


def _figures(wood: JobWood) -> list[list[Value]]:
    known = wood.match.wood
    named = (
        ("movement flat", wood.figures.tangential),
        ("movement qtr", wood.figures.radial),
        ("gravity", wood.figures.gravity),
    )
    rows: list[list[Value]] = []
    for name, figure in named:
        if figure is not None:
            rows.append(_figure(wood, known.scientific if known is not None else "", name, figure))
    return rows


def _figure(wood: JobWood, scientific: str, name: str, figure: Figure) -> list[Value]:
    flagged = figure.standing in (Standing.DERIVED, Standing.MEMORY)
    return [
        wood.species,
        scientific,
        name,
        ReportCell(round(figure.value, 8), number_format="0.00" if name == "gravity" else "0.00000"),
        ReportCell(figure.standing.value, Look.WATCH if flagged else Look.TEXT),
        ReportCell(figure.source, Look.QUIET, columns=5),
    ]
