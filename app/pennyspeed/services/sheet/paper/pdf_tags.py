"""Tags: structure, language and true text for the PDF that Qt writes, which has none of them.

While a page is painted, a tiny square far outside it precedes each thing; here the squares become
the marks that tie the page's content to the document's elements (ISO 32000-1, 14.6 to 14.8). Qt
tells the wrong letter for a glyph that a font feature put in another's place, such as a tabular
figure, and TAB for a space: since it is known which text was painted, the letters are set right.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, String

from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.paper.page_items import Element, PageItem, Run

_FAR, _UP, _SIDE = 100_000, 7, 3
_MARK = re.compile(rb"-1(\d{5}) -7 3 3 re\nf\n")
_FONT = re.compile(rb"/F(\d+) (?=[\d.]+ Tf)")
_SHOWN = re.compile(rb"/F(\d+) [\d.]+ Tf|<([0-9A-F]+)> Tj")
_DATE = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d")
_MOST = 99_999


@dataclass
class Marks:
    """What was painted, page by page, in order."""

    pages: list[list[PageItem]] = field(default_factory=list)

    def begin_page(self) -> None:
        """Take what follows as painted on the next page."""
        self.pages.append([])

    def square_before(self, thing: PageItem) -> tuple[float, float, float, float] | None:
        """Return the square to be painted before the next thing: left, top, width and height.

        None where it goes with the one before.
        """
        things = self.pages[-1]
        before = things[-1] if things else None
        is_text = isinstance(thing, Run) or isinstance(before, Run)
        if before is not None and not is_text and before.element is thing.element:
            return None
        # without room for another number what follows goes with the last
        if len(things) >= _MOST:
            return None
        things.append(thing)
        return 1 - _FAR - len(things), -_UP, _SIDE, _SIDE


def tagged(
    data: bytes, root: Element, marks: Marks, sheet: Sheet, made: datetime, family: str
) -> bytes:
    """Return the PDF with structure, language, true letters and a fixed date.

    Parameters
    ----------
    data : bytes
        As Qt wrote it.
    root : Element
    marks : Marks
    sheet : Sheet
    made : datetime
        In UTC.
    family : str
        Of the shipped fonts, whose letters are set right.
    """
    with pikepdf.open(io.BytesIO(data)) as pdf:
        tagger = _Tagger(pdf, marks, family)
        for number in range(len(pdf.pages)):
            tagger.page(number)
        tagger.fonts()
        tagger.structure(root)
        _describe(pdf, sheet, made)
        ordered = io.BytesIO()
        pdf.save(ordered, object_stream_mode=pikepdf.ObjectStreamMode.disable, static_id=True)
    # Objects are numbered by now in the order in which they are reached. Packed at once they would
    # go in the order of Qt's numbers, which is another one in every process.
    out = io.BytesIO()
    with pikepdf.open(ordered) as pdf:
        pdf.save(
            out,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            deterministic_id=True,
        )
    return out.getvalue()


class _Tagger:
    def __init__(self, pdf: pikepdf.Pdf, marks: Marks, family: str) -> None:
        self.pdf, self.marks, self.family = pdf, marks, family
        self.content: dict[int, list[tuple[int, int]]] = {}
        """Element, by its id(), to its pages and marks on them."""
        self.owners: list[list[Element]] = []
        """Page to the element of each mark."""
        self.letters: dict[str, dict[int, str]] = {}
        self.names: dict[str, str] = {}

    def page(self, number: int) -> None:
        """Put marks around what belongs to elements, and 'artifact' around the rest."""
        page = self.pdf.pages[number]
        things = self.marks.pages[number]
        owners: list[Element] = []
        raw = page.obj.Contents.read_bytes()
        own_fonts = {
            name.removeprefix("/F"): str(font.BaseFont)
            for name, font in page.obj.Resources.Font.items()
        }
        out = [b"/Artifact BMC\n"]
        at = 0
        text: str | None = None
        for found in _MARK.finditer(raw):
            piece = raw[at : found.start()]
            out.append(piece)
            if text is not None:
                self._learn(piece, text, own_fonts)
            at = found.end()
            thing = things[int(found[1])]
            out.append(b"EMC\n")
            text = thing.text if isinstance(thing, Run) else None
            if thing.element is None:
                out.append(b"/Artifact BMC\n")
                continue
            mark = len(owners)
            owners.append(thing.element)
            self.content.setdefault(id(thing.element), []).append((number, mark))
            out.append(_begin(thing, mark))
        piece = raw[at:]
        if text is not None:
            self._learn(piece, text, own_fonts)
        out += [piece, b"EMC\n"]
        self.owners.append(owners)
        page.obj.Contents = self.pdf.make_stream(self._renamed(b"".join(out), page))

    def _learn(self, piece: bytes, text: str, fonts: dict[str, str]) -> None:
        """Note which letter each glyph stands for, where glyphs and letters are one to one."""
        font, glyphs = "", []
        for found in _SHOWN.finditer(piece):
            if found[1]:
                font = found[1].decode()
                if not fonts.get(font, "").startswith(f"/{self.family}"):
                    return
            else:
                shown = found[2]
                glyphs += [(font, int(shown[i : i + 4], 16)) for i in range(0, len(shown), 4)]
        if len(glyphs) != len(text):
            return
        for (name, glyph), letter in zip(glyphs, text, strict=True):
            self.letters.setdefault(name, {})[glyph] = letter

    def _renamed(self, content: bytes, page: pikepdf.Page) -> bytes:
        """Name fonts by the order in which they are met: Qt's numbers differ from run to run."""
        for found in _FONT.finditer(content):
            self.names.setdefault(found[1].decode(), f"T{len(self.names) + 1}")
        fonts = page.obj.Resources.Font
        used = {found.decode() for found in _FONT.findall(content)}
        met = [one for one in self.names if one in used]
        renamed = {f"/{self.names[one]}": fonts[f"/F{one}"] for one in met}
        page.obj.Resources.Font = Dictionary(renamed)
        return _FONT.sub(lambda one: f"/{self.names[one[1].decode()]} ".encode(), content)

    def fonts(self) -> None:
        """Set the letters right that the shipped fonts' glyphs stand for."""
        old_names = {f"/{new}": old for old, new in self.names.items()}
        done = set()
        for page in self.pdf.pages:
            for name, font in page.obj.Resources.Font.items():
                if name in done:
                    continue
                done.add(name)
                self._name(font, len(done))
                letters = self.letters.get(old_names[name])
                if letters:
                    font.ToUnicode = self.pdf.make_stream(_to_unicode(letters))

    def _name(self, font: pikepdf.Object, number: int) -> None:
        """Give a subset its tag, six letters and a plus (ISO 32000-1, 9.6.4), by its number."""
        tag = "".join(chr(ord("A") + number // 26**place % 26) for place in range(6))
        whole = Name(f"/{tag}+{str(font.BaseFont).removeprefix('/').rpartition('+')[2]}")
        font.BaseFont = whole
        for below in font.DescendantFonts:
            below.BaseFont = whole
            below.FontDescriptor.FontName = whole

    def structure(self, root: Element) -> None:
        """Add the tree of elements, and the way from marks back to them."""
        tree = self.pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        parents: list[list[Any]] = [[None] * len(owners) for owners in self.owners]
        top = self._element(root, tree, parents)
        numbers: list[Any] = []
        for number, kids in enumerate(parents):
            self.pdf.pages[number].obj.StructParents = number
            self.pdf.pages[number].obj.Tabs = Name.S
            numbers += [number, self.pdf.make_indirect(Array(kids))]
        tree.K = Array([top])
        tree.ParentTree = self.pdf.make_indirect(Dictionary(Nums=Array(numbers)))
        tree.ParentTreeNextKey = len(parents)
        self.pdf.Root.StructTreeRoot = tree
        self.pdf.Root.MarkInfo = Dictionary(Marked=True)

    def _element(self, element: Element, parent: Any, parents: list[list[Any]]) -> Any:
        made = self.pdf.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name(f"/{element.kind}"), P=parent)
        )
        if element.kind == "Table":
            made.A = Dictionary(O=Name.Table, Summary=String(element.alternative))
        elif element.alternative:
            made.Alt = String(element.alternative)
        if element.scope:
            made.A = Dictionary(O=Name.Table, Scope=Name(f"/{element.scope}"))
        kids: list[Any] = []
        for number, mark in self.content.get(id(element), ()):
            parents[number][mark] = made
            kids.append(Dictionary(Type=Name.MCR, Pg=self.pdf.pages[number].obj, MCID=mark))
        kids += [
            self._element(child, made, parents)
            for child in element.children
            if self._has_content(child)
        ]
        made.K = Array(kids)
        return made

    def _has_content(self, element: Element) -> bool:
        """Tell whether to keep an element: a cell is kept, blank or not, for its place counts."""
        return (
            id(element) in self.content
            or element.kind in ("TD", "TH")
            or any(self._has_content(child) for child in element.children)
        )


def _begin(thing: PageItem, mark: int) -> bytes:
    assert thing.element is not None
    more = b""
    if isinstance(thing, Run) and any(ord(sign) > 0x24F for sign in thing.text):
        # letters of other fonts, shaped or turned round on the way to the page
        more = b"/ActualText <" + b"\xfe\xff".hex().encode()
        more += thing.text.encode("utf-16-be").hex().encode() + b"> "
    return b"/%s <<%s/MCID %d>> BDC\n" % (thing.element.kind.encode(), more, mark)


def _to_unicode(letters: dict[int, str]) -> bytes:
    """Return the map from glyphs to letters (ISO 32000-1, 9.10.3), a hundred to a block."""
    pairs = sorted(letters.items())
    blocks = []
    for start in range(0, len(pairs), 100):
        part = pairs[start : start + 100]
        rows = "".join(
            f"<{glyph:04X}> <{letter.encode('utf-16-be').hex().upper()}>\n"
            for glyph, letter in part
        )
        blocks.append(f"{len(part)} beginbfchar\n{rows}endbfchar\n")
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
        + "".join(blocks)
        + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode()


def _describe(pdf: pikepdf.Pdf, sheet: Sheet, made: datetime) -> None:
    """Set language, title bar, title, author and dates."""
    # Qt lets a carriage return stand for itself, which readers take for a line feed (ISO 32000-1,
    # 7.3.4.2): half of the letter č is one.
    pdf.docinfo[Name.Title] = String(sheet.title)
    pdf.docinfo[Name.Author] = String(sheet.author)
    pdf.Root.Lang = String(sheet.language)
    pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    stamp = String(made.strftime("D:%Y%m%d%H%M%SZ"))
    pdf.docinfo[Name.CreationDate] = stamp
    pdf.docinfo[Name.ModDate] = stamp
    found = pdf.Root.Metadata
    written = made.strftime("%Y-%m-%dT%H:%M:%S+00:00").encode()
    found.write(_DATE.sub(written, found.read_bytes()))
