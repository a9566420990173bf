#!/usr/bin/env python3
"""A small week, settled by a service in a database that vanishes, and again by other tools.

    python3 tests/outside/beside/small.py [tickets] [program]          200 tickets when not given

A program that is named is run as it is; otherwise the service is built first. The same comparison with a week of a million
pieces is part of `cargo run --release -p bench`.
"""

import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

# No compiled files beside the sources.
sys.dont_write_bytecode = True

import invented
import programs
import run

LOGS = 40


class Service:
    """The service with a private database in a folder, and one outfit whose manager we are."""

    def __init__(self, program, folder):
        self.program, self.token, self.filed = program, None, 0
        self.environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | {
            "SKIDWAY_LISTEN": "127.0.0.1:0",
            "SKIDWAY_DATA_DIR": folder,
            "SKIDWAY_RATE_PER_MINUTE": "1000000",
        }
        # It ends with us, and by itself should we be killed.
        command = [*(["timeout", "300"] if shutil.which("timeout") else []), program, "serve"]
        self.running = subprocess.Popen(
            command, env=self.environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        for line in self.running.stdout:
            if found := re.search(r"server\.address=(\S+)", line):
                self.address = f"http://{found.group(1)}"
                break
        else:
            self.end()
            sys.exit("the service does not start")
        outfit = {"name": "Invented outfit", "currency": "USD", "time_zone": "America/Detroit", "week_ends_on": "saturday"}
        self.token = self.granted("operator")
        opened = self.file("/v1/outfits", outfit)
        self.token = self.granted("manager", "--outfit", opened["outfit_id"])

    def granted(self, *what):
        command = [self.program, "token", *what]
        return subprocess.run(command, env=self.environment, check=True, capture_output=True, text=True).stdout.strip()

    def ask(self, method, path, body=None, kind="application/json"):
        self.filed += 1
        headers = {"Authorization": f"Bearer {self.token}", "Content-Type": kind, "Idempotency-Key": f'"{self.filed}"'}
        request = urllib.request.Request(self.address + path, body, headers, method=method)
        try:
            with urllib.request.urlopen(request) as answer:
                return answer.read()
        except urllib.error.HTTPError as refused:
            sys.exit(f"{method} {path}: {refused.code} {refused.read().decode()}")

    def file(self, path, body):
        return json.loads(self.ask("POST", path, json.dumps(body).encode()))

    def get(self, path):
        return json.loads(self.ask("GET", path))

    def end(self):
        self.running.terminate()
        self.running.wait()


def settle(service, lines, directory):
    """Posts the tickets, settles their week, and writes down what the other tools go by."""
    began = time.monotonic()
    answer = service.ask("POST", "/v1/ticket-batches", lines.encode(), "application/x-ndjson").splitlines()
    accepted = time.monotonic()
    end = json.loads(answer[-1])
    if end["outcome"] != "finished" or end["refused"]:
        sys.exit(f"not every ticket was accepted: {answer[0].decode()}")
    draft = service.file("/v1/settlements", {"week_ends_on": invented.WEEK["ends"]})["settlement_id"]
    posted = json.loads(service.ask("PUT", f"/v1/settlements/{draft}/posting"))
    settled = time.monotonic()
    again = service.get(f"/v1/settlements/{posted['settlement_id']}/rederivation")
    if not again["agrees"]:
        sys.exit("the service does not come to the same week again")
    rederived = time.monotonic()
    seconds = {"accepted": accepted - began, "settled": settled - accepted, "rederived": rederived - settled}
    times = {name: round(1000 * took) for name, took in seconds.items()}
    statements = service.get(f"/v1/statements?settlement_id={posted['settlement_id']}&limit=500")["items"]
    contracts = {
        "week": invented.WEEK,
        "contracts": service.get("/v1/contracts?limit=500")["items"],
        "crews": service.get("/v1/crews?limit=500")["items"],
    }
    (directory / "tickets.ndjson").write_text(lines)
    for name, content in [("contracts", contracts), ("statements", statements), ("times", times)]:
        (directory / f"{name}.json").write_text(json.dumps(content, indent=1))


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    programs.needed()
    program = sys.argv[2] if len(sys.argv) > 2 else programs.built_service()
    with tempfile.TemporaryDirectory(prefix="skidway-beside-") as folder:
        directory = pathlib.Path(folder)
        # Postgres is run by somebody without rights, who has to get in.
        directory.chmod(0o755)
        service = Service(program, directory / "data")
        try:
            places = invented.furnish(service.file)
            lines = "".join(json.dumps(ticket) + "\n" for ticket in invented.tickets(places, count, LOGS))
            settle(service, lines, directory)
        finally:
            service.end()
        sys.exit(run.compare(directory, rounds=1))


if __name__ == "__main__":
    main()
