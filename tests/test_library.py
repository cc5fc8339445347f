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
    "describe.shelf",
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
    "start",
    "__main__",
)
MOST_MODULES = 13
# What is not for everybody: who alone may load it.
ONLY_IN = {"matplotlib": "paper", "ipywidgets": "panel", "IPython": "panel", "jupyterlab": "panel"}
UNIT_IN_NAME = re.compile(
    r"_(deg|mm|mm2|cm2|dm2|m|m2|bits|m_s|kg|us|percent|s|n|pa|ratio|share|number|500us|px|ms)$"
)
UNIT_IN_TEXT = re.compile(
    r"(?<!\w)(deg|degrees|rad|mm|cm|cm2|m|m2|m/s|km/h|s|ms|us|seconds|kg|N|N m|Pa|px|pt|%|percent)(?!\w)"
    r"|per (deg|rad|step|radian)|ratio|share|dimensionless|-1 (to|\.\.) 1|\[-1, 1\]|\b0 (to|\.\.) 1\b|times"
    r"|[Uu]nits? |`unit`|coefficient|Reynolds|reynolds|no unit|any unit|[Cc]ommands?\b"
)
NUMERIC = re.compile(r"\bfloat\b|ndarray|ArrayLike")
FILLERS = {
    "",
    *["a", "an", "the", "of", "it", "their", "what", "that", "this", "i", "are", "to", "be", "which", "one"],
}
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


def _documented(docstring: str) -> dict[str, tuple[str, str]]:
    """The entries of a numpydoc docstring's Parameters and Attributes: name -> type, text."""
    entries: dict[str, tuple[str, str]] = {}
    sections = re.split(r"^(\w[\w ]*)\n-{3,}\n", docstring, flags=re.MULTILINE)
    for title, body in zip(sections[1::2], sections[2::2], strict=True):
        if title not in ("Parameters", "Attributes", "Other Parameters"):
            continue
        names: list[str] = []
        for line in body.splitlines():
            head = re.match(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*)\s*(?::(.*))?$", line)
            if head:
                names = [name.strip(" *") for name in head[1].split(",")]
                entries |= dict.fromkeys(names, (head[2] or "", ""))
            else:
                for name in names:
                    kind, text = entries[name]
                    entries[name] = kind, f"{text} {line.strip()}"
    return entries


def _words(text: str) -> set[str]:
    """Words of a text, without their endings: "The set-ups." -> {"the", "set", "up"}."""
    return {word.removesuffix("s") for word in re.findall(r"[a-z]+", text.lower().replace("set-up", "setup"))}


def _faults_of_entries(docstring: str, where: str) -> list[str]:
    """Entries that say nothing beyond name and type: "setup : Setup - The set-up."."""
    return [
        f"{where}: the entry of {name} says nothing that name and type do not say"
        for name, (kind, text) in _documented(docstring).items()
        if not re.search(r"\d|[-+`%]", text) and not _words(text) - _words(f"{name} {kind}") - FILLERS
    ]


def _faults_of_quantities(quantities: dict[str, ast.expr | None], docstring: str, where: str) -> list[str]:
    """Numbers whose unit neither name nor docstring tells."""
    entries = _documented(docstring)
    return [
        f"{where}: {name} has no unit"
        for name, kind in quantities.items()
        if kind is not None
        and name[0] != "_"
        and NUMERIC.search(ast.unparse(kind))
        and not UNIT_IN_NAME.search(name)
        and not UNIT_IN_TEXT.search("".join(entries.get(name, (docstring,))))
        and not re.search(r"\b(bool|int\d*)\b", entries.get(name, ("",))[0])
    ]


def _parameters(function: ast.FunctionDef) -> dict[str, ast.expr | None]:
    every = function.args
    return {a.arg: a.annotation for a in (*every.posonlyargs, *every.args, *every.kwonlyargs)}


def _faults_of_function(
    function: ast.FunctionDef, where: str, units: bool, docstring: str | None = None
) -> list[str]:
    docstring = docstring or ast.get_docstring(function)
    if docstring is None:
        return [f"{where}: no docstring"]
    faults = _faults_of_entries(docstring, where)
    if units and "See `" not in docstring:
        faults += _faults_of_quantities(_parameters(function), docstring, where)
        faults += _faults_of_quantities({function.name: function.returns}, docstring, where)
    return faults


def _faults_of_class(node: ast.ClassDef, where: str, units: bool) -> list[str]:
    docstring = ast.get_docstring(node)
    if docstring is None:
        return [f"{where}: no docstring"]
    protocol = any(ast.unparse(base).startswith("Protocol") for base in node.bases)
    fields = {
        item.target.id: item.annotation
        for item in node.body
        # A field that is declared with `measure` or `whole` carries its unit there.
        if isinstance(item, ast.AnnAssign) and not isinstance(item.value, ast.Call)
    }
    faults = _faults_of_entries(docstring, where)
    if units:
        faults += _faults_of_quantities(fields, docstring, where)
    for item in node.body:
        if isinstance(item, ast.FunctionDef) and item.name == "__init__":
            faults += _faults_of_function(item, where, units, docstring)
        elif isinstance(item, ast.FunctionDef) and item.name[0] != "_":
            if protocol or _is_decorated(item, "setter"):
                continue
            faults += _faults_of_function(item, f"{where}.{item.name}", units)
    return faults


def _is_decorated(function: ast.FunctionDef, word: str) -> bool:
    return any(word in ast.unparse(decorator) for decorator in function.decorator_list)


def _room(module: str) -> str:
    """The room of a module, named without ``mixlib.``; that of a house belongs to its last room."""
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
    """Every public name says what it is for, every quantity its unit; no entry repeats name and type."""
    tree = _tree(path)
    assert ast.get_docstring(tree) or not tree.body, "the module has no docstring"
    listed, units = _all(tree) or [], not DRAWING & set(path.parents)
    faults = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name in listed and not _is_decorated(node, "overload"):
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


@pytest.mark.parametrize("task", ["ruff check", "ruff format --check", "mypy"])
def test_style(task):
    done = subprocess.run(
        [sys.executable, "-m", *task.split()], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_continuous_integration_runs_the_readme_command():
    """All as a reader runs it; then brute force, and property tests once more with a seed that is printed."""
    *_, command, more = [
        line
        for line in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
        if "mixlib tests" in line and "echo" not in line
    ]
    assert command == "python3 mixlib tests"
    assert f"`{command}`" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert more == f'{command} -q -m "slow or hypothesis" --hypothesis-seed="$seed" ||'
