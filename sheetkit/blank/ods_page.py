"""What a blank .ods says of paper and of the window: pages that fit the width, and frozen headings.

Result sheets use the pages by their names; a graft into a workbook that has none leaves the maker's pages as they are.
"""

from collections.abc import Callable, Iterable, Mapping

from odf import config, style, text
from odf.element import Element
from odf.opendocument import OpenDocument

from sheetkit.graft.ods import LANDSCAPE_PAGE, UPRIGHT_PAGE

ACROSS, UPRIGHT = "blank-across", "blank-upright"
"""Names of the styles of a sheet that lies across the page, and of one that does not."""
PAPERS = {"in": ("279.4mm", "215.9mm"), "mm": ("297mm", "210mm")}
"""Longer and shorter side of Letter paper in an inch shop, else of A4."""
FROZEN = "2"
"""How the split of a window says that it is frozen."""


def add_pages(book: OpenDocument, unit: str) -> None:
    """Add a page that lies across and one that does not: each fits one page's width and says what it shows.

    Args:
        book: the document
        unit: "in" for Letter paper, "mm" for A4
    """
    long, short = PAPERS[unit]
    _add_page(book, LANDSCAPE_PAGE, {"pagewidth": long, "pageheight": short, "printorientation": "landscape"})
    _add_page(book, UPRIGHT_PAGE, {"pagewidth": short, "pageheight": long, "printorientation": "portrait"})


def _add_page(book: OpenDocument, name: str, size: Mapping[str, str]) -> None:
    """Add one; its number goes on from the sheet before."""
    layout = style.PageLayout(name=f"{name}_layout")
    fit = {"margin": "12mm", "scaletox": "1", "scaletoy": "0", "firstpagenumber": "continue"}
    layout.addElement(style.PageLayoutProperties(**size, **fit))
    for edge, margin in ((style.HeaderStyle, "marginbottom"), (style.FooterStyle, "margintop")):
        around = edge()
        around.addElement(
            style.HeaderFooterProperties(minheight="6mm", marginleft="0mm", marginright="0mm", **{margin: "2mm"})
        )
        layout.addElement(around)
    book.automaticstyles.addElement(layout)
    page = style.MasterPage(name=name, pagelayoutname=layout)
    page.addElement(_edge(style.Header, [text.SheetName(text="?")], [text.FileName(display="name-and-extension")]))
    pages = ["Page ", text.PageNumber(text="1"), " of ", text.PageCount(text="1")]
    page.addElement(_edge(style.Footer, [text.Date()], pages))
    book.masterstyles.addElement(page)


def _edge(kind: Callable[[], Element], left: Iterable[Element | str], right: Iterable[Element | str]) -> Element:
    """What stands above or below the sheet on each page, at the left and at the right."""
    made = kind()
    for region, parts in ((style.RegionLeft(), left), (style.RegionRight(), right)):
        words = text.P()
        for part in parts:
            if isinstance(part, str):
                words.addText(part)
            else:
                words.addElement(part)
        region.addElement(words)
        made.addElement(region)
    return made


def add_sheet_styles(book: OpenDocument) -> None:
    """Add the styles of sheets that are printed on the pages."""
    for name, page in ((ACROSS, LANDSCAPE_PAGE), (UPRIGHT, UPRIGHT_PAGE)):
        made = style.Style(name=name, family="table", masterpagename=page)
        made.addElement(style.TableProperties(display="true"))
        book.automaticstyles.addElement(made)


def add_frozen_rows(book: OpenDocument, rows: Mapping[str, int]) -> None:
    """Keep the first rows of each sheet in view.

    Args:
        book: the document
        rows: number of rows to keep, by sheet name
    """
    tables = config.ConfigItemMapNamed(name="Tables")
    for name, count in rows.items():
        entry = config.ConfigItemMapEntry(name=name)
        for item, kind, value in (
            ("VerticalSplitMode", "short", FROZEN),
            ("VerticalSplitPosition", "int", str(count)),
            ("ActiveSplitRange", "short", FROZEN),
            ("PositionBottom", "int", str(count)),
        ):
            entry.addElement(config.ConfigItem(name=item, type=kind, text=value))
        tables.addElement(entry)
    view = config.ConfigItemMapEntry()
    view.addElement(config.ConfigItem(name="ViewId", type="string", text="view1"))
    view.addElement(tables)
    views = config.ConfigItemMapIndexed(name="Views")
    views.addElement(view)
    settings = config.ConfigItemSet(name="ooo:view-settings")
    settings.addElement(views)
    book.settings.addElement(settings)
