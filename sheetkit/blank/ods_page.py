"""What a blank .ods says of paper and of the window: a landscape page that fits the width, and frozen headings.

Result sheets use the page by its name; a graft into a workbook that has none leaves the maker's pages as they are.
"""

from collections.abc import Callable, Iterable, Mapping

from odf import config, style, text
from odf.element import Element
from odf.opendocument import OpenDocument

from sheetkit.graft.ods import LANDSCAPE_PAGE

ACROSS = "blank-across"
"""Name of the style of a sheet that lies across the page."""
FROZEN = "2"
"""How the split of a window says that it is frozen."""


def add_landscape_page(book: OpenDocument) -> None:
    """Add a page that lies across, fits one page's width, and says which sheet it shows and which page it is."""
    layout = style.PageLayout(name=f"{LANDSCAPE_PAGE}_layout")
    size = {"pagewidth": "297mm", "pageheight": "210mm", "printorientation": "landscape"}
    layout.addElement(style.PageLayoutProperties(**size, margin="12mm", scaletox="1", scaletoy="0"))
    for edge, margin in ((style.HeaderStyle, "marginbottom"), (style.FooterStyle, "margintop")):
        around = edge()
        around.addElement(
            style.HeaderFooterProperties(minheight="6mm", marginleft="0mm", marginright="0mm", **{margin: "2mm"})
        )
        layout.addElement(around)
    book.automaticstyles.addElement(layout)
    page = style.MasterPage(name=LANDSCAPE_PAGE, pagelayoutname=layout)
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


def across_the_page(book: OpenDocument) -> str:
    """Add the style of a sheet that is printed on the landscape page; gives its name."""
    made = style.Style(name=ACROSS, family="table", masterpagename=LANDSCAPE_PAGE)
    made.addElement(style.TableProperties(display="true"))
    book.automaticstyles.addElement(made)
    return ACROSS


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
