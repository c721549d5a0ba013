"""Signed notes, checkpoints and proofs as text (C2SP signed-note, tlog-checkpoint, tlog-proof)."""

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log.merkle_tree import (
    appended_nodes,
    inclusion_proof,
    leaf_hash,
    root_of,
    verify_inclusion,
)
from prep.record.log.signed_notes import (
    Checkpoint,
    NoteError,
    Proof,
    VerifierKey,
    format_checkpoint,
    format_proof,
    parse_checkpoint,
    parse_proof,
    parse_verifier_key,
    sign_note,
    verifier_key,
    verify_note,
)

# The published example of signed-note.
PUBLISHED_KEY = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
PUBLISHED_TEXT = "This is an example message.\n"
PUBLISHED_SIGNATURE = (
    "Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM="
)
PUBLISHED_NOTE = f"{PUBLISHED_TEXT}\n— example.com/foo {PUBLISHED_SIGNATURE}\n"

# RFC 8032 section 7.1, tests 1 to 3: secret key, public key, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555"
        "fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da0"
        "85ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac1"
        "8ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
]

# Test 2 of RFC 8032 signs for an invented dealership.
KEY = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(RFC_8032[1][0]))
NAME = "yard.example/log"
ROOT = leaf_hash(b"a release")
CHECKPOINT = Checkpoint(NAME, 1207, ROOT)


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC_8032)
def test_the_signature_is_ed25519_as_published(
    secret: str, public: str, message: str, signature: str
) -> None:
    """RFC 8032 7.1: key and signature of each test, made by the library we sign with."""
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert verifier_key(NAME, key).public.hex() == public
    assert key.sign(bytes.fromhex(message)).hex() == signature


def test_the_published_note_holds_under_its_published_key() -> None:
    """Key line, key id and note of the C2SP example."""
    key = parse_verifier_key(PUBLISHED_KEY)
    assert (key.name, key.id.hex()) == ("example.com/foo", "530d903a")
    assert key.text == PUBLISHED_KEY
    assert verify_note(PUBLISHED_NOTE, [key]) == PUBLISHED_TEXT


def test_the_published_note_fails_once_its_text_is_changed() -> None:
    """A change of one letter."""
    changed = PUBLISHED_NOTE.replace("an example", "my example")
    with pytest.raises(NoteError, match=r"The signature of example\.com/foo is false"):
        verify_note(changed, [parse_verifier_key(PUBLISHED_KEY)])


def test_a_checkpoint_is_three_lines_under_one_signature() -> None:
    """Origin, size and root as tlog-checkpoint lays them out; readable back by its key alone."""
    note = sign_note(format_checkpoint(CHECKPOINT), NAME, KEY)
    lines = note.split("\n")
    assert lines[:2] == [NAME, "1207"]
    assert (lines[3], lines[4][: len(NAME) + 3], lines[5:]) == ("", f"— {NAME} ", [""])
    published = parse_verifier_key(verifier_key(NAME, KEY).text)
    assert parse_checkpoint(verify_note(note, [published])) == CHECKPOINT


def test_a_checkpoint_names_the_one_before_it() -> None:
    """In an extension line, which tlog-checkpoint allows: signed with the rest."""
    follows = Checkpoint(NAME, 1207, ROOT, previous=1200)
    text = format_checkpoint(follows)
    assert text == format_checkpoint(CHECKPOINT) + "previous 1200\n"
    assert parse_checkpoint(text) == follows


def test_a_checkpoint_of_an_empty_log_is_one_too() -> None:
    """A checkpoint over no entries can be written and read."""
    empty = Checkpoint(NAME, 0, root_of([]))
    assert parse_checkpoint(format_checkpoint(empty)) == empty


def test_signatures_by_strangers_are_passed_over() -> None:
    """A second signature, by an unknown key, is ignored (signed-note v1.0.0)."""
    other = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(RFC_8032[0][0]))
    text = format_checkpoint(CHECKPOINT)
    stranger = sign_note(text, "witness.example/w", other).split("\n\n")[1]
    note = sign_note(text, NAME, KEY) + stranger
    assert verify_note(note, [verifier_key(NAME, KEY)]) == text
    assert verify_note(note, [verifier_key("witness.example/w", other)]) == text
    with pytest.raises(NoteError, match="which none of the given keys is"):
        verify_note(note, [parse_verifier_key(PUBLISHED_KEY)])


def test_one_name_may_sign_with_an_older_and_a_newer_key() -> None:
    """After a change of keys both are published, and each note is verified with its own."""
    older = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(RFC_8032[2][0]))
    keys = [verifier_key(NAME, older), verifier_key(NAME, KEY)]
    for key in (older, KEY):
        assert verify_note(sign_note("a\n", NAME, key), keys) == "a\n"


@settings(max_examples=100)
@given(st.data())
def test_no_changed_character_of_a_note_passes(data: st.DataObject) -> None:
    """Any one character of text, name or signature replaced by another."""
    note = sign_note(format_checkpoint(CHECKPOINT), NAME, KEY)
    place = data.draw(st.integers(0, len(note) - 1))
    other = data.draw(
        st.characters(codec="utf-8").filter(lambda character: character != note[place])
    )
    with pytest.raises(NoteError):
        verify_note(note[:place] + other + note[place + 1 :], [verifier_key(NAME, KEY)])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("yard.example\n7\n", "three lines"),
        ("yard.example\n7\n{root}\nmore\n", "A fourth line of a checkpoint reads"),
        ("yard.example\n7\n{root}\nprevious 07\n", "'07'; it must be a plain number"),
        ("yard.example\n7\n{root}\nprevious 7\n", "cannot follow one over as many"),
        ("yard.example\n7\n{root}\nprevious 6\n\n", "three lines"),
        ("yard.example\n7\nAAAA", "three lines"),
        (" \n7\nAAAA\n", "does not name its log"),
        ("yard.example\n7\nAAAA\n", "3 bytes instead of 32"),
        ("yard.example\n7\nA?AA\n", "The root is not base64"),
        ("yard.example\n7\nÄAAA\n", "The root is not base64"),
        ("yard.example\n07\n{root}\n", "'07'; it must be a plain number"),
        ("yard.example\n-7\n{root}\n", "'-7'; it must be a plain number"),
        ("yard.example\n٧\n{root}\n", "must be a plain number"),
        ("yard.example\n9999999999999999999\n{root}\n", "must be a plain number"),
    ],
)
def test_a_checkpoint_with_two_readings_is_refused(text: str, words: str) -> None:
    """Malformed notes are refused and not repaired."""
    root = format_checkpoint(CHECKPOINT).split("\n")[2]
    with pytest.raises(NoteError, match=words):
        parse_checkpoint(text.replace("{root}", root))


def test_a_root_written_in_two_ways_is_refused() -> None:
    """32 bytes leave two spare bits in base64; set, they would make a second text for one root."""
    good = format_checkpoint(Checkpoint(NAME, 1, bytes(32)))
    assert good.endswith("AAA=\n")
    with pytest.raises(NoteError, match="not base64 as it must be written"):
        parse_checkpoint(good.replace("AAA=\n", "AAB=\n"))


@pytest.mark.parametrize(
    ("note", "words"),
    [
        ("", "carries no signature"),
        (PUBLISHED_TEXT, "carries no signature"),
        (PUBLISHED_NOTE[:-1], "carries no signature"),
        (PUBLISHED_NOTE.replace("—", "-"), "A signature line reads"),
        (PUBLISHED_NOTE + "\n", "carries no signature"),
        (PUBLISHED_NOTE.replace("foo ", "foo"), "A signature line reads"),
        (PUBLISHED_NOTE.replace("foo ", "f+o "), "cannot name a key"),
        (PUBLISHED_NOTE.replace(PUBLISHED_SIGNATURE, "Uw2QOg=="), "cut short"),
        (PUBLISHED_NOTE.replace(PUBLISHED_SIGNATURE, "Uw2QOkn8"), "is false"),
        (PUBLISHED_NOTE.replace("an ex", "an\tex"), "control character"),
        (PUBLISHED_NOTE.replace("an ex", "an\ud800ex"), "is not Unicode"),
        ("\n" + PUBLISHED_NOTE[len(PUBLISHED_TEXT) :], "at least one line"),
    ],
)
def test_a_note_that_is_not_well_formed_is_refused(note: str, words: str) -> None:
    """Each with its own sentence."""
    with pytest.raises(NoteError, match=words):
        verify_note(note, [parse_verifier_key(PUBLISHED_KEY)])


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("example.com/foo", r"reads name\+id\+key"),
        (PUBLISHED_KEY.replace("530d903a", "530d903b"), "id is 530d903a, the line says 530d903b"),
        (PUBLISHED_KEY.replace("/foo", "/bar"), "copy it again"),
        (PUBLISHED_KEY.replace("+Ae", "+Ce"), "another kind than Ed25519"),
        (PUBLISHED_KEY[:-4], "32 bytes; this has 29"),
        (PUBLISHED_KEY.replace("example.com/foo", "a b"), "cannot name a key"),
        (PUBLISHED_KEY.replace("example.com/foo", ""), "cannot name a key"),
    ],
)
def test_a_key_line_that_is_not_whole_is_refused(line: str, words: str) -> None:
    """A mistyped key is refused."""
    with pytest.raises(NoteError, match=words):
        parse_verifier_key(line)


def test_only_text_that_can_be_read_again_is_signed() -> None:
    """An origin with a line in it, a negative size, a short root, an unfinished line."""
    for wrong in (
        Checkpoint("a\nb", 1, ROOT),
        Checkpoint(NAME, -1, ROOT),
        Checkpoint(NAME, 1, ROOT[:31]),
    ):
        with pytest.raises(NoteError):
            format_checkpoint(wrong)
    with pytest.raises(NoteError, match="ends its last one"):
        sign_note("unfinished", NAME, KEY)
    with pytest.raises(NoteError, match="cannot name a key"):
        VerifierKey("a name", bytes(32))


def test_a_proof_carries_an_entry_to_a_signed_checkpoint() -> None:
    """tlog-proof: header, index, path from leaf to root, blank line, checkpoint."""
    leaves = [leaf_hash(str(number).encode()) for number in range(7)]
    nodes = {(level, index): held for level, index, held in appended_nodes(0, leaves, no_node)}
    path = inclusion_proof(4, 7, lambda *at: nodes[at])
    note = sign_note(format_checkpoint(Checkpoint(NAME, 7, root_of(leaves))), NAME, KEY)
    text = format_proof(4, path, note)
    assert text.split("\n")[:2] == ["c2sp.org/tlog-proof@v1", "index 4"]
    read = parse_proof(text)
    assert read == Proof(4, tuple(path), note)
    checkpoint = parse_checkpoint(verify_note(read.note, [verifier_key(NAME, KEY)]))
    verify_inclusion(read.index, checkpoint.size, leaves[4], read.path, checkpoint.root)


def test_a_proof_may_carry_extra_data_in_its_second_line() -> None:
    """C2SP tlog-proof: “extra”, a space and base64, before the index."""
    text = format_proof(0, [], PUBLISHED_NOTE, b"an entry")
    assert text.split("\n")[:3] == ["c2sp.org/tlog-proof@v1", "extra YW4gZW50cnk=", "index 0"]
    assert parse_proof(text) == Proof(0, (), PUBLISHED_NOTE, b"an entry")


def test_a_proof_of_the_only_entry_has_no_path() -> None:
    """The proof of a single entry has no hashes."""
    assert parse_proof(format_proof(0, [], PUBLISHED_NOTE)).path == ()


@pytest.mark.parametrize(
    ("right", "wrong", "words"),
    [
        ("@v1", "@v2", "A proof starts with"),
        ("index 4\n", "", "A proof starts with"),
        ("index 4", "place 4", "reads “index” and a number"),
        ("index 4", "index four", "The index is 'four'"),
        ("index 4", "extra ?\nindex 4", "The extra data of the proof is not base64"),
        ("index 4\n", "extra YQ==\n", "names its entry in a line that reads"),
        ("index 4\n", "index 4\nAAAA\n", "Every hash in a proof has 32 bytes"),
        ("index 4\n", "index 4\n????\n", "A hash in the proof is not base64"),
        ("\n\nThis", "\nThis", "A hash in the proof is not base64"),
    ],
)
def test_a_proof_that_is_not_well_formed_is_refused(right: str, wrong: str, words: str) -> None:
    """Each with its own sentence."""
    text = format_proof(4, [], PUBLISHED_NOTE)
    assert right in text
    with pytest.raises(NoteError, match=words):
        parse_proof(text.replace(right, wrong))


def no_node(level: int, index: int) -> bytes:
    raise AssertionError(f"({level}, {index}) is not stored")
