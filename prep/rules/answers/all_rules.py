"""Importing this module enters every rule in the catalog."""

from importlib import import_module
from pkgutil import walk_packages

import prep.rules

for _module in walk_packages(prep.rules.__path__, "prep.rules."):
    # Answers stand on the catalog, and this module is one of them.
    if not _module.name.startswith("prep.rules.answers"):
        import_module(_module.name)
