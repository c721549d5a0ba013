"""Pages in the language of whoever reads them, and the choice of it."""

import pytest
from django.test import Client

from prep.actions.people import choose_language
from prep.models import Person
from prep.record.refusal import Refusal
from tests.cast import Yard
from tests.pages.visitor import Enter


def page_of(client: Client, path: str = "/sign-in", accept: str = "") -> str:
    """A page as a browser that prefers these languages is given it."""
    return client.get(path, headers={"accept-language": accept}).content.decode()


@pytest.mark.parametrize(
    ("accept", "language", "button"),
    [
        ("es-MX,es;q=0.9,en;q=0.5", "es", "Iniciar sesión"),
        ("fr-CA", "fr", "Se connecter"),
        ("de", "en", "Sign in"),
        ("", "en", "Sign in"),
    ],
)
def test_before_signing_in_the_browser_decides(
    db: None, accept: str, language: str, button: str
) -> None:
    """The first of its languages that there is; English where there is none of them."""
    page = page_of(Client(), accept=accept)
    assert f'<html lang="{language}">' in page
    assert f'wide">{button}</button>' in page
    assert f'src="/script-texts/{language}.js"' in page


def test_the_choice_of_a_visitor_is_kept_by_the_browser(db: None) -> None:
    """It outweighs what the browser prefers, and leads back to the page it was made on."""
    client = Client()
    path = "/verify/C0000000000000?from=label"
    answer = client.post("/language", {"language": "fr", "next": path})
    assert answer["Location"] == path
    assert '<html lang="fr">' in page_of(client, path, "es")
    away = client.post("/language", {"language": "es", "next": "https://elsewhere.example/"})
    assert away["Location"] == "/"


def test_the_choice_of_a_person_goes_with_the_person(yard: Yard, enter: Enter) -> None:
    """On any tablet; the tablet itself keeps its own language for the next to sign in."""
    client = enter(yard.ada)
    client.post("/language", {"language": "es", "next": "/rules/"})
    assert Person.objects.get(pk=yard.ada.pk).language == "es"
    assert '<html lang="es">' in page_of(client, "/rules/", "fr")
    client.post("/sign-out")
    assert '<html lang="en">' in page_of(client)
    elsewhere = enter(yard.ada)
    assert "Calculadoras" in page_of(elsewhere, "/")
    answer = elsewhere.get("/no-page")
    assert (answer.status_code, answer["Content-Language"]) == (404, "es")
    assert "Página no encontrada" in answer.content.decode()


def test_a_language_without_a_catalog_changes_nothing(yard: Yard, enter: Enter) -> None:
    """Neither by the page nor by the action; and there are no texts in it for scripts."""
    client = enter(yard.ada)
    client.post("/language", {"language": "de", "next": "/"})
    with pytest.raises(Refusal):
        choose_language(actor=yard.ada, language="de")
    assert Person.objects.get(pk=yard.ada.pk).language == "en"
    assert client.get("/script-texts/de.js").status_code == 404
    assert client.get("/language").status_code == 405


def test_scripts_have_their_texts_in_the_language_of_the_page(db: None) -> None:
    """Whatever the browser prefers; asked for again, an unchanged file is not sent again."""
    answer = Client().get("/script-texts/fr.js", headers={"accept-language": "es"})
    assert "Envoyer maintenant" in answer.content.decode()
    assert answer["Content-Type"].startswith("text/javascript")
    again = Client().get("/script-texts/fr.js", headers={"if-none-match": answer["ETag"]})
    assert again.status_code == 304
