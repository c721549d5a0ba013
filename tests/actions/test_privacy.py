"""Nobody finds a buyer, a recipient or a PIN in the log by guessing, with all but the key."""

import hashlib
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest

from prep.actions.perform import perform
from prep.actions.request_digest import request_digest
from prep.actions.sealing import seal
from prep.actions.submission import Submission
from prep.models import Buyer, Event
from prep.queries.records import record_of
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.record.command import Command, privacy_of
from prep.record.commands import COMMANDS
from prep.record.fields import Privacy
from prep.record.log import canonical_json
from prep.record.site.yard_commands import DescribeSite
from prep.record.unit.commands.handovers import MUST_SHOW, HandOver
from prep.record.unit.commands.releases import ReleaseUnit, sheet_digest
from tests.cast import PIN, Yard

pytestmark = pytest.mark.django_db

BUYER = "Fen Farm (invented)"
RECIPIENT = "Wes Fen (invented)"
ADDRESS = "1 Invented Lane"


def hand_over() -> HandOver:
    """What Sol sends at the handover."""
    return HandOver(
        recipient=RECIPIENT,
        relation="owner",
        language="English",
        shown=MUST_SHOW,
        manual_given=True,
        pin=PIN,
    )


def guesses(command: Command, target: str) -> Iterator[str]:
    """Digests that somebody computes who guessed every field of a command, but has no key."""
    values: dict[str, Any] = msgspec.to_builtins(command)
    personal = [str(values[name]) for name in privacy_of(type(command)) if values[name]]
    without_pin = {name: value for name, value in values.items() if name != "pin"}
    for shape in (values, without_pin):
        for request in ([target, "", shape], ["", "", shape], shape):
            yield hashlib.sha256(canonical_json.encode(request)).hexdigest()
        hashed = dict(shape)
        for name in privacy_of(type(command)):
            if hashed.get(name):
                hashed[name] = hashlib.sha256(str(hashed[name]).encode()).hexdigest()
        yield hashlib.sha256(canonical_json.encode([target, "", hashed])).hexdigest()
    for text in personal:
        for salted in (text, f'["","{text}"]', f'["{text}"]'):
            yield hashlib.sha256(salted.encode()).hexdigest()


def written(event: Event) -> str:
    """Everything of an event that leaves the service in a bundle or a proof."""
    return canonical_json.encode(event.envelope()).decode() + event.leaf


def test_neither_name_nor_digest_of_a_buyer_or_recipient_is_in_the_log(yard: Yard) -> None:
    """Sold, corrected, handed over: the log holds keyed and salted digests only."""
    unit = yard.prepared()
    adding = AddBuyer(site=yard.site, name=BUYER, address=ADDRESS)
    added = perform(adding, actor=yard.sol)
    amending = AmendBuyer(phone="555 0100")
    yard.assign(unit, buyer=Buyer.objects.get(pk=added.target))
    perform(amending, actor=yard.sol, target=added.target)
    yard.match_tractor(unit)
    yard.release(unit)
    handover = perform(hand_over(), actor=yard.sol, target=unit)
    seal()
    log = "".join(written(event) for event in Event.objects.all())
    for text in (BUYER, RECIPIENT, ADDRESS, "555 0100", "Fen Farm", "Wes Fen"):
        assert text not in log
    for command, target in (
        (adding, added.target),
        (amending, added.target),
        (hand_over(), handover.target),
    ):
        for digest in guesses(command, target):
            assert digest not in log


def test_with_the_key_the_service_knows_its_own_request_again(yard: Yard) -> None:
    """Positive control: the digest in the log is that of the command, under the key."""
    adding = AddBuyer(site=yard.site, name=BUYER)
    same = Submission()
    first = perform(adding, actor=yard.sol, submission=same)
    assert perform(adding, actor=yard.sol, submission=same).repeated
    event = Event.objects.get(stream="buyer", stream_id=first.target)
    assert event.request == request_digest(adding, "", None)
    other = AddBuyer(site=yard.site, name="Somebody else (invented)")
    assert event.request != request_digest(other, "", None)


def test_under_another_key_the_same_name_has_another_digest(settings: Any) -> None:
    """So that no table of names made for one dealership helps at another."""
    adding = AddBuyer(site="north", name=BUYER)
    before = request_digest(adding, "", None)
    settings.SECRET_KEY = "another key"
    assert request_digest(adding, "", None) != before


def test_a_pin_leaves_no_trace_in_the_digest_of_its_request(yard: Yard) -> None:
    """Four digits are guessed in no time."""
    unit = yard.prepared()
    seen = sheet_digest(record_of(unit))
    digests = {
        request_digest(ReleaseUnit(seen=seen, pin=pin), str(unit), None)
        for pin in ("4711", "0000", "")
    }
    assert len(digests) == 1


def test_names_addresses_and_pins_are_marked_in_every_command() -> None:
    """A field that is called so and not marked would leak."""
    expected = {"recipient": Privacy.PERSONAL, "address": Privacy.PERSONAL, "pin": Privacy.SECRET}
    expected |= {"phone": Privacy.PERSONAL, "email": Privacy.PERSONAL}
    # What is printed of a yard is for everybody.
    of_a_person = [one for one in COMMANDS.values() if one is not DescribeSite]
    for command in of_a_person:
        marked = privacy_of(command)
        for name in set(command.__struct_fields__) & set(expected):
            assert marked.get(name) is expected[name], f"{command.tag()} {name}"
    assert privacy_of(AddBuyer)["name"] is Privacy.PERSONAL
    assert privacy_of(AmendBuyer)["name"] is Privacy.PERSONAL
