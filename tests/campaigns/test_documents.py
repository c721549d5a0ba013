"""Of all single changes of what others hold, none goes unseen by the verifier that travels.

Bundles, certificates, checkpoints and proofs: each change is found without the service, and what
was not changed holds.
"""

import io
import random
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from prep.record.log import signed_notes
from reports.bundles import verifier
from tests.campaigns.plan import altered_bytes, altered_text, chances
from tests.reports.bundles.invented_log import (
    ENTRIES,
    LOG,
    PUBLISHED,
    Log,
    bundle,
)
from tests.reports.certificates import Issued
from tests.reports.conftest import issued
from tests.reports.pdf_statement import place

__all__ = ["issued"]

LETTERS = "019aZ+/=\n —"


def of_all(kind: str, change: Callable[[random.Random], tuple[str, int] | None]) -> None:
    """Make the campaign's changes of a kind; each must end with exit code 1.

    `change` makes one and gives how it reads and the exit code, or None where it came to nothing.
    """
    unseen, made = [], 0
    for chance in chances(kind):
        outcome = None
        while outcome is None:
            outcome = change(chance)
        told, code = outcome
        made += 1
        if code != 1:
            unseen.append(f"{told}: exit code {code}")
    print(f"{made} changes of a {kind}, {len(unseen)} unseen")
    assert unseen == []


def verdict(path: Path) -> int:
    """Exit code for a bundle, packed or not."""
    findings = verifier.Findings()
    verifier.check_bundle(path, [PUBLISHED], findings)
    return findings.exit_code


def test_no_change_of_a_bundle_goes_unseen(tmp_path: Path) -> None:
    """Bytes of the ZIP; and files of the bag altered, taken, added, renamed and exchanged, packed
    again so well that the ZIP does not give it away."""
    path = bundle(tmp_path)
    packed = path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    assert verdict(path) == 0

    def change(chance: random.Random) -> tuple[str, int] | None:
        if chance.random() < 0.5:
            changed = altered_bytes(packed, chance)
        else:
            changed = zipped(a_changed_bag(held, chance))
        path.write_bytes(changed)
        return None if changed == packed else (f"{len(changed)} bytes", verdict(path))

    of_all("bundle", change)
    path.write_bytes(packed)
    assert verdict(path) == 0


def a_changed_bag(held: dict[str, bytes], chance: random.Random) -> dict[str, bytes]:
    """One file of a bag altered, gone, added, renamed, or exchanged with another."""
    bag = dict(held)
    name, other = chance.sample(sorted(bag), 2)
    folder = name.rpartition("/")[0]
    strange = f"{folder}/{chance.randrange(10**6)}.txt"
    kind = chance.choice(["altered", "altered", "gone", "added", "renamed", "exchanged"])
    if kind == "altered":
        bag[name] = altered_bytes(bag[name], chance)
    elif kind == "gone":
        del bag[name]
    elif kind == "added":
        bag[strange] = b"put here by somebody (invented)"
    elif kind == "renamed":
        bag[strange] = bag.pop(name)
    else:
        bag[name], bag[other] = bag[other], bag[name]
    return bag


def zipped(bag: dict[str, bytes]) -> bytes:
    """The files packed exactly as the service packs them, so that only they can give it away."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name, content in bag.items():
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.create_system, entry.external_attr = 3, 0o100644 << 16
            archive.writestr(entry, content)
    return target.getvalue()


def of_certificate(pdf: bytes, issued: Issued) -> verifier.Findings:
    """What is found of a certificate by who has it and the published key, and nothing else."""
    findings = verifier.Findings()
    verifier.check_certificate(pdf, "", list(issued.keys), findings)
    return findings


@pytest.mark.django_db  # has the tables made, which the certificate is drawn from
def test_no_change_of_a_certificate_goes_unseen(issued: Issued) -> None:
    """Any byte of the PDF, its statement included; its digest is not at hand."""
    stands = place(issued.pdf).span(1)

    def change(chance: random.Random) -> tuple[str, int] | None:
        changed = altered_bytes(issued.pdf, chance)
        if chance.random() < 0.3:
            stated = altered_bytes(issued.pdf[slice(*stands)], chance)
            changed = issued.pdf[: stands[0]] + stated + issued.pdf[stands[1] :]
        if changed == issued.pdf:
            return None
        return f"{len(changed)} bytes", of_certificate(changed, issued).exit_code

    assert of_certificate(issued.pdf, issued).exit_code == 0
    of_all("certificate", change)


def test_no_change_of_a_checkpoint_or_proof_goes_unseen(tmp_path: Path) -> None:
    """The checkpoint somebody kept, the present one, and the proof between them; and the service's
    own reader of notes sees the same."""
    kept, proof = Log(ENTRIES[:6]).note, LOG.proof_from(6)
    texts = {"newer.txt": LOG.note, "older.txt": kept, "proof.txt": proof}
    key = signed_notes.parse_verifier_key(PUBLISHED)
    write(tmp_path, texts)
    assert pair(tmp_path) == 0

    def change(chance: random.Random) -> tuple[str, int] | None:
        name = chance.choice(sorted(texts))
        changed = altered_lines(texts[name], chance)
        if says(name, changed) == says(name, texts[name]):
            return None
        write(tmp_path, {**texts, name: changed})
        if name != "proof.txt":
            with pytest.raises(signed_notes.NoteError):
                signed_notes.parse_checkpoint(signed_notes.verify_note(changed, [key]))
        return f"{name}: {changed!r}", pair(tmp_path)

    of_all("checkpoint", change)
    write(tmp_path, texts)
    assert pair(tmp_path) == 0


def says(name: str, text: str) -> Any:
    """What a text means: white space between the hashes of a proof is nothing, and neither is a
    signature that stands there twice (signed-note)."""
    if name == "proof.txt":
        return text.split()
    above, _, signatures = text.rpartition("\n\n")
    return above, set(signatures.split("\n")), text[-1:]


def write(folder: Path, texts: dict[str, str]) -> None:
    """Each text into a file of its name."""
    for name, text in texts.items():
        (folder / name).write_bytes(text.encode())


def pair(folder: Path) -> int:
    """Exit code for a checkpoint, an older one and the proof between them."""
    given = ["--older", folder / "older.txt", "--proof", folder / "proof.txt"]
    arguments = [folder / "newer.txt", "--key", PUBLISHED, *given]
    return verifier.main([str(one) for one in arguments])


def altered_lines(text: str, chance: random.Random) -> str:
    """A character changed, or a line taken out, doubled or exchanged with another."""
    if chance.random() < 0.6:
        return altered_text(text, chance, LETTERS)
    lines = text.split("\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    kind = chance.choice(["gone", "doubled", "exchanged"])
    if kind == "gone":
        del lines[one]
    elif kind == "doubled":
        lines.insert(one, lines[one])
    else:
        lines[one], lines[other] = lines[other], lines[one]
    return "\n".join(lines)
