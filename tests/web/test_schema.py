"""Schemathesis sends what the OpenAPI document allows, and what it does not: no fault, no undocumented answer."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import schemathesis
from hypothesis import HealthCheck, settings

from groundroll.web.api import create_api
from groundroll.web.workers import Workers
from groundroll.web.workspace import Workspace

_FOLDER = tempfile.TemporaryDirectory(prefix="groundroll-test-")
_WORKSPACE = Workspace(Path(_FOLDER.name) / "workspace")
_WORKSPACE.prepare()
schema = schemathesis.openapi.from_asgi("/api/openapi.json", create_api(_WORKSPACE, Workers(0)))


CHECKS = (
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_schema_conformance",
    "negative_data_rejection",
)


@schema.parametrize()
@settings(max_examples=10, suppress_health_check=list(HealthCheck), deadline=None)
def test_api__answers_as_its_document_says(case: Any) -> None:
    case.call_and_validate(checks=schemathesis.checks.CHECKS.get_by_names(list(CHECKS)))
