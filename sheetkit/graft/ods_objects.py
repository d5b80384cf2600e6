"""Charts and pictures of result sheets: members of their own in the .ods package, and the frames that show them."""

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from odf import draw
from odf.element import Element
from odf.namespaces import DRAWNS
from odf.svg import Desc, Title

from sheetkit.graft.ods_cells import Place
from sheetkit.graft.ods_charts import CHART_TYPE, Saying, chart_document, ranges_of, saying_names
from sheetkit.graft.ods_styles import mm
from sheetkit.reading.archive import fold
from sheetkit.report.model import Chart, Picture, ReportSheet

_CHART_FOLDER = "sheetkit-chart-"
_PICTURE = "Pictures/sheetkit-"


@dataclass(slots=True)
class Objects:
    """Gives out member names and keeps what goes into them.

    Attributes:
        present: the package's entry names
        removed: those of them that go
        members: name and content of each new member
        entries: full path and media type of each new entry of the manifest
    """

    present: Collection[str]
    removed: frozenset[str] = frozenset()
    members: list[tuple[str, bytes]] = field(default_factory=list)
    entries: list[tuple[str, str]] = field(default_factory=list)
    _count: int = 0

    def frames(self, sheet: ReportSheet, tab: str, style: str) -> Mapping[Place, list[Element]]:
        """The frames of the sheet's charts and pictures, by the cell they hang on.

        Args:
            sheet: the sheet they stand on
            tab: the name its tab has
            style: name of the frames' style
        """
        frames: dict[Place, list[Element]] = {}
        saying = saying_names(sheet)
        shown: list[Chart | Picture] = [*sheet.charts, *sheet.pictures]
        for order, each in enumerate(shown):
            frame = draw.Frame(
                name=f"{sheet.key} {order + 1}",
                zindex=str(order),
                width=mm(each.width_mm),
                height=mm(each.height_mm),
                x="0mm",
                y="0mm",
            )
            frame.setAttrNS(DRAWNS, "style-name", style)
            for part in self._chart(sheet, each, tab, saying) if isinstance(each, Chart) else self._picture(each):
                frame.addElement(part)
            frames.setdefault((each.row, each.column), []).append(frame)
        return frames

    def _chart(self, sheet: ReportSheet, chart: Chart, tab: str, saying: Saying) -> list[Element]:
        """Keep a chart's members; what its frame holds."""
        folder = self._free_folder()
        content, styles = chart_document(sheet, chart, tab, saying)
        self.members += [(f"{folder}/content.xml", content), (f"{folder}/styles.xml", styles)]
        self.entries += [
            (f"{folder}/", CHART_TYPE),
            (f"{folder}/content.xml", "text/xml"),
            (f"{folder}/styles.xml", "text/xml"),
        ]
        shown = draw.Object(href=f"./{folder}", type="simple", show="embed", actuate="onLoad",
                            notifyonupdateofranges=ranges_of(chart, tab))  # fmt: skip
        return [shown, Title(text=chart.title)]

    def _picture(self, picture: Picture) -> list[Element]:
        """Keep a picture's member, once for equal ones; what its frame holds."""
        name = f"{_PICTURE}{hashlib.sha256(picture.png).hexdigest()[:20]}.png"
        if name not in (known for known, _ in self.members):
            self.members.append((name, picture.png))
            self.entries.append((name, "image/png"))
        return [
            draw.Image(href=name, type="simple", show="embed", actuate="onLoad"),
            Desc(text=picture.description),
        ]

    def _free_folder(self) -> str:
        """A folder name that nothing in the package uses."""
        staying = {fold(name) for name in self.present} - {fold(name) for name in self.removed}
        while True:
            self._count += 1
            folder = f"{_CHART_FOLDER}{self._count}"
            if not any(name == folder or name.startswith(f"{folder}/") for name in staying):
                return folder
