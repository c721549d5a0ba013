"""`manage.py check` refuses settings under which a guard would guard nothing."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as project_settings

from prep.management.safe_settings import deployment, secret_keys

GOOD = "q0v3Yb-9kXw7Lr2TzN5sGd8HfJ4mPcA1eUiRo6"


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("   ", "The secret key is empty."),
        ("ci", "The secret key is shorter than 32 characters."),
        (GOOD[:31], "The secret key is shorter than 32 characters."),
        ("a" * 64, "The secret key is a repetition."),
        ("changeme" * 8, "The secret key is a repetition."),
        ("abcdefg" * 5 + "abc", "The secret key is a repetition."),
    ],
)
def test_a_secret_key_that_can_be_guessed_is_an_error(settings: Any, key: str, said: str) -> None:
    """With what to do; as one of the former keys, too."""
    settings.SECRET_KEY = key
    (found,) = secret_keys()
    assert (found.msg, found.id) == (said, "yardproof.E001")
    assert "YARDPROOF_SECRET_KEY" in (found.hint or "")
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = GOOD, [key]
    assert [one.msg for one in secret_keys()] == [said]


def test_a_random_key_passes(settings: Any) -> None:
    """As long as the one that the embedded profile makes, or shorter."""
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = GOOD, []
    assert secret_keys() == []


@pytest.mark.parametrize("made", ["", "  \n"])
def test_an_empty_key_file_stops_the_embedded_profile(tmp_path: Path, made: str) -> None:
    """A disk that was full when the key was made; finding B13."""
    kept = tmp_path / "secret_key"
    kept.write_text(made)
    kept.chmod(0o600)
    environment = {**os.environ, "YARDPROOF_PROFILE": "embedded", "YARDPROOF_DATA": str(tmp_path)}
    environment.pop("YARDPROOF_SECRET_KEY", None)
    done = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=project_settings.BASE_DIR,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "yardproof.E001" in done.stderr


def test_a_deployment_has_https_its_own_names_and_its_proxies(settings: Any) -> None:
    """Each by itself; none where all are right."""
    settings.HTTPS, settings.ALLOWED_HOSTS = True, ["yardproof.example", "localhost"]
    settings.SERVICE, settings.PROXIES = True, 1
    assert deployment() == []
    settings.HTTPS = False
    assert [one.id for one in deployment()] == ["yardproof.E002"]
    settings.HTTPS, settings.ALLOWED_HOSTS = True, ["*"]
    assert [one.id for one in deployment()] == ["yardproof.E003"]
    settings.ALLOWED_HOSTS = [".example"]
    assert [one.id for one in deployment()] == ["yardproof.E003"]
    settings.ALLOWED_HOSTS, settings.PROXIES = ["yardproof.example"], 0
    assert [one.id for one in deployment()] == ["yardproof.W002"]
    settings.SERVICE = False
    assert deployment() == []
