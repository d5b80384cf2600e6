"""Writes the README's tables of sheets, columns and settings from the schema: ``python tests/readme_tables.py``."""

from pathlib import Path

from sheetkit.tables.schema import INPUT_SHEETS, SheetSpec

README = Path(__file__).parents[1] / "README.md"
START, END = "<!-- tables from the schema: start -->", "<!-- tables from the schema: end -->"


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


def with_tables(text: str) -> str:
    """The README's text with its tables as the schema gives them."""
    before, rest = text.split(START)
    after = rest.split(END)[1]
    tables = "\n\n".join(table_of(spec) for spec in INPUT_SHEETS)
    return f"{before}{START}\n{tables}\n{END}{after}"


if __name__ == "__main__":
    README.write_text(with_tables(README.read_text("utf-8")), "utf-8")
