"""Reads a PDF as a screen reader does: the structure's elements in order, each with its text.

Text is decoded through each font's own map from glyphs to letters (ISO 32000-1, 9.10.3), marks are
followed from the structure tree to the content (14.7.4).
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf


@dataclass
class Told:
    """One element: its kind, its own text, what it shows, and what is in it."""

    kind: str
    text: str = ""
    alternative: str = ""
    scope: str = ""
    children: list[Told] = field(default_factory=list)

    def __iter__(self) -> Iterator[Told]:
        yield self
        for child in self.children:
            yield from child

    def all(self, kind: str) -> list[Told]:
        return [one for one in self if one.kind == kind]

    @property
    def whole(self) -> str:
        """All text in it, what is apart in the document apart by a space."""
        return " ".join(one.text for one in self if one.text)


class Reader:
    """An open PDF."""

    def __init__(self, data: bytes) -> None:
        self.pdf = pikepdf.open(io.BytesIO(data))
        self.marked: dict[tuple[int, int], str] = {}
        self.artifacts: list[str] = []
        self.unmarked: list[str] = []
        for number, page in enumerate(self.pdf.pages):
            self._read(number, page)

    @property
    def root(self) -> Told:
        (top,) = self.pdf.Root.StructTreeRoot.K
        return self._told(top)

    @property
    def text(self) -> str:
        """Everything that is told, white space made one."""
        return " ".join(self.root.whole.split())

    def _read(self, number: int, page: pikepdf.Page) -> None:
        letters = {name: _letters(font) for name, font in page.Resources.Font.items()}
        stack: list[int | str] = []
        font: dict[int, str] = {}
        at: tuple[float, float] | None = None
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name == "BMC":
                stack.append("artifact")
            elif name == "BDC":
                stack.append(int(operands[1]["/MCID"]))
            elif name == "EMC":
                stack.pop()
            elif name == "Tf":
                font = letters[str(operands[0])]
            elif name in ("BT", "Tm", "Td"):
                at = None if name == "BT" else at
            elif name == "Tj":
                raw = bytes(operands[0])
                text = "".join(
                    font.get(int.from_bytes(raw[i : i + 2], "big"), "\ufffd")
                    for i in range(0, len(raw), 2)
                )
                if not stack:
                    self.unmarked.append(text)
                elif stack[-1] == "artifact":
                    self.artifacts.append(text)
                else:
                    key = number, int(stack[-1])
                    self.marked[key] = self.marked.get(key, "") + text
            elif name in ("f", "S", "B", "Do") and not stack:
                self.unmarked.append(name)
        assert not stack

    def _told(self, element: pikepdf.Object) -> Told:
        pages = {page.obj.objgen: number for number, page in enumerate(self.pdf.pages)}
        attributes = element.get("/A", pikepdf.Dictionary())
        found = Told(
            str(element.S).removeprefix("/"),
            alternative=str(element.get("/Alt", attributes.get("/Summary", ""))),
            scope=str(attributes.get("/Scope", "")).removeprefix("/"),
        )
        lines = []
        for kid in element.K:
            if kid.get("/Type") == "/MCR":
                lines.append(self.marked.get((pages[kid.Pg.objgen], int(kid.MCID)), ""))
            else:
                found.children.append(self._told(kid))
        found.text = " ".join(line for line in lines if line)
        return found


def _letters(font: pikepdf.Object) -> dict[int, str]:
    found: dict[int, str] = {}
    text = font.ToUnicode.read_bytes().decode()
    for block in re.findall(r"beginbfchar\n(.*?)endbfchar", text, re.S):
        for glyph, letter in re.findall(r"<([0-9A-F]+)> <([0-9A-F]+)>", block):
            found[int(glyph, 16)] = bytes.fromhex(letter).decode("utf-16-be")
    for block in re.findall(r"beginbfrange\n(.*?)endbfrange", text, re.S):
        for low, _, listed in re.findall(r"<(\w+)> <(\w+)> \[(.*?)\]", block):
            for i, letter in enumerate(re.findall(r"<(\w+)>", listed)):
                found[int(low, 16) + i] = bytes.fromhex(letter).decode("utf-16-be", "replace")
        for low, high, first in re.findall(r"<(\w+)> <(\w+)> <(\w+)>", block):
            for i in range(int(high, 16) - int(low, 16) + 1):
                found[int(low, 16) + i] = chr(int(first, 16) + i)
    return found
