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
ALIKE_PCT = 0.5
"""Shop and place that keep wood so near the same moisture need no other air."""
_DOUBTED = (Standing.DERIVED, Standing.MEMORY)
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
    words = (
        f"The shop's air ({here}) keeps wood at {air.shop_pct:.1f} % moisture; where the piece will live ({there}) it "
        f"comes to {air.home_pct:.1f} %."
    )
    if air.settling_humidity_pct is None or abs(air.shop_pct - air.home_pct) < ALIKE_PCT:
        return words
    return (
        f"{words} Wood that has settled in a shop at {air.settling_humidity_pct:.0f} % humidity before it is glued has "
        "that movement behind it."
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
        Heading("Wood", note="Of the layers."),
        Heading("Grain", note="From Grain on Stock, for the boards of this panel."),
        Heading(f"Layer ({unit})", measure.fine, "Finished thickness."),
        Heading("Layers", "0", "How many there are of this wood, grain and thickness."),
        Heading("Now (%)", "0.0", "The wettest of its boards by your meter; where none is measured, what the shop's "
                f"air keeps wood at: {AIR}."),
        Heading("There (%)", "0.0", f"What the air of its place keeps wood at: {AIR}."),
        Heading(f"Width by ({unit})", signed, "Across the panel's width, if nothing held the layer. " + MOVES),
        Heading(f"or by ({unit})", signed, "The other end, where the grain is not known. " + MOVES),
    )  # fmt: skip
    ranged = any(item.face_mm is not None and item.face_mm[0] != item.face_mm[1] for item in moves.kinds)
    records = [_kind(item, air, measure, ranged=ranged) for item in moves.kinds]
    sheet.table(headings if ranged else headings[:-1], records)


def _kind(item: KindMoves, air: Air, measure: Measure, *, ranged: bool) -> list[Value]:
    low, high = item.face_mm or (None, None)
    ends = (low, None if high == low else high)[: 2 if ranged else 1]
    return [
        item.kind.species,
        item.kind.grain or "not known",
        measure.of(item.kind.finished_mm),
        len(item.kind.places),
        round(item.kind.start_pct, 4),
        round(air.home_pct, 4),
        *(None if end is None else measure.of(end) for end in ends),
    ]


def _steps(sheet: SheetBuilder, moves: PanelMoves, measure: Measure) -> None:
    if not moves.steps:
        return
    sheet.blank()
    headings = (
        Heading("Wood beside", note="One of two woods that lie against each other."),
        Heading("the other", note="The wood that it lies against."),
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
    used = [gluing.woods[label] for label in dict.fromkeys(_labels(gluing))]
    sheet.section("Figures of the woods")
    headings = (
        Heading("Wood", note="As named on Stock and Targets."),
        Heading("Scientific name", note="Of the wood that the name was taken for; check it."),
        Heading("Flat", "0.00000", "Movement across a flat-sawn face for each per cent of moisture, as a share of the "
                "width; holds from 6 to 14 %."),
        Heading("Quarter", "0.00000", "The same across a quarter-sawn face."),
        Heading("Gravity", "0.00", "Specific gravity: oven-dry mass over the volume at 12 % moisture."),
    )  # fmt: skip
    sheet.table(headings, [_figures(wood) for wood in used])
    for text in _sources(used):
        sheet.line(text)
    for wood in used:
        for asked in wood.figures.asks:
            sheet.line(f"{asked}.", Look.WATCH)


def _labels(gluing: Gluing) -> list[str]:
    return [layer.species for item in gluing.panels for layer in item.panel.layers]


def _named(wood: JobWood) -> list[tuple[str, Figure | None]]:
    figures = wood.figures
    return [("flat", figures.tangential), ("quarter", figures.radial), ("gravity", figures.gravity)]


def _figures(wood: JobWood) -> list[Value]:
    known = wood.match.wood
    return [
        wood.species,
        known.scientific if known is not None else None,
        *(_figure(figure, "0.00" if name == "gravity" else "0.00000") for name, figure in _named(wood)),
    ]


def _figure(figure: Figure | None, number_format: str) -> ReportCell | None:
    if figure is None:
        return None
    look = Look.WATCH if figure.standing in _DOUBTED else Look.TEXT
    return ReportCell(round(figure.value, 8), look, number_format, note=_told(figure))


def _sources(used: list[JobWood]) -> list[str]:
    """One sentence for each source, with the figures that rest on it."""
    resting: dict[str, list[str]] = {}
    for wood in used:
        by_source: dict[str, list[str]] = {}
        for name, figure in _named(wood):
            if figure is not None:
                by_source.setdefault(_told(figure), []).append(name)
        for source, names in by_source.items():
            resting.setdefault(source, []).append(f"{wood.species} {' and '.join(names)}")
    return [f"{source}. For {', '.join(figures)}." for source, figures in resting.items()]


def _told(figure: Figure) -> str:
    """How far a figure is to be trusted, and where it comes from."""
    check = "; to be checked by your own measurement" if figure.standing in _DOUBTED else ""
    if figure.source.startswith(figure.standing.value):
        return f"{figure.source[:1].upper()}{figure.source[1:]}{check}"
    return f"{figure.standing.value[:1].upper()}{figure.standing.value[1:]}: {figure.source}{check}"
