"""The week with a plain-text accounting tool, as somebody would who keeps his books in one.

    python ledger_books.py DIRECTORY        prints what each payee has coming, in cents

The tool keeps books; it knows nothing of log rules, of bands of diameter, or of dividing cents. So a script scales the logs
stick by stick and writes a journal with a transaction for each ticket: how much was counted on which line. The tool adds the
quantities up by line. The script prices each line, rounds once and divides it, and writes a second journal with a transaction
for each line. The tool adds the money up by payee. Those two sums are its part of the job; the rest is the script's.

Whole numbers throughout: thousandths of an inch, a foot and a degree; board feet; cents.
"""

import collections
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time

# No compiled files beside the sources.
sys.dont_write_bytecode = True

from facts import STEPS, Contracts, scribner_decimal_c, thousandths

TABLE = scribner_decimal_c()
COMMODITIES = {"thousand_board_feet": "BF", "piece": "PIECES", "turn": "TURNS"}


def scale(rule, trim, piece):
    """Inches, feet, gross, net and whether it is cull."""
    readings = [thousandths(reading) for reading in piece["small_diameter_in"]]
    # One reading goes to the nearest inch, a half up; of the mean of two a half is dropped.
    inches = (readings[0] + 500) // 1000 if len(readings) == 1 else (sum(readings) + 999) // 2000
    length = 12 * thousandths(piece["length_ft"]) + thousandths(piece.get("length_in", "0"))
    feet = (length - trim) // 24_000 * 2
    gross = ((inches - 4) ** 2 * feet + 8) // 16 if rule == "doyle" else TABLE[inches, feet]
    net = gross - deduction(STEPS[rule], gross, feet, piece["defects"]) if "defects" in piece else gross
    return inches, feet, gross, net, 3 * net < gross


def deduction(step, gross, feet, defects):
    """What comes off: cuts in length by proportion; of what is left, squared defects by width × height × length ÷ 15 and pie
    cuts by proportion; the sum rounded once to the rule's step, a half up."""
    whole = 1000 * feet
    runs = [(defect, min(thousandths(defect["length_ft"]), whole)) for defect in defects]
    cut = min(sum(run for defect, run in runs if defect["method"] == "length_cut"), whole)
    # Over one denominator: 360 × length × a thousand for each of three sizes.
    lost = gross * cut * 360_000_000
    for defect, run in runs:
        run = min(run, whole - cut)
        if defect["method"] == "squared":
            lost += thousandths(defect["width_in"]) * thousandths(defect["height_in"]) * run * 24 * feet
        elif defect["method"] == "pie_cut":
            lost += gross * run * thousandths(defect["angle_degrees"]) * 1000
    unit = step * feet * 360_000_000_000
    return min(step * ((2 * lost + unit) // (2 * unit)), gross)


def covers(rate, piece, scaled):
    inches, feet, _, _, cull = scaled
    return (
        rate["diameter"][0] <= 1000 * inches < rate["diameter"][1]
        and rate["length"][0] <= 1000 * feet < rate["length"][1]
        and (not rate["species"] or piece["species"] in rate["species"])
        and (rate["pays_cull"] or not cull)
    )


def counted(ticket, rates):
    """How much the ticket comes to under each rate that has something of it."""
    day, turn = ticket["scaled_on"], ticket.get("turn", {})
    skid, haul = (thousandths(turn.get(distance, "0")) for distance in ["skid_distance_ft", "haul_distance_mi"])
    done = [(work["task"], work["crew_id"]) for work in ticket["work"]]
    if "delivered_to" in ticket:
        done.append(("delivery", ticket["delivered_to"]))
    scaled_by = {}
    for what in done:
        for rate in rates.get((ticket["job_id"], *what), []):
            moved = rate["skid"][0] <= skid < rate["skid"][1] and rate["haul"][0] <= haul < rate["haul"][1]
            if not (rate["since"] <= day < rate["until"] and moved):
                continue
            if rate["unit"] == "turn":
                yield rate, 1
                continue
            by = (rate["rule"], rate["trim"])
            if by not in scaled_by:
                scaled_by[by] = [scale(*by, piece) for piece in ticket["pieces"]]
            paid = [scaled for piece, scaled in zip(ticket["pieces"], scaled_by[by]) if covers(rate, piece, scaled)]
            if rate["unit"] == "piece":
                yield rate, len(paid)
            else:
                yield rate, sum(scaled[3 if rate["basis"] == "net" else 2] for scaled in paid)


def write_tickets(directory, contracts, journal):
    """A transaction for each ticket; answers with the lines by the names of their accounts."""
    rates, shares, lines = collections.defaultdict(list), collections.defaultdict(list), {}
    for rate in contracts.rates:
        rates[rate["job"], rate["task"], rate["party"]].append(rate)
    for share in contracts.shares:
        shares[share["crew"]].append(share)
    with (pathlib.Path(directory) / "tickets.ndjson").open() as tickets:
        for line in tickets:
            ticket = json.loads(line)
            day = ticket["scaled_on"]
            if not contracts.begins <= day <= contracts.ends:
                continue
            journal.write(f"{day} {ticket['book']} {ticket['number']}\n")
            for rate, quantity in counted(ticket, rates):
                standing = [share for share in shares[rate["party"]] if share["since"] <= day < share["until"]]
                account = f"lines:{rate['line']}:{standing[0]['share_set'] if standing else 'mill'}"
                lines[account] = rate, standing or [{"worker": rate["party"], "parts": 1, "place": 0}]
                journal.write(f"    {account}  {quantity} {COMMODITIES[rate['unit']]}\n")
            journal.write("    counted in the yard\n\n")
    return lines


def balances(journal):
    """What the tool says every account stands at but those that things come out of, as text."""
    command = ["ledger", "-f", journal, "balance", "^lines:", "^payees:", "--flat", "--no-total"]
    # Nobody's own settings are to have a say.
    plain = {"PATH": os.environ["PATH"], "HOME": str(journal.parent), "LC_ALL": "C.UTF-8"}
    said = subprocess.run(command, env=plain, check=True, capture_output=True, text=True).stdout
    rows = (row.split() for row in said.splitlines())
    return {account: amount for amount, _, account in rows}


def divided(cents, shares):
    """Largest remainder: among equal ones whoever stands first in the share set."""
    whole = sum(share["parts"] for share in shares)
    parts = [cents * share["parts"] // whole for share in shares]
    by_remainder = sorted(range(len(shares)), key=lambda at: (-(cents * shares[at]["parts"] % whole), shares[at]["place"]))
    for at in by_remainder[: cents - sum(parts)]:
        parts[at] += 1
    return [(share["worker"], part) for share, part in zip(shares, parts)]


def write_pay(contracts, lines, quantities, journal):
    """A transaction for each line: priced, rounded once, a half away from zero, and divided."""
    for account, (rate, shares) in lines.items():
        quantity, unit = int(quantities.get(account, "0")), 10_000 * rate["per"]
        cents = (2 * quantity * rate["price_millionths"] + unit) // (2 * unit)
        journal.write(f"{contracts.ends} {account}\n")
        for payee, part in divided(cents, shares):
            journal.write(f"    payees:{payee}  {part // 100}.{part % 100:02} USD\n")
        journal.write("    work of the week\n\n")


def main():
    directory = sys.argv[1]
    contracts = Contracts(directory)
    with tempfile.TemporaryDirectory() as folder:
        counts, pay = pathlib.Path(folder) / "counts.journal", pathlib.Path(folder) / "pay.journal"
        with counts.open("w") as journal:
            lines = write_tickets(directory, contracts, journal)
        began = time.monotonic()
        quantities = balances(counts)
        took = time.monotonic() - began
        with pay.open("w") as journal:
            write_pay(contracts, lines, quantities, journal)
        began = time.monotonic()
        payees = balances(pay)
        took += time.monotonic() - began
    print(f"of it the tool itself, which adds up: {took:.2f} s", file=sys.stderr)
    cents = {account.removeprefix("payees:"): int(amount.replace(".", "")) for account, amount in payees.items()}
    print(json.dumps(cents))


if __name__ == "__main__":
    main()
