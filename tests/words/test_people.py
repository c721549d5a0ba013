"""People in words: every event of an account, every state, every kind of card."""

from typing import get_args

from prep.record.person import events as e
from prep.record.person.card_states import CardState
from prep.record.person.commands.cards import CardKind
from prep.record.person.state import Status
from prep.record.reference_events import AnyPersonEvent
from prep.record.site.events import MemberAdded, MemberRemoved
from prep.words.people.history import SENTENCES, account_event_text
from prep.words.people.mail import SUBJECTS, TEXTS
from prep.words.people.states import CARD_KINDS, CARD_STATES, STATES
from prep.words.reader import ENGLISH
from tests.words.test_completeness import BRITISH, UNNATURAL


def test_every_event_of_an_account_has_its_sentence_and_none_is_left_over() -> None:
    """A history would otherwise break at it; a variant belongs to a kind there is."""
    events = (*get_args(AnyPersonEvent), MemberAdded, MemberRemoved)
    kinds = {str(event.__struct_config__.tag) for event in events}
    assert {name.partition(" ")[0] for name in SENTENCES} == kinds


def test_every_state_and_kind_of_card_has_its_word() -> None:
    """And every purpose of an invitation its mail."""
    assert set(STATES) == set(Status)
    assert set(CARD_STATES) == set(CardState)
    assert set(CARD_KINDS) == set(get_args(get_args(CardKind)[0]))
    assert set(SUBJECTS) == set(TEXTS) == {"join", "reset"}


def test_a_history_reads_as_a_person_would_tell_it() -> None:
    """With words for tokens and a day with its month in letters."""
    course = e.CardRecorded("c", "manufacturer-course", "Larkfield", "0" * 64, "2027-03-31")
    assert account_event_text(course, ENGLISH) == (
        "Training card recorded: Manufacturer's course, Larkfield, until 31 Mar 2027."
    )
    chosen = e.PreferencesChosen("fr", "metric", "comma")
    assert account_event_text(chosen, ENGLISH) == (
        "Chose language Français; Metric (mm, N·m, kPa); decimals: comma, as in 1,5."
    )
    given = MemberAdded("7", "Jo Invented", "sales")
    assert account_event_text(given, ENGLISH, "North yard") == "Role given at North yard: Sales."
    reset = e.InvitationUsed("i", "reset", "en", "p", "q")
    assert account_event_text(reset, ENGLISH).startswith("Chose a new password and PIN by a link")


def test_the_words_are_american_shop_english() -> None:
    """As everywhere."""
    for text in (*SENTENCES.values(), *TEXTS.values(), *SUBJECTS.values()):
        assert not BRITISH.search(text)
        assert not UNNATURAL.search(text)
