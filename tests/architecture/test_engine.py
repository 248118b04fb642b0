"""The engine computes: it opens, prints and asks nothing."""

import ast

from tests.architecture.sources import REPOSITORY, modules

NOT_IN_THE_ENGINE = {"breakpoint", "eval", "exec", "input", "open", "print"}


def test_the_engine_calls_nothing_of_the_outside_world():
    found = []
    paths = list(modules("maintenance/engine"))
    assert len(paths) > 3
    for path in paths:
        tree = ast.parse((REPOSITORY / path).read_text(encoding="utf-8"))
        found += [
            f"{path}:{node.lineno} {node.func.id}("
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in NOT_IN_THE_ENGINE
        ]
    assert found == []
