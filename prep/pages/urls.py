"""URLs of the pages."""

from django.urls import path

from prep.pages.views import (
    command,
    document_check,
    documents,
    health,
    language,
    lists,
    manufacturers,
    permissions,
    printing,
    publishing,
    rules,
    sign_in,
    step,
    unit,
    yard,
)
from prep.pages.views.audit import bundle, findings, keepers, verification
from prep.pages.views.imports import following, sending
from prep.pages.views.people import account, inviting, joining, roster
from prep.pages.views.people import settings as people_settings

urlpatterns = [
    path("", yard.yard, name="yard"),
    path("sign-in", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out", sign_in.SignOut.as_view(), name="sign-out"),
    path("language", language.language, name="language"),
    path("script-texts/<str:language>.js", language.script_texts, name="script-texts"),
    path("refused/<uuid:refused>/", command.refused, name="refused"),
    path("receive", command.receive, name="receive"),
    path("units/<uuid:unit>/", unit.unit, name="unit"),
    path("units/<uuid:unit>/steps/<str:step>/", step.step, name="step"),
    path("units/<uuid:unit>/do/<str:name>/", command.command, name="command"),
    path("units/<uuid:unit>/register-again/", documents.register_again, name="register-again"),
    path("units/<uuid:unit>/print/<str:kind>/", printing.print_of_unit, name="print"),
    path("labels/", printing.labels_of_many, name="labels"),
    path("documents/<uuid:document>", documents.document, name="document"),
    path("documents/<uuid:document>/proof", documents.proof_of_issue, name="document-proof"),
    path(
        "documents/<uuid:document>/<str:name>/",
        documents.document_command,
        name="document-command",
    ),
    path("photos/<uuid:photo>/<str:digest>", documents.photo, name="photo"),
    path("verify", document_check.check, name="verify-any"),
    path("verify/<str:number>", document_check.check, name="verify"),
    path("rules/", rules.rules, name="rules"),
    path("rules/<str:name>/", rules.rule, name="rule"),
    path("manufacturers/", manufacturers.manufacturers, name="manufacturers"),
    path("manufacturers/add/", manufacturers.add, name="manufacturer-add"),
    path(
        "manufacturers/<uuid:manufacturer>/correct/",
        manufacturers.correct,
        name="manufacturer-correct",
    ),
    path("lists/", lists.lists, name="lists"),
    path("lists/<str:name>/", lists.one_list, name="list"),
    path("imports/", sending.imports_page, name="imports"),
    path("imports/templates/<str:kind>.<str:ending>", sending.template, name="import-template"),
    path("imports/<uuid:import_id>/", following.one, name="import"),
    path("imports/<uuid:import_id>/do/<str:name>/", following.act, name="import-command"),
    path(
        "imports/<uuid:import_id>/problems.<str:ending>", following.problems, name="import-problems"
    ),
    path("publish/", publishing.publish, name="publish"),
    path("permissions/", permissions.permissions, name="permissions"),
    path("audit/keepers/<str:site>/", keepers.add_keeper, name="add-keeper"),
    path(
        "audit/keepers/<str:site>/<uuid:keeper>/remove",
        keepers.remove_keeper,
        name="remove-keeper",
    ),
    path("audit/", findings.audit, name="audit"),
    path("audit/bundle/", bundle.audit_bundle, name="audit-bundle"),
    path("audit/verification", verification.request_verification, name="verify-everything"),
    path("audit/verification/<uuid:document>", verification.verification, name="verification"),
    path("people/", roster.people, name="people"),
    path("people/<int:account>/", account.account, name="account"),
    path("people/<int:account>/do/<str:name>/", account.account_command, name="account-command"),
    path(
        "people/<int:account>/cards/<uuid:card>/withdraw/",
        account.card_withdraw,
        name="card-withdraw",
    ),
    path("people/<int:account>/roles/<str:site>/<str:name>/", account.role, name="role"),
    path("people/invite/<str:site>/", inviting.invite, name="invite"),
    path("settings/", people_settings.own_settings, name="own-settings"),
    path("settings/<str:name>/", people_settings.own_command, name="own-command"),
    path("join", joining.joining, name="join"),
    path("join/<str:secret>", joining.joining, name="join-link"),
    path("joined/<str:username>", joining.joined, name="joined"),
    path("alive", health.alive, name="alive"),
    path("ready", health.ready, name="ready"),
]
