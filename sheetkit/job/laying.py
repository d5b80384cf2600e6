"""The lay-up: which measured slice in which layer of which panel, and which way round."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.job.layers import Layer, PanelToMake
from sheetkit.job.measured import SawnSlice
from sheetkit.job.needs import SAME_MM, Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.layup import lay_up
from sheetkit.trade.layup_model import Corners, Layup, LayupOptions, MeasuredSlice, PanelLayup, WantedLayer, WantedPanel

SEARCHED_DIVISIONS = 0.1
"""Share of a caliper division below which no closer lay-up is searched for."""


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """One panel, or one of its copies, with the slice for each layer.

    Attributes:
        panel: the panel
        title: its name, with the number of the copy where there are several
        lay: what lies where, and how close it comes
        corners: finished thickness of each laid piece at its corners and middle, by the piece's name
    """

    panel: PanelToMake
    title: str
    lay: PanelLayup
    corners: dict[str, Corners]


@dataclass(frozen=True, slots=True)
class Laying:
    """The lay-up of the whole job.

    Attributes:
        panels: every panel and copy that has a measured slice
        layup: the choice as a whole: what is left out, and how good it is shown to be
    """

    panels: list[LaidPanel]
    layup: Layup


def lay_panels(panels: Sequence[PanelToMake], needs: Sequence[Need], inputs: Inputs) -> Laying | None:
    """Lay up every panel from the slices that serve; None while no slice has been measured."""
    pieces = [piece for need in needs for piece in _pieces(need, inputs)]
    if not pieces:
        return None
    wanted: list[WantedPanel] = []
    owners: list[tuple[PanelToMake, str]] = []
    for panel in panels:
        for copy in range(1, panel.copies + 1):
            title = panel.name if panel.copies == 1 else f"{panel.name}, copy {copy}"
            wanted.append(WantedPanel(title, tuple(_wanted(panel, layer) for layer in panel.layers)))
            owners.append((panel, title))
    options = LayupOptions(
        resolution_mm=inputs.shop.caliper_mm * SEARCHED_DIVISIONS,
        keep_order=inputs.job.keep_order,
        best_first=inputs.job.best_first,
    )
    layup = lay_up(pieces, wanted, options)
    used = {layer.slice_key for lay in layup.panels for layer in lay.layers}
    corners = {piece.key: piece.corners for piece in pieces if piece.key in used}
    laid = [LaidPanel(panel, title, lay, corners) for (panel, title), lay in zip(owners, layup.panels, strict=True)]
    return Laying(laid, layup)


def kind_of(panel: str, species: str, finished_mm: float) -> str:
    """What a slice can be used for: layers of one wood and thickness in panels of one size."""
    return f"{panel}/{species}/{round(finished_mm / SAME_MM)}"


def _wanted(panel: PanelToMake, layer: Layer) -> WantedLayer:
    return WantedLayer(kind_of(panel.name, layer.species, layer.finished_mm), layer.finished_mm, layer.tolerance_mm)


def _pieces(need: Need, inputs: Inputs) -> list[MeasuredSlice]:
    """The layers that the slices of a need give, each with its own corners."""
    pieces: list[MeasuredSlice] = []
    kind = kind_of(need.panel, need.species, need.finished_mm)
    for order, (item, count) in enumerate(need.slices):
        if item.mean_mm is None:
            continue
        number = item.number if item.number is not None else order
        name, grain = (item.board.board, item.board.grain or "") if item.board else ("", "")
        for place in range(count):
            pieces.append(
                MeasuredSlice(
                    key=piece_key(item, place, count),
                    kind=kind,
                    corners=piece_corners(item, place, count, inputs.shop.sanding_mm),
                    board=name,
                    sawn=number,
                    grain=grain,
                )
            )
    return pieces


def piece_key(item: SawnSlice, place: int, count: int) -> str:
    """Name of one of the equal pieces a slice is crosscut into: the slice's own where it stays whole."""
    return item.row.slice if count == 1 else f"{item.row.slice}{piece_letter(place)}"


def piece_letter(place: int) -> str:
    """The letter of a piece crosscut from a slice: a nearest the near end; after z come numbers."""
    return chr(ord("a") + place) if place < 26 else f"/{place + 1}"


def piece_corners(item: SawnSlice, place: int, count: int, sanding_mm: float) -> Corners:
    """Finished thickness of one of the equal pieces a slice is crosscut into, counted from the near end.

    A slice is taken to change evenly from end to end. Slices pressed together, or without all four corners, have
    their mean everywhere.
    """
    off = 2.0 * sanding_mm
    mean = (item.mean_mm or 0.0) - off
    row = item.row
    a, b, c, d = row.near_left_mm, row.near_right_mm, row.far_left_mm, row.far_right_mm
    if row.pressed > 1 or a is None or b is None or c is None or d is None:
        return Corners(mean, mean, mean, mean, mean)
    near_left, near_right, far_left, far_right = a - off, b - off, c - off, d - off
    near, far = place / count, (place + 1) / count
    mean_of_slice = (near_left + near_right + far_left + far_right) / 4.0
    bow = row.middle_mm - off - mean_of_slice if row.middle_mm is not None and count == 1 else 0.0
    near_middle = (near_left + near_right) / 2.0
    middle = near_middle + ((far_left + far_right) / 2.0 - near_middle) * ((near + far) / 2.0)
    return Corners(
        near_left_mm=near_left + (far_left - near_left) * near,
        near_right_mm=near_right + (far_right - near_right) * near,
        far_left_mm=near_left + (far_left - near_left) * far,
        far_right_mm=near_right + (far_right - near_right) * far,
        middle_mm=middle + bow,
    )
