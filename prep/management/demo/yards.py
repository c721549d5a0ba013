"""What the demo's yards are known by and work by, and a program of one; all of it is invented."""

from datetime import date
from pathlib import Path
from typing import Final

from django.conf import settings

from prep.actions.perform import perform
from prep.models import Person
from prep.record.person.commands.systems import AddSystem
from prep.record.roles import Role
from prep.record.site.details import ClosedDay, Opening, Weekday
from prep.record.site.yard_commands import (
    DescribeSite,
    SetHolidays,
    SetHours,
    SetLetterhead,
    SetLogo,
)
from prep.record.token.commands import IssueSystemToken
from prep.record.token.scopes import Scope

ADDRESSES: Final = {
    "north": ("North yard", "1200 Invented Road", "Upper Nowhere", "50001", "+1 555 0100"),
    "south": ("South yard", "7 Made-up Lane", "Lower Nowhere", "50002", "+1 555 0101"),
}
WORKDAYS: Final = tuple(Weekday)[:5]
PROGRAM: Final = "parts-counter"


def describe(administrator: Person, dealer: str, time_zone: str) -> None:
    """Give each yard an address, hours, days off, a letterhead and the dealership's logo."""
    for code, (name, street, place, postal_code, phone) in ADDRESSES.items():
        details = DescribeSite(
            name=name,
            dealer=dealer,
            time_zone=time_zone,
            street=street,
            place=place,
            region="IA",
            postal_code=postal_code,
            country="US",
            phone=phone,
            email="service@inventedacres.example",
            web="https://inventedacres.example",
        )
        hours = [Opening(day=day, opens="07:30", closes="17:30") for day in WORKDAYS]
        hours.append(Opening(day=Weekday.SATURDAY, opens="08:00", closes="12:00"))
        fair = ClosedDay(day=date(2027, 8, 20), name="County fair (invented)")
        for command in (
            details,
            SetHours(hours=tuple(hours)),
            SetHolidays(country="US", region="IA", closed=(fair,)),
            SetLetterhead(lines=("An invented dealership, for demonstration only",)),
        ):
            perform(command, actor=administrator, target=code)
        perform(SetLogo(), actor=administrator, target=code, attachment=logo())


def add_program(administrator: Person) -> None:
    """A program that reads units for the parts counter of the north yard."""
    added = AddSystem(username=PROGRAM, name="Parts counter", roles=(Role.SALES,))
    perform(added, actor=administrator, target="north")
    token = IssueSystemToken(system=PROGRAM, name="Parts screen", scopes=(Scope.READ,), days=365)
    perform(token, actor=administrator)


def logo() -> bytes:
    """An invented logo: a sun over two furrows."""
    return (Path(settings.BASE_DIR) / "fixtures" / "demo" / "logo.png").read_bytes()
