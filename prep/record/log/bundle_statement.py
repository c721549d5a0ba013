"""What the log's key signs of a bundle: its document, its cut of the log, its streams, its files.

The statement becomes a signed note (`signed_notes`). Its first line is its own, so that it cannot
be taken for a checkpoint, whose first line names the log, or for a statement of another kind.
"""

import base64
from collections.abc import Mapping
from typing import Final, NamedTuple

HEADER: Final = "Yardproof bundle"
WHOLE: Final = "-"  # no moment: everything within the cut

# Last version of each stream that has events in the bundle, by kind and id.
Streams = Mapping[tuple[str, str], int]


class BundleStatement(NamedTuple):
    """A bundle as it is signed.

    `log`, `size` and `root` (32 bytes) are those of the checkpoint it is cut at, `until` the RFC
    3339 moment of its last entry, or empty. `bag` is the name of the bag's folder and `tagmanifest`
    the SHA-256, in hex, of the file that binds all others.
    """

    log: str
    kind: str
    number: str
    size: int
    root: bytes
    until: str
    bag: str
    tagmanifest: str
    streams: Streams

    def text(self) -> str:
        """The statement, a line each, ready to be signed."""
        lines = [
            HEADER,
            f"log {self.log}",
            f"document {self.kind} {self.number}",
            f"cut {self.size} {base64.b64encode(self.root).decode()}",
            f"until {self.until or WHOLE}",
            f"bag {self.bag}",
            f"tagmanifest {self.tagmanifest}",
            *(f"stream {kind} {id_} {last}" for (kind, id_), last in sorted(self.streams.items())),
        ]
        if any(not line.isprintable() for line in lines):
            raise ValueError("A line of a bundle's statement holds a character that is not shown.")
        return "".join(f"{line}\n" for line in lines)
