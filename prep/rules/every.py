"""Importing this module enters every rule in the catalogue."""

from importlib import import_module
from pkgutil import iter_modules

import prep.rules

for _module in iter_modules(prep.rules.__path__):
    if _module.name != "every":
        import_module(f"prep.rules.{_module.name}")
