"""URLs of the REST API, below /api/v1/."""

from django.urls import URLPattern, path, re_path, register_converter
from django.urls.converters import StringConverter

from api import commands, lists
from api.views import (
    batches,
    document_check,
    documents,
    instruments,
    keepers,
    log,
    models,
    people,
    permissions,
    procedures,
    rules,
    units,
    wordings,
)
from api.views.accounts import account
from api.views.imports import following, sending
from api.views.not_found import NotFoundView
from api.views.personal import buyers, guests
from api.views.schema import SchemaView
from api.views.unit import documents as unit_documents
from api.views.unit import photos, refused, sheets
from reports.imports import MEDIA_TYPES


class TableEnding(StringConverter):
    """The ending of a table's file name, such as csv; another is no address."""

    regex = "|".join(MEDIA_TYPES)


register_converter(TableEnding, "table")

UNIT = "units/<uuid:unit>"
IMPORT = "imports/<uuid:import_id>"
IMPORT_KIND = "imports/kinds/<str:kind>"
DOCUMENT = f"{UNIT}/documents/<uuid:document>"

urlpatterns: list[URLPattern] = [
    *lists.urlpatterns,
    *commands.urlpatterns,  # first: `instruments/record` is no instrument
    path("commands", batches.CommandsView.as_view()),
    path("schema", SchemaView.as_view()),
    path("sign-in", people.SignInView.as_view()),
    path("sign-out", people.SignOutView.as_view()),
    path("me", people.MeView.as_view()),
    path("me/pin", people.PinView.as_view()),
    path("me/password", people.PasswordView.as_view()),
    path("me/preferences", people.PreferencesView.as_view()),
    path("me/sign-out-everywhere", people.SignOutEverywhereView.as_view()),
    path("people/<int:person>", account.AccountView.as_view()),
    path("permissions", permissions.PermissionsView.as_view()),
    path("statements", wordings.StatementsView.as_view()),
    path("wordings/<str:digest>", wordings.WordingView.as_view()),
    path(UNIT, units.UnitView.as_view()),
    path(f"{UNIT}/readiness", units.ReadinessView.as_view()),
    path(f"{UNIT}/history", units.HistoryView.as_view()),
    path(f"{UNIT}/sheet", sheets.SheetView.as_view()),
    path(f"{UNIT}/photos/<uuid:photo>", photos.PhotoView.as_view()),
    path(f"{UNIT}/photos/<uuid:photo>/small", photos.SmallPhotoView.as_view()),
    path(f"{UNIT}/refused", refused.RefusedOnUnitView.as_view()),
    path("refused", refused.RefusedView.as_view()),
    path("instruments/<str:code>", instruments.InstrumentView.as_view()),
    path("models/check", models.ModelCheckView.as_view()),
    path("models/<str:code>", models.ModelView.as_view()),
    path("tractors/<str:code>", models.TractorView.as_view()),
    path("procedures/check", procedures.ProcedureCheckView.as_view()),
    path("procedures/<str:procedure>/compare", procedures.CompareView.as_view()),
    path("procedures/<str:procedure>/<int:revision>", procedures.ProcedureView.as_view()),
    path("buyers/<uuid:buyer>", buyers.BuyerView.as_view()),
    path("buyers/<uuid:buyer>/readings", buyers.ReadingsView.as_view()),
    path("guests/<uuid:guest>", guests.GuestView.as_view()),
    path("rules", rules.RulesView.as_view()),
    path("rules/<str:rule>", rules.RuleView.as_view()),
    path("judge", rules.JudgeView.as_view()),
    path(f"{UNIT}/documents", unit_documents.DocumentsView.as_view()),
    path(DOCUMENT, unit_documents.DocumentView.as_view()),
    path(f"{DOCUMENT}/file", unit_documents.DocumentFileView.as_view()),
    path(f"{DOCUMENT}/proof", unit_documents.DocumentProofView.as_view()),
    path(f"{DOCUMENT}/cancel", unit_documents.CancelView.as_view()),
    path(f"{DOCUMENT}/retry", unit_documents.RetryView.as_view()),
    path(f"{DOCUMENT}/remake", unit_documents.RemakeView.as_view()),
    path("documents/<uuid:document>", documents.DocumentView.as_view()),
    path("documents/<uuid:document>/file", documents.DocumentFileView.as_view()),
    path("documents/<uuid:document>/proof", documents.DocumentProofView.as_view()),
    path("documents/<uuid:document>/cancel", documents.CancelView.as_view()),
    path("documents/<uuid:document>/retry", documents.RetryView.as_view()),
    path("documents/<uuid:document>/remake", documents.RemakeView.as_view()),
    path("imports", sending.ImportsView.as_view()),
    path("imports/kinds", sending.KindsView.as_view()),
    path(f"{IMPORT_KIND}/template.<table:ending>", sending.TemplateView.as_view()),
    path(IMPORT, following.ImportView.as_view()),
    path(f"{IMPORT}/run", following.RunView.as_view()),
    path(f"{IMPORT}/stop", following.StopView.as_view()),
    path(f"{IMPORT}/resume", following.ResumeView.as_view()),
    path(f"{IMPORT}/problems", following.ProblemsView.as_view()),
    path(f"{IMPORT}/problems.<table:ending>", following.ProblemFileView.as_view()),
    path("verify", document_check.FileCheckView.as_view()),
    path("verify/<str:number>", document_check.NumberCheckView.as_view()),
    path("sites/<str:site>/keepers", keepers.KeepersView.as_view()),
    path("log/checkpoint", log.CheckpointView.as_view()),
    path("log/checkpoints/<int:size>", log.CheckpointOfView.as_view()),
    path("log/keys", log.KeysView.as_view()),
    path("log/consistency", log.ConsistencyView.as_view()),
    path("log/events/<int:event>/proof", log.ProofView.as_view()),
    re_path(r"", NotFoundView.as_view()),
]
