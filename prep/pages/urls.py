"""Addresses of the pages."""

from django.urls import path

from prep.pages import (
    views_audit,
    views_audit_bundle,
    views_command,
    views_papers,
    views_people,
    views_printing,
    views_rules,
    views_step,
    views_unit,
    views_verification,
    views_verify,
    views_yard,
)

urlpatterns = [
    path("", views_yard.yard, name="yard"),
    path("sign-in", views_people.SignIn.as_view(), name="sign-in"),
    path("sign-out", views_people.SignOut.as_view(), name="sign-out"),
    path("receive", views_command.receive, name="receive"),
    path("units/<uuid:unit>/", views_unit.unit, name="unit"),
    path("units/<uuid:unit>/steps/<str:step>/", views_step.step, name="step"),
    path("units/<uuid:unit>/do/<str:name>/", views_command.command, name="command"),
    path("units/<uuid:unit>/register-again/", views_papers.register_again, name="register-again"),
    path("units/<uuid:unit>/print/<str:form>/", views_printing.of_unit, name="print"),
    path("labels/", views_printing.labels_of_many, name="labels"),
    path("documents/<uuid:document>", views_papers.document, name="document"),
    path(
        "documents/<uuid:document>/<str:name>/",
        views_papers.document_command,
        name="document-command",
    ),
    path("photos/<uuid:photo>", views_papers.photo, name="photo"),
    path("verify/<str:number>", views_verify.verify, name="verify"),
    path("rules/", views_rules.rules, name="rules"),
    path("rules/<str:name>/", views_rules.rule, name="rule"),
    path("audit/", views_audit.audit, name="audit"),
    path("audit/bundle/", views_audit_bundle.audit_bundle, name="audit-bundle"),
    path("audit/verification", views_verification.ask, name="verify-everything"),
    path("audit/verification/<uuid:document>", views_verification.look, name="verification"),
    path("healthy", views_people.healthy, name="healthy"),
]
