"""XML as a plain tree that knows its lines, read so that nothing in it reaches the disk or the network.

A document type that only names itself, as MusicXML files have it, is taken off; defusedxml refuses every other one, and
with it all entities and external references.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any
from xml.sax import SAXParseException
from xml.sax.handler import ContentHandler

from chanterd.config import ChanterdError

_DOCUMENT_TYPE = re.compile(rb"<!DOCTYPE[^\[<>]*>")
DEEPEST = 60
"""No element of a score is nested deeper; what is would only cost memory."""
MOST_ELEMENTS = 250_000
"""More than a score of the largest size holds, unless it is made to cost memory."""
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_DECLARATION = re.compile(r"^\s*<\?xml[^>]*\?>")


@dataclass(slots=True)
class Element:
    """One element, with its text and where it begins; lines and columns count from 1."""

    name: str
    attributes: dict[str, str]
    line: int
    column: int
    text: str = ""
    children: list["Element"] = field(default_factory=list)

    def all(self, name: str) -> Iterator["Element"]:
        """Its children of that name."""
        return (child for child in self.children if child.name == name)

    def first(self, *path: str) -> "Element | None":
        """The first element down a path of names, or None."""
        found = self
        for name in path:
            for child in found.children:
                if child.name == name:
                    found = child
                    break
            else:
                return None
        return found

    def words(self, *path: str) -> str:
        """The text of the first element down a path of names; empty if there is none."""
        found = self.first(*path)
        return "" if found is None else found.text.strip()


class _Tree(ContentHandler):
    def __init__(self) -> None:
        super().__init__()
        self.root: Element | None = None
        self._open: list[Element] = []
        self._texts: list[list[str]] = []
        self._count = 0
        self._locator: Any = None

    def setDocumentLocator(self, locator: Any) -> None:  # noqa: ANN401, N802 - names and types are SAX's
        self._locator = locator

    def startElement(self, name: str, attrs: Any) -> None:  # noqa: ANN401, N802
        line, column = self._locator.getLineNumber() or 1, (self._locator.getColumnNumber() or 0) + 1
        element = Element(name, dict(attrs.items()), line, column)
        if len(self._open) >= DEEPEST:
            raise ChanterdError(
                f"line {line}, column {column}: elements are nested more than {DEEPEST} deep, which no score needs"
            )
        self._count += 1
        if self._count > MOST_ELEMENTS:
            raise ChanterdError(f"it has more than {MOST_ELEMENTS:,} elements, which no score needs")
        if self._open:
            self._open[-1].children.append(element)
        elif self.root is None:
            self.root = element
        self._open.append(element)
        self._texts.append([])

    def endElement(self, name: str) -> None:  # noqa: N802, ARG002
        self._open.pop().text = "".join(self._texts.pop())

    def characters(self, content: str) -> None:
        if self._texts:
            self._texts[-1].append(content)


def read_xml(data: bytes) -> Element:
    """The root of a document. Raises ChanterdError, with the line, if it is not XML or asks for what is not allowed."""
    from defusedxml import DefusedXmlException  # noqa: PLC0415 - only whoever reads XML needs it
    from defusedxml.sax import make_parser  # noqa: PLC0415

    tree, parser = _Tree(), make_parser()
    parser.setContentHandler(tree)
    parser.forbid_dtd = True
    if data.startswith(_UTF_16):
        data = _DECLARATION.sub("", data.decode("utf-16", errors="replace")).encode()
    data = _DOCUMENT_TYPE.sub(lambda found: b"\n" * found[0].count(b"\n"), data, count=1)
    try:
        parser.parse(BytesIO(data))
    except DefusedXmlException as error:
        raise ChanterdError("it declares entities or refers to other files, which is not allowed") from error
    except (LookupError, UnicodeError, ValueError) as error:  # a code that Python or the parser does not know
        raise ChanterdError("the code in which it is written is not known here; save it as UTF-8") from error
    except SAXParseException as error:
        line, column = error.getLineNumber() or 1, (error.getColumnNumber() or 0) + 1
        raise ChanterdError(f"line {line}, column {column}: it is not XML ({error.getMessage()})") from error
    if tree.root is None:
        raise ChanterdError("it is empty")
    return tree.root
