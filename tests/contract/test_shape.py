"""How long a module and a function may be, and what a module must say of itself."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.contract.tree import PACKAGE, ROOT, Module, code_lines, functions, modules, public_names

LONGEST_MODULE = 600  # lines
LONGEST_FUNCTION = 80  # code lines
NAMELESS = {"base", "common", "helpers", "manager", "misc", "utils"}


def too_long(found: list[Module]) -> list[str]:
    lengths = [(str(module.path), len(module.text.splitlines())) for module in found]
    said = [f"{path}: {lines} lines" for path, lines in lengths if lines > LONGEST_MODULE]
    for module in found:
        counts = ((place, code_lines(module, node)) for place, node in functions(module))
        said += [
            f"{place}: {count} code lines" for place, count in counts if count > LONGEST_FUNCTION
        ]
    return said


def without_a_name_of_their_own(found: list[Module]) -> list[str]:
    return [str(m.path) for m in found if NAMELESS & {m.path.stem, m.path.parent.name}]


def without_first_line(found: list[Module]) -> list[str]:
    return [str(module.path) for module in found if not ast.get_docstring(module.tree)]


def without_public_list(found: list[Module]) -> list[str]:
    """Give modules without ``__all__``; one that holds only its docstring has nothing to list."""
    holding = (module for module in found if module.tree.body[1:])
    return [str(module.path) for module in holding if public_names(module) is None]


@pytest.mark.parametrize("folder", ["src", "tests", "tools"])
def test_modules_and_functions_are_short(folder: str) -> None:
    assert too_long(modules(ROOT / folder)) == []


def test_modules_are_named_for_what_they_hold() -> None:
    assert without_a_name_of_their_own(modules(PACKAGE)) == []


def test_modules_say_what_they_answer() -> None:
    assert without_first_line(modules(PACKAGE)) == []


def test_modules_list_what_is_public() -> None:
    assert without_public_list(modules(PACKAGE)) == []


def test_a_long_function_is_found(tmp_path: Path) -> None:
    statements = [f"    x{number} = {number}" for number in range(79)]
    silent = ['    """Two lines', '    of words."""', "", "    # why"]
    (tmp_path / "fits.py").write_text("\n".join(["def fits():", *silent, *statements]))
    (tmp_path / "over.py").write_text("\n".join(["def over():", *statements, "    return 0"]))
    (found,) = too_long(modules(tmp_path))
    assert "over.py:1 over: 81 code lines" in found


def test_a_text_of_many_lines_counts_as_code(tmp_path: Path) -> None:
    lines = "\n".join("line" for _ in range(90))
    (tmp_path / "text.py").write_text(f'def told():\n    return """{lines}"""\n')
    assert too_long(modules(tmp_path)) == [f"{tmp_path / 'text.py'}:1 told: 91 code lines"]


def test_a_long_module_is_found(tmp_path: Path) -> None:
    (tmp_path / "fits.py").write_text("\n" * 600)
    (tmp_path / "over.py").write_text("\n" * 601)
    assert too_long(modules(tmp_path)) == [f"{tmp_path / 'over.py'}: 601 lines"]


def test_a_module_that_says_nothing_is_found(tmp_path: Path) -> None:
    (tmp_path / "helpers.py").write_text("x = 1\ny = 2\n")
    (tmp_path / "thrust.py").write_text('"""How hard."""\n\n__all__ = ["x"]\n\nx = 1\n')
    found = modules(tmp_path)
    for rule in (without_a_name_of_their_own, without_first_line, without_public_list):
        assert rule(found) == [str(tmp_path / "helpers.py")]
