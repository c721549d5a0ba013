"""A forger of bundles: has the code, the files, the database and a key of his own, not the log's.

He takes a genuine bundle, makes one to four changes that belong together, makes the manifests and
the ZIP again as the service makes them, and may sign with his own key and enclose it.

What he can do without being told by the bundle itself, written down before he began:

1.  **His own key inside, and nobody gives the published one.** Then the verifier has nothing to
    hold the signature to. It says "whose key it is" is not checked (exit code 2), and never that
    everything holds.
2.  **A Python without the signature package.** Then no signature is checked (exit code 2), and the
    verdict says so.
3.  **Another genuine bundle of the same log in place of this one**, an earlier version of a
    registration or an earlier audit, whole. Nothing in it is changed, so it holds (exit code 0).
    The verdict names the document's number and up to when it tells, which whoever asked for it can
    compare; whether a newer one took its place only the dealership can say, and it is told so.
4.  **The name of the ZIP, its date, and what lies beside it.** They are no part of the bundle.

Whoever has the log's key is no forger in this sense: a log rewritten as a whole shows by a
checkpoint kept elsewhere (tests/reports/bundles/test_verifier_older.py).
"""

import csv
import hashlib
import io
import json
import random
import re
from collections.abc import Callable, Mapping
from typing import Final

from prep.record.log import canonical_json, signed_notes
from tests.campaigns.forged_bag import (
    CHECKPOINT,
    DERIVED,
    EVENTS,
    JUNK,
    KEYS,
    OWN,
    PROOFS,
    SIGNATURE,
    Forgery,
    origin_of,
    remake,
)
from tests.campaigns.genuine import Genuine
from tests.campaigns.plan import alter_value, altered_bytes, altered_text
from tests.reports.bundles.invented_log import Log


def alter_table(forgery: Forgery) -> str | None:
    """A cell of a table, or a row: changed, left out, doubled, made up, exchanged."""
    name = forgery.some(".csv", beginning="data/")
    rows = list(csv.reader(io.StringIO(forgery.files[name].decode(), newline=""))) if name else []
    if name is None or len(rows) < 2:
        return None
    chance, place = forgery.chance, forgery.chance.randrange(1, len(rows))
    kind = chance.choice(["cell", "cell", "cell", "gone", "doubled", "made up", "exchanged"])
    if kind == "cell":
        column = chance.randrange(len(rows[place]))
        rows[place][column] = altered_text(rows[place][column], chance)
        kind = f"cell {rows[0][column]}"
    elif kind == "gone":
        del rows[place]
    elif kind == "doubled":
        rows.insert(place, list(rows[place]))
    elif kind == "made up":
        rows.insert(place, [altered_text(cell, chance) for cell in rows[place]])
    else:
        other = chance.randrange(1, len(rows))
        rows[place], rows[other] = rows[other], rows[place]
    target = io.StringIO(newline="")
    csv.writer(target, lineterminator="\r\n").writerows(rows)
    forgery.files[name] = target.getvalue().encode()
    return f"{name}: {kind}"


def alter_form(forgery: Forgery) -> str | None:
    """An answer of the registration form as data; perhaps another buyer, with the digest."""
    name = "data/registration.json"
    if name not in forgery.files:
        return None
    form = json.loads(forgery.files[name])
    if not isinstance(form, dict):
        return None
    if forgery.chance.random() < 0.3:
        person = form.get("buyer", {})
        person["name"] = "Another Buyer (invented)"
        values = [person.get(key) for key in ("salt", "name", "address", "phone", "email")]
        digest = hashlib.sha256(canonical_json.encode(values)).hexdigest()
        person["digest"], what = digest, "another buyer, with a digest that fits"
    else:
        what = alter_value(form, forgery.chance)
    forgery.files[name] = json.dumps(form, ensure_ascii=False, indent=2).encode() + b"\n"
    return f"{name}: {what}"


def alter_pdf(forgery: Forgery) -> str | None:
    """A page painted over: another object put behind the end, as PDF allows."""
    name = forgery.some(".pdf")
    if name is None:
        return None
    update = b"\n9 0 obj\n<< /Length 3 >>\nstream\n0 g\nendstream\nendobj\n%%EOF\n"
    forgery.files[name] += update
    return f"{name}: painted over"


def alter_any(forgery: Forgery) -> str | None:
    """Bytes of any file, and so of the README, the page, the verifiers, the labels of the bag."""
    name = forgery.some()
    if name is None or not forgery.files[name]:
        return None
    forgery.files[name] = altered_bytes(forgery.files[name], forgery.chance)
    return f"{name}: bytes"


def lying_verifier(forgery: Forgery) -> str | None:
    """A verifier inside that always says yes."""
    forgery.files["verifier.py"] = b'print("Everything holds.")\n'
    forgery.files["verify.html"] = b"<h1>Everything holds.</h1>\n"
    return "verifiers that always say yes"


def from_another(forgery: Forgery) -> str | None:
    """A file of another bundle of the same yard in place of this one's."""
    other = forgery.chance.choice(forgery.others)
    shared = sorted(set(other.files) & set(forgery.files) - DERIVED)
    name = forgery.chance.choice(shared)
    if other.files[name] == forgery.files[name]:
        return None
    forgery.files[name] = other.files[name]
    return f"{name}: of {other.name}"


def anothers_certificate(forgery: Forgery) -> str | None:
    """Another unit's certificate, or photo, in place of this one's."""
    mine = forgery.some(".pdf", beginning="data/certificate") or forgery.some(
        ".jpg", beginning="data/photos/"
    )
    ending = (mine or "")[-4:]
    theirs = [
        content
        for other in forgery.others
        for name, content in other.files.items()
        if name.endswith(ending)
        and "registration" not in name
        and content != forgery.files.get(mine or "")
    ]
    if mine is None or not theirs:
        return None
    forgery.files[mine] = forgery.chance.choice(theirs)
    return f"{mine}: another's"


def exchange(forgery: Forgery) -> str | None:
    """Two files of one kind exchange their contents."""
    names = sorted(set(forgery.files) - DERIVED)
    one = forgery.chance.choice(names)
    alike = [n for n in names if n[-4:] == one[-4:] and forgery.files[n] != forgery.files[one]]
    if not alike:
        return None
    other = forgery.chance.choice(alike)
    forgery.files[one], forgery.files[other] = forgery.files[other], forgery.files[one]
    return f"{one} and {other} exchanged"


def drop(forgery: Forgery) -> str | None:
    """A file is left out."""
    name = forgery.some()
    if name is None:
        return None
    del forgery.files[name]
    return f"{name}: left out"


def rename(forgery: Forgery) -> str | None:
    """A file gets another name."""
    name = forgery.some()
    if name is None:
        return None
    new = altered_text(name, forgery.chance, letters="09aZ")
    if new in forgery.files or not re.fullmatch(r"[\w./-]+", new) or "//" in new:
        return None
    forgery.files[new] = forgery.files.pop(name)
    return f"{name}: named {new}"


ADDED: Final = (
    "data/extra.csv",
    "data/readings-2.csv",
    "data/registration.json",
    "data/photos/009-more.jpg",
    "data/certificates/x/C0.pdf",
    "data/proof/notes.txt",
    "tagmanifest-sha512.txt",
    "manifest-sha512.txt",
    "fetch.txt",
    "NOTE.txt",
    "signature-2.txt",
)


def add(forgery: Forgery) -> str | None:
    """A file is put in."""
    name = forgery.chance.choice(ADDED)
    if name in forgery.files:
        return None
    forgery.files[name] = JUNK + b"\n"
    return f"{name}: put in"


def alter_event(forgery: Forgery) -> str | None:
    """A value of an event, written as canonical JSON again; or of its proof."""
    name = forgery.chance.choice([EVENTS, EVENTS, PROOFS])
    lines = forgery.lines(name)
    if not lines:
        return None
    place = forgery.chance.randrange(len(lines))
    try:
        value = json.loads(lines[place])
        alter_value(value, forgery.chance)
        lines[place] = canonical_json.encode(value) + b"\n"
    except ValueError:
        return None
    forgery.files[name] = b"".join(lines)
    return f"{name}, line {place + 1}: a value"


def drop_events(forgery: Forgery) -> str | None:
    """Events left out with their proofs: one in the middle, or all from one on."""
    events, proofs = forgery.lines(EVENTS), forgery.lines(PROOFS)
    if len(events) < 2 or len(events) != len(proofs):
        return None
    place = forgery.chance.randrange(1, len(events))
    stop = len(events) if forgery.chance.random() < 0.4 else place + 1
    del events[place:stop], proofs[place:stop]
    forgery.files[EVENTS], forgery.files[PROOFS] = b"".join(events), b"".join(proofs)
    return f"events {place + 1} to {stop} left out with their proofs"


def reorder_events(forgery: Forgery) -> str | None:
    """Two events change places, with their proofs."""
    events, proofs = forgery.lines(EVENTS), forgery.lines(PROOFS)
    if len(events) < 2 or len(events) != len(proofs):
        return None
    one, other = forgery.chance.sample(range(len(events)), 2)
    for lines in (events, proofs):
        lines[one], lines[other] = lines[other], lines[one]
    forgery.files[EVENTS], forgery.files[PROOFS] = b"".join(events), b"".join(proofs)
    return f"events {one + 1} and {other + 1} change places"


def foreign_event(forgery: Forgery) -> str | None:
    """An event of another bundle of the log, with its proof."""
    other = forgery.chance.choice(forgery.others)
    theirs = other.files[EVENTS].splitlines(keepends=True)
    proofs = other.files[PROOFS].splitlines(keepends=True)
    place = forgery.chance.randrange(len(theirs))
    if theirs[place] in forgery.lines(EVENTS):
        return None
    forgery.files[EVENTS] = forgery.files.get(EVENTS, b"") + theirs[place]
    forgery.files[PROOFS] = forgery.files.get(PROOFS, b"") + proofs[place]
    return f"an event of {other.name} put in with its proof"


def older_log(forgery: Forgery) -> str | None:
    """An older state of everything that comes from the log, as a restore would bring it."""
    other = forgery.chance.choice(forgery.others)
    changed = False
    for name in (EVENTS, PROOFS, CHECKPOINT, SIGNATURE, "data/readings.csv", "data/units.csv"):
        if name in other.files and name in forgery.files and forgery.chance.random() < 0.8:
            changed = changed or forgery.files[name] != other.files[name]
            forgery.files[name] = other.files[name]
    return f"an older state, of {other.name}" if changed else None


def alter_statement(forgery: Forgery) -> str | None:
    """A line of what was signed; perhaps so that it fits the files."""
    text = forgery.files.get(SIGNATURE, b"").decode(errors="replace")
    head, _, block = text.rpartition("\n\n")
    lines = head.split("\n")
    if len(lines) < 8:
        return None
    place = forgery.chance.randrange(len(lines))
    if forgery.chance.random() < 0.4:
        del lines[place]
    else:
        lines[place] = altered_text(lines[place], forgery.chance)
    forgery.files[SIGNATURE] = ("\n".join(lines) + "\n\n" + block).encode()
    return f"{SIGNATURE}, line {place + 1}"


def own_log(forgery: Forgery) -> str | None:
    """A log of his own over the events as they are now, with proofs and checkpoint."""
    events = [line.rstrip(b"\n") for line in forgery.lines(EVENTS)]
    if not events:
        return None
    log = Log(events, OWN, origin_of(forgery))
    places = [{"index": index, "path": log.path(index)} for index in range(len(events))]
    forgery.files[PROOFS] = b"".join(canonical_json.encode(place) + b"\n" for place in places)
    forgery.files[CHECKPOINT] = log.note.encode()
    enclose_own_key(forgery)
    return "a log of his own"


def own_signature(forgery: Forgery) -> str | None:
    """His own key under everything, enclosed."""
    note = forgery.files.get(CHECKPOINT, b"").decode(errors="replace")
    text = note.rpartition("\n\n")[0] + "\n"
    try:
        signed_notes.parse_checkpoint(text)
        forgery.files[CHECKPOINT] = signed_notes.sign_note(text, origin_of(forgery), OWN).encode()
    except ValueError:
        return None
    enclose_own_key(forgery)
    return "signed with his own key"


def enclose_own_key(forgery: Forgery) -> None:
    """The bundle will be signed with the forger's key, which lies in it."""
    forgery.files[KEYS] = signed_notes.verifier_key(origin_of(forgery), OWN).text.encode() + b"\n"
    forgery.own_key = True


def no_manifests(forgery: Forgery) -> str | None:
    """The manifests stay as they were."""
    forgery.remade = False
    return "manifests left as they were"


def other_packing(forgery: Forgery) -> str | None:
    """Another folder in the ZIP, a comment, compression, or a byte behind the end."""
    forgery.packing = forgery.chance.choice(["another folder", "comment", "packed", "longer"])
    return f"the ZIP: {forgery.packing}"


Change = Callable[[Forgery], str | None]

CHANGES: Final[Mapping[Change, int]] = {
    alter_table: 14,
    alter_form: 10,
    alter_pdf: 6,
    alter_any: 12,
    lying_verifier: 2,
    from_another: 8,
    anothers_certificate: 5,
    exchange: 5,
    drop: 7,
    rename: 4,
    add: 5,
    alter_event: 7,
    drop_events: 6,
    reorder_events: 3,
    foreign_event: 4,
    older_log: 4,
    alter_statement: 5,
    own_log: 5,
    own_signature: 5,
    no_manifests: 3,
    other_packing: 2,
}


# What a change runs into where an earlier one left nothing to change.
UNFIT: Final = (ValueError, KeyError, TypeError, AttributeError, csv.Error)


def forge(genuine: Genuine, others: list[Genuine], chance: random.Random) -> Forgery:
    """A forgery of a genuine bundle, by one to four changes."""
    forgery = Forgery(chance, genuine.name, dict(genuine.files), others)
    wanted = chance.choice([1, 1, 2, 2, 3, 4])
    while len(forgery.told) < wanted:
        [change] = chance.choices(list(CHANGES), list(CHANGES.values()))
        try:
            told = change(forgery)
        except UNFIT:
            continue
        if told:
            forgery.told.append(told)
    if forgery.remade:
        remake(forgery)
    return forgery
