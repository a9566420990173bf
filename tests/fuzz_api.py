#!/usr/bin/env python3
"""Throws made-up requests at the running service for a bounded time, as its own API document describes them.

The requests are made by schemathesis, a general tester of OpenAPI documents from the Python registry. It fails on an
answer that the document does not name (status, media type, schema, Allow) and on every error of the server. The service is
the demonstration's: an invented outfit with a week of records, in a database that vanishes.

    python3 tests/fuzz_api.py [seconds]            75 seconds when not given

Where Python, the registry or the tester is not to be had, it says so and ends well: it is a further proof, not a needed one.
SKIDWAY_FUZZ_SEED makes a run again.
"""

import json
import os
import pathlib
import re
import subprocess
import sys
import urllib.request

ROOT = pathlib.Path(__file__).resolve().parent.parent
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
PLACE = TARGET / "fuzz-venv"
TESTER = "schemathesis>=4,<5"
CHECKS = ",".join(
    [
        "not_a_server_error",
        "status_code_conformance",
        "content_type_conformance",
        "response_headers_conformance",
        "response_schema_conformance",
        "allow_header_conformance",
        "ignored_auth",
    ]
)


def skip(why):
    print(f"skipped: {why}")
    sys.exit(0)


def tester():
    """The tester's program; installed into the target directory on first use."""
    program = PLACE / "bin" / "schemathesis"
    if program.exists():
        return program
    try:
        import venv

        venv.create(PLACE, with_pip=True)
    except Exception as problem:  # Debian splits the module up; whatever is missing, it cannot be made here.
        skip(f"Python cannot make a virtual environment here ({problem})")
    install = [PLACE / "bin" / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", TESTER]
    try:
        done = subprocess.run(install, timeout=240, capture_output=True, text=True)
    except subprocess.TimeoutExpired:
        skip("the Python registry does not answer in time")
    if done.returncode != 0 or not program.exists():
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        skip(f"the tester cannot be installed ({last})")
    return program


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


def get(address, path, token):
    request = urllib.request.Request(address + path, headers={"Authorization": f"Bearer {token}"})
    with urllib.request.urlopen(request) as answer:
        return json.load(answer)


def known_ids(address, token):
    """Ids that are in the books, so that requests reach further than "there is none"."""
    first = lambda path: get(address, path, token)["items"][0]
    settlement = first("/v1/settlements?posted=true")["settlement_id"]
    return {
        "contract_id": first("/v1/contracts")["contract_id"],
        "crew_id": first("/v1/crews")["crew_id"],
        "job_id": first("/v1/jobs")["job_id"],
        "journal_entry_id": first("/v1/journal")["journal_entry_id"],
        "mill_id": first("/v1/mills")["mill_id"],
        "settlement_id": settlement,
        "statement_id": first(f"/v1/statements?settlement_id={settlement}")["statement_id"],
        "ticket_id": first("/v1/tickets")["ticket_id"],
        "worker_id": first("/v1/workers")["worker_id"],
    }


def run(program, address, token, seconds, settings, modes):
    """One run of the tester; answers whether all was well."""
    command = [program, "--config-file", settings, "--no-color", "run", f"{address}/openapi.json"]
    command += ["--header", f"Authorization: Bearer {token}", "--checks", CHECKS, "--mode", modes]
    command += ["--max-time", str(seconds), "--phases", "coverage,fuzzing", "--continue-on-failure"]
    command += ["--suppress-health-check", "all", "--warnings", "off", "--request-timeout", "30"]
    if seed := os.environ.get("SKIDWAY_FUZZ_SEED"):
        command += ["--seed", seed]
    return subprocess.run(command, cwd=PLACE).returncode == 0


def main():
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 75
    program = tester()
    running, address, tokens = service()
    try:
        token = tokens["manager"]
        plain, known = PLACE / "plain.toml", PLACE / "known.toml"
        plain.write_text("")
        ids = known_ids(address, token)
        known.write_text("[parameters]\n" + "".join(f'{name} = "{value}"\n' for name, value in ids.items()))
        good = run(program, address, token, seconds * 3 // 5, plain, "all")
        good &= run(program, address, token, seconds * 2 // 5, known, "positive")
        if running.poll() is not None:
            sys.exit("the service has ended")
    finally:
        running.terminate()
        running.wait()
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
