"""The log is held to checkpoints kept outside: files, mails, several at once."""

from email.message import EmailMessage
from pathlib import Path
from uuid import UUID

import pytest
from django.core.management import call_command

from prep.actions import sealing
from prep.models import Checkpoint, Event, Leaf, TreeNode
from prep.queries import log
from prep.record.log import signed_notes
from prep.verify.run import Report, verify
from tests.actions.kept import codes, kept, rows, texts, unguarded
from tests.cast import Yard
from tests.verify.forging import rebuilt_tree

__all__ = ["kept"]


def said(report: Report) -> set[str]:
    """Codes of what was proved, and of what was not."""
    return {one.code for one in (*report.proved, *report.unproven)}


def test_without_one_it_says_what_nobody_can_tell(kept: tuple[Yard, UUID]) -> None:
    """And with the newest it does not, but for what stays unproven whatever is given."""
    sealing.seal()
    assert {"kept-none", "state-restored", "secrets"} <= said(verify())
    newest = Checkpoint.objects.latest("size")
    report = verify(older=[newest.note])
    assert "kept-agree" in said(report)
    assert not {"kept-none", "kept-older", "not-sealed"} & said(report)


def test_several_are_all_held_and_the_newest_says_how_far(kept: tuple[Yard, UUID]) -> None:
    """What came after the newest of them stays unproven."""
    notes = list(Checkpoint.objects.order_by("size").values_list("note", flat=True)[:2])
    newest = Checkpoint.objects.order_by("size")[1].size
    report = verify(older=notes)
    agree = next(one for one in report.proved if one.code == "kept-agree")
    assert agree.values == {"count": 2, "size": newest}
    older = next(one for one in report.unproven if one.code == "kept-older")
    assert older.values == {"position": newest}


def test_a_log_cut_short_with_everything_mended_is_found_by_a_mail(
    kept: tuple[Yard, UUID], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Entries, events, nodes and checkpoints of the end are gone: the mail remembers them."""
    last, before = Checkpoint.objects.order_by("-size")[:2]
    mail = EmailMessage()
    mail["Subject"] = "Fwd: checkpoint"
    mail.set_content("> " + last.note.replace("\n", "\n> "))
    file = tmp_path / "kept.eml"
    file.write_bytes(mail.as_bytes())
    call_command("verify", older=[file])
    assert f"its first {last.size} entries are those" in capsys.readouterr().out
    with unguarded():
        cut = list(Leaf.objects.filter(position__gte=before.size).values_list("event", flat=True))
        rows(Leaf).filter(position__gte=before.size).delete()
        rows(Checkpoint).filter(pk=last.pk).delete()
        rebuilt_tree()
        assert len(cut) == last.size - before.size
        with pytest.raises(SystemExit):
            call_command("verify", older=[file])
    assert (
        f"The checkpoint you kept, checkpoint {last.size}: the log now ends after entry "
        f"{before.size}."
    ) in capsys.readouterr().err


def test_the_consistency_proof_must_lead_to_the_newest_checkpoint(
    kept: tuple[Yard, UUID],
) -> None:
    """A newest root that is not over the kept one is named, though its own tree is whole."""
    first = Checkpoint.objects.earliest("size")
    with unguarded():
        event = Event.objects.get(sealed__position=first.size - 1)
        rows(Event).filter(pk=event.pk).update(actor_name="Nobody Invented")
        rebuilt_tree({event.pk})
        newest = Checkpoint.objects.latest("size")
        rows(Checkpoint).filter(pk=newest.pk).update(root=log.root(newest.size).hex())
        report = verify(older=[first.note])
    assert "kept-log-differs" in codes(report)


def test_missing_nodes_prove_nothing(kept: tuple[Yard, UUID]) -> None:
    """The root cannot be recomputed, which is no proof that it was another."""
    first = Checkpoint.objects.earliest("size")
    with unguarded():
        rows(TreeNode).filter(level__gt=0).delete()
        assert "kept-rootless" in codes(verify(older=[first.note]))


def test_a_key_that_is_not_published_is_named(kept: tuple[Yard, UUID]) -> None:
    """The log was signed again with another key: whoever kept a checkpoint of the first sees it."""
    note = Checkpoint.objects.earliest("size").note
    above, _, below = note.rpartition("\n\n")
    key = sealing.new_key()
    parsed = signed_notes.parse_verifier_key(key.verifier)
    stranger = signed_notes.sign_note(
        f"{above}\n", "other.example/log", sealing.private_half(parsed)
    )
    assert below
    [text] = [text for text in texts(verify(older=[stranger])) if "The checkpoint" in text]
    assert "which this service does not publish" in text
