"""Small faults put into Python, one at a time: a comparison, an operator, a number, a condition turned round."""

import ast
import copy
from collections.abc import Iterator

from sql_mutants import Mutant

COMPARE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Add, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult, ast.Pow: ast.Mult,
}  # fmt: skip
CALLED = {"min": "max", "max": "min", "all": "any", "any": "all", "floor": "ceil", "ceil": "floor",
          "bisect_left": "bisect_right", "bisect_right": "bisect_left"}  # fmt: skip


def changed(node: ast.AST) -> Iterator[ast.AST]:
    """What could stand in a node's place."""
    if isinstance(node, ast.Compare):
        for at, operator in enumerate(node.ops):
            one = copy.deepcopy(node)
            one.ops[at] = COMPARE[type(operator)]()
            yield one
    elif isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
        one_operation = copy.deepcopy(node)
        one_operation.op = OPERATORS[type(node.op)]()
        yield one_operation
    elif isinstance(node, ast.AugAssign) and type(node.op) in OPERATORS:
        one_step = copy.deepcopy(node)
        one_step.op = OPERATORS[type(node.op)]()
        yield one_step
    elif isinstance(node, ast.BoolOp):
        one_condition = copy.deepcopy(node)
        one_condition.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield one_condition
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node.operand
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        yield ast.Constant(node.value + 1)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLED:
        one_call = copy.deepcopy(node)
        one_call.func = ast.Name(CALLED[node.func.id], ast.Load())
        yield one_call
    elif isinstance(node, ast.If | ast.IfExp | ast.While):
        turned = copy.deepcopy(node)
        turned.test = ast.UnaryOp(ast.Not(), turned.test)
        yield turned
    elif isinstance(node, ast.Continue):
        yield ast.Break()
    elif isinstance(node, ast.Break):
        yield ast.Continue()


def places(tree: ast.AST) -> Iterator[tuple[ast.AST, str, int | None]]:
    """Every node below, as the field (and place in it) of the node above; annotations left out."""
    for field, value in ast.iter_fields(tree):
        if field in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for at, node in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if isinstance(node, ast.AST):
                yield tree, field, at
                yield from places(node)


def python_mutants(source: str) -> list[Mutant]:
    """Every fault that one change puts into a module."""
    found = []
    tree = ast.parse(source)
    for above, field, at in list(places(tree)):
        held = getattr(above, field)
        node = held if at is None else held[at]
        for other in changed(node):
            put(above, field, at, ast.copy_location(other, node))
            text = ast.unparse(ast.fix_missing_locations(tree))
            put(above, field, at, node)
            was, now = (ast.unparse(one).splitlines()[0][:90] for one in (node, other))
            found.append(Mutant(getattr(node, "lineno", 0), was, now, text))
    return found


def put(above: ast.AST, field: str, at: int | None, node: ast.AST) -> None:
    """Set a node in its place."""
    if at is None:
        setattr(above, field, node)
    else:
        getattr(above, field)[at] = node
