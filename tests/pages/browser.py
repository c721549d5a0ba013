"""A real browser on the served pages, and what every page must keep to."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from uuid import UUID

from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize

from prep.models import Person
from tests.cast import PASSWORD, PIN

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
PHONE = ViewportSize(width=360, height=740)
TABLET = ViewportSize(width=768, height=1024)
DESK = ViewportSize(width=1440, height=900)
# WCAG 2.2, 2.5.8 asks 24 px and 2.5.5 asks 44; a glove wants 48 (house rule).
TOUCH = 48

FAULTS = (Path(__file__).parent / "faults.js").read_text()


@dataclass
class Visit:
    """Somebody at a tablet: one page, and everything the browser complained about."""

    page: Page
    address: str
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _heard(self, message: Any) -> None:
        # A refusal answers 409 and a lost signal is what the test is about: no mistakes of a page.
        expected = ("409 (Conflict)", "ERR_INTERNET_DISCONNECTED", "Failed to load resource: net::")
        if message.type in {"error", "warning"} and not any(e in message.text for e in expected):
            self.complaints.append(message.text)

    def go(self, path: str) -> None:
        """Open a page."""
        self.page.goto(self.address + path)

    def sign_in(self, person: Person) -> None:
        """From the sign-in page."""
        self.go("/sign-in")
        self.page.get_by_label("User name").fill(person.username)
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").click()
        self.page.wait_for_url(self.address + "/")

    def step(self, unit: UUID, step: str) -> None:
        """Open a step."""
        self.go(f"/units/{unit}/steps/{step}/")

    def box(self, name: str) -> Any:
        """A box of the step by its question and position."""
        return self.page.locator("section.box").filter(
            has=self.page.get_by_role("heading", name=name)
        )

    def enter(self, box: str, text: str, instrument: str = "") -> None:
        """Type a value and press Enter."""
        found = self.box(box)
        found.get_by_label("Reading").fill(text)
        if instrument:
            found.get_by_label("Tool used").select_option(instrument)
        found.get_by_role("button", name="Enter").click()

    def press(self, name: str) -> None:
        """Press a button of the page."""
        self.page.get_by_role("button", name=name).click()

    def sign(self, button: str) -> None:
        """Type the PIN and sign."""
        self.page.get_by_label("Your PIN").fill(PIN)
        self.press(button)

    def sees(self, text: str) -> None:
        """Wait until the page says so."""
        self.page.get_by_text(text).first.wait_for()

    def is_fit(self) -> None:
        """The page as it stands can be read, reached and touched at every width; nothing failed."""
        faults = list(self.complaints)
        for size in (DESK, TABLET, PHONE):
            self.page.set_viewport_size(size)
            faults += self.page.evaluate(FAULTS, TOUCH)
        assert not faults, f"{self.page.url}: {faults}"


@contextmanager
def visiting(browser: Browser, address: str, **more: Any) -> Iterator[Visit]:
    """A tablet of its own: cookies and storage belong to it alone."""
    context: BrowserContext = browser.new_context(viewport=PHONE, **more)
    context.set_default_timeout(5000)
    try:
        yield Visit(context.new_page(), address)
    finally:
        context.close()
