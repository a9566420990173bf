#!/usr/bin/env python3
"""Settles a week that the service has settled with what people use instead, and holds every cent against the service's.

    python3 tests/outside/beside/run.py DIRECTORY [rounds]         3 rounds when not given

The directory holds `tickets.ndjson` (tickets as they were posted), `contracts.json` (the week, and the API's answers for
contracts and crews), `statements.json` (those for the statements of the settlement) and `times.json`: the milliseconds that
the service took to accept the tickets (`accepted`), to settle the week from them, draft and posting together (`settled`), and
to compute it again from the measured facts (`rederived`); what was not measured is left out.

Each tool is a program that starts anew, reads the files and prints cents by payee: `dataframe.py`, `analytics.py` and
`ledger_books.py`, each with a scaling and a settlement of its own. Ends with 1 when a cent differs. Where a tool is not to be
had, it says so and ends well.
"""

import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

# No compiled files beside the sources.
sys.dont_write_bytecode = True

import programs

HERE = pathlib.Path(__file__).resolve().parent
TOOLS = {
    "dataframe.py": "dataframe library (pandas)",
    "analytics.py": "embedded analytics database (DuckDB)",
    "ledger_books.py": "script, with an accounting tool (ledger)",
}
OURS = {
    "accepted": "Skidway: tickets accepted in bulk, each scaled, priced and kept",
    "settled": "Skidway: the week settled from them and posted",
    "rederived": "Skidway: the same week computed again from the facts",
}
CANNOT = """
  A script, a data frame or an analytics database settles a week from a file that somebody keeps right: corrections after pay, who
  changed what, several people writing at once, and who may see what are for its owner to build around it.
  The accounting tool keeps double entry of any amounts in a text that everybody can read; scaling and rates are a script's work
  before it, and the text is as safe as the folder it lies in.
"""


def settled_by(python, tool, directory):
    """Cents by payee, seconds, megabytes at the most, and what the tool remarked."""
    with tempfile.TemporaryFile("w+") as said, tempfile.TemporaryFile("w+") as remarked:
        began = time.monotonic()
        running = subprocess.Popen([python, "-B", HERE / tool, directory], stdout=said, stderr=remarked)
        _, status, used = os.wait4(running.pid, 0)
        took = time.monotonic() - began
        running.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        remarked.seek(0)
        if running.returncode != 0:
            sys.exit(f"{tool} ends with {running.returncode}: {remarked.read()}")
        return json.load(said), took, used.ru_maxrss // 1024, remarked.read().strip()


def of_statements(directory):
    """What the service settled: cents by payee, and their names."""
    cents, names = {}, {}
    for statement in json.loads((directory / "statements.json").read_text()):
        payee = statement["payee"].get("worker_id") or statement["payee"]["mill_id"]
        cents[payee] = int(statement["earned"]["amount"].replace(".", ""))
        names[payee] = statement["payee"]["name"]
    return cents, names


def differences(tool, found, cents, names):
    for payee in sorted(cents.keys() | found.keys()):
        theirs, ours = found.get(payee, 0), cents.get(payee, 0)
        if theirs != ours:
            yield f"  {names.get(payee, payee)}: {ours} cents by the service, {theirs} by {tool}"


def table(rows, times):
    """Each time beside those of the service that were measured."""
    beside = [(name, times[name]) for name in ["settled", "rederived"] if name in times]
    yield "  " + " " * 64 + "seconds" + "".join(f"{f'× {name}':>13}" for name, _ in beside) + f"{'MB':>7}"
    for title, seconds, megabytes in rows:
        ratios = "".join(f"{seconds / by:>13.2f}" for _, by in beside)
        yield f"  {title:<64}{seconds:>7.2f}{ratios}{megabytes:>7}"


def compare(directory, rounds):
    """Runs the tools in turn, prints the table, and answers how the program is to end."""
    directory = pathlib.Path(directory).resolve()
    python = programs.needed()
    cents, names = of_statements(directory)
    if not any(cents.values()):
        sys.exit("the service has settled nothing: there is nothing to compare")
    times = {name: took / 1000 for name, took in json.loads((directory / "times.json").read_text()).items()}
    tools = [tool for tool in TOOLS if tool != "ledger_books.py" or programs.has_accounting_tool()]
    took, megabytes, remarks, wrong = {tool: [] for tool in tools}, {}, {}, []
    for turn in range(rounds):
        for tool in tools:
            found, seconds, most, remarks[tool] = settled_by(python, tool, directory)
            took[tool].append(seconds)
            megabytes[tool] = max(most, megabytes.get(tool, 0))
            if turn == 0:
                wrong += differences(tool, found, cents, names)
    with (directory / "tickets.ndjson").open() as lines:
        tickets = sum(1 for _ in lines)
    print(f"\nOne week of {tickets} tickets settled by the service and by what people use instead; medians of {rounds}.")
    rows = [(title, times[name], "") for name, title in OURS.items() if name in times]
    rows += [(f"{TOOLS[tool]}, from file to cent", statistics.median(took[tool]), megabytes[tool]) for tool in tools]
    print("\n".join(table(rows, times)))
    for tool, remark in remarks.items():
        if remark:
            print(f"  {TOOLS[tool]}: {remark}")
    if len(tools) < len(TOOLS):
        print("  The accounting tool ledger is not installed; it was left out.")
    print(CANNOT)
    if wrong:
        print("The cents differ:", *wrong, sep="\n")
        return 1
    total = sum(cents.values())
    print(f"  The service and {len(tools)} others come to the same: {len(cents)} payees, {total} cents, and not one apart.")
    return 0


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(compare(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 3))


if __name__ == "__main__":
    main()
