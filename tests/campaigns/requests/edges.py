"""Values at the edges: of the calendar, of numbers, of bytes, of what a parser is made for."""

import base64
import io
import json
import zipfile
from typing import Final

from tests.invented_pictures import claiming, from_a_phone, moving, of_many_scans

NINES: Final = "9" * 4301  # a digit more than Python turns into an int

MOMENTS: Final = (
    "0001-01-01T00:00:00Z",
    "0001-01-01T00:00:00+23:59",
    "0001-01-01T00:00:00+14:00",
    "9999-12-31T23:59:59Z",
    "9999-12-31T23:59:59.999999-23:59",
    "9999-12-31T23:59:59-14:00",
    "0000-01-01T00:00:00Z",
    "10000-01-01T00:00:00Z",
    "-0001-01-01T00:00:00Z",
    "2026-02-30T00:00:00Z",
    "2026-03-02T24:00:00Z",
    "2016-12-31T23:59:60Z",
    "2026-03-02T08:15:00+24:00",
    "2026-03-02T08:15:00-24:00",
    "2026-03-02T08:15:00-00:00",
    "2026-03-02T08:15:00",
    "2026-03-02 08:15:00Z",
    "2026-03-02t08:15:00z",
    "2026-03-02T08:15:00.9999999999Z",
    "2026-03-02",
    "٢٠٢٦-٠٣-٠٢T٠٨:١٥:٠٠Z",
    "20260302T081500Z",
    "2026-W10-1",
    "now",
    "0",
    "0.5",
    "1e400",
)
DAYS: Final = (
    "0001-01-01",
    "9999-12-31",
    "0000-00-00",
    "10000-01-01",
    "2026-02-30",
    "2025-02-29",
    "٢٠٢٦-٠٣-٠٢",
    "2026-3-2",
    "20260302",
    "2026-W10-1",
)
NUMBERS: Final = (
    NINES,
    f"-{NINES}",
    "NaN",
    "-nan",
    "Infinity",
    "-Infinity",
    "1e400",
    "1e-400",
    "-0",
    "0",
    "-1",
    "1.0",
    "1_000",
    "0x10",
    "+5",
    " 5 ",
    "٣",
    "５",
    "²",
    "2147483648",
    "9223372036854775807",
    "9223372036854775808",
    "18446744073709551616",
    "3/0",
    "1/" + NINES,
)
TEXTS: Final = (
    "",
    " ",
    "\0",
    "a\0b",
    "\uffff",
    "\ufeff",
    "\u202eexe",
    "\x1b[31m",
    "\x85",
    "\r\nX-Made-Up: 1",
    "%",
    "%00",
    "../../etc/passwd",
    "'; --",
    "{{ 7 * 7 }}",
    "<script>alert(1)</script>",
    "e\u0301" * 200,
    "🚜" * 100,
    "x" * 70_000,
    "null",
    "None",
    "true",
    ",",
    "-",
    "*",
)
# Of a path: an address of two dots is another address.
SEGMENTS: Final = tuple(text for text in TEXTS if text and "/" not in text)
# In a header: bytes, read as Latin-1, without spaces at the ends.
MOMENTS_SENT: Final = tuple(text.encode().decode("latin-1").strip() for text in MOMENTS)
NUMBERS_SENT: Final = tuple(text.encode().decode("latin-1").strip() for text in NUMBERS)
TAGS: Final = (
    *(f'"{number}"' for number in NUMBERS_SENT),
    "*",
    'W/"1"',
    '"1"',
    '"1", "2"',
    '"0"',
    "1",
    '"',
    '""',
    '"a\xff"',
    "\xff\xfe",
    ", ,",
    ",".join('"1"' for _ in range(2000)),
    '"1" x',
)
KEYS: Final = (
    "x",
    "0" * 32,
    "٠" * 32,
    "1_2" * 11,
    "{00000000-0000-4000-8000-000000000000}",
    "urn:uuid:00000000-0000-4000-8000-000000000000",
    '"00000000-0000-4000-8000-000000000000"',
    "00000000-0000-4000-8000-00000000000",
    "\xff" * 32,
    "g" * 32,
)
HEADERS: Final = {
    "If-Match": TAGS,
    "If-None-Match": TAGS,
    "Idempotency-Key": tuple(text.encode().decode("latin-1") for text in KEYS),
    "Happened-At": (*MOMENTS_SENT, *NUMBERS_SENT, "\xff"),
    "Device-Clock": (*MOMENTS_SENT, *NUMBERS_SENT, "\xff"),
    "Device-Name": ("\xff" * 70, "x" * 70_000, "é", "\x00", "Tablet\t2"),
    "Authorization": (
        "\xff",
        "Token \xff",
        "Token",
        "Token  ",
        "Token x y",
        "Basic ===",
        "Token 0",
    ),
    "Range": (
        "bytes=0-",
        f"bytes=0-{NINES}",
        "bytes=-1",
        "bytes=5-2",
        "lines=\xff",
        "bytes=0-0,2-2",
    ),
    "Accept": ("*/*", "\xff", ";;;q=", "text/html", "application/json;q=NaN", "image/*, " * 2000),
    "Accept-Language": ("\xff", "fr;q=1e400", "zz-" * 2000, "es-419", f"de;q={NINES}"),
    "Content-Type": (
        "application/json; charset=utf-7",
        "application/json; charset=\xff",
        "text/plain",
        "multipart/form-data",
        "multipart/form-data; boundary=\xff",
        "application/x-www-form-urlencoded",
        "\xff/\xff",
        "",
    ),
    "Content-Encoding": ("gzip", "br", "\xff"),
    "Content-Length": ("-1", "0", NINES, "1e3"),
    "X-Forwarded-For": ("\xff", "1.2.3.4, \xff", "::" * 500, NINES),
    "Cookie": ("sessionid=\xff", "django_language=\xff", "=" * 2000, "csrftoken=;" * 2000),
}


def cursor(text: str) -> str:
    """A cursor as the lists make them, with something else in it."""
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


CURSORS: Final = (
    "=",
    "====",
    "\xff",
    "a",
    "/w",
    base64.urlsafe_b64encode(b"\xff\xfe\x00").decode(),
    *(
        cursor(text)
        for text in (
            "",
            "\0",
            "1",
            "-1",
            "٣",
            NINES,
            "[]",
            "{}",
            "null",
            '["received", [null, null]]',
            '["received", ["0001-01-01T00:00:00+23:59", 1]]',
            "[" * 3000,
            f"[{NINES}]",
            '["\\ud800"]',
            "1e400",
            *MOMENTS,
            *(f"{moment}|x" for moment in MOMENTS),
        )
    ),
)

# A value within a JSON body, as it is written there.
JSON_VALUES: Final = (
    *(json.dumps(text) for text in (*MOMENTS, *DAYS, *NUMBERS, *TEXTS)),
    "1e400",
    "-1e400",
    "1e-400",
    "-0",
    "-0.0",
    "0.1",
    "NaN",
    "Infinity",
    NINES,
    f"-{NINES}",
    f"0.{NINES}",
    f"1e{NINES}",
    "9223372036854775808",
    "null",
    "true",
    "[]",
    "{}",
    "[null]",
    '{"a": {"a": {"a": []}}}',
    "[" * 3000 + "]" * 3000,
    '{"a":' * 3000 + "1" + "}" * 3000,
    '{"command": "unit.receive", "command": "unit.release"}',
    '"\\ud800"',
    '"\\udc00\\ud800"',
    '"\\u0000"',
    '"\\ud83d\\ude9c"',
    '{"\\ud800": 1}',
    '{"\\u0000": 1}',
    "[" + "0," * 20_000 + "0]",
)
JSON_BODIES: Final = (
    b"",
    b" ",
    b"null",
    b"[]",
    b'"x"',
    b"{",
    b"\xff",
    b"\xef\xbb\xbf{}",
    b'{"a": "\xc0\xaf"}',
    b'{"a": "\xed\xa0\x80"}',
    b'{"a": 1, "a": 2}',
    "{}".encode("utf-16"),
    b"[" * 100_000,
    b'{"a":' * 100_000,
    b"\x1f\x8b\x08\x00",
    b"0" * (1 << 20),
    b"{}" + b" " * (1 << 20),
    b'{"' + b"a" * 500_000 + b'": 1}',
)
DOCUMENTS: Final = (
    "",
    "\0",
    "\ud7ff\ufffe",
    "!!int x",
    "!!float x",
    "!!timestamp x",
    "!!binary =",
    "!!python/object/apply:os.system [ls]",
    "revision: !!int x",
    "revision: " + "9" * 5000,
    "revision: 0x" + "f" * 5000,
    "revision: 1e400",
    "revision: .nan",
    "revision: 0o7",
    "revision: 1:60",
    "revision: ٣",
    '"\\ud800": 1',
    '"\\U00110000": 1',
    '"\\x00": 1',
    "[" * 3000,
    "{a: " * 3000,
    "- " * 3000,
    "? " * 3000,
    "&a [*a]",
    "*a",
    "<<: 1",
    "a: &a [x]\n"
    + "".join(f"b{n}: &b{n} [{', '.join([f'*b{n - 1}'] * 9)}]\n" for n in range(1, 9)),
    "a: &a [x, x, x, x, x, x, x, x, x]\nb: &b [*a, *a, *a, *a, *a, *a]\nc: [*b, *b, *b, *b, *b]",
    "%YAML 9.9\n---\na: 1",
    "%TAG ! tag:x,2000:\n---\n!a b",
    "---\n---\n",
    "a: 1\na: 2",
    "? {a: 1}\n: 2",
    "\ufeffa: 1",
    "\ta: 1",
    "a: |99\n x",
    "a" * 70_000,
    "a: " + "[" + "0," * 30_000 + "0]",
    "procedure: {}\nsteps: [null, null]",
    "model: x\nmass: [1, 2]\noptions: {a: b}",
    "2026-02-30: x\n0001-01-01T00:00:00+23:59: y",
)
PICTURES: Final = (
    b"",
    b"\x89PNG\r\n\x1a\n",
    b"\xff\xd8\xff<script>",
    b"RIFF\xff\xff\xff\xffWEBPVP8 ",
    claiming(60_000, 60_000),
    claiming(0, 0),
    from_a_phone(6),
    from_a_phone()[:-40],
    moving("PNG"),
    of_many_scans(200),
    b"\0" * (13 << 20),
)


def _workbook(sheet: bytes) -> bytes:
    """A workbook, as far as its names go."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", b"<Types/>")
        archive.writestr("xl/workbook.xml", b"<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
    return target.getvalue()


TABLES: Final = (
    b"",
    b"\xff\xfe",
    b"\0",
    b"serial,manufacturer\r\n\xff,\xfe\r\n",
    b"serial\r\n" + b"9" * 5000,
    b'serial\r\n"' + b"x" * 100_000,
    b"," * 100_000,
    b"serial\r\n" * 20_000,
    "serial;manufacturer\n٣;\ud7ff\n".encode(),
    "serial\n".encode("utf-16"),
    b"PK\x03\x04",
    b"PK\x05\x06" + b"\0" * 18,
    _workbook(b"<worksheet>"),
    _workbook(b"0" * (30 << 20)),
    _workbook(b"<!DOCTYPE a [<!ENTITY b SYSTEM 'file:///etc/passwd'>]><a>&b;</a>"),
)
FILES: Final = (*PICTURES, *TABLES, b"%PDF-1.7\n%%EOF", b"%PDF-1.7\n1 0 obj<</Length 9e9>>stream")
