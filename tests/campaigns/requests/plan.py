"""How many requests a campaign sends, and from where chance begins."""

import os
from typing import Final

VARIABLE: Final = "YARDPROOF_REQUESTS"
SEED_VARIABLE: Final = "YARDPROOF_REQUESTS_SEED"
COUNT: Final = int(os.environ.get(VARIABLE, "2000"))
SEED: Final = int(os.environ.get(SEED_VARIABLE, "0"))
SHARDS: Final = 4
