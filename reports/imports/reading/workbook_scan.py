"""What the reader of workbooks does not tell: formulas, errors, and how large a sheet really is.

A sheet is read as a stream of events, so that one made to fill the memory is refused before it is
loaded: a cell far out makes a table of everything before it, and a small file may unpack to much.
"""

import re
import struct
import zipfile
import zlib
from dataclasses import dataclass, field
from io import BytesIO
from typing import Final
from xml.parsers import expat

from prep.record.refusal import Refusal
from reports.imports.reading.cells import Cell, ErrorValue, Formula

MOST_UNPACKED: Final = 120 * 1024**2
MOST_COLUMNS: Final = 100
PIECE: Final = 64 * 1024
LOCAL_HEADER: Final = 30  # bytes before the name in the header of a packed file

_REFERENCE: Final = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")


@dataclass
class Scan:
    """A sheet's last row and column with something in them, and its cells that hold no value."""

    rows: int = 0
    columns: int = 0
    odd: dict[tuple[int, int], Cell] = field(default_factory=dict)


def check_archive(content: bytes) -> zipfile.ZipFile:
    """The archive a workbook is; Refusal of one that is damaged, has macros or unpacks to much."""
    try:
        archive = zipfile.ZipFile(BytesIO(content))
        names = archive.namelist()
    except (zipfile.BadZipFile, ValueError, struct.error, EOFError, NotImplementedError) as wrong:
        raise Refusal("table-broken") from wrong
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise Refusal("table-macros")
    if not any(name.lower().endswith("xl/workbook.xml") for name in names):
        raise Refusal("table-unreadable")
    left = MOST_UNPACKED
    for packed in archive.infolist():
        left -= _unpacked(content, packed, left)
    return archive


def _unpacked(content: bytes, packed: zipfile.ZipInfo, most: int) -> int:
    """Size of a packed file as it really unpacks, whatever its header says."""
    at = packed.header_offset
    name, extra = struct.unpack("<HH", content[at + LOCAL_HEADER - 4 : at + LOCAL_HEADER].ljust(4))
    start = at + LOCAL_HEADER + name + extra
    raw = content[start : start + packed.compress_size]
    if packed.compress_type == zipfile.ZIP_STORED:
        size = len(raw)
    elif packed.compress_type == zipfile.ZIP_DEFLATED:
        size = _inflated(raw, most)
    else:
        raise Refusal("table-broken")
    if size > most:
        raise Refusal("table-unpacks", most=MOST_UNPACKED // 1024**2)
    return size


def _inflated(raw: bytes, most: int) -> int:
    unpacker, size = zlib.decompressobj(-zlib.MAX_WBITS), 0
    try:
        while raw and not unpacker.eof and size <= most:
            size += len(unpacker.decompress(raw, PIECE))
            raw = unpacker.unconsumed_tail
    except zlib.error as wrong:
        raise Refusal("table-broken") from wrong
    return size


def scan_sheet(archive: zipfile.ZipFile, path: str, most_rows: int) -> Scan:
    """Read a sheet as a stream; Refusal of one that is damaged or too large."""
    reading = _Reading(most_rows)
    try:
        with archive.open(path) as opened:
            while piece := opened.read(PIECE):
                reading.parser.Parse(piece, False)
        reading.parser.Parse(b"", True)
    except (expat.ExpatError, zipfile.BadZipFile, KeyError, zlib.error, EOFError) as wrong:
        raise Refusal("table-broken") from wrong
    return reading.scan


class _Reading:
    """Handlers of the events of a sheet's XML: rows, cells, formulas, values."""

    def __init__(self, most_rows: int) -> None:
        self.scan = Scan()
        self.most_rows = most_rows
        self.row = self.column = 0
        self.error = self.text = False
        self.value = ""
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters
        self.parser.StartDoctypeDeclHandler = self._doctype

    def _doctype(self, *_: object) -> None:
        """No workbook declares entities; one that does means to swell."""
        raise Refusal("table-broken")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        match name.rpartition(" ")[2]:
            case "row":
                self.row = _number(attributes.get("r")) or self.row + 1
                self.column = 0
            case "c":
                self._begin_cell(attributes)
            case "f":
                self._mark(Formula())
            case "v":
                self.text, self.value = True, ""
            case "is":
                self._seen()

    def _begin_cell(self, attributes: dict[str, str]) -> None:
        place = _REFERENCE.fullmatch(attributes.get("r", ""))
        self.column = _column(place[1]) if place else self.column + 1
        self.row = int(place[2]) if place else self.row
        self.error = attributes.get("t") == "e"

    def _end(self, name: str) -> None:
        if name.rpartition(" ")[2] != "v":
            return
        self.text = False
        if not self.value:
            return
        self._seen()
        if self.error:
            self.scan.odd.setdefault((self.row, self.column), ErrorValue(self.value[:20]))

    def _characters(self, text: str) -> None:
        if self.text:
            self.value += text

    def _mark(self, cell: Cell) -> None:
        self._seen()
        self.scan.odd[self.row, self.column] = cell

    def _seen(self) -> None:
        scan = self.scan
        scan.rows, scan.columns = max(scan.rows, self.row), max(scan.columns, self.column)
        if scan.rows > self.most_rows:
            raise Refusal("table-too-long", most=self.most_rows)
        if scan.columns > MOST_COLUMNS:
            raise Refusal("table-too-wide", most=MOST_COLUMNS)


def _number(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 9 else 0


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number
