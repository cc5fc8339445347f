"""The library's own rules: who imports whom, what `__all__` lists, length of files, docstrings."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LIBRARY = ROOT / "mixlib"
MODULES = sorted(LIBRARY.rglob("*.py"))
MOST_LINES = 400
# A room imports only from itself and from rooms before it.
ROOMS = (
    "units",
    "describe",
    "chain",
    "bench.cautions",
    "bench.surface",
    "bench.fit",
    "bench.faults",
    "bench.card",
    "air.section",
    "air.wing",
    "air.aircraft",
    "air.landing",
    "draw",
    "say",
    "paper",
    "panel.base",
    "panel.exercise",
    "panel.form",
    "panel",
)
MOST_MODULES = 13
# What is not for everybody: who alone may load it.
ONLY_IN = {"matplotlib": "paper", "ipywidgets": "panel", "IPython": "panel", "jupyterlab": "panel"}
UNIT_IN_NAME = re.compile(r"_(deg|mm|cm2|m|m2|m_s|kg|us|percent|s|n|pa|ratio|share|number|500us|px|ms)$")
UNIT_IN_TEXT = re.compile(
    r"(?<!\w)(deg|degrees|rad|mm|cm|cm2|m|m2|m/s|km/h|s|ms|us|seconds|kg|N|N m|Pa|px|pt|%|percent)(?!\w)"
    r"|per (deg|rad|step|radian)|ratio|share|dimensionless|-1 (to|\.\.) 1|\[-1, 1\]|\b0 (to|\.\.) 1\b|times"
    r"|[Uu]nits? |`unit`|coefficient|Reynolds|reynolds|no unit|any unit|[Cc]ommands?\b"
)
NUMERIC = re.compile(r"\bfloat\b|ndarray|ArrayLike")
# What a picture is drawn with has no unit but the picture's own.
DRAWING = {LIBRARY / room for room in ("draw", "paper", "panel")}

each_module = pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(LIBRARY)))


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _imports(tree: ast.Module) -> set[str]:
    """Full names of the modules imported anywhere in a file."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            found.add(node.module)
            if node.module == "mixlib":
                found |= {f"mixlib.{alias.name}" for alias in node.names}
    return found


def _all(tree: ast.Module) -> list[str] | None:
    for node in tree.body:
        if isinstance(node, ast.Assign) and any(getattr(t, "id", "") == "__all__" for t in node.targets):
            return ast.literal_eval(node.value)
    return None


def _defined(tree: ast.Module, imported: bool) -> set[str]:
    """Names a module's top level binds; with or without the imported ones."""
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {leaf.id for t in targets for leaf in ast.walk(t) if isinstance(leaf, ast.Name)}
        elif imported and isinstance(node, ast.Import | ast.ImportFrom):
            names |= {(alias.asname or alias.name).partition(".")[0] for alias in node.names}
    return names


def _documented(docstring: str) -> dict[str, str]:
    """The entries of a numpydoc docstring's Parameters and Attributes: name -> type and text."""
    entries: dict[str, str] = {}
    sections = re.split(r"^(\w[\w ]*)\n-{3,}\n", docstring, flags=re.MULTILINE)
    for title, body in zip(sections[1::2], sections[2::2], strict=True):
        if title not in ("Parameters", "Attributes", "Other Parameters"):
            continue
        names: list[str] = []
        for line in body.splitlines():
            head = re.match(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*)(\s*:.*)?$", line)
            if head:
                names = [name.strip(" *") for name in head[1].split(",")]
                entries |= dict.fromkeys(names, head[2] or "")
            else:
                for name in names:
                    entries[name] += " " + line.strip()
    return entries


def _parameters(function: ast.FunctionDef) -> list[ast.arg]:
    every = function.args
    listed = [*every.posonlyargs, *every.args, *every.kwonlyargs, every.vararg, every.kwarg]
    return [a for a in listed if a is not None and a.arg not in ("self", "cls") and a.arg[0] != "_"]


def _is_protocol(node: ast.ClassDef) -> bool:
    return any(ast.unparse(base).startswith("Protocol") for base in node.bases)


def _decorators(node: ast.FunctionDef | ast.ClassDef) -> str:
    return " ".join(ast.unparse(decorator) for decorator in node.decorator_list)


def _faults_of_call(function: ast.FunctionDef, docstring: str, where: str, units: bool) -> list[str]:
    """Parameters that the docstring leaves out, and quantities whose unit neither name nor text tells."""
    entries = _documented(docstring)
    faults = []
    for parameter in _parameters(function):
        a_call = parameter.annotation is not None and "Callable" in ast.unparse(parameter.annotation)
        if parameter.arg not in entries and a_call and re.search(r"\bcall", docstring, re.IGNORECASE):
            continue
        if parameter.arg not in entries:
            faults.append(f"{where}: parameter {parameter.arg} is not documented")
        elif units and parameter.annotation is not None and NUMERIC.search(ast.unparse(parameter.annotation)):
            told = UNIT_IN_NAME.search(parameter.arg) or UNIT_IN_TEXT.search(entries[parameter.arg])
            if not told and not entries[parameter.arg].strip().startswith("See"):
                faults.append(f"{where}: parameter {parameter.arg} has no unit")
    return faults


def _faults_of_function(function: ast.FunctionDef, where: str, units: bool) -> list[str]:
    docstring = ast.get_docstring(function)
    if docstring is None:
        return [f"{where}: no docstring"]
    faults = _faults_of_call(function, docstring, where, units) if "See `" not in docstring else []
    returned = ast.unparse(function.returns) if function.returns else "None"
    if (
        _parameters(function)
        and returned not in ("None", "Self")
        and not re.search(r"^(Returns|Yields)\n-", docstring, re.MULTILINE)
    ):
        faults.append(f"{where}: what it returns is not documented")
    return faults


def _faults_of_class(node: ast.ClassDef, where: str, units: bool) -> list[str]:
    docstring = ast.get_docstring(node)
    if docstring is None:
        return [f"{where}: no docstring"]
    faults = []
    for item in node.body:
        if isinstance(item, ast.FunctionDef) and item.name == "__init__":
            faults += _faults_of_call(item, docstring, where, units)
        elif isinstance(item, ast.FunctionDef) and item.name[0] != "_" and not _is_protocol(node):
            if "setter" not in _decorators(item):
                faults += _faults_of_function(item, f"{where}.{item.name}", units)
        elif units and isinstance(item, ast.AnnAssign) and item.target.id[0] != "_":
            described = isinstance(item.value, ast.Call) and (
                ast.unparse(item.value.func) in ("measure", "whole")
                or any(keyword.arg == "description" for keyword in item.value.keywords)
            )
            a_part = item.target.id in re.sub(r"\W", " ", ast.unparse(item.annotation)).lower().split()
            if not described and not a_part and not re.search(rf"\b{item.target.id}\b", docstring):
                faults.append(f"{where}: field {item.target.id} is not documented")
    return faults


def _room(module: str) -> str:
    """The room of a module named without ``mixlib.``; the ``__init__`` of a house belongs to its last room."""
    inside = [room for room in ROOMS if f"{module}.".startswith(f"{room}.")]
    return max(inside, key=len) if inside else [room for room in ROOMS if room.startswith(f"{module}.")][-1]


@each_module
def test_imports_go_one_way(path):
    """Each room imports from the rooms before it; widgets stay in panel, matplotlib in paper."""
    module = ".".join(path.relative_to(LIBRARY).with_suffix("").parts).removesuffix(".__init__")
    if module == "__init__":
        return
    room = _room(module)
    imports = _imports(_tree(path))
    for name in imports:
        if name.startswith("mixlib."):
            other = _room(name.removeprefix("mixlib."))
            assert ROOMS.index(other) <= ROOMS.index(room), f"{room} must not import {name}"
    for name in {name.partition(".")[0] for name in imports} & set(ONLY_IN):
        assert room.partition(".")[0] == ONLY_IN[name], f"{room} must not load {name}"


def test_no_room_is_crowded():
    for folder in {path.parent for path in MODULES}:
        assert len([path for path in folder.glob("*.py") if path.stem != "__init__"]) <= MOST_MODULES, folder


@each_module
def test_all_lists_what_is_public(path):
    tree = _tree(path)
    listed = _all(tree)
    own = {name for name in _defined(tree, imported=False) if name[0] != "_"}
    if listed is None:
        assert not own, "a module with public names lists them in __all__"
        return
    assert len(set(listed)) == len(listed)
    assert set(listed) <= _defined(tree, imported=True)
    if path.name != "__init__.py":
        helpers = {n.name for n in tree.body if isinstance(n, ast.FunctionDef | ast.ClassDef)} & own
        assert helpers <= set(listed), "public functions and classes belong in __all__, helpers begin with _"


@each_module
def test_every_public_name_is_documented(path):
    """Every parameter is told, and every quantity with its unit, in its name or in its text."""
    tree = _tree(path)
    assert ast.get_docstring(tree) or not tree.body, "the module has no docstring"
    listed, units = _all(tree) or [], not DRAWING & set(path.parents)
    faults = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name in listed:
            faults += _faults_of_function(node, node.name, units)
        elif isinstance(node, ast.ClassDef) and node.name in listed:
            faults += _faults_of_class(node, node.name, units)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize(
    "path",
    [*MODULES, *sorted((ROOT / "tests").rglob("*.py"))],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_no_file_is_too_long(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("task", [["check"], ["format", "--check"]], ids=lambda task: task[0])
def test_style(task):
    done = subprocess.run(
        [sys.executable, "-m", "ruff", *task, "."], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_continuous_integration_runs_the_readme_command():
    command = (ROOT / ".ci" / "run").read_text(encoding="utf-8").strip().splitlines()[-1]
    assert command.endswith("-m pytest")
    assert command in (ROOT / "README.md").read_text(encoding="utf-8")
