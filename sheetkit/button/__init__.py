"""A button for LibreOffice: saves the open job, refreshes it with the sheetkit that made the button, opens it again.

`build` makes the extension. `component`, `document` and `engine` travel in it, under the name `sheetkit_button`, and
run on whatever Python the office program has: 3.8 or newer and its own library, nothing else.
"""
