"""The repository as text and syntax trees, read once for the contract tests."""

from __future__ import annotations

import ast
import io
import subprocess
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

__all__ = [
    "PACKAGE",
    "ROOT",
    "Function",
    "Module",
    "code_lines",
    "functions",
    "kept_files",
    "modules",
    "public_names",
]

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "rafterstay"

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Module:
    """One Python file: where it is, its text and its syntax tree."""

    path: Path
    text: str
    tree: ast.Module


def modules(folder: Path) -> list[Module]:
    """Give every Python file under ``folder``."""
    found = []
    for path in sorted(folder.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        found.append(Module(path, text, ast.parse(text)))
    return found


def functions(module: Module) -> Iterator[tuple[str, Function]]:
    """Give each function of a module, nested ones too, with its place."""
    for node in ast.walk(module.tree):
        if isinstance(node, Function):
            yield f"{module.path}:{node.lineno} {node.name}", node


def public_names(module: Module) -> set[str] | None:
    """Give what ``__all__`` lists, or None when the module has none."""
    for node in module.tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if any(isinstance(name, ast.Name) and name.id == "__all__" for name in targets):
                assert node.value is not None
                return set(ast.literal_eval(node.value))
    return None


def code_lines(module: Module, function: Function) -> int:
    """Count the lines of a function that hold code: no docstring, comment or blank."""
    first = function.body[0]
    has_docstring = ast.get_docstring(function, clean=False) is not None
    docstring = range(first.lineno, (first.end_lineno or 0) + 1) if has_docstring else range(0)
    silent = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT}
    within = range(function.lineno, (function.end_lineno or 0) + 1)
    counted: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(module.text).readline):
        if token.type not in silent:
            counted.update(range(token.start[0], token.end[0] + 1))
    return len(counted.intersection(within).difference(docstring))


def kept_files(root: Path) -> list[Path]:
    """Give every file git keeps or would keep: what a clone of this state holds."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=root,
        check=True,
        stdout=subprocess.PIPE,
    ).stdout
    paths = (root / name.decode() for name in listed.split(b"\0") if name)
    return sorted({path for path in paths if path.is_file()})
