"""Lay-up: which slice in which layer, which way round; predicted thickness, tapers, balance."""

from sheetkit.job.laying import LaidPanel
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.job.stacks import StackOutlook
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.lay_up_glue import glue_line_learned
from sheetkit.report.live import MOST_ARGUMENTS, Live, agreed, plain
from sheetkit.report.model import Look, ReportCell, ReportSheet
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.balance import UnlikePair
from sheetkit.trade.layup_model import Closeness, PlacedLayer
from sheetkit.trade.stack import stack_thickness

WIDTHS = (11, 20, 14, 30, 13, 13, 13, 13, 13, 13)
UNLIKE_SHOWN = 5
CORNER_COLUMNS = (7, 8, 9, 10)
"""Near left, near right, far left and far right in the list of layers."""
CORNER = "Thickness of the whole panel at this corner, glue lines included."
NORMAL_95 = 1.96
"""Two-sided 95 % limits of a normal distribution, in standard uncertainties."""


def lay_up_sheet(inputs: Inputs, results: Results, measure: Measure, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("lay_up", name, "Lay-up", WIDTHS, landscape=True)
    if not results.stacks:
        sheet.line("Targets names no layer that could be read, so there is nothing to lay up.", Look.STRONG)
        return sheet.sheet
    _thickness(sheet, results, live)
    glue_line_learned(sheet, inputs, results.glue_lines, measure)
    _balance(sheet, results, measure)
    laying = results.laying
    if laying is None:
        sheet.section("Which slice in which layer")
        sheet.line(_nothing_to_lay(results))
        return sheet.sheet
    sheet.section("Which slice in which layer")
    sheet.line(
        "Stack from layer 1 up. As sawn means: near end towards you, left at your left, the face that came off the "
        "blade last on top; the words say how to turn a slice from there."
    )
    sheet.line(f"The choice: {_proof(results, measure)}.")
    if laying.layup.left_out:
        sheet.line(f"Left over, the worst first: {', '.join(laying.layup.left_out)}.")
    for laid in laying.panels:
        if laid is not laying.panels[0]:
            sheet.new_page()
        _panel(sheet, laid, inputs, live)
    return sheet.sheet


def _nothing_to_lay(results: Results) -> str:
    measured = sum(item.mean_mm is not None for item in results.slices)
    if not measured:
        return "No slice has been measured yet. Measure slices, type them into Measurements, and refresh."
    slices = "1 slice is" if measured == 1 else f"{measured} slices are"
    return f"{slices} measured, but none of them may be used, so none can be laid yet: see Thickness check."


def _thickness(sheet: SheetBuilder, results: Results, live: Live) -> None:
    measure = live.measure
    for stack in results.stacks:
        sheet.line(_outlook(stack, measure), Look.STRONG)
    sheet.section("How thick each panel will be")
    unit, fine = measure.unit, measure.fine
    board_unit, coarse = measure.board_unit, measure.coarse
    headings = (
        Heading("Panel", note="As named on Panels."),
        Heading("Layers", "0", "Of one copy."),
        Heading(f"As planned ({board_unit})", coarse, "Sum of the layers and of the glue lines."),
        Heading(f"As it stands ({board_unit})", coarse, "Measured slices, and settings to come for the others."),
        Heading(f"Of it glue ({board_unit})", coarse, "One line less than layers."),
        Heading(f"Worst case ({unit})", fine, "Every layer at the same end of its tolerance."),
        Heading(f"Tolerances ({unit})", fine, "Root of the sum of squares of the layers' tolerances."),
        Heading(
            f"By itself ({unit})", fine, "Standard uncertainty from what differs slice by slice: grows with the root."
        ),
        Heading(
            f"In common ({unit})", fine, "Standard uncertainty of the offset that all share: grows with the number."
        ),
        Heading("In tolerance", "0%", "Chance that the panel is, where Panels gives it a tolerance."),
    )
    first = sheet.next_row + 1
    for row, stack in enumerate(results.stacks, first):
        for what, column in (("layers", 2), ("planned", 3), ("standing", 4), ("glue", 5)):
            live.keep(f"{what} of panel {stack.panel.name}", sheet.sheet, row, column)
    sheet.table(headings, [_stack(stack, results, live, row) for row, stack in enumerate(results.stacks, first)])
    for stack in results.stacks:
        if stack.spread_known:
            either_way = measure.text(NORMAL_95 * stack.estimate.standard_mm)
            sheet.line(
                f"Panel {stack.panel.name}: 95 of 100 such panels come out within {either_way} of what is said above, "
                "glue lines taken as Shop gives them."
            )
    if not all(stack.spread_known for stack in results.stacks):
        sheet.line("How slices spread is not known yet: a few more readings, and the two last columns can be told.")


def _outlook(stack: StackOutlook, measure: Measure) -> str:
    estimate, wanted = stack.estimate, stack.panel.thickness_mm
    over = estimate.bias_mm
    closer = [] if stack.centring is None else [stack.centring.total_mm]
    texts = measure.board_words([estimate.total_mm, *([] if wanted is None else [wanted]), *closer])
    apart = measure.difference_text(abs(over))
    off = "" if apart == measure.difference_text(0.0) else f"{apart} {'over' if over > 0 else 'under'} "
    words = (
        f"Panel {stack.panel.name}: {counted(stack.layers, 'layer')} {'comes' if stack.layers == 1 else 'come'} "
        f"to {texts(estimate.total_mm)}, {off}the sum of the plan"
    )
    if wanted is None or stack.centring is None:
        return f"{words}."
    words += f"; {texts(wanted)} is wanted"
    if not stack.centring.layers:
        step = "repeat" if len(stack.panel.once_mm) > 1 else "layer"
        return f"{words}, and no {step} more or less would come closer."
    count, total = abs(stack.centring.layers), stack.centring.total_mm
    if stack.layers + stack.centring.layers < 1:
        return f"{words}, which leaving layers out cannot reach."
    repeats = count // len(stack.panel.once_mm) if len(stack.panel.once_mm) > 1 else 0
    step = counted(count, "layer")
    if repeats:
        step = f"{counted(repeats, 'repeat')} ({step})"
    more = "more" if stack.centring.layers > 0 else "fewer"
    tolerance = stack.panel.tolerance_mm
    verdict = ""
    if tolerance is not None:
        verdict = (
            ", within its tolerance" if abs(stack.centring.off_mm) <= tolerance else ", still outside its tolerance"
        )
    return f"{words}: {step} {more} would give {texts(total)}{verdict}."


def _stack(stack: StackOutlook, results: Results, live: Live, row: int) -> list[Value]:
    estimate, measure, panel = stack.estimate, live.measure, stack.panel
    known = stack.spread_known
    layers_mm = sum(
        need.finished_mm * need.layers for need in results.needs if need.panel.casefold() == panel.name.casefold()
    )
    less = measure.to_board
    layers = f"SUMPRODUCT(([needed panel]=A{row})*1,[needed layer],[needed layers])"
    planned = live.of(f"{layers}{less}/{panel.copies}+E{row}")
    glue = live.of(f"(B{row}-1)*[Glue line]{less}")
    return [
        stack.panel.name,
        stack.layers,
        Figure(
            measure.of_board(estimate.planned_mm),
            agreed(planned, layers_mm / panel.copies + estimate.glue_mm, estimate.planned_mm),
        ),
        Figure(measure.of_board(estimate.total_mm), _as_laid(stack, results, live)),
        Figure(measure.of_board(estimate.glue_mm), glue),
        measure.of(estimate.worst_mm),
        measure.of(estimate.statistical_mm),
        measure.of(estimate.independent_mm) if known else None,
        measure.of(estimate.shared_mm) if known else None,
        stack.chance,
    ]


def _as_laid(stack: StackOutlook, results: Results, live: Live) -> str | None:
    """Mean of the copies as they are laid; None while a layer of one is still to be sawn."""
    panels = results.laying.panels if results.laying else []
    laid = [item for item in panels if item.panel.name == stack.panel.name]
    if not 0 < len(laid) <= MOST_ARGUMENTS or any(item.lay.missing for item in laid):
        return None
    cells = ",".join("[" + plain(f"laid {item.title}") + "]" for item in laid)
    return live.of(f"AVERAGE({cells})")


def _balance(sheet: SheetBuilder, results: Results, measure: Measure) -> None:
    sheet.section("Balance about the middle")
    for stack in results.stacks:
        if not stack.unlike:
            sheet.line(f"Panel {stack.panel.name}: balanced; every layer has its like on the other side.", Look.GOOD)
            continue
        pairs = "; ".join(
            f"layers {p.upper} and {p.lower}: {_differs(p, measure)}" for p in stack.unlike[:UNLIKE_SHOWN]
        )
        more = len(stack.unlike) - UNLIKE_SHOWN
        rest = f"; and {counted(more, 'more pair')}" if more > 0 else ""
        sheet.line(
            f"Panel {stack.panel.name}: not balanced, so it may bow as moisture changes: {pairs}{rest}.", Look.WATCH
        )


def _differs(pair: UnlikePair, measure: Measure) -> str:
    parts = [f"{pair.species[0]} against {pair.species[1]}"] if pair.species else []
    if pair.thickness_mm:
        upper, lower = (measure.text(thickness) for thickness in pair.thickness_mm)
        parts.append(f"thickness {upper} against {lower}")
    if pair.grain:
        parts.append(f"{pair.grain[0]} grain against {pair.grain[1]} grain")
    return ", ".join(parts)


def _proof(results: Results, measure: Measure) -> str:
    laying = results.laying
    if laying is None:
        return ""
    residual, bound = laying.layup.residual_mm, laying.layup.bound_mm
    if residual <= 1e-9:
        finer = measure.text(laying.layup.resolution_mm)
        return f"total and both tapers within {finer} of the plan, finer than the caliper can tell"
    if residual <= bound + 1e-6:
        return f"best possible with these slices; {measure.text(residual)} remain between total and tapers"
    return f"{measure.text(residual)} remain between total and tapers; at best {measure.text(max(0.0, bound))}"


def _panel(sheet: SheetBuilder, laid: LaidPanel, inputs: Inputs, live: Live) -> None:
    measure = live.measure
    sheet.section(f"Panel {laid.title}")
    missing = sum(laid.lay.missing.values())
    if missing:
        whose = "its" if missing == 1 else "their"
        reach = "" if laid.lay.reachable else f", which is beyond {whose} tolerance, so the total cannot be met"
        sheet.line(
            f"{counted(missing, 'layer')} still to be sawn; {whose} thickness is given so that the total "
            f"comes out{reach}.",
            Look.WATCH,
        )
        counts = "It counts" if missing == 1 else "They count"
        sheet.line(
            f"{counts} as planned in the thicknesses and tapers below; As it stands, above, has what the settings to "
            "come give."
        )
    _corners(sheet, laid, inputs, live)
    sheet.blank()
    unit, fine = measure.unit, measure.fine
    headings = (
        Heading("Layer", "0", "Counted from the bottom of the stack, which is the first of Targets."),
        Heading("Wood", note="The wood of the layer."),
        Heading("Slice", note="Which slice goes there; letters tell parts of one slice apart.", look=Look.STRONG),
        Heading("How it lies", note="How to turn it from the way it came off the saw.", look=Look.WRAPPED),
        Heading(f"Planned ({unit})", fine, "Finished thickness."),
        Heading(f"Mean ({unit})", fine, "Of its corners, as finished; for a missing slice, what it should have."),
        Heading(f"Near left ({unit})", fine, "As it lies in the stack."),
        Heading(f"Near right ({unit})", fine, "As it lies in the stack."),
        Heading(f"Far left ({unit})", fine, "As it lies in the stack."),
        Heading(f"Far right ({unit})", fine, "As it lies in the stack."),
    )
    first = sheet.next_row + 1
    records = [_layer(laid, layer, measure, row) for row, layer in enumerate(laid.lay.layers, first)]
    area = sheet.table(headings, records)
    if area is not None:
        if sheet.sheet.repeated_rows is None:
            # All panels have the same headings, so that those of the first serve every page.
            sheet.sheet.repeated_rows = (area.first_row - 1, area.first_row - 1)
        for column in CORNER_COLUMNS:
            live.keep_column(f"corner {column} of {laid.title}", sheet.sheet, area, column)


def _layer(laid: LaidPanel, layer: PlacedLayer, measure: Measure, row: int) -> list[Value]:
    wanted = laid.panel.layers[layer.number - 1]
    start: list[Value] = [layer.number, wanted.species]
    if not layer.slice_key:
        saw_at = measure.of(layer.saw_at_mm) if layer.saw_at_mm is not None else None
        to_saw = ReportCell("to saw", Look.WATCH)
        return [*start, to_saw, None, measure.of(wanted.finished_mm), saw_at, None, None, None, None]
    corners = laid.corners[layer.slice_key].lying(layer.turn)
    four = (corners.near_left_mm, corners.near_right_mm, corners.far_left_mm, corners.far_right_mm)
    planned, mean = measure.of(wanted.finished_mm), Figure(measure.of(corners.mean_mm), f"AVERAGE(G{row}:J{row})")
    return [*start, layer.slice_key, layer.turn.value, planned, mean, *(measure.of(length) for length in four)]


def _corners(sheet: SheetBuilder, laid: LaidPanel, inputs: Inputs, live: Live) -> None:
    measure = live.measure
    unit, signed, board_unit, whole = measure.unit, measure.signed, measure.board_unit, measure.panel
    plan = stack_thickness([layer.finished_mm for layer in laid.panel.layers], inputs.shop.glue_line_mm)
    headings = (
        Heading("Stacked", note="As listed below; or as sawn, in sawing order and none turned, for comparison."),
        Heading(f"Thickness ({board_unit})", whole, "Mean of the four corners, glue lines included."),
        Heading(f"Over plan ({unit})", signed, "Thickness less that of the plan; below nought it is thinner."),
        Heading(f"End taper ({unit})", signed, "Far end less near end of the whole panel."),
        Heading(f"Side taper ({unit})", signed, "Right less left."),
        Heading(f"At near left ({board_unit})", whole, CORNER),
        Heading(f"At near right ({board_unit})", whole, CORNER),
        Heading(f"At far left ({board_unit})", whole, CORNER),
        Heading(f"At far right ({board_unit})", whole, CORNER),
        Heading(f"Middle ({board_unit})", whole, "Thickness of the whole panel in its middle, glue lines included."),
    )
    first = sheet.next_row + 1
    live.keep(f"laid {laid.title}", sheet.sheet, first, 2)
    rows = [
        _close("as listed", laid, laid.lay.closeness, plan, live, first),
        _close("as sawn", laid, laid.lay.in_sawing_order, plan, live, first + 1),
    ]
    sheet.table(headings, rows)


def _close(words: str, laid: LaidPanel, close: Closeness, plan_mm: float, live: Live, row: int) -> list[Value]:
    """Thickness and tapers of a whole panel; its corners are sums of those of its layers where these stand below."""
    measure, corners, panel = live.measure, close.corners, plain(laid.panel.name)
    four = (corners.near_left_mm, corners.near_right_mm, corners.far_left_mm, corners.far_right_mm)
    listed = words == "as listed" and not laid.lay.missing
    sides = (f"H{row}+I{row}", f"F{row}-G{row}"), (f"G{row}+I{row}", f"F{row}-H{row}")
    over = f"B{row}-[planned of panel {panel}]"

    def corner(deviation_mm: float, column: int) -> Figure:
        layers = plain(f"corner {column} of {laid.title}")
        formula = live.of(f"SUM([{layers}]){measure.to_board}+[glue of panel {panel}]") if listed else None
        return Figure(measure.of_board(plan_mm + deviation_mm), formula)

    end, side = (f"({one}-{other})/2{measure.to_fine}" for one, other in sides)
    return [
        words,
        Figure(measure.of_board(plan_mm + close.total_mm), f"AVERAGE(F{row}:I{row})"),
        Figure(measure.of(close.total_mm), live.of(f"({over}){measure.to_fine}" if measure.to_fine else over)),
        Figure(measure.of(close.end_taper_mm), end),
        Figure(measure.of(close.side_taper_mm), side),
        *(corner(deviation, column) for deviation, column in zip(four, CORNER_COLUMNS, strict=True)),
        measure.of_board(plan_mm + corners.middle_mm),
    ]
