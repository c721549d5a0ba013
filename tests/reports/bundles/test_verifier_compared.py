"""What a bundle says is held to the events, whoever made its manifests and signed them.

Each change is made to a genuine bundle. Its manifests give it away as well, but here only the
finding of the comparison counts: it must not need them.
"""

import csv
import io
import json
import random
from pathlib import Path
from typing import Any

import pytest

from prep.record.unit import events as e
from reports.bundles import columns, verifier
from reports.bundles.csv_format import safe_cell
from tests.campaigns.forged_bag import Forgery, packed, remake
from tests.campaigns.genuine import Files, Yards, genuine
from tests.campaigns.plan import alter_value

__all__ = ["genuine"]

pytestmark = pytest.mark.django_db  # has the tables made, which the bundles are made from

ASIDE = {
    "data/units.csv": {"state"},
    "data/readings.csv": {"section", "title", "asked", "limit"},
    "data/sign_offs.csv": {"title", "meaning"},
    "data/flags.csv": {"flag", "how"},
}
TABLES = [
    ("audit", "data/units.csv", columns.UNITS),
    ("audit", "data/readings.csv", columns.READINGS),
    ("registration", "data/readings.csv", columns.READINGS),
    ("audit", "data/sign_offs.csv", columns.SIGN_OFFS),
    ("audit", "data/flags.csv", columns.FLAGS),
]


def found(genuine: Yards, name: str, changed: Files, folder: Path) -> list[verifier.Finding]:
    """What the verifier finds of a bundle with other files in it."""
    bundle = genuine.bundles[name]
    files = {n: c for n, c in {**bundle.files, **changed}.items() if c}
    forgery = Forgery(random.Random(1), bundle.name, files, list(genuine.bundles.values()))
    remake(forgery)
    path = folder / "bundle.zip"
    path.write_bytes(packed(forgery))
    findings = verifier.Findings()
    verifier.check_bundle(path, [genuine.key], findings)
    return findings.all()


def fails(all_found: list[verifier.Finding]) -> set[tuple[str, str]]:
    """File and code of what does not hold, the manifests aside."""
    return {
        (one.file, one.code)
        for one in all_found
        if one.status == verifier.FAILS and one.code != "files-not-signed"
    }


def rows_of(content: bytes) -> list[list[str]]:
    """Rows of a table, its header first."""
    return list(csv.reader(io.StringIO(content.decode(), newline="")))


def table_of(rows: list[list[str]]) -> bytes:
    """A table of rows that are safe already."""
    target = io.StringIO(newline="")
    csv.writer(target, lineterminator="\r\n").writerows(rows)
    return target.getvalue().encode()


@pytest.mark.parametrize(
    ("bundle", "table", "column"),
    [
        (bundle, table, column)
        for bundle, table, header in TABLES
        for column in header
        if column not in ASIDE[table]
    ],
)
def test_every_column_that_the_events_have_is_held_to_them(
    genuine: Yards, tmp_path: Path, bundle: str, table: str, column: str
) -> None:
    """One cell of the last row; nothing else is accused."""
    rows = rows_of(genuine.bundles[bundle].files[table])
    place = rows[0].index(column)
    last = next(row for row in reversed(rows[1:]) if column != "remarks" or not row[place + 1])
    last[place] += "9"
    against = fails(found(genuine, bundle, {table: table_of(rows)}, tmp_path))
    assert against & {(table, "row-differs"), (table, "row-foreign")}
    assert {file for file, _ in against} == {table}


@pytest.mark.parametrize(("bundle", "table", "header"), TABLES)
def test_a_row_left_out_doubled_or_of_another_unit_is_found(
    genuine: Yards, tmp_path: Path, bundle: str, table: str, header: tuple[str, ...]
) -> None:
    """Counted, and named by its table alone."""
    rows = rows_of(genuine.bundles[bundle].files[table])
    assert tuple(rows[0]) == header
    for changed, code in (
        (rows[:-1], "rows-missing"),
        ([*rows, rows[-1]], "row-foreign"),
        (rows[:1], "rows-missing"),
    ):
        against = fails(found(genuine, bundle, {table: table_of(changed)}, tmp_path))
        assert (table, code) in against
        assert {file for file, _ in against} == {table}


def fields_of(form: Any, path: str = "") -> list[str]:
    """Every answer of the form, by its path."""
    if isinstance(form, dict) and form and path != "tractor.data":
        return [
            field
            for name, value in form.items()
            for field in fields_of(value, f"{path}.{name}" if path else name)
        ]
    return [path]


# What the events of the unit do not say, or say in tokens only.
NOT_IN_EVENTS = {
    "form",
    "version",
    "replaces",
    "stands_in_for",
    "stands_in_because",
    "dealer.name",
    "dealer.site_name",
    "delivery.date",
    "delivery.use",
    "delivery.shown",
    "required_by_model",
}


def test_every_answer_of_the_form_that_the_events_have_is_held_to_them(
    genuine: Yards, tmp_path: Path
) -> None:
    """Each by itself; what is bound by the key alone is exactly what is listed."""
    name = "data/registration.json"
    form = json.loads(genuine.bundles["registration"].files[name])
    unseen = set()
    for field in fields_of(form):
        changed = json.loads(json.dumps(form))
        holder = changed
        *path, last = field.split(".")
        for part in path:
            holder = holder[part]
        holder[last] = "another" if holder[last] != "another" else ""
        content = json.dumps(changed, ensure_ascii=False, indent=2).encode() + b"\n"
        against = fails(found(genuine, "registration", {name: content}, tmp_path))
        allowed = {name, "data/certificate.pdf"} if "certificate" in field else {name}
        assert {file for file, _ in against} <= allowed
        if not against:
            unseen.add(field)
    assert unseen == NOT_IN_EVENTS


def test_another_buyer_needs_another_digest_in_the_log(genuine: Yards, tmp_path: Path) -> None:
    """A name of which the salted digest is another, and a digest that the log does not have."""
    name = "data/registration.json"
    form = json.loads(genuine.bundles["registration"].files[name])
    form["buyer"]["name"] = "Another Farm (invented)"
    content = json.dumps(form, ensure_ascii=False).encode()
    assert fails(found(genuine, "registration", {name: content}, tmp_path)) == {
        (name, "form-digest")
    }


@pytest.mark.parametrize("bundle", ["registration", "audit"])
def test_another_units_certificate_and_photo_are_found(
    genuine: Yards, tmp_path: Path, bundle: str
) -> None:
    """Each in the place of this one's, and left out."""
    files = genuine.bundles[bundle].files
    theirs = genuine.bundles["registration, first"].files
    certificate = next(n for n in files if n.startswith("data/certificate"))
    photo = next(n for n in files if n.startswith("data/photos/"))
    other = theirs["data/certificate.pdf"]
    if files[certificate] == other:
        other = genuine.bundles["registration"].files["data/certificate.pdf"]
    for name, content, code in (
        (certificate, other, "named-file-other"),
        (photo, files[photo] + b"x", "named-file-other"),
        (photo, b"", "named-file-absent"),
        (f"{photo}.jpg", b"x", "named-file-foreign"),
    ):
        against = fails(found(genuine, bundle, {name: content}, tmp_path))
        assert (name, code) in against
        assert {file for file, _ in against} == {name}


def test_an_altered_event_accuses_its_file_alone(genuine: Yards, tmp_path: Path) -> None:
    """Whatever is altered in it: what else it spoke of is uncertain, and is not called false."""
    for bundle in ("registration", "audit"):
        lines = genuine.bundles[bundle].files["data/events.jsonl"].splitlines()
        for number in range(len(lines)):
            value = json.loads(lines[number])
            alter_value(value["body"], random.Random(number))
            changed = [*lines[:number], json.dumps(value).encode(), *lines[number + 1 :]]
            content = b"\n".join(changed) + b"\n"
            against = fails(found(genuine, bundle, {"data/events.jsonl": content}, tmp_path))
            assert {file for file, _ in against} == {"data/events.jsonl"}


def test_a_certificate_that_a_unit_got_later_is_not_the_one_of_its_form(
    genuine: Yards, tmp_path: Path
) -> None:
    """The form names one certificate, and that one lies in the bundle."""
    name = "data/registration.json"
    files = genuine.bundles["registration"].files
    form = json.loads(files[name])
    form["preparation"]["certificate"] = "C0000"
    content = json.dumps(form, ensure_ascii=False).encode()
    against = fails(found(genuine, "registration", {name: content}, tmp_path))
    assert (name, "form-differs") in against


def test_the_two_writers_of_safe_cells_agree() -> None:
    """The service's and the verifier's own."""
    for text in ("", "-4.5", "=1", " =1", "+1 234", "@x", "\t1", "4 in", "-", "-1e5", "＝1", "\r"):
        assert verifier.safe_cell(text) == safe_cell(text)


def test_the_verifier_knows_every_event_that_a_table_repeats() -> None:
    """An event it does not know is one that no table and no answer of the form comes from."""
    tags = {kind.__struct_config__.tag for kind in e.UnitEvent.__args__}
    assert set(verifier._TAKES) <= tags
    assert tags - set(verifier._TAKES) == {
        "unit.damage_noted",
        "unit.placed",
        "caution.acknowledged",
        "step.not_applicable",
        "shortage.noted",
        "shortage.arrived",
        "unit.held",
        "unit.resumed",
        "registration.sent",
        "registration.answered",
        "document.remade",
        "document.erased",
        "photo.marked",
        "unit.personal_erased",
        "unit.record_joined",
    }
