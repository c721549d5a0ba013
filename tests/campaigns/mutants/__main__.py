"""Make each mutant in a copy of the tree, and run its tests, as the package says."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Final

from tests.campaigns.mutants.catalog import MUTANTS
from tests.campaigns.mutants.mutant import ROOT, Mutant

LEFT_OUT: Final = (".git", ".venv", ".yardproof", ".hypothesis", ".mypy_cache", ".ruff_cache")
FAILED: Final = 1  # exit code of pytest where a test failed; others say that none ran


def copy_of_tree(folder: Path) -> Path:
    """The tree, without what tools keep in it, and with the same interpreter."""
    copy = folder / "tree"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(*LEFT_OUT, "__pycache__"))
    return copy


def killed(mutant: Mutant, tree: Path) -> bool:
    """Whether the tests notice a mutant; the tree is as it was afterwards."""
    path = tree / mutant.path
    original = path.read_text()
    path.write_text(mutant.applied(original))
    command = [sys.executable, "-m", "pytest", "-q", "-x", "--no-header", *mutant.tests]
    environment = {**os.environ, "YARDPROOF_DATA": str(tree.parent / "data")}
    try:
        ended = subprocess.run(
            command, cwd=tree, env=environment, capture_output=True, text=True, check=False
        )
    finally:
        path.write_text(original)
    if ended.returncode not in {0, FAILED}:
        raise RuntimeError(f"{mutant.name}: no test ran\n{ended.stdout[-2000:]}{ended.stderr}")
    return ended.returncode == FAILED


def main() -> int:
    """Try the mutants whose path or name has the word, all without one; 1 where one survives."""
    word = sys.argv[1] if len(sys.argv) > 1 else ""
    chosen = [one for one in MUTANTS if word in f"{one.path} {one.name}"]
    survivors = []
    with tempfile.TemporaryDirectory() as folder:
        tree = copy_of_tree(Path(folder))
        for mutant in chosen:
            begun = time.monotonic()
            dead = killed(mutant, tree)
            survivors += [] if dead else [mutant]
            told = "killed" if dead else "SURVIVES"
            print(f"{told:8}  {time.monotonic() - begun:4.0f} s  {mutant.path}: {mutant.name}")
            sys.stdout.flush()
    print(f"{len(chosen) - len(survivors)} of {len(chosen)} killed")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
