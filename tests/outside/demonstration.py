"""The demonstration as a service to try other people's tools on: an invented outfit with a week of records."""

import os
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))


def skip(why):
    print(f"skipped: {why}")
    sys.exit(0)


def service():
    """The demonstration, its address and the tokens of its people by role."""
    subprocess.run(["cargo", "build", "--quiet", "--locked", "-p", "api"], cwd=ROOT, check=True)
    environment = dict(os.environ)
    environment.pop("DATABASE_URL", None)
    environment |= {
        "SKIDWAY_LISTEN": "127.0.0.1:0",
        # What is tried here is the operations, not how they are rationed.
        "SKIDWAY_RATE_PER_MINUTE": "1000000",
        "SKIDWAY_OPEN_RATE_PER_MINUTE": "1000000",
    }
    running = subprocess.Popen(
        [TARGET / "debug" / "skidway", "demo"], env=environment, stdout=subprocess.PIPE, text=True
    )
    address, tokens = None, {}
    for line in running.stdout:
        if found := re.search(r"listens on (http://[^,\s]+)", line):
            address = found.group(1)
        if found := re.match(r"  (\w+)\s+(\S+\.\S+\.\S+)$", line):
            tokens[found.group(1)] = found.group(2)
        if "Still serving" in line:
            return running, address, tokens
    sys.exit("the demonstration did not come to its end")
