"""How verify.html looks and behaves: its picture, on paper, in an old browser, under attack."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from reports.bundles import verifier
from tests.pages.browser import CHROMIUM
from tests.reports.bundles.html_verifier import PAGE, agree, chosen, page
from tests.reports.bundles.invented_log import (
    bundle,
    contents,
)

__all__ = ["page"]

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


def test_without_the_signature_in_the_browser_nothing_is_said_to_hold(
    browser: Browser, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An older browser: like a Python without the package, "not checked"."""
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.add_init_script(
        "crypto.subtle.importKey = async () => { throw new DOMException('', 'NotSupportedError') }"
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(verifier, "HAS_ED25519", False)
        code, codes = agree(page, capsys, bundle(tmp_path))
    assert code == 2
    assert "no-ed25519" in codes
    assert "Everything holds." not in page.inner_text("body")
    context.close()


def test_the_page_shows_what_is_bound_by_what(page: Page, tmp_path: Path) -> None:
    """As a picture, in words for whoever hears it, narrow and on paper."""
    chosen(page, bundle(tmp_path, {**contents(), "readings.csv": b"unit\n"}))
    parts = {
        part.get_attribute("data-part"): part.get_attribute("class")
        for part in page.locator("#picture [data-part]").all()
    }
    assert (parts["key"], parts["events"], parts["compared"]) == ("good", "good", "bad")
    assert "The key signs the statement." in page.inner_text("#picture-text")
    page.set_viewport_size({"width": 360, "height": 760})
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.emulate_media(media="print")
    assert page.is_visible("#picture svg")
    assert not page.is_visible("#key")
    page.emulate_media(media="screen")


def test_what_it_cannot_read_it_asks_for_again(page: Page, tmp_path: Path) -> None:
    """Neither a bundle, a certificate nor a checkpoint; and nothing it says is markup."""
    path = tmp_path / "<img src=x onerror=alert(1)>.txt"
    path.write_bytes(b"\xff\xfe")
    assert chosen(page, path)["exit"] == 1
    assert page.locator("img").count() == 0
    path.write_text("QUJD", encoding="utf-8")
    assert chosen(page, path)["exit"] == 1


def test_the_page_loads_and_sends_nothing(page: Page) -> None:
    """It may not by its own rule, and refers to nothing."""
    page.goto(PAGE.as_uri())
    content = PAGE.read_text(encoding="utf-8")
    assert "default-src 'none'" in content
    assert not re.search(r"\b(?:src|href)=|fetch\(|XMLHttpRequest|import\(|eval\(", content)
