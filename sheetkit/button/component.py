"""What LibreOffice calls when the button is pressed: the only part that knows its objects. Travels in the extension.

Kept thin; what can be decided without the office program stands in `document` and `engine`. The steps: look whether the
document can be refreshed, save it, remember where the maker was, put a page that says "wait" in its place, let
sheetkit work in the background, open the document again, go back to the place, tell what came of it.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from typing import Any

import uno
import unohelper
from com.sun.star.awt import XCallback
from com.sun.star.awt.MessageBoxType import INFOBOX, WARNINGBOX
from com.sun.star.beans import PropertyValue
from com.sun.star.frame import FeatureStateEvent, XDispatch, XDispatchProvider
from com.sun.star.lang import XInitialization
from com.sun.star.uno import Exception as OfficeError

from sheetkit.button import document as documents
from sheetkit.button import engine as engines

NAME = "sheetkit.button.Handler"
COMMAND = "sheetkit.button:refresh"
TITLE = "sheetkit"
OK = 1
"""com.sun.star.awt.MessageBoxButtons.BUTTONS_OK."""
TELL = "Tell"
"""Argument of the command: an XCallback that gets the message instead of a box, for macros and tests."""
BY_CONFIGURATION = 4
"""com.sun.star.document.MacroExecMode.USE_CONFIG: macros run or not as the maker has set."""


class Later(unohelper.Base, XCallback):  # type: ignore[misc]
    """Runs a function in the office program's own loop, outside the click that asked for it."""

    def __init__(self, function: Callable[[], None]) -> None:
        self.function = function

    def notify(self, _data: Any) -> None:
        """Called by the office program."""
        self.function()


class Press:
    """One press of the button.

    Args:
        context: the component's context
        frame: the window that the button was pressed in
        tell: XCallback that gets the message; None shows it in a box
    """

    def __init__(self, context: Any, frame: Any, tell: Any) -> None:
        self.context, self.frame, self.tell = context, frame, tell
        self.path = self.url = ""
        self.place: Any = None

    def later(self, step: Callable[[], None]) -> None:
        """Do a step when the office program has time; what goes wrong in it is told."""

        def safely() -> None:
            try:
                step()
            except Exception as refused:  # the last place where it can still be told
                self.say(False, documents.step_failed(self.path, str(refused)))

        service(self.context, "com.sun.star.awt.AsyncCallback").addCallback(Later(safely), None)

    def start(self) -> None:
        """Everything up to closing the document; a refusal leaves it open, with all its changes."""
        model = self.frame.getController().getModel()
        facts = described(model)
        engine = engines.baked_in()
        refusal = documents.why_not(facts) or engines.missing(engine)
        if refusal:
            self.say(False, refusal)
            return
        self.path, self.url = facts.path, model.getURL()
        self.place = place_in(model)
        finish_typing(self.context, self.frame)
        if self._saved(model) and self._put_aside(model):
            threading.Thread(target=self._work, args=(engine,), daemon=True).start()

    def _saved(self, model: Any) -> bool:
        if not model.isModified():
            return True
        try:
            model.store()
        except OfficeError as refused:
            self.say(False, documents.not_saved(self.path, refused.Message))
            return False
        return True

    def _put_aside(self, model: Any) -> bool:
        """Show a page that says "wait" in the document's window; with that the document closes."""
        wait = None
        with contextlib.suppress(OfficeError):
            wait = self.frame.loadComponentFromURL("private:factory/scalc", "_self", 0, (value("ReadOnly", True),))
        if wait is None:
            self.say(False, documents.not_closed(self.path))
            return False
        words = documents.wait(self.path)
        wait.setTitle(words)
        wait.getSheets().getByIndex(0).getCellByPosition(0, 0).setString(words)
        wait.setModified(False)
        with contextlib.suppress(OfficeError):
            model.close(False)
        return True

    def _work(self, engine: engines.Engine) -> None:
        answer = engines.refresh(engine, self.path)
        self.later(lambda: self._open_again(answer))

    def _open_again(self, answer: engines.Answer) -> None:
        model = self._loaded()
        if model is None:
            self.say(False, documents.not_opened(self.path, answer.text))
            return
        show(model, self.place, answer.summary)
        self.say(answer.done, answer.text)

    def _loaded(self) -> Any:
        arguments = [value("MacroExecutionMode", BY_CONFIGURATION)]
        if self.tell is None:
            arguments.append(value("InteractionHandler", service(self.context, "com.sun.star.task.InteractionHandler")))
        desktop = service(self.context, "com.sun.star.frame.Desktop")
        for loader, target in ((self.frame, "_self"), (desktop, "_default")):
            # The maker may have closed the window meanwhile; then a new one is opened.
            with contextlib.suppress(OfficeError):
                model = loader.loadComponentFromURL(self.url, target, 0, tuple(arguments))
                if model is not None:
                    self.frame = model.getCurrentController().getFrame()
                    return model
        return None

    def say(self, done: bool, message: str) -> None:
        """Tell the maker; where nothing can be shown, LibreOffice drops the box at once."""
        if self.tell is not None:
            self.tell.notify(message)
            return
        window = None
        with contextlib.suppress(OfficeError):
            window = self.frame.getContainerWindow()
        kind = INFOBOX if done else WARNINGBOX
        service(self.context, "com.sun.star.awt.Toolkit").createMessageBox(window, kind, OK, TITLE, message).execute()


class Handler(unohelper.Base, XInitialization, XDispatchProvider, XDispatch):  # type: ignore[misc]
    """Answers the command of button and menu entry in one window."""

    def __init__(self, context: Any) -> None:
        self.context = context
        self.frame: Any = None

    def initialize(self, arguments: Any) -> None:
        """Told by the office program which window it is for."""
        self.frame = arguments[0] if arguments else None

    def queryDispatch(self, url: Any, _target: str, _flags: int) -> Any:
        """Who carries a command out."""
        return self if url.Complete == COMMAND else None

    def queryDispatches(self, requests: Any) -> Any:
        """Who carries each of several commands out."""
        return tuple(self.queryDispatch(each.FeatureURL, each.FrameName, each.SearchFlags) for each in requests)

    def dispatch(self, _url: Any, arguments: Any) -> None:
        """The button was pressed."""
        tell = next((each.Value for each in arguments if each.Name == TELL), None)
        press = Press(self.context, self.frame, tell)
        press.later(press.start)

    def addStatusListener(self, listener: Any, url: Any) -> None:
        """The button can always be pressed; what stands in the way is told then."""
        listener.statusChanged(FeatureStateEvent(self, url, "", True, False, None))

    def removeStatusListener(self, _listener: Any, _url: Any) -> None:
        """Nothing to forget: the state never changes."""


def service(context: Any, name: str) -> Any:
    """One of the office program's services by its name."""
    return context.ServiceManager.createInstanceWithContext(name, context)


def value(name: str, content: Any) -> Any:
    """A named argument."""
    return PropertyValue(name, 0, content, 0)


def finish_typing(context: Any, frame: Any) -> None:
    """Put what is being typed into its cell, as Enter would: until then it is neither "modified" nor saved.

    Any command that first ends the typing would do; this one takes back nothing but a selection, which comes again.
    """
    service(context, "com.sun.star.frame.DispatchHelper").executeDispatch(frame, ".uno:Deselect", "", 0, ())


def described(model: Any) -> documents.Document:
    """What must be known of the open document before anything is done."""
    spreadsheet = model.supportsService("com.sun.star.sheet.SpreadsheetDocument")
    url = model.getURL()
    secrets = {"Password", "EncryptionData"}
    return documents.Document(
        spreadsheet=spreadsheet,
        title=model.getTitle(),
        path=uno.fileUrlToSystemPath(url) if url.startswith("file:") else "",
        read_only=model.isReadonly(),
        password=any(each.Name in secrets for each in model.getArgs()),
    )


def place_in(model: Any) -> documents.Place:
    """Where the maker is in the document."""
    controller, selected = model.getCurrentController(), model.getCurrentSelection()
    area = None
    if selected is not None and selected.supportsService("com.sun.star.sheet.SheetCellRange"):
        found = selected.getRangeAddress()
        area = (found.StartColumn, found.StartRow, found.EndColumn, found.EndRow)
    return documents.Place(
        sheet=controller.getActiveSheet().getName(),
        area=area,
        corner=(controller.getFirstVisibleColumn(), controller.getFirstVisibleRow()),
        sheets=tuple(model.getSheets().getElementNames()),
    )


def show(model: Any, place: documents.Place, summary: str) -> None:
    """Go back to where the maker was, or to Summary where that is new."""
    sheets, controller = model.getSheets(), model.getCurrentController()
    name = documents.where_to(place, summary, tuple(sheets.getElementNames()))
    if name is None:
        return
    sheet = sheets.getByName(name)
    controller.setActiveSheet(sheet)
    if name == place.sheet:
        if place.area:
            controller.select(sheet.getCellRangeByPosition(*place.area))
        controller.setFirstVisibleColumn(place.corner[0])
        controller.setFirstVisibleRow(place.corner[1])


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Handler, NAME, ("com.sun.star.frame.ProtocolHandler",))
