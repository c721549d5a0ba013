"""Django tables: the log, and the index that can be rebuilt from it."""

from prep.models.accounts.attempts import Attempt, PasswordGiven
from prep.models.accounts.devices import Device
from prep.models.accounts.invitations import Invitation
from prep.models.accounts.sessions import Session
from prep.models.instruments import Instrument
from prep.models.log import Checkpoint, Event, Leaf, LogKey, TreeNode, UnchangeableError, Unsealed
from prep.models.machine_models import MachineModel
from prep.models.manufacturers import Manufacturer
from prep.models.people import Card, Person
from prep.models.personal.buyers import Buyer, FormerParticulars
from prep.models.personal.guests import Guest
from prep.models.personal.handovers import Recipient
from prep.models.personal.reads import PersonalRead
from prep.models.photos import PendingFile, Photo
from prep.models.procedures import ProcedureRevision
from prep.models.refused_commands import RefusedCommand
from prep.models.sites import CheckpointKeeper, Membership, Site
from prep.models.units import Flag, Reading, Shortage, SignOff, Unit, UnitCount, UnitStep

__all__ = [
    "Attempt",
    "Buyer",
    "Card",
    "Checkpoint",
    "CheckpointKeeper",
    "Device",
    "Event",
    "Flag",
    "FormerParticulars",
    "Guest",
    "Instrument",
    "Invitation",
    "Leaf",
    "LogKey",
    "MachineModel",
    "Manufacturer",
    "Membership",
    "PasswordGiven",
    "PendingFile",
    "Person",
    "PersonalRead",
    "Photo",
    "ProcedureRevision",
    "Reading",
    "Recipient",
    "RefusedCommand",
    "Session",
    "Shortage",
    "SignOff",
    "Site",
    "TreeNode",
    "UnchangeableError",
    "Unit",
    "UnitCount",
    "UnitStep",
    "Unsealed",
]
