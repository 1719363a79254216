"""A pocket calculator of our own: works what a line prints, and knows nothing of the checks."""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable

__all__ = ["FIGURE", "figures", "worked"]

FIGURE = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
OPERATIONS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "min": min,
    "max": max,
    "sin_deg": lambda angle: math.sin(math.radians(angle)),
    "cos_deg": lambda angle: math.cos(math.radians(angle)),
    "tan_deg": lambda angle: math.tan(math.radians(angle)),
}


def worked(numbers: str) -> float:
    """The value of an expression with + - * / ** ( ) and the six functions."""
    return _work(ast.parse(numbers, mode="eval").body)


def _work(node: ast.expr) -> float:
    match node:
        case ast.Constant(value=int() | float() as value):
            return float(value)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_work(operand)
        case ast.BinOp(left=left, op=op, right=right):
            return OPERATIONS[type(op)](_work(left), _work(right))
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]):
            return FUNCTIONS[name](*map(_work, args))
    raise ValueError(f"not a pocket calculator's: {ast.unparse(node)}")


def figures(text: str) -> set[str]:
    """Every unsigned number written in a text, digits of names such as A_3 left out."""
    return set(FIGURE.findall(text))
