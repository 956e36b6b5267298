"""Workbooks in OpenDocument (.ods), OASIS OpenDocument 1.3.

A table needs a dozen elements of the format, written as text; building a tree of them takes many
times as long.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape, quoteattr

from pennyspeed.services.exporters.table import MOST_DIGITS, Cell, Table
from pennyspeed.services.formulas import typed

MEDIA_TYPE = "application/vnd.oasis.opendocument.spreadsheet"

_NAMESPACES = " ".join(
    f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for prefix, name in (
        ("office", "office"),
        ("table", "table"),
        ("text", "text"),
        ("style", "style"),
        ("number", "datastyle"),
    )
)
_HEAD = f"""<?xml version="1.0" encoding="UTF-8"?>
<office:document-content {_NAMESPACES} office:version="1.3"><office:automatic-styles>\
<number:date-style style:name="N1"><number:year number:style="long"/><number:text>-</number:text>\
<number:month number:style="long"/><number:text>-</number:text><number:day number:style="long"/>\
</number:date-style><style:style style:name="day" style:family="table-cell" \
style:data-style-name="N1"/></office:automatic-styles><office:body><office:spreadsheet>"""
_TAIL = "</office:spreadsheet></office:body></office:document-content>"
_MANIFEST = f"""<?xml version="1.0" encoding="UTF-8"?>
<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" \
manifest:version="1.3"><manifest:file-entry manifest:full-path="/" manifest:version="1.3" \
manifest:media-type="{MEDIA_TYPE}"/><manifest:file-entry manifest:full-path="content.xml" \
manifest:media-type="text/xml"/></manifest:manifest>"""

# What XML 1.0 has no way to write, section 2.2.
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NO_CHARACTER = "\ufffd"
# A reader takes white space together, so each further space is an element, as tabs are.
_SPACES = re.compile(r" {2,}|^ | $")


def ods_content(table: Table, decimal: str) -> bytes:
    """Return a table as a workbook of one sheet; the person's program chooses the decimal mark."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as packed:
        # First and not deflated, so that the kind of file can be read off its bytes.
        packed.writestr("mimetype", MEDIA_TYPE, zipfile.ZIP_STORED)
        packed.writestr("content.xml", "".join(_document(table)))
        packed.writestr("META-INF/manifest.xml", _MANIFEST)
    return content.getvalue()


def _document(table: Table) -> Iterator[str]:
    yield _HEAD
    yield f"<table:table table:name={quoteattr(table.name)}>"
    yield f'<table:table-column table:number-columns-repeated="{len(table.header)}"/>'
    for row in (table.header, *table.rows):
        yield f"<table:table-row>{''.join(map(_cell, row))}</table:table-row>"
    yield f"</table:table>{_TAIL}"


def _cell(cell: Cell) -> str:
    match cell:
        case None | "":
            return "<table:table-cell/>"
        case str():
            return _text_cell(cell)
        case Decimal() if len(cell.as_tuple().digits) > MOST_DIGITS:
            return _text_cell(str(cell))
        case date():
            day = cell.isoformat()
            return (
                '<table:table-cell table:style-name="day" office:value-type="date" '
                f'office:date-value="{day}"><text:p>{day}</text:p></table:table-cell>'
            )
        case _:
            number = f"{cell:f}" if isinstance(cell, Decimal) else f"{cell:.10g}"
            return (
                f'<table:table-cell office:value-type="float" office:value="{number}">'
                f"<text:p>{number}</text:p></table:table-cell>"
            )


def _text_cell(text: str) -> str:
    return (
        '<table:table-cell office:value-type="string">'
        f"{_paragraphs(typed(text))}</table:table-cell>"
    )


def _paragraphs(text: str) -> str:
    lines = _NO_XML.sub(_NO_CHARACTER, text).split("\n")
    return "".join(f"<text:p>{_line(line)}</text:p>" for line in lines)


def _line(line: str) -> str:
    line = escape(line, {"\t": "<text:tab/>", "\r": "&#13;"})
    return _SPACES.sub(lambda run: f'<text:s text:c="{len(run[0])}"/>', line)
