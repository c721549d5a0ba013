"""Facts of a delivery certificate: its content, apart from its layout.

Every moment bears the time zone of the yard; every measured number is text. What a procedure says
and what people typed stands as it is, what we say in the certificate's language; verdicts, states
and meanings are tokens. Nothing here reads anything: whoever draws a document gets all of it from
here.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from prep.rules.drawings.shapes import Drawing
from prep.words.reader import Reader
from prep.words.unit.limits import ShownComputation
from reports.document_kind import StandIn


@dataclass(frozen=True)
class Signed:
    """Printed name, moment and meaning, a token, of a sign-off (21 CFR 11.50 as the model).

    `named` is the printed name of whom a device named as the author, and who has not signed.
    """

    name: str
    at: datetime
    meaning: str
    named: str = ""


@dataclass(frozen=True)
class LimitFacts:
    """A limit as of the reading it was applied to; `low` and `high` in `unit`.

    `stated` is the limit in words, `beside` once more in the unit typed or the other system.
    """

    stated: str
    beside: str
    source: str
    basis: str
    quantity: str
    low: str
    high: str
    unit: str
    decision: str
    guard: str
    computed: ShownComputation | None = None


@dataclass(frozen=True)
class InstrumentUsed:
    """The instrument of a reading; uncertainties are expanded (k = 2) in the reading's unit.

    `uncertainty` is that of the reading, the others those at the two limits.
    """

    code: str
    name: str
    serial: str
    calibrated: str
    due: str
    certificate: str
    uncertainty: str
    uncertainty_low: str
    uncertainty_high: str


@dataclass(frozen=True)
class SettingFacts:
    """What a tool was set to, as typed, and the fasteners gone over with it; nobody measured it.

    `canonical` and `unit` are what it was judged in, `stated` and `beside` as people read it.
    """

    value: str
    typed_unit: str
    canonical: str
    unit: str
    fasteners: int
    checked: int
    moved: int
    stated: str
    beside: str


@dataclass(frozen=True)
class Answer:
    """What was entered in a box: as typed, as understood, and as judged.

    `value` is the number with its unit as understood, `typed_unit` that unit; `canonical` and
    `unit` are what it was judged in. `stated` is the value in the limit's unit, `beside` in the
    other system, `uncertainty` what the instrument's is, rounded as people read them. All are empty
    for a check, a choice, a tool's `setting` and a text that measures nothing. `by` is whoever
    entered it, or wrote it on the paper it was `copied` from.
    """

    id: str
    typed: str
    verdict: str
    by: Signed
    setting: SettingFacts | None = None
    value: str = ""
    typed_unit: str = ""
    canonical: str = ""
    unit: str = ""
    stated: str = ""
    beside: str = ""
    uncertainty: str = ""
    limit: LimitFacts | None = None
    instrument: InstrumentUsed | None = None
    probability: str = ""
    remarks: tuple[str, ...] = ()
    reason: str = ""
    copied: Signed | None = None


@dataclass(frozen=True)
class ConcessionFacts:
    """A nonconforming item accepted by concession: what, why, by whose authority."""

    where: str
    text: str
    reason: str
    granted: Signed


@dataclass(frozen=True)
class BoxFacts:
    """A box with its present answer and every one before it, the newest first.

    `suspected` is the suspicion on which it was asked; empty where it is asked without one.
    """

    ask: str
    position: str
    current: Answer | None
    earlier: tuple[Answer, ...]
    concession: ConcessionFacts | None
    suspected: str = ""


@dataclass(frozen=True)
class StepFacts:
    """A step, what was answered and who signed it. `past` are sign-offs that no longer count."""

    step: str
    title: str
    do: str
    status: str
    skipped: str
    boxes: tuple[BoxFacts, ...]
    signed: tuple[Signed, ...]
    past: tuple[Signed, ...]
    reopened: tuple[str, ...]


@dataclass(frozen=True)
class SectionFacts:
    """A section of the procedure, with the steps that apply."""

    title: str
    steps: tuple[StepFacts, ...]


@dataclass(frozen=True)
class CautionFacts:
    """A caution, and who acknowledged it."""

    severity: str
    text: str
    acknowledged: tuple[Signed, ...]


@dataclass(frozen=True)
class FlagFacts:
    """A nonconformity that was found and fixed."""

    text: str
    raised: Signed
    closed: Signed
    how: str


@dataclass(frozen=True)
class StandsFor:
    """What to know of a release: its kind, a token, the place, and what it is."""

    kind: str
    where: str
    text: str


@dataclass(frozen=True)
class ShortageFacts:
    """A missing part; `arrived` says when it came and who noted it."""

    part: str
    count: int
    noted: Signed
    expected: str
    lent_to: str
    arrived: Signed | None


@dataclass(frozen=True)
class DamageFacts:
    """Damage noted on receipt, and whether the bill of lading names it."""

    what: str
    where: str
    count: int
    on_carrier_paper: bool
    noted: Signed


@dataclass(frozen=True)
class PhotoFacts:
    """A photograph of the unit, by the digest of its file."""

    digest: str
    where: str
    note: str
    taken: Signed


@dataclass(frozen=True)
class UnitFacts:
    """The unit: plate, model, buyer and tractor, and what it is ready for."""

    id: str
    maker: str
    serial: str
    model: str
    model_code: str
    options: tuple[str, ...]
    plate: str
    papers: str
    received: Signed
    buyer: str
    tractor: str
    ready_for: str


@dataclass(frozen=True)
class SheetFacts:
    """The procedure revision by which the unit was prepared."""

    procedure: str
    revision: int
    title: str
    manual: str
    note: str
    digest: str
    started: Signed


@dataclass(frozen=True)
class Replaced:
    """The certificate this one replaces: its number, its release and why that was withdrawn.

    `why` is empty where a later release simply followed, as for the buyer after that for stock.
    `nothing_because` is why no work was done again.
    `misread` is the serial it gives where only that is wrong.
    """

    number: str
    released: Signed
    why: str
    nothing_because: str = ""
    misread: str = ""


@dataclass(frozen=True)
class Corrected:
    """A correction of the plate: manufacturer and serial as they were read, and why."""

    maker: str
    serial: str
    reason: str
    signed: Signed


@dataclass(frozen=True)
class Explained:
    """A drawing that explains readings of a step, with its caption."""

    step: str
    caption: str
    drawing: Drawing


@dataclass(frozen=True)
class StatementFacts:
    """What signatures of one meaning declare, word for word, in the language it was signed in."""

    meaning: str
    language: str
    text: str


@dataclass(frozen=True)
class ProofFacts:
    """Proof of the release: its entry in the log, the inclusion proof, and the key to check with.

    `entry` is the release as canonical JSON, `tlog` its proof in the tlog-proof format with the
    signed checkpoint. `root` and `leaf` are SHA-256 in hex.
    """

    log: str
    position: int
    size: int
    root: str
    leaf: str
    key: str
    entry: str
    tlog: str
    events: tuple[dict[str, Any], ...]


@dataclass(frozen=True)
class CertificateFacts:
    """Everything a delivery certificate says. `replaces` is None for a unit's first one.

    `stands_in` names one of the same release whose file was lost or damaged. `letterhead` are the
    lines under the dealership's name, `logo` the SHA-256 of its picture, empty for none.
    `named_buyer` is the id of the buyer whom it names; empty for none, and where the name was
    erased.
    """

    number: str
    language: str
    stands_in: StandIn | None
    replaces: Replaced | None
    address: str
    dealer: str
    site: str
    letterhead: tuple[str, ...]
    logo: str
    time_zone: str
    unit: UnitFacts
    sheet: SheetFacts
    released: Signed
    corrections: tuple[Corrected, ...]
    sections: tuple[SectionFacts, ...]
    stands_for: tuple[StandsFor, ...]
    concessions: tuple[ConcessionFacts, ...]
    statements: tuple[StatementFacts, ...]
    cautions: tuple[CautionFacts, ...]
    flags: tuple[FlagFacts, ...]
    shortages: tuple[ShortageFacts, ...]
    damage: tuple[DamageFacts, ...]
    photos: tuple[PhotoFacts, ...]
    not_applying: tuple[str, ...]
    explained: tuple[Explained, ...]
    proof: ProofFacts
    named_buyer: str = ""

    @property
    def reader(self) -> Reader:
        """Whom the certificate is written for."""
        return Reader(language=self.language, time_zone=self.time_zone)

    @property
    def steps(self) -> tuple[StepFacts, ...]:
        """Every step of every section."""
        return tuple(step for section in self.sections for step in section.steps)

    @property
    def boxes(self) -> tuple[BoxFacts, ...]:
        """Every box of every step."""
        return tuple(box for step in self.steps for box in step.boxes)
