"""What a decision on a yard reads: the logo whose file is stored."""

from typing import Final

from prep.record.command import Need
from prep.record.site.details import Logo

LOGO: Final = Need[Logo]("logo")
