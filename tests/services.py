"""What services of the service profile are started with when a test runs them for real."""

import os
import sys
from pathlib import Path

from django.db import connection


def environment(data: Path, redis: str) -> dict[str, str]:
    """What docker-compose.yml gives a service, with the database of this test."""
    at = connection.settings_dict
    address = f"{at['USER']}:{at['PASSWORD']}@{at['HOST']}:{at['PORT'] or 5432}"
    return {
        **os.environ,
        "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        "YARDPROOF_PROFILE": "service",
        "YARDPROOF_DATABASE": f"postgresql://{address}/{at['NAME']}",
        "YARDPROOF_REDIS": redis,
        "YARDPROOF_SECRET_KEY": "only-for-this-test-and-nothing-else",
        "YARDPROOF_ADDRESS": "http://localhost:8000",
        "YARDPROOF_HOSTS": "localhost",
        "YARDPROOF_HTTPS": "no",
        "YARDPROOF_DATA": str(data),
    }
