"""Workbooks written part by part (ECMA-376), so that a test can have what a spreadsheet leaves behind."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date
from xml.sax.saxutils import escape, quoteattr

from compiler.shape import Value
from flockbook.gathering.sheets import column_letters

MAIN_NAMES = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
TYPES = "application/vnd.openxmlformats-officedocument.spreadsheetml"
DAY_STYLE, NOUGHTS_STYLE = 1, 2
FIRST_DAY = date(1899, 12, 30)  # day 0 of a spreadsheet's calendar, for days after February 1900


class Wrong(Value):
    """A cell with an error, such as `#N/A`."""

    text: str


class Uncounted(Value):
    """A formula of which the file holds no value."""

    text: str


class Padded(Value):
    """A number shown as `0000`."""

    number: int


WorkbookCell = str | int | float | date | Wrong | Uncounted | Padded | None


def workbook(sheets: Mapping[str, Sequence[Sequence[WorkbookCell]]]) -> bytes:
    """The bytes of a workbook: name → rows of cells, the first row being row 1."""
    made, numbers = io.BytesIO(), range(1, len(sheets) + 1)
    with zipfile.ZipFile(made, "w") as parts:
        parts.writestr("[Content_Types].xml", content_types(len(sheets)))
        parts.writestr("_rels/.rels", relations([("rId1", "officeDocument", "xl/workbook.xml")]))
        named = "".join(
            f'<sheet name={quoteattr(name)} sheetId="{number}" r:id="rId{number}"/>'
            for number, name in zip(numbers, sheets, strict=True)
        )
        parts.writestr(
            "xl/workbook.xml", f'<workbook {MAIN_NAMES} xmlns:r="{OFFICE}"><sheets>{named}</sheets></workbook>'
        )
        leads = [(f"rId{number}", "worksheet", f"worksheets/sheet{number}.xml") for number in numbers]
        parts.writestr("xl/_rels/workbook.xml.rels", relations([*leads, ("rId99", "styles", "styles.xml")]))
        parts.writestr("xl/styles.xml", STYLES)
        for number, rows in zip(numbers, sheets.values(), strict=True):
            parts.writestr(f"xl/worksheets/sheet{number}.xml", sheet_part(rows))
    return made.getvalue()


def content_types(many: int) -> str:
    """The part that names the sort of every other."""
    said = "".join(
        f'<Override PartName="/xl/{path}.xml" ContentType="{TYPES}.{sort}+xml"/>'
        for path, sort in [
            ("workbook", "sheet.main"), ("styles", "styles"),
            *((f"worksheets/sheet{number}", "worksheet") for number in range(1, many + 1)),
        ]
    )  # fmt: skip
    return (
        f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" '
        f'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>{said}</Types>'
    )


def relations(leads: Sequence[tuple[str, str, str]]) -> str:
    """A part that leads to others."""
    said = "".join(f'<Relationship Id="{id}" Type="{OFFICE}/{sort}" Target="{path}"/>' for id, sort, path in leads)
    return f'<Relationships xmlns="{PACKAGE}/relationships">{said}</Relationships>'


STYLES = (
    f'<styleSheet {MAIN_NAMES}><numFmts count="1"><numFmt numFmtId="164" formatCode="0000"/></numFmts>'
    "<fonts><font/></fonts><fills><fill/></fills><borders><border/></borders><cellStyleXfs><xf/></cellStyleXfs>"
    '<cellXfs><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="164" applyNumberFormat="1"/>'
    "</cellXfs></styleSheet>"
)


def sheet_part(rows: Sequence[Sequence[WorkbookCell]]) -> str:
    """One sheet."""
    said = ""
    for number, row in enumerate(rows, 1):
        cells = (cell_part(f"{column_letters(place)}{number}", cell) for place, cell in enumerate(row))
        said += f'<row r="{number}">{"".join(cells)}</row>'
    return f"<worksheet {MAIN_NAMES}><sheetData>{said}</sheetData></worksheet>"


def cell_part(name: str, cell: WorkbookCell) -> str:
    """One cell."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f'<c r="{name}" t="inlineStr"><is><t xml:space="preserve">{escape(cell)}</t></is></c>'
    if isinstance(cell, Wrong):
        return f'<c r="{name}" t="e"><f>VLOOKUP(A1,B:B,1)</f><v>{cell.text}</v></c>'
    if isinstance(cell, Uncounted):
        return f'<c r="{name}"><f>{escape(cell.text)}</f></c>'
    if isinstance(cell, Padded):
        return f'<c r="{name}" s="{NOUGHTS_STYLE}"><v>{cell.number}</v></c>'
    if isinstance(cell, date):
        return f'<c r="{name}" s="{DAY_STYLE}"><v>{(cell - FIRST_DAY).days}</v></c>'
    return f'<c r="{name}"><v>{cell!r}</v></c>'
