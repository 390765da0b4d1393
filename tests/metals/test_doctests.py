"""The check in each docstring of ``traveler.metals`` runs, and every public function has one."""

import doctest
import importlib
import inspect
import pkgutil
from types import ModuleType

import pytest

import traveler.metals

MODULES = [
    importlib.import_module(found.name)
    for found in pkgutil.iter_modules(traveler.metals.__path__, prefix="traveler.metals.")
]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_give_what_they_say(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_every_public_function_has_an_example(module: ModuleType) -> None:
    documented = doctest.DocTestFinder().find(module)
    examples = {found.name.rpartition(".")[2]: found.examples for found in documented}
    for name, function in inspect.getmembers(module, inspect.isfunction):
        if function.__module__ == module.__name__ and not name.startswith("_"):
            assert examples[name], f"{module.__name__}.{name} has no example"
