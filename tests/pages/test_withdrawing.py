"""Releasing and withdrawing a release on the pages."""

from datetime import timedelta

from django.utils import timezone

from prep.queries.records import record_of
from tests.cast import NOT_THE_WORK, Yard, days_ago
from tests.pages.visitor import Enter, post


def test_the_manager_reads_what_a_release_stands_for_before_signing(
    yard: Yard, enter: Enter
) -> None:
    """Near a limit and accepted, with its step; of a smooth unit that there is nothing."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    yard.take(unit, "blades", "torque", "472 ft lb", position="left", instrument="W-1")
    yard.concede(unit)
    yard.take(unit, "blades", "torque", "450 ft lb", position="right", instrument="W-1")
    yard.sign(unit, "blades")
    yard.second(unit, "blades")
    yard.level(unit)
    page = enter(yard.mira).get(f"/units/{unit}/do/unit.release/").content.decode()
    assert page.index("This release stands for") < page.index("Close to the limit")
    assert "Torque the blade bolts: Blade bolt (left)" in page
    smooth = yard.started()
    yard.block_deck(smooth)
    yard.torque_blades(smooth, right="452 ft lb")
    yard.level(smooth)
    page = enter(yard.mira).get(f"/units/{smooth}/do/unit.release/").content.decode()
    assert "Nothing was accepted out of limit, replaced" in page


def test_a_release_is_withdrawn_with_steps_or_with_why_none(yard: Yard, enter: Enter) -> None:
    """The form offers the steps that are done; without a word on the work it comes back."""
    unit = yard.prepared()
    yard.release(unit)
    client = enter(yard.mira)
    path = f"/units/{unit}/do/unit.reopen/"
    form = client.get(path).content.decode()
    assert 'value="pitch"' in form
    assert 'value="splines"' not in form
    version = record_of(unit).version
    page = post(client, path, 409, reason="Look again")
    assert "Name the steps that have to be done again. If none has to, say why not." in page
    assert record_of(unit).version == version
    post(client, path, reason="Papers wrong.", nothing_because=NOT_THE_WORK)
    page = client.get(f"/units/{unit}/").content.decode()
    assert "A service manager has to release it again." in page
    assert NOT_THE_WORK in page


def test_the_unit_page_offers_both_views_of_the_past_and_says_which(
    yard: Yard, enter: Enter
) -> None:
    """A unit that came eight days ago and was entered today."""
    with days_ago(9):
        yard.receive()
    unit = yard.receive(happened=timezone.now() - timedelta(days=8))
    then = (timezone.now() - timedelta(days=3)).isoformat()
    client = enter(yard.ada)
    by_then = client.get(f"/units/{unit}/", {"happened_by": then})
    assert by_then.status_code == 200
    assert "What was entered later but happened before is shown." in by_then.content.decode()
    known = client.get(f"/units/{unit}/", {"known_at": then})
    assert known.status_code == 409
    assert "This unit was not here at" in known.content.decode()
    now = timezone.now().isoformat()
    known = client.get(f"/units/{unit}/", {"known_at": now})
    assert "What was entered later is not shown." in known.content.decode()
