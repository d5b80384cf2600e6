"""The extension as a file."""

import ast
import io
import json
import sys
import zipfile

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree
from PIL import Image

from sheetkit import __version__
from sheetkit.button.build import extension, make_button
from sheetkit.button.engine import Engine
from sheetkit.cli import main
from sheetkit.errors import CannotSave, UsageProblem

MANIFEST = "{http://openoffice.org/2001/manifest}"
OOR = "{http://openoffice.org/2001/registry}"
DESCRIPTION = "{http://openoffice.org/extensions/description/2006}"


@pytest.fixture(scope="module")
def package():
    return zipfile.ZipFile(io.BytesIO(extension(Engine("/shop/bin/python", __version__))))


def modules(package):
    return [name for name in package.namelist() if name.endswith(".py")]


def test_every_xml_file_in_it_is_well_formed(package):
    names = [name for name in package.namelist() if name.endswith((".xml", ".xcu"))]
    assert len(names) == 4
    for name in names:
        etree.fromstring(package.read(name))


def test_the_manifest_names_what_the_office_program_must_register_and_all_of_it_is_there(package):
    entries = {
        entry.get(f"{MANIFEST}full-path"): entry.get(f"{MANIFEST}media-type")
        for entry in etree.fromstring(package.read("META-INF/manifest.xml"))
    }
    settings = "application/vnd.sun.star.configuration-data"
    assert entries == {
        "Addons.xcu": settings,
        "ProtocolHandler.xcu": settings,
        "component.py": "application/vnd.sun.star.uno-component;type=Python",
    }
    assert entries.keys() <= set(package.namelist())


def test_the_description_gives_the_version_of_the_sheetkit_that_made_it(package):
    root = etree.fromstring(package.read("description.xml"))
    assert root.find(f"{DESCRIPTION}version").get("value") == __version__
    assert root.find(f"{DESCRIPTION}identifier").get("value") == "sheetkit.button"
    named = [value for each in root.iter() for key, value in each.attrib.items() if key.endswith("}href")]
    assert sorted(named) == ["about.txt", "icons/42.png"]
    assert set(named) <= set(package.namelist())


def test_the_settings_and_the_component_agree_on_handler_and_command(package):
    tree = ast.parse(package.read("component.py"))
    constants = {
        node.targets[0].id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
    }
    handler = etree.fromstring(package.read("ProtocolHandler.xcu"))
    assert constants["NAME"] in [node.get(f"{OOR}name") for node in handler.iter("node")]
    addons = etree.fromstring(package.read("Addons.xcu"))
    commands = [prop.findtext("value") for prop in addons.iter("prop") if prop.get(f"{OOR}name") == "URL"]
    assert commands == [constants["COMMAND"]] * 3


def test_where_sheetkit_is_travels_with_it(package):
    note = json.loads(package.read("pythonpath/sheetkit_button/where.json"))
    assert note == {"python": "/shop/bin/python", "version": __version__}


def test_what_travels_needs_nothing_but_the_office_programs_own_python(package):
    """LibreOffice 7.0 came with Python 3.8 (from memory)."""
    allowed = {*sys.stdlib_module_names, "uno", "unohelper", "com", "sheetkit_button"}
    assert len(modules(package)) == 4
    for name in modules(package):
        tree = ast.parse(package.read(name), feature_version=(3, 8))
        for node in ast.walk(tree):
            used = [node.module] if isinstance(node, ast.ImportFrom) else []
            used += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            assert {each.split(".")[0] for each in used} <= allowed, name


def test_the_pictures_have_the_sizes_of_buttons_and_show_something(package):
    for size in (16, 26, 42):
        picture = Image.open(io.BytesIO(package.read(f"icons/{size}.png")))
        assert picture.size == (size, size)
        assert picture.getpixel((0, 0))[3] == 0
        assert len({tuple(pixel[:3]) for pixel in np.asarray(picture).reshape(-1, 4).tolist() if pixel[3] == 255}) >= 3


def test_the_same_sheetkit_makes_the_same_file(package):
    engine = Engine("/shop/bin/python", __version__)
    assert extension(engine) == extension(engine)


def test_the_command_makes_it_and_says_what_to_do_next(tmp_path):
    path = tmp_path / "sheetkit.oxt"
    told = CliRunner().invoke(main, ["button", str(path)])
    assert told.exit_code == 0
    assert told.output == (
        f"{path}: made. Double-click it, or add it in LibreOffice under Tools > Extension Manager,\n"
        "then start LibreOffice again: the button stands beside Save in Calc, and under Tools > Add-Ons.\n"
    )
    with zipfile.ZipFile(path) as made:
        assert json.loads(made.read("pythonpath/sheetkit_button/where.json"))["python"] == sys.executable
    again = CliRunner().invoke(main, ["button", str(path), "--json"])
    assert json.loads(again.output) == [{"file": str(path), "python": sys.executable}]


def test_a_file_that_is_no_button_is_not_written_over(tmp_path):
    path = tmp_path / "mine.oxt"
    path.write_text("mine")
    with pytest.raises(CannotSave) as refused:
        make_button(path)
    assert str(refused.value) == (
        f"{path}: found another file of that name, wanted a new name. "
        "To fix: choose another name, or move that file away."
    )
    assert path.read_text() == "mine"


def test_a_button_for_a_folder_that_is_not_there_is_refused_in_words(tmp_path):
    path = tmp_path / "gone" / "sheetkit.oxt"
    with pytest.raises(CannotSave) as refused:
        make_button(path)
    assert str(refused.value) == (
        f"{path}: found a folder that refused the button (No such file or directory), wanted a folder that can be "
        "written to. To fix: choose another folder."
    )


def test_another_ending_and_a_python_without_sheetkit_are_refused(tmp_path):
    with pytest.raises(UsageProblem) as refused:
        make_button(tmp_path / "button.zip")
    assert str(refused.value) == (
        f"{tmp_path / 'button.zip'}: found the ending .zip, wanted .oxt. To fix: call it button.oxt."
    )
    with pytest.raises(UsageProblem) as refused:
        make_button(tmp_path / "button.oxt", python=str(tmp_path / "python"))
    assert str(refused.value) == (
        f"{tmp_path / 'python'}: found a Python that does not run sheetkit by itself, wanted one in which sheetkit is "
        "installed. To fix: install sheetkit with pip, and make the button with that."
    )
    assert list(tmp_path.iterdir()) == []
