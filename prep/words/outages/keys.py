"""Why the log cannot be signed, in words, and what to do about it."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

SENTENCES: Final[dict[str, str]] = {
    "key-damaged": _(
        "The signing key {file} in the folder of keys is damaged. Restore the file from your "
        "backup."
    ),
    "key-missing": _(
        "The signing key {file} is not in the folder of keys. Restore the file from your backup, "
        "or start a new key with: {command}"
    ),
    "key-of-another-kind": _(
        "The signing key {file} in the folder of keys is not an Ed25519 key. Restore the file from "
        "your backup."
    ),
    "key-of-another-name": _(
        "The file {file} in the folder of keys holds another key than its name says. Restore the "
        "file from your backup."
    ),
    "key-open": _(
        "Others on this machine can read the signing key {file}. In the folder of keys, close it "
        "with: chmod 600 {file}. If somebody may have copied it, start a new key with: {command}"
    ),
    "key-unreadable": _(
        "The signing key {file} in the folder of keys cannot be read. Give the file to the user "
        "this service runs as."
    ),
}


def seal_error_text(code: str, reader: Reader, **values: str) -> str:
    """Why the log cannot be signed."""
    return say(reader, SENTENCES[code], **values)
