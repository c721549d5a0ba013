"""Column titles: found in three languages, and every one at fault is named."""

from itertools import combinations

import pytest

from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH, Reader
from prep.words.refusals import refusal_text
from reports.imports.declared import comparable
from reports.imports.files import opened
from reports.imports.headers import headings_of, recognizes
from reports.imports.kinds import IMPORTS, INSTRUMENTS, MODELS, UNITS
from reports.imports.reading.files import open_table
from tests.reports.imports.sent import workbook


def titles(text: str, kind_name: str = "units") -> list[str]:
    """The fields that the titles of a file stand for."""
    kind = IMPORTS[kind_name]
    table = open_table(text.encode(), "a.csv", lambda title: recognizes(kind, title))
    return [one.column.name for one in headings_of(table, kind).all]


def refused(text: str, kind_name: str = "units") -> Refusal:
    """The refusal of a file's titles."""
    with pytest.raises(Refusal) as caught:
        titles(text, kind_name)
    return caught.value


@pytest.mark.parametrize(
    "text",
    [
        "Manufacturer,Serial number,Location",
        "maker;serial;place",
        "MAKE\tS/N\tBay",
        "  mfr ,Serial No., bay ",
        "Fabricante;Número de serie;Ubicación",
        "fabricante;numero  de serie;ubicacion",
        "Fabricant;Numéro de série;Emplacement",
    ],
)
def test_a_title_is_known_by_its_name_its_words_and_its_spellings(text: str) -> None:
    """Whatever case, accents, spaces and signs it is written with."""
    assert titles(f"{text}\n1,2,3\n") == ["maker", "serial", "place"]


@pytest.mark.parametrize("kind", IMPORTS.values(), ids=list(IMPORTS))
def test_no_title_stands_for_two_columns(kind: object) -> None:
    """In no language; a declaration that breaks this fails here."""
    for one, other in combinations(kind.columns, 2):  # type: ignore[attr-defined]  # by fixture
        assert not one.accepted() & other.accepted(), (one.name, other.name)


@pytest.mark.parametrize(
    ("text", "code", "details"),
    [
        ("Serial,Make,Colour,Wheels\n", "header-unknown", {"unknown": ("Colour", "Wheels")}),
        ("Make,Location\n", "header-missing", {"columns": ("Serial number",)}),
        ("Serial,Make,Note,note \n", "header-repeated", {"headers": ("note",)}),
        ("Serial,Make,S/N\n", "header-same", {"headers": ("Serial", "S/N")}),
        ("Serial,,Make\n", "header-empty", {"letter": "B"}),
        ("Units of March\n\nSerial,Make\n1,2\n", "header-not-first", {"line": 3}),
        ("\n \n", "table-empty", {}),
    ],
)
def test_titles_at_fault_are_named(text: str, code: str, details: dict[str, object]) -> None:
    """All of a kind at once."""
    no = refused(text)
    assert no.code == code
    assert {**no.details, **details} == no.details


def test_known_titles_are_named_in_the_readers_language() -> None:
    """So that one can be copied."""
    no = refused("Serial,Make,Wheels\n")
    assert refusal_text(no, ENGLISH).startswith(
        "These columns are not known: Wheels. Rename or delete them. Known columns: Manufacturer; "
    )
    assert "Fabricante; Número de serie" in refusal_text(no, Reader(language="es"))


def test_empty_columns_at_the_right_end_are_no_columns() -> None:
    """Spreadsheets write separators as far as anything was ever typed."""
    assert titles("Serial,Make,,,\n1,2,,,\n") == ["serial", "maker"]


def test_values_of_a_model_are_columns_by_their_names_in_documents() -> None:
    """Anything else that is not known is refused, with how such a name is written."""
    fixed = "model,revision,maker,name,note"
    assert titles(f"{fixed},pto_speed,mass\n", "models")[-2:] == ["pto_speed", "mass"]
    no = refused(f"{fixed},PTO speed\n", "models")
    assert (no.code, no.details["unknown"]) == ("header-unknown-data", ("PTO speed",))


@pytest.mark.django_db
def test_values_no_model_has_are_said(yard: object) -> None:
    """Most times one is spelled wrong."""
    content = b"model,revision,maker,name,note,pto_spead,mass\nTC-1,1,a,b,c,1,2\n"
    notices = opened(content, "a.csv", MODELS, "").notices
    assert [one.values for one in notices if one.code == "new-data"] == [{"names": "pto_spead"}]


def test_a_title_that_is_a_number_or_two_lines_is_read_as_text() -> None:
    """A title of two lines is one line; a year is not known."""
    content = workbook([["Serial\nnumber", "Make", 2026]])
    table = open_table(content, "a.xlsx", lambda title: recognizes(UNITS, title))
    with pytest.raises(Refusal) as caught:
        headings_of(table, UNITS)
    assert caught.value.details["unknown"] == ("2026",)


def test_spellings_are_compared_without_what_does_not_matter() -> None:
    """Accents, case, spaces and signs; not letters or digits."""
    assert comparable(" Número de  SERIE. ") == comparable("numero-de-serie")
    assert comparable("Accuracy, % of reading") != comparable("Accuracy, % of full scale")
    assert recognizes(INSTRUMENTS, "Calibration due")
