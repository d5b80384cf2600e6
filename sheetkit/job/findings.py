"""What the engine found that needs the maker's eye, beyond what the reading of the cells found."""

from collections.abc import Iterator, Mapping, Sequence

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.boards import BoardState
from sheetkit.job.checking import CheckedSlice
from sheetkit.job.learning import Learned
from sheetkit.job.measure import Measure
from sheetkit.job.needs import Need, RoughSize, layers_of_slice
from sheetkit.job.planning import WorkPlan
from sheetkit.job.stacks import StackOutlook
from sheetkit.job.wording import counted
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.schema import STOCK, TARGETS
from sheetkit.trade.exact import total_mm
from sheetkit.trade.plan_model import Shortage
from sheetkit.trade.record import thinnest_kept
from sheetkit.trade.roughsize import size_short_by

CLEARLY_THINNER = 0.8
"""Own choice: a layer a fifth thinner than anything kept so far is more than the scatter of one setting."""


def findings(
    inputs: Inputs,
    needs: Sequence[Need],
    learned: Learned,
    checks: Sequence[CheckedSlice],
    states: Mapping[str, BoardState],
    rough: Mapping[str, RoughSize],
    stacks: Sequence[StackOutlook],
) -> list[CellProblem]:
    """Every finding of the engine."""
    measure = Measure(inputs.shown_in)
    return [
        *_empty(inputs),
        *_too_small(needs, rough, measure, inputs),
        *_off_thickness(stacks, measure),
        *_thin(needs, inputs, measure),
        *_thinner_than_ever(needs, checks, measure),
        *_apart(learned, measure),
        *_overspent(states, measure),
        *_unsure(states),
        *_unwanted(checks),
    ]


def _empty(inputs: Inputs) -> Iterator[CellProblem]:
    """A needed sheet that is there, but holds no row that can be used."""
    for spec, rows in ((STOCK, inputs.boards), (TARGETS, inputs.targets)):
        tab = inputs.sheets.get(spec.name)
        if tab is not None and not rows:
            yield CellProblem(
                tab, "", "no row that can be used", f"at least one row ({spec.purpose.rstrip('.').lower()})",
                "fill in the columns that are needed; the other cells may stay empty", Harm.STOPS_JOB,
            )  # fmt: skip


def short_of_stock(needs: Sequence[Need], plan: WorkPlan, measure: Measure, inputs: Inputs) -> Iterator[CellProblem]:
    """What the rack cannot give, with the smallest purchase that mends it; spares alone do not stop the job."""
    by_key = {need.key: need for need in needs}
    for shortage in plan.cuts.shortages:
        need = by_key[shortage.demand]
        place = need.target.place
        made = plan.cuts.made.get(need.key, 0)
        yield CellProblem(
            sheet=place.sheet,
            cell=place.cell("thickness_mm"),
            found=f"stock for {shortage.needed - shortage.pieces} of the "
            f"{counted(shortage.needed, f'{need.species} layer')} of {measure.text(need.finished_mm)} still to be sawn "
            f"for panel {need.panel}, spares included",
            wanted=f"stock for {shortage.pieces} more",
            fix=_mend(shortage, plan, measure, inputs),
            harm=Harm.STOPS_JOB if need.have + made < need.layers else Harm.DOUBTFUL,
        )


def never_freed(needs: Sequence[Need], plan: WorkPlan, learned: Learned, inputs: Inputs) -> Iterator[CellProblem]:
    """Layers for which the fence would have to stand still: the readings, the allowance or the dial cannot be right."""
    for need in needs:
        if need.key in plan.unmoved:
            offset_mm = learned.of(need.species).offset_mm
            advance_mm = total_mm([need.sawn_mm, -offset_mm, inputs.shop.kerf_allowance_mm])
            yield (_still(need, learned, inputs) if advance_mm <= 0 else _within_a_division(need, advance_mm, inputs))


def _still(need: Need, learned: Learned, inputs: Inputs) -> CellProblem:
    measure, place = Measure(inputs.shown_in), need.target.place
    thicker = measure.text(learned.of(need.species).offset_mm)
    return CellProblem(
        place.sheet, place.cell("thickness_mm"),
        f"a slice of {measure.text(need.sawn_mm)} that no movement of the fence would free: {need.species} "
        f"comes off {thicker} thicker than set, and the kerf allowance is "
        f"{measure.text(inputs.shop.kerf_allowance_mm)}",
        "a slice thicker than that, less the kerf allowance",
        f"check Kerf allowance on Shop, and Set thickness and readings of {need.species} on Measurements",
        Harm.STOPS_JOB,
    )  # fmt: skip


def _within_a_division(need: Need, advance_mm: float, inputs: Inputs) -> CellProblem:
    measure, place = Measure(inputs.shown_in), need.target.place
    return CellProblem(
        place.sheet, place.cell("thickness_mm"),
        f"a slice of {measure.text(need.sawn_mm)} that asks the fence to move {measure.text(advance_mm)}, less than "
        f"one division of the dial, {measure.text(inputs.shop.dial_division_mm)}",
        "a movement of at least one division for every pass",
        "ask for a thicker layer, or check Dial division and Kerf allowance on Shop",
        Harm.STOPS_JOB,
    )  # fmt: skip


def _mend(shortage: Shortage, plan: WorkPlan, measure: Measure, inputs: Inputs) -> str:
    if not any(board.species == shortage.species and board.use != "no" for board in inputs.boards):
        return _first_board(shortage, plan, measure, inputs)
    if shortage.too_small:
        return (
            f"put {shortage.species} boards on Stock that are long and wide enough for the rough size of "
            f"panel {shortage.panel}, or make the panel smaller"
        )
    purchase = next(item for item in plan.cuts.purchases if item.species == shortage.species)
    whole = total_mm([purchase.usable_mm, inputs.shop.truing_mm, inputs.shop.held_mm])
    fix = f"buy one more {shortage.species} board at least {measure.least_text(whole)} thick"
    several = max(purchase.pieces.values(), default=1)
    if several > 1:
        fix += f", long and wide enough that each slice gives {several} layers"
    if purchase.boards:
        number = "one more board" if purchase.boards == 1 else f"{purchase.boards} more boards"
        fix += f", or {number} like {purchase.like_board}"
    return fix


def _first_board(shortage: Shortage, plan: WorkPlan, measure: Measure, inputs: Inputs) -> str:
    """What to buy of a wood of which there is no board at all, one layer a slice."""
    advances = [
        total_mm([plan.settings[item.demand].set_mm, inputs.shop.kerf_allowance_mm])
        for item in plan.cuts.shortages
        if item.species == shortage.species
        for _ in range(item.pieces)
    ]
    whole = total_mm([*advances, inputs.shop.truing_mm, inputs.shop.held_mm])
    return (
        f"Stock has no {shortage.species} that may be used; put a board at least {measure.least_text(whole)} thick "
        "there, or thinner if each slice gives several layers"
    )


def _too_small(
    needs: Sequence[Need], rough: Mapping[str, RoughSize], measure: Measure, inputs: Inputs
) -> Iterator[CellProblem]:
    """Boards that give no layer of any panel that wants their wood."""
    for board in inputs.boards:
        sizes = [rough[panel] for panel in dict.fromkeys(n.panel for n in needs if n.species == board.species)]
        if board.use == "no" or not sizes or any(layers_of_slice(board, size, inputs) for size in sizes):
            continue
        lengths = [size.length_mm for size in sizes if size.length_mm is not None]
        widths = [size.width_mm for size in sizes if size.width_mm is not None]
        for field, word, have, needed in (
            ("length_mm", "long", board.length_mm, lengths),
            ("width_mm", "wide", board.width_mm, widths),
        ):
            short = size_short_by(have, min(needed)) if have is not None and needed else 0.0
            if have is not None and short > 0.0:
                has, least, by = measure.board_texts(have, min(needed), short)
                yield CellProblem(
                    board.place.sheet, board.place.cell(field),
                    f"board {board.board}, {has} {word}",
                    f"at least {least}, the rough size of the smallest panel of its wood",
                    f"it is short by {by}, so no slice is planned from it; "
                    "allow less trim on Job, or keep it for another job",
                )  # fmt: skip


def _off_thickness(stacks: Sequence[StackOutlook], measure: Measure) -> Iterator[CellProblem]:
    """Panels whose layers do not come to the thickness wanted."""
    for stack in stacks:
        panel = stack.panel
        if panel.place is None or panel.thickness_mm is None or panel.tolerance_mm is None:
            continue
        if abs(stack.estimate.total_mm - panel.thickness_mm) > panel.tolerance_mm:
            comes, wanted = measure.panel_text(stack.estimate.total_mm), measure.panel_text(panel.thickness_mm)
            yield CellProblem(
                panel.place.sheet, panel.place.cell("thickness_mm"),
                f"panel {panel.name}, whose {_layers_come(stack.layers)} to {comes} as it stands",
                f"{wanted}, within {measure.panel_text(panel.tolerance_mm)}",
                "change Repeats or Plies, the layers, or the thickness wanted; Lay-up says what would come closest",
                Harm.DOUBTFUL,
            )  # fmt: skip


def _layers_come(layers: int) -> str:
    return "1 layer comes" if layers == 1 else f"{layers} layers and glue lines come"


def _thin(needs: Sequence[Need], inputs: Inputs, measure: Measure) -> Iterator[CellProblem]:
    thinnest = inputs.shop.thinnest_slice_mm
    for need in needs:
        if need.sawn_mm < thinnest:
            place = need.target.place
            yield CellProblem(
                place.sheet, place.cell("thickness_mm"), f"a slice of {measure.text(need.sawn_mm)}",
                f"at least {measure.text(thinnest)}, the thinnest slice worth keeping",
                "ask for a thicker layer, or change Thinnest slice on Shop if your saw has shown that it can",
                Harm.DOUBTFUL,
            )  # fmt: skip


def _thinner_than_ever(
    needs: Sequence[Need], checks: Sequence[CheckedSlice], measure: Measure
) -> Iterator[CellProblem]:
    """Layers still to be sawn of a wood that has never come off so thin and been kept; said, not forbidden."""
    records: dict[str, list[tuple[float, bool]]] = {}
    for item in checks:
        if item.slice.species is not None and item.slice.mean_mm is not None:
            records.setdefault(item.slice.species, []).append((item.slice.mean_mm, item.slice.row.use))
    kept = {species: thinnest_kept(record) for species, record in records.items()}
    for need in needs:
        thinnest = kept.get(need.species)
        if thinnest is not None and need.have < need.layers and need.sawn_mm < CLEARLY_THINNER * thinnest:
            place = need.target.place
            yield CellProblem(
                place.sheet, place.cell("thickness_mm"),
                f"a slice of {measure.text(need.sawn_mm)} of {need.species}, thinner than any on Measurements",
                f"no thinner than {measure.text(thinnest)}, the thinnest of this wood that was kept",
                "nothing, if your saw can; saw one and look at it before the others, as the saw's manual allows",
                Harm.NOTED,
            )  # fmt: skip


def _apart(learned: Learned, measure: Measure) -> Iterator[CellProblem]:
    for item, flag in learned.apart:
        off = f"{measure.text(abs(flag.deviation_mm))} {'over' if flag.deviation_mm > 0 else 'under'}"
        yield CellProblem(
            item.row.place.sheet, item.row.place.cell("set_mm"),
            f"slice {item.row.slice}, which came off {off} the other {item.species} slices for what was set",
            "readings that agree with one another",
            "look at the setting and the readings; the slice is judged as it stands, but left out of the offset",
            Harm.DOUBTFUL,
        )  # fmt: skip


def _overspent(states: Mapping[str, BoardState], measure: Measure) -> Iterator[CellProblem]:
    for state in states.values():
        over = total_mm([state.position_mm, -state.first_usable_mm])
        if over > 0.0:
            place = state.board.place
            used, most = measure.board_texts(state.position_mm, state.first_usable_mm)
            yield CellProblem(
                place.sheet, place.cell("thickness_mm"),
                f"board {state.board.board}, whose {counted(state.sawn, 'slice')} "
                f"used up {used}",
                f"no more than {most}, what truing and holding leave",
                "give the thickness before the first pass, or correct Board or Set thickness on Measurements",
                Harm.DOUBTFUL,
            )  # fmt: skip


def _unsure(states: Mapping[str, BoardState]) -> Iterator[CellProblem]:
    for state in states.values():
        for item in state.unsure:
            yield CellProblem(
                item.row.place.sheet, item.row.place.cell("set_mm"),
                f"slice {item.row.slice} with neither a setting nor a reading", "what was set, or one reading",
                "type either; until then it counts like the thickest setting used on its board",
                Harm.DOUBTFUL,
            )  # fmt: skip


def _unwanted(checks: Sequence[CheckedSlice]) -> Iterator[CellProblem]:
    for item in checks:
        if item.need is None and item.slice.species is not None and item.slice.mean_mm is not None:
            yield CellProblem(
                item.slice.row.place.sheet, item.slice.row.place.cell("slice"),
                f"slice {item.slice.row.slice} of {item.slice.species}", "a wood that Targets asks for",
                f"add a layer of {item.slice.species} to Targets, or leave the slice as a spare",
                Harm.NOTED,
            )  # fmt: skip
