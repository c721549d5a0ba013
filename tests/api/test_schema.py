"""The description of the API says everything that its reader needs."""

import json
from typing import Any

import pytest
from django.core.checks import run_checks
from django.core.checks.messages import Warning as Complaint
from django.test import Client

pytestmark = pytest.mark.django_db

PUBLIC = {
    "sign_in_for_a_token",
    "list_the_log_s_public_keys_nobody_needs_to_sign_in_for_that",
    "check_a_document_by_its_number",
    "check_a_document_by_its_file",
}


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    """The description."""
    answer = Client().get("/api/v1/schema", headers={"Accept": "application/vnd.oai.openapi+json"})
    assert answer.status_code == 200
    described: dict[str, Any] = json.loads(answer.content)
    return described


def operations(schema: dict[str, Any]) -> list[dict[str, Any]]:
    """Every operation of a description."""
    return [
        operation
        for path in schema["paths"].values()
        for method, operation in path.items()
        if method in {"get", "post", "put", "patch", "delete"}
    ]


def test_the_generator_has_nothing_to_complain_of() -> None:
    """As the deployment check asks it: no operation without a way in, no two of one name."""
    complaints = [
        one.msg
        for one in run_checks(include_deployment_checks=True)
        if isinstance(one, Complaint) and str(one.id).startswith("drf_spectacular")
    ]
    assert complaints == []


def test_every_operation_but_the_public_ones_asks_for_the_token(schema: dict[str, Any]) -> None:
    """In the header that the description defines; the log's keys are open, with or without one."""
    assert schema["components"]["securitySchemes"]["token"]["name"] == "Authorization"
    without = {one["operationId"] for one in operations(schema) if {} in one["security"]}
    assert without == PUBLIC


def test_no_two_operations_have_one_name(schema: dict[str, Any]) -> None:
    """Or a generated client would lose one."""
    names = [one["operationId"] for one in operations(schema)]
    assert len(set(names)) == len(names)
