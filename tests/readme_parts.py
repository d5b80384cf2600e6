"""Writes those parts of the README that the program itself decides: ``python tests/readme_parts.py``.

Between a start and an end comment stand the tables of the schema, the help of each command, the result sheets, and what
a command prints on a demo.
"""

import re
import runpy
import tempfile
from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner

from sheetkit.cli import main
from sheetkit.report.tabs import PURPOSES, TITLES
from sheetkit.tables.schema import INPUT_SHEETS, SheetSpec

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
PART = re.compile(r"(<!-- part: (?P<name>.+?) -->\n).*?(<!-- end of part -->)", re.DOTALL)


def table_of(spec: SheetSpec) -> str:
    """One sheet as a Markdown table."""
    first = "Setting" if spec.settings else "Column"
    lines = [
        f"**{spec.name}** — {spec.purpose}",
        "",
        f"| {first} | Unit | Empty means | What it is |",
        "|---|---|---|---|",
    ]
    for column in spec.columns:
        unit = " or ".join(dict.fromkeys(u for u in (column.unit_inch, column.unit_metric) if u))
        empty = "the row is left out" if column.required else (column.default or "")
        choices = f" One of: {', '.join(column.choices)}." if column.choices else ""
        lines.append(f"| {column.heading} | {unit} | {empty} | {column.help}{choices} |")
    return "\n".join(lines)


def schema_tables() -> str:
    """Every input sheet."""
    return "\n\n".join(table_of(spec) for spec in INPUT_SHEETS)


def result_sheets() -> str:
    """Every result sheet and what is read there."""
    lines = ["| sheet | what you read there |", "|---|---|"]
    return "\n".join(lines + [f"| {title} | {PURPOSES[key]} |" for key, title in TITLES.items()])


def help_texts() -> str:
    """What each command says of itself."""
    shown = [
        CliRunner().invoke(main, [name, "--help"], terminal_width=80, prog_name="sheetkit").output
        for name in main.commands
    ]
    return "\n\n".join(f"```text\n{text.strip()}\n```" for text in shown)


type_in = runpy.run_path(str(ROOT / "demo_workbooks" / "make_demos.py"))["type_in"]


def printed_by(command: str) -> str:
    """What a command prints, run on the demos as the maker typed them, so that it says "refreshed"."""
    words = command.split()[1:]
    with tempfile.TemporaryDirectory() as folder:
        copies = {word: Path(folder) / Path(word).name for word in words if "/" in word}
        for copy in copies.values():
            type_in(copy.name, copy)
        told = CliRunner().invoke(main, [str(copies.get(word, word)) for word in words], prog_name="sheetkit").output
        for name, copy in copies.items():
            told = told.replace(str(copy), name)
    return f"```text\n$ {command}\n{told.strip()}\n```"


PARTS: dict[str, Callable[[], str]] = {
    "tables of the schema": schema_tables,
    "result sheets": result_sheets,
    "help": help_texts,
}


def with_parts(text: str) -> str:
    """The README's text with its parts as the program gives them."""

    def part(found: re.Match[str]) -> str:
        name = found["name"]
        made = PARTS[name]() if name in PARTS else printed_by(name)
        return f"{found[1]}{made}\n{found[3]}"

    return PART.sub(part, text)


if __name__ == "__main__":
    README.write_text(with_parts(README.read_text("utf-8")), "utf-8")
