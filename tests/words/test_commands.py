"""Every command that people give has its words, and no words are left over."""

from typing import get_args

from prep.pages.command_form import fields_of
from prep.pages.commands import OFFERED as FORMS
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Command, privacy_of
from prep.record.commands import COMMANDS
from prep.record.unit.events import UnitEvent
from prep.words.commands import COMMANDS as WORDS
from prep.words.commands import EVENTS, FIELDS, button, explanation, label, title
from prep.words.reader import ENGLISH

OFFERED = {tag: command for tag, command in COMMANDS.items() if command.offered}
# Fields a unit's page knows by itself, with labels for the forms and faults of other places.
ELSEWHERE = {"site", "buyer", "damage", "paper", "instrument", "person", "role"}
ELSEWHERE |= {"password", "new_pin"}


def missing_words() -> list[str]:
    """Commands and fields without words."""
    missing = sorted(set(OFFERED) - set(WORDS))
    forms: dict[str, type[Command]] = {**FORMS, "buyer.add": AddBuyer}
    for tag, command in forms.items():
        missing += [
            f"{tag} {field.name}"
            for field in fields_of(command)
            if field.name not in FIELDS and f"{tag} {field.name}" not in FIELDS
        ]
    return missing


def test_every_command_and_every_field_of_a_form_has_its_words() -> None:
    """A form would otherwise show a name of the program."""
    assert missing_words() == []
    assert set(WORDS) == set(OFFERED)


def test_every_field_of_a_command_that_may_not_be_taken_has_its_label() -> None:
    """What was typed is shown with it; personal and secret fields are not kept."""
    nameless = [
        f"{tag} {field}"
        for tag, command in OFFERED.items()
        for field in set(command.__struct_fields__) - set(privacy_of(command))
        if field not in FIELDS and f"{tag} {field}" not in FIELDS
    ]
    assert nameless == []


def test_every_kind_of_event_has_its_sentence_and_none_is_left_over() -> None:
    """A history would otherwise break at it; a variant belongs to a kind there is."""
    kinds = {str(event.__struct_config__.tag) for event in get_args(UnitEvent)}
    assert sorted(kinds - set(EVENTS)) == []
    assert {name.partition(" ")[0] for name in EVENTS} == kinds


def test_no_label_is_left_over() -> None:
    """What no form shows is dead."""
    shown = {name for command in OFFERED.values() for name in command.__struct_fields__}
    shown |= {field.name for command in OFFERED.values() for field in fields_of(command)}
    unused = {name for name in FIELDS if name.rpartition(" ")[2] not in shown | ELSEWHERE}
    assert unused == set()


def test_a_commands_own_label_comes_before_the_common_one() -> None:
    """“Text” says nothing; what is wrong, and where, does."""
    assert label("flag.raise", "text", ENGLISH) == "What is wrong, and where"
    assert label("unit.hold", "reason", ENGLISH) == "Reason"
    assert title("flag.concede", ENGLISH) == "Grant a concession"
    assert button("flag.concede", ENGLISH) == "Accept this out-of-limit item"
    assert explanation("unit.hold", ENGLISH) == ""
