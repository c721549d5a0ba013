"""Addresses of the REST API, below /api/v1/."""

from django.urls import URLPattern, path, re_path

from api.views import delivering, flags, people, readings, sheets, units
from api.views.elsewhere import ElsewhereView
from api.views.schema import SchemaView

UNIT = "units/<uuid:unit>"
STEP = f"{UNIT}/steps/<str:step>"

urlpatterns: list[URLPattern] = [
    path("schema", SchemaView.as_view()),
    path("sign-in", people.SignInView.as_view()),
    path("sign-out", people.SignOutView.as_view()),
    path("me", people.MeView.as_view()),
    path("me/pin", people.PinView.as_view()),
    path("units", units.UnitsView.as_view()),
    path(UNIT, units.UnitView.as_view()),
    path(f"{UNIT}/readiness", units.ReadinessView.as_view()),
    path(f"{UNIT}/history", units.HistoryView.as_view()),
    path(f"{UNIT}/damage", units.DamageView.as_view()),
    path(f"{UNIT}/place", units.PlaceView.as_view()),
    path(f"{UNIT}/model", units.ModelView.as_view()),
    path(f"{UNIT}/sheet", sheets.SheetView.as_view()),
    path(f"{UNIT}/sheet/move", sheets.SheetMoveView.as_view()),
    path(f"{STEP}/cautions", sheets.CautionsView.as_view()),
    path(f"{STEP}/skip", sheets.SkipView.as_view()),
    path(f"{STEP}/sign", sheets.SignView.as_view()),
    path(f"{STEP}/second", sheets.SecondView.as_view()),
    path(f"{STEP}/reopen", sheets.StepReopenView.as_view()),
    path(f"{UNIT}/readings", readings.ReadingsView.as_view()),
    path(f"{UNIT}/checks", readings.ChecksView.as_view()),
    path(f"{UNIT}/photos", readings.PhotosView.as_view()),
    path("flags", flags.FlagsView.as_view()),
    path(f"{UNIT}/flags", flags.RaiseView.as_view()),
    path(f"{UNIT}/flags/<str:flag>/close", flags.CloseView.as_view()),
    path(f"{UNIT}/flags/<str:flag>/concession", flags.ConcessionView.as_view()),
    path(f"{UNIT}/shortages", flags.ShortagesView.as_view()),
    path(f"{UNIT}/shortages/<str:shortage>/arrival", flags.ArrivalView.as_view()),
    path(f"{UNIT}/buyer", delivering.BuyerView.as_view()),
    path(f"{UNIT}/buyer/withdrawal", delivering.WithdrawalView.as_view()),
    path(f"{UNIT}/hold", delivering.HoldView.as_view()),
    path(f"{UNIT}/resume", delivering.ResumeView.as_view()),
    path(f"{UNIT}/release", delivering.ReleaseView.as_view()),
    path(f"{UNIT}/reopen", delivering.ReopenView.as_view()),
    path(f"{UNIT}/handover", delivering.HandoverView.as_view()),
    path(f"{UNIT}/registration/sent", delivering.RegistrationSentView.as_view()),
    path(f"{UNIT}/registration/answer", delivering.RegistrationAnswerView.as_view()),
    re_path(r"", ElsewhereView.as_view()),
]
