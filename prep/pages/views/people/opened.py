"""The page that shows, once, the link and the code that open an account."""

import segno
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from prep.actions.people import Opened


def opened_page(request: HttpRequest, opened: Opened) -> HttpResponse:
    """Show a link, its code to read out, and its QR code. Nothing keeps the page."""
    code = segno.make(opened.opener.link, error="m", micro=False)
    page = {
        "account": opened.person,
        "opener": opened.opener,
        "qr": code.svg_inline(scale=4, border=4, light="#fff"),
        "mailed": bool(opened.person.email),
    }
    return render(request, "people/opened.html", page)
