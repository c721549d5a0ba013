"""Django tables: the log, and the index that can be rebuilt from it."""

from prep.models.log import Checkpoint, Event, Leaf, LogKey, TreeNode, UnchangeableError, Unsealed
from prep.models.people import AttemptedPin, Membership, Person, Site
from prep.models.photos import Photo
from prep.models.private import Buyer, FormerParticulars, Recipient
from prep.models.shop import Instrument, MachineModel, ProcedureRevision
from prep.models.units import Flag, Reading, SignOff, Unit, UnitStep

__all__ = [
    "AttemptedPin",
    "Buyer",
    "Checkpoint",
    "Event",
    "Flag",
    "FormerParticulars",
    "Instrument",
    "Leaf",
    "LogKey",
    "MachineModel",
    "Membership",
    "Person",
    "Photo",
    "ProcedureRevision",
    "Reading",
    "Recipient",
    "SignOff",
    "Site",
    "TreeNode",
    "UnchangeableError",
    "Unit",
    "UnitStep",
    "Unsealed",
]
