"""Plays the maker in a running LibreOffice; run by the Python that has its bridge: ``python3 office_driver.py PIPE``.

Reads what to do from standard input as JSON, writes what it saw to standard output as JSON.
"""

import json
import sys
import threading
import time

import uno
import unohelper
from com.sun.star.awt import XCallback
from com.sun.star.beans import PropertyValue

COMMAND = "sheetkit.button:refresh"
LONGEST_S = 240


class Tell(unohelper.Base, XCallback):
    """Gets the button's message."""

    def __init__(self):
        self.message = None
        self.came = threading.Event()

    def notify(self, message):
        self.message = message
        self.came.set()


def value(name, content):
    return PropertyValue(name, 0, content, 0)


def connected(pipe):
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    end = time.monotonic() + 90
    while True:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            if time.monotonic() > end:
                raise
            time.sleep(0.3)


class Maker:
    """One window and what is done in it."""

    def __init__(self, context):
        self.context = context
        self.desktop = self.service("com.sun.star.frame.Desktop")

    def service(self, name):
        return self.context.ServiceManager.createInstanceWithContext(name, self.context)

    def open(self, path, arguments):
        url = uno.systemPathToFileUrl(path) if path.startswith("/") else path
        self.model = self.desktop.loadComponentFromURL(url, "_blank", 0, tuple(value(*one) for one in arguments))
        self.frame = self.model.CurrentController.Frame

    def cell(self, sheet, name):
        return self.model.Sheets.getByName(sheet).getCellRangeByName(name)

    def select(self, sheet, area):
        self.model.CurrentController.setActiveSheet(self.model.Sheets.getByName(sheet))
        self.model.CurrentController.select(self.cell(sheet, area))

    def command(self, url, *arguments):
        self.service("com.sun.star.frame.DispatchHelper").executeDispatch(
            self.frame, url, "", 0, tuple(value(*one) for one in arguments)
        )

    def press(self, told=True):
        url = uno.createUnoStruct("com.sun.star.util.URL")
        url.Complete = COMMAND
        _, url = self.service("com.sun.star.util.URLTransformer").parseStrict(url)
        dispatch = self.frame.queryDispatch(url, "_self", 0)
        if dispatch is None:
            return None
        if not told:
            return dispatch.dispatch(url, ())
        tell = Tell()
        dispatch.dispatch(url, (value("Tell", tell),))
        tell.came.wait(LONGEST_S)
        return tell.message

    def seen(self):
        """What stands in the window now."""
        model = self.frame.getController().getModel()
        seen = {"url": model.getURL(), "modified": model.isModified(), "documents": self.documents()}
        if hasattr(model, "Sheets"):
            seen["sheets"] = list(model.Sheets.ElementNames)
            seen["shown"] = model.CurrentController.ActiveSheet.Name
            seen["selected"] = model.CurrentSelection.AbsoluteName
        return model, seen

    def documents(self):
        return [one.getURL() for one in self.desktop.Components]


def texts(model, sheet, rows, columns):
    area = model.Sheets.getByName(sheet)
    return [[area.getCellByPosition(column, row).getString() for column in range(columns)] for row in range(rows)]


def do(maker, wish):
    maker.open(wish["open"], wish.get("arguments", []))
    for sheet, name, content in wish.get("type", []):
        cell = maker.cell(sheet, name)
        cell.setString(content) if isinstance(content, str) else cell.setValue(content)
    if "select" in wish:
        maker.select(*wish["select"])
    if "protect" in wish:
        maker.model.protect(wish["protect"])
    if "typing" in wish:
        maker.command(".uno:SetInputMode")
        maker.command(".uno:InsertSymbol", ("Symbols", wish["typing"]), ("FontName", "Liberation Sans"))
    if "remove" in wish:
        import shutil

        shutil.rmtree(wish["remove"])
    if "store" in wish:
        path, password = wish["store"]
        kind = "calc8" if path.endswith(".ods") else "Calc MS Excel 2007 XML"
        arguments = (value("FilterName", kind), value("Password", password))
        maker.model.storeToURL(uno.systemPathToFileUrl(path), arguments)
        return {}
    if "press_untold" in wish:
        maker.press(told=False)
        time.sleep(3)
    told = maker.press()
    model, seen = maker.seen()
    seen["told"] = told
    seen["read"] = {
        f"{sheet}!{name}": model.Sheets.getByName(sheet).getCellRangeByName(name).getString()
        for sheet, name in wish.get("read", [])
    }
    if "Summary" in seen.get("sheets", []):
        seen["summary"] = texts(model, "Summary", 14, 6)
    return seen


def registered(context):
    """Button and menu entry as the office program's own settings hold them."""
    provider = context.ServiceManager.createInstanceWithContext(
        "com.sun.star.configuration.ConfigurationProvider", context
    )

    def at(path):
        return provider.createInstanceWithArguments(
            "com.sun.star.configuration.ConfigurationAccess", (value("nodepath", path),)
        )

    addons = "/org.openoffice.Office.Addons/AddonUI"
    menu = at(f"{addons}/AddonMenu/sheetkit.button.Menu")
    merging = at(f"{addons}/OfficeToolbarMerging/sheetkit.button.Bars/01")
    image = at(f"{addons}/Images/sheetkit.button.Image/UserDefinedImages")
    button = merging.getByName("ToolBarItems").getByName("01")
    handler = at("/org.openoffice.Office.ProtocolHandler/HandlerSet/sheetkit.button.Handler")
    return {
        "menu": [menu.getByName(name) for name in ("URL", "Title", "Context")],
        "button": [button.getByName(name) for name in ("URL", "Title", "Context")],
        "bar": [merging.getByName(name) for name in ("MergeToolBar", "MergePoint", "MergeContext")],
        "images": [image.getByName(name) for name in ("ImageSmallURL", "ImageBigURL")],
        "protocols": list(handler.getByName("Protocols")),
    }


def close_all(maker):
    for one in list(maker.desktop.Components):
        if hasattr(one, "setModified"):
            one.setModified(False)
        one.close(True)


def main():
    context = connected(sys.argv[1])
    maker = Maker(context)
    wish = json.load(sys.stdin)
    if wish == "settings":
        print(json.dumps(registered(context)))
    elif wish == "stop":
        maker.desktop.terminate()
    else:
        try:
            print(json.dumps(do(maker, wish)))
        finally:
            close_all(maker)


main()
