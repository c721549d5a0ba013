"""Every command there is, and which of them publishes a document."""

from typing import Final

from prep.record.buyer.commands import (
    AddBuyer,
    AmendBuyer,
    EraseBuyer,
    HoldBuyer,
    LiftBuyerHold,
)
from prep.record.command import Command
from prep.record.device.commands import EnrollDevice, RenameDevice, RevokeDevice
from prep.record.documents.yaml_text import read_nodes
from prep.record.guest.commands import AdmitGuest, EndGuest, EraseGuest
from prep.record.instrument.commands import MoveInstrument, RecordInstrument
from prep.record.manufacturer.commands import AddManufacturer, CorrectManufacturer
from prep.record.model.commands import PublishModel
from prep.record.person.commands.access import (
    EnrollPerson,
    LeavePerson,
    RestorePerson,
    SignOutEverywhere,
    SuspendPerson,
)
from prep.record.person.commands.cards import RecordCard, WithdrawCard
from prep.record.person.commands.invitations import (
    InvitePerson,
    RenewInvitation,
    ResetPerson,
    UseInvitation,
    WithdrawInvitation,
)
from prep.record.person.commands.names import RenamePerson
from prep.record.person.commands.settings import ChangeContact, ChangePassword, ChangePin, Prefer
from prep.record.person.commands.systems import AddSystem
from prep.record.procedure.commands import PublishProcedure
from prep.record.refused.commands import KeepRefused, SettleRefused
from prep.record.site.commands import (
    AddKeeper,
    GiveRole,
    RemoveKeeper,
    TakeRole,
)
from prep.record.site.yard_commands import (
    DescribeSite,
    OpenSite,
    RemoveLogo,
    SetHolidays,
    SetHours,
    SetLetterhead,
    SetLogo,
)
from prep.record.token.commands import IssueSystemToken, IssueToken, RevokeToken
from prep.record.unit.commands.buyers import AssignBuyer, WithdrawBuyer
from prep.record.unit.commands.documents import IssueDocument, RecordErased, RecordRemade
from prep.record.unit.commands.entries import (
    CheckSetting,
    CompleteCheck,
    OmitReading,
    TakeReading,
)
from prep.record.unit.commands.flags import CloseFlag, GrantConcession, RaiseFlag
from prep.record.unit.commands.handovers import HandOver
from prep.record.unit.commands.handwritten import AttachPage
from prep.record.unit.commands.joining import JoinUnit
from prep.record.unit.commands.models import AssignModel, CorrectModel
from prep.record.unit.commands.photos import AttachPhoto, MarkPeople, UnmarkPeople
from prep.record.unit.commands.plates import AttachPlate, CorrectPlate
from prep.record.unit.commands.receiving import NoteDamage, ReceiveUnit, SetLocation
from prep.record.unit.commands.registrations import AnswerRegistration, SendRegistration
from prep.record.unit.commands.releases import HoldUnit, ReleaseUnit, ReopenUnit, ResumeUnit
from prep.record.unit.commands.sheets import MoveSheet, StartSheet
from prep.record.unit.commands.shortages import NoteShortage, RecordArrival
from prep.record.unit.commands.steps import (
    AcknowledgeCautions,
    CheckStep,
    ReopenStep,
    SignStep,
    SkipStep,
)

# In the order in which a unit meets them; the pages offer them in this order.
_ALL: Final[tuple[type[Command], ...]] = (
    ReceiveUnit,
    AssignModel,
    StartSheet,
    AcknowledgeCautions,
    TakeReading,
    OmitReading,
    CompleteCheck,
    CheckSetting,
    AttachPhoto,
    MarkPeople,
    UnmarkPeople,
    AttachPage,
    SignStep,
    CheckStep,
    SkipStep,
    ReopenStep,
    ReleaseUnit,
    HandOver,
    AssignBuyer,
    WithdrawBuyer,
    RaiseFlag,
    CloseFlag,
    GrantConcession,
    NoteShortage,
    RecordArrival,
    NoteDamage,
    SetLocation,
    HoldUnit,
    ResumeUnit,
    ReopenUnit,
    MoveSheet,
    CorrectModel,
    AttachPlate,
    CorrectPlate,
    JoinUnit,
    SendRegistration,
    AnswerRegistration,
    IssueDocument,
    RecordRemade,
    RecordErased,
    AddBuyer,
    AmendBuyer,
    HoldBuyer,
    LiftBuyerHold,
    EraseBuyer,
    AdmitGuest,
    EndGuest,
    EraseGuest,
    RecordInstrument,
    MoveInstrument,
    AddManufacturer,
    CorrectManufacturer,
    PublishModel,
    PublishProcedure,
    OpenSite,
    DescribeSite,
    SetHours,
    SetHolidays,
    SetLetterhead,
    SetLogo,
    RemoveLogo,
    InvitePerson,
    RenewInvitation,
    WithdrawInvitation,
    UseInvitation,
    AddSystem,
    GiveRole,
    TakeRole,
    EnrollPerson,
    ResetPerson,
    SuspendPerson,
    RestorePerson,
    LeavePerson,
    SignOutEverywhere,
    RenamePerson,
    ChangeContact,
    Prefer,
    ChangePassword,
    ChangePin,
    RecordCard,
    WithdrawCard,
    IssueToken,
    IssueSystemToken,
    RevokeToken,
    AddKeeper,
    RemoveKeeper,
    EnrollDevice,
    RenameDevice,
    RevokeDevice,
    KeepRefused,
    SettleRefused,
)

COMMANDS: Final[dict[str, type[Command]]] = {command.tag(): command for command in _ALL}


def publishing(document: str) -> PublishProcedure | PublishModel:
    """The command that publishes a document: a procedure, or else a model or a tractor.

    Refusal where it cannot be read.
    """
    root, _ = read_nodes(document)
    if root.member("procedure") or root.member("sections"):
        return PublishProcedure(document=document)
    return PublishModel(document=document)
