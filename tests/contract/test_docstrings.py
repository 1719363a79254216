"""Every public name explains itself, and every public number carries its unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.contract.tree import PACKAGE, Function, Module, modules, public_names

UNIT = re.compile(r"\[[^\]\s][^\]]*\]")
NUMBER = re.compile(r"\b(float|Floats|NDArray\[np\.float\d+\])")
ENTRY = re.compile(r"^ {4}\*{0,2}(\w+):", re.MULTILINE)
SECTION = re.compile(r"^(Args|Returns|Raises|Limits|Source|Yields):", re.MULTILINE)


def public(module: Module) -> Iterator[tuple[str, Function | ast.ClassDef]]:
    """Give each public function, class and method with its place."""
    for node in module.tree.body:
        if not isinstance(node, Function | ast.ClassDef) or marked(node, "overload"):
            continue
        if node.name not in (public_names(module) or set()):
            continue
        yield f"{module.path}:{node.lineno} {node.name}", node
        for part in own_methods(module, node) if isinstance(node, ast.ClassDef) else ():
            yield f"{module.path}:{part.lineno} {node.name}.{part.name}", part


def own_methods(module: Module, node: ast.ClassDef) -> Iterator[Function]:
    """Give the public methods a class must explain.

    A method that overrides one of a base class in the same module is explained there; the
    members of a protocol are explained by the class that has them.
    """
    if "Protocol" in map(ast.unparse, node.bases):
        return
    classes = {one.name: one for one in module.tree.body if isinstance(one, ast.ClassDef)}
    told: set[str] = set()
    above = [*map(ast.unparse, node.bases)]
    while above:
        base = classes.get(above.pop())
        if base is not None:
            methods = (part for part in base.body if isinstance(part, Function))
            told |= {part.name for part in methods if ast.get_docstring(part)}
            above += map(ast.unparse, base.bases)
    for part in node.body:
        if isinstance(part, Function) and not part.name.startswith("_"):
            overrides = part.name in told and not ast.get_docstring(part)
            if not overrides and not marked(part, "overload"):
                yield part


def marked(node: Function | ast.ClassDef, decorator: str) -> bool:
    return decorator in {ast.unparse(one) for one in node.decorator_list}


def unexplained(found: list[Module]) -> list[str]:
    """Give every public name without a docstring."""
    said = ((place, ast.get_docstring(node)) for module in found for place, node in public(module))
    return [place for place, text in said if not text]


def without_unit(found: list[Module]) -> list[str]:
    """Give every number a public function takes or returns whose unit is not stated."""
    missing = []
    for module in found:
        for place, node in public(module):
            if isinstance(node, Function):
                missing += [f"{place}: {name}" for name in numbers_without_unit(node)]
    return missing


def numbers_without_unit(function: Function) -> list[str]:
    """Give the arguments, and "returns", that are numbers without a unit in brackets."""
    sections = split_sections(ast.get_docstring(function) or "")
    told = entries(sections.pop("Args", ""))
    listed = function.args
    arguments = [*listed.posonlyargs, *listed.args, *listed.kwonlyargs]
    missing = [
        argument.arg
        for argument in arguments
        if is_number(argument.annotation) and not UNIT.search(told.get(argument.arg, ""))
    ]
    if is_number(function.returns) and not UNIT.search(" ".join(sections.values())):
        missing.append("returns")
    return missing


def is_number(annotation: ast.expr | None) -> bool:
    return annotation is not None and bool(NUMBER.search(ast.unparse(annotation)))


def split_sections(docstring: str) -> dict[str, str]:
    """Give the text under each heading; what stands before the first is under ""."""
    pieces = SECTION.split(docstring.split(">>>", maxsplit=1)[0])
    return {"": pieces[0]} | dict(zip(pieces[1::2], pieces[2::2], strict=True))


def entries(section: str) -> dict[str, str]:
    """Give what an Args section says of each name."""
    pieces = ENTRY.split(section)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def test_every_public_name_explains_itself() -> None:
    assert unexplained(modules(PACKAGE)) == []


def test_every_public_number_has_its_unit() -> None:
    assert without_unit(modules(PACKAGE)) == []


EXPLAINED = '''
__all__ = ["ring_pull"]
def ring_pull(leg_pull: float, *, legs: int, angle: float | None = None) -> float:
    """Pull in each side.

    Args:
        leg_pull: In every leg; a long line that goes
            on. [N]
        legs: How many.
        angle: Inside. [rad]

    Returns:
        Pull. [N]

    >>> [1]
    [1]
    """
def _inner(x: float) -> float: ...
'''


def test_a_missing_unit_or_docstring_is_found(tmp_path: Path) -> None:
    path = tmp_path / "ring.py"
    place = f"{path}:3 ring_pull"
    path.write_text(EXPLAINED)
    assert without_unit(modules(tmp_path)) == []
    assert unexplained(modules(tmp_path)) == []
    path.write_text(EXPLAINED.replace("on. [N]", "on."))
    assert without_unit(modules(tmp_path)) == [f"{place}: leg_pull"]
    path.write_text(EXPLAINED.replace("Inside. [rad]", "Inside."))
    assert without_unit(modules(tmp_path)) == [f"{place}: angle"]
    path.write_text(EXPLAINED.replace("Pull. [N]", "Pull."))
    assert without_unit(modules(tmp_path)) == [f"{place}: returns"]
    path.write_text('__all__ = ["Ring"]\nclass Ring:\n    def pull(self): ...\n')
    assert unexplained(modules(tmp_path)) == [f"{path}:2 Ring", f"{path}:3 Ring.pull"]


def test_a_method_explained_by_its_base_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "keys.py"
    base = 'class Key:\n    """Key."""\n    def bounds(self):\n        """Say the bounds."""\n'
    between = "class _Text(Key): ...\n"
    path.write_text(
        f'__all__ = ["Key", "Word"]\n{base}{between}class Word(_Text):\n    """Word."""\n'
        "    def bounds(self): ...\n    def words(self): ...\n"
    )
    assert unexplained(modules(tmp_path)) == [f"{path}:10 Word.words"]
