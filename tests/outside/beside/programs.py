"""The programs that the week is settled with beside the service, found or installed into the target directory."""

import os
import pathlib
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent.parent
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
PLACE = TARGET / "beside-venv"
LIBRARIES = ["pandas>=2.2,<4", "duckdb>=1.2,<3"]


def skip(why):
    print(f"skipped: {why}")
    sys.exit(0)


def needed():
    """A Python with the libraries, installed on first use; says what is missing and ends well where that cannot be had."""
    python = PLACE / "bin" / "python"
    has_libraries = [python, "-c", "import pandas, duckdb"]
    if python.exists() and subprocess.run(has_libraries, capture_output=True).returncode == 0:
        return python
    try:
        import venv

        venv.create(PLACE, with_pip=True)
    except Exception as problem:  # Debian splits the module up; whatever is missing, it cannot be made here.
        skip(f"Python cannot make a virtual environment here ({problem})")
    install = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *LIBRARIES]
    try:
        done = subprocess.run(install, timeout=300, capture_output=True, text=True)
    except subprocess.TimeoutExpired:
        skip("the Python registry does not answer in time")
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        skip(f"the libraries cannot be installed ({last})")
    return python


def has_accounting_tool():
    return shutil.which("ledger") is not None


def built_service():
    """The service, built as it is tested."""
    subprocess.run(["cargo", "build", "--quiet", "--locked", "-p", "api"], cwd=ROOT, check=True)
    return TARGET / "debug" / "skidway"
