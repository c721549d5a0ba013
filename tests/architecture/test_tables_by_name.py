"""No layer reaches a higher layer's table by name: strings pass every import contract.

Django lets a query follow a relation backward (`document_requests__state` from a unit), load a
model by label (`apps.get_model("reports", "DocumentRequest")`) and run SQL. Each of these names
the table in a string or an attribute, so the syntax tree shows it.
"""

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from django.apps import apps

from tests.architecture.tree import ROOT, modules

OWNER = "reports"  # the one layer above the models that has tables of its own


@dataclass(frozen=True)
class TableNames:
    """Names by which the tables of an application can be reached without importing them."""

    application: str
    related: frozenset[str]  # what the models they point at know them by
    labels: frozenset[str]  # `application.Model` in small letters, and the tables' own names


def names_of(application: str) -> TableNames:
    """Read off the models: relations that point out of the application, labels and tables."""
    own = set(apps.get_app_config(application).get_models(include_auto_created=True))
    related: set[str] = set()
    for model in set(apps.get_models()) - own:
        for relation in model._meta.related_objects:
            if relation.related_model in own:
                related |= {relation.name, relation.get_accessor_name() or relation.name}
    labels = {name.lower() for model in own for name in (model._meta.label, model._meta.db_table)}
    return TableNames(application, frozenset(related), frozenset(labels))


def table_names_used(source: str, names: TableNames) -> Iterator[tuple[int, str]]:
    """Line and text of whatever in a module names one of the tables."""
    tree = ast.parse(source)
    docstrings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        match node:
            case ast.Constant(value=str(text)) if id(node) not in docstrings:
                if _is_lookup(text, names) or _has_label(text, names):
                    yield node.lineno, text
            case ast.keyword(arg=str(text)) | ast.Attribute(attr=text) if _is_lookup(text, names):
                yield node.lineno, text
            case ast.Call() if _loads_model(node, names):
                yield node.lineno, ast.unparse(node)


def _is_lookup(text: str, names: TableNames) -> bool:
    """`document_requests`, `-document_requests__state`, `unit__document_requests`."""
    return not names.related.isdisjoint(text.lstrip("-+").split("__"))


def _has_label(text: str, names: TableNames) -> bool:
    """`reports.DocumentRequest`, or the table's name in SQL."""
    return not names.labels.isdisjoint(re.findall(r"[\w.]+", text.lower()))


def _loads_model(call: ast.Call, names: TableNames) -> bool:
    """`apps.get_model("reports", …)`, `apps.get_app_config("reports")`; a computed name, too."""
    called = call.func.attr if isinstance(call.func, ast.Attribute) else ""
    if called not in {"get_model", "get_app_config", "get_registered_model"}:
        return False
    first = [*call.args, *(keyword.value for keyword in call.keywords)][:1]
    if not first or not isinstance(first[0], ast.Constant):
        return True
    return str(first[0].value).lower().partition(".")[0] == names.application


def folders_below(layer: str) -> tuple[str, ...]:
    """Folders of the layers under one, from the import contract that orders them."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    contracts = settings["tool"]["importlinter"]["contracts"]
    (layers,) = (contract["layers"] for contract in contracts if contract["type"] == "layers")
    return tuple(name.replace(".", "/") + "/" for name in layers[layers.index(layer) + 1 :])


def test_no_layer_reaches_a_higher_layers_table_by_name() -> None:
    """Layers under the documents know nothing of their tables, not even a name."""
    names = names_of(OWNER)
    below = folders_below(OWNER)
    used = [
        f"{name}:{line} {text}"
        for name, path in modules()
        if name.startswith(below)
        for line, text in table_names_used(path.read_text(), names)
    ]
    assert used == []


def test_the_names_are_read_off_the_models() -> None:
    """A relation with a name of its own, one with Django's, and a layer that may not know them."""
    names = names_of(OWNER)
    assert {"document_requests", "documentrequest", "documentrequest_set"} <= names.related
    assert {"reports.documentrequest", "reports_documentrequest"} <= names.labels
    assert "replaced_by" not in names.related  # points inside the application
    assert "prep/queries/" in folders_below(OWNER)
    assert "prep/pages/" not in folders_below(OWNER)


@pytest.mark.parametrize(
    "line",
    [
        "Unit.objects.filter(document_requests__state='failed')",
        "Unit.objects.filter(Q(**{'document_requests__state': 'failed'}))",
        "Unit.objects.order_by('-document_requests__created')",
        "Reading.objects.filter(unit__document_requests=None)",
        "Unit.objects.prefetch_related('document_requests')",
        "unit.document_requests.all()",
        "person.documentrequest_set.count()",
        "Person.objects.filter(documentrequest__kind='audit')",
        "apps.get_model('reports', 'DocumentRequest')",
        "apps.get_model('reports.DocumentRequest')",
        "apps.get_model(app_label='reports', model_name='Cursor')",
        "apps.get_model(application, 'Cursor')",
        "unit._meta.apps.get_model('reports', 'Cursor')",
        "apps.get_app_config('reports')",
        "models.ForeignKey('reports.DocumentRequest', models.PROTECT)",
        "cursor.execute('SELECT state FROM reports_documentrequest')",
    ],
)
def test_a_planted_name_is_reported(line: str) -> None:
    """Negative control: each way to reach the documents' tables without an import."""
    assert list(table_names_used(line, names_of(OWNER)))


@pytest.mark.parametrize(
    "line",
    [
        "Unit.objects.filter(readings__state='open', document='requests')",
        "apps.get_model('prep', 'Unit')",
        '"""Docstrings may name reports.DocumentRequest."""',
        "text = 'Documents are in reports.'",
    ],
)
def test_a_name_of_an_own_or_lower_table_is_not_reported(line: str) -> None:
    """What a layer may use, and plain text."""
    assert not list(table_names_used(line, names_of(OWNER)))
