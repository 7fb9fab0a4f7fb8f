"""The rules of the house: which room may know which, how long a file may be, types and style."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ROOMS = {
    "calibration": {"calibration"},
    "server.geometry": {"server.geometry", "calibration.refusal"},
    "server.leather": {"server.leather", "server.geometry", "calibration.refusal"},
    "server.output": {"server.output", "server.leather", "server.geometry", "calibration.refusal"},
    "server.reading": {"server.reading", "server.leather", "server.geometry", "calibration.refusal"},
    "server.practice": {"server.practice", "calibration.refusal"},
    "server.store": {"server.store", "server.errors", "calibration.refusal"},
    "server.services": {
        "server.services",
        "server.store",
        "server.practice",
        "server.output",
        "server.reading",
        "server.leather",
        "server.geometry",
        "server.units",
        "server.errors",
        "server.settings",
        "calibration",
    },
    "server.routes": {"server.routes", "server.services", "server.errors", "server.security", "calibration.refusal"},
    "server.phone": {"server.phone", "server.routes", "server.services", "server.errors", "server.security"},
}
OPTICS_AND_LEATHER = "server.output.projected"
HOMES = {
    "svgelements": "server.geometry",
    "shapely": "server.geometry",
    "sqlalchemy": "server.store",
    "flask": "server",
}
FORBIDDEN_IN_CALIBRATION = {"flask", "sqlalchemy", "PIL", "svgelements", "shapely"}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "static", "calibration", "tests"}


def modules() -> Iterator[tuple[str, Path]]:
    for top in ("calibration", "server"):
        for path in sorted((ROOT / top).rglob("*.py")):
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
            yield name.removesuffix(".__init__"), path


def imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return found


def within(name: str, rooms: set[str]) -> bool:
    return any(name == room or name.startswith(room + ".") for room in rooms)


MODULES = dict(modules())


@pytest.mark.parametrize("name", MODULES)
def test_arrows_run_one_way(name: str) -> None:
    room = max((r for r in ROOMS if within(name, {r})), key=len, default=None)
    if room is None:
        return
    allowed = ROOMS[room] | ({"calibration"} if name == OPTICS_AND_LEATHER else set())
    ours = {i for i in imports(MODULES[name]) if i.split(".")[0] in ("calibration", "server", "tests")}
    modules_only = {i for i in ours if i in MODULES and i not in ("calibration", "server")}
    assert {i for i in modules_only if not within(i, allowed)} == set()


@pytest.mark.parametrize("name", MODULES)
def test_libraries_stay_in_their_room(name: str) -> None:
    tops = {i.split(".")[0] for i in imports(MODULES[name])}
    for library, home in HOMES.items():
        assert library not in tops or within(name, {home}), f"{library} belongs to {home}"
    if within(name, {"calibration"}):
        assert not tops & FORBIDDEN_IN_CALIBRATION


def test_only_projected_knows_leather_and_optics() -> None:
    both = {
        name
        for name, path in MODULES.items()
        if within(name, {"server.output"})
        and any(i.startswith("calibration.") and not i.startswith("calibration.refusal") for i in imports(path))
    }
    assert both == {OPTICS_AND_LEATHER}


@pytest.mark.parametrize("name", MODULES)
def test_modules_stay_small(name: str) -> None:
    assert len(MODULES[name].read_text().splitlines()) < 400


@pytest.mark.parametrize("name", MODULES)
def test_what_is_public_is_explained(name: str) -> None:
    tree = ast.parse(MODULES[name].read_text())
    assert ast.get_docstring(tree), f"{name} does not say what it is for"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{name}.{node.name} has no docstring"


def test_top_level_is_fixed() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.split()
    assert {line.split("/")[0] for line in listed if not line.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize(
    "command", [["mypy"], ["ruff", "check", "."], ["ruff", "format", "--check", "."]], ids=" ".join
)
def test_types_and_style(command: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
