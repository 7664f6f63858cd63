"""How kernels are compiled and kept, seen from processes of their own."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

import lumsim.kernels
from lumsim.kernels.compiling import will_compile

FOLDER = Path(lumsim.kernels.__file__).parent
FILES = sorted(FOLDER.glob("*.py"))
MAY_BE_SHARED = {"INDICES", "VECTOR", "compiled"}

TINY = """
from lumsim.kernels.compiling import compiled


@compiled("float64(float64)")
def twice(x: float) -> float:
    return 2.0 * x
"""


def run(code: str, *, folder: Path, **settings: str) -> str:
    """Run code in a new Python beside `folder`, with these environment variables, warnings as errors."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("NUMBA_")}
    path = os.pathsep.join([str(FOLDER.parents[1]), str(folder)])
    done = subprocess.run(
        [sys.executable, "-B", "-W", "error", "-c", code],
        env=env | {"PYTHONPATH": path} | settings,
        capture_output=True,
        text=True,
        cwd=folder,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture
def tiny(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a folder with one small kernel file, and leave no setting of numba's in the environment."""
    for name in [name for name in os.environ if name.startswith("NUMBA_")]:
        monkeypatch.delenv(name)
    folder = tmp_path / "tiny"
    folder.mkdir()
    (folder / "tiny.py").write_text(TINY, encoding="utf-8")
    return folder


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_each_kernel_file_stands_alone(file: Path) -> None:
    """No kernel file imports a compiled function from another, whose changes its cache would not notice."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            assert not any(alias.name.split(".")[0] == "lumsim" for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0
            module = node.module or ""
            if module.split(".")[0] == "lumsim":
                assert module == "lumsim.kernels.compiling"
                assert {alias.name for alias in node.names} <= MAY_BE_SHARED


def test_the_folder_itself_imports_nothing_and_lists_its_files() -> None:
    """Naming the folder costs no start-up time, and its docstring names every file in it."""
    tree = ast.parse((FOLDER / "__init__.py").read_text(encoding="utf-8"))
    assert not any(isinstance(node, ast.Import | ast.ImportFrom) for node in ast.walk(tree))
    listed = ast.get_docstring(tree) or ""
    assert all(file.name in listed for file in FILES if file.name != "__init__.py")


def test_asking_imports_no_numba() -> None:
    """Whether kernels will be compiled can be asked before numba is imported."""
    code = (
        "import sys\nfrom lumsim.kernels.compiling import will_compile\n"
        "will_compile()\nprint('numba' in sys.modules, 'numpy' in sys.modules)"
    )
    assert run(code, folder=FOLDER) == "False False"


@pytest.mark.parametrize("place", ["named", "beside", "user"])
def test_a_filled_cache_is_recognised(
    tiny: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    """A kernel needs compiling until it was done once, wherever numba keeps it, and after each change."""
    home = tmp_path / "home"
    settings = {"HOME": str(home), "XDG_CACHE_HOME": str(home / "cache"), "LOCALAPPDATA": str(home)}
    if place == "named":
        settings["NUMBA_CACHE_DIR"] = str(tmp_path / "named")
    elif place == "user":
        (tiny / "__pycache__").write_text("a file in the folder's place", encoding="utf-8")
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    assert will_compile(tiny)
    assert run("import tiny; print(tiny.twice(2.5))", folder=tiny, **settings) == "5.0"
    assert not will_compile(tiny)
    file = tiny / "tiny.py"
    file.write_text(TINY.replace("2.0", "4.0"), encoding="utf-8")
    later = file.stat().st_mtime + 10.0
    os.utime(file, (later, later))
    assert will_compile(tiny)
    assert run("import tiny; print(tiny.twice(2.5))", folder=tiny, **settings) == "10.0"


def test_kernels_work_where_no_cache_can_be_written(tiny: Path, tmp_path: Path) -> None:
    """With every cache folder barred a kernel is compiled all the same, and gives the same answer."""
    blocked = tmp_path / "blocked"
    blocked.write_text("a file, so that no folder can be made under it, not even by root", encoding="utf-8")
    (tiny / "__pycache__").write_text("a file in the folder's place", encoding="utf-8")
    barred = str(blocked / "cache")
    settings = {"NUMBA_CACHE_DIR": barred, "XDG_CACHE_HOME": barred, "HOME": barred, "LOCALAPPDATA": barred}
    code = (
        "import numba, tiny\n"
        "try:\n"
        "    numba.njit('float64(float64)', cache=True)(tiny.twice.py_func)\n"
        "except RuntimeError as error:\n"
        "    print('no locator available' in str(error), len(tiny.twice.signatures), tiny.twice(2.5))"
    )
    assert run(code, folder=tiny, **settings) == "True 1 5.0"


def test_other_errors_of_the_compiler_are_not_hidden(tiny: Path, tmp_path: Path) -> None:
    """Only a missing cache is forgiven: a kernel that cannot be compiled says so."""
    wrong = TINY.replace("float64(float64)", "float64(unicode_type)").replace("2.0 * x", "x.missing")
    (tiny / "tiny.py").write_text(wrong, encoding="utf-8")
    code = (
        "from numba.core.errors import TypingError\n"
        "try:\n    import tiny\nexcept TypingError as error:\n    print('missing' in str(error))"
    )
    assert run(code, folder=tiny, NUMBA_CACHE_DIR=str(tmp_path / "cache")) == "True"


def test_without_compiling_kernels_are_plain_python(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """NUMBA_DISABLE_JIT=1 leaves kernels as they are written, so nothing will be compiled."""
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    assert not will_compile(tiny)
    code = "import tiny; print(type(tiny.twice).__name__, tiny.twice(2.5))"
    assert run(code, folder=tiny, NUMBA_DISABLE_JIT="1") == "function 5.0"
