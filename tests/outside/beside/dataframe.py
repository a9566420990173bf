"""The week in a dataframe library, column by column, as one would write it in a notebook.

    python dataframe.py DIRECTORY        prints what each payee has coming, in cents

Whole numbers throughout: thousandths of an inch, a foot and a degree; board feet; cents.
"""

import json
import pathlib
import sys

import numpy as np
import pandas as pd

# No compiled files beside the sources.
sys.dont_write_bytecode = True

from facts import STEPS, Contracts, scribner_decimal_c, thousandths


def read(directory):
    """The tickets of the file as four frames: tickets, work, logs and defects."""
    tickets, work, logs, defects = [], [], [], []
    with (pathlib.Path(directory) / "tickets.ndjson").open() as lines:
        for number, line in enumerate(lines):
            ticket = json.loads(line)
            turn = ticket.get("turn", {})
            moved = [thousandths(turn.get(distance, "0")) for distance in ["skid_distance_ft", "haul_distance_mi"]]
            tickets.append((number, ticket["job_id"], ticket["scaled_on"], *moved))
            work += [(number, done["task"], done["crew_id"]) for done in ticket["work"]]
            if "delivered_to" in ticket:
                work.append((number, "delivery", ticket["delivered_to"]))
            for piece in ticket["pieces"]:
                readings = [thousandths(reading) for reading in piece["small_diameter_in"]]
                length = 12 * thousandths(piece["length_ft"]) + thousandths(piece.get("length_in", "0"))
                for defect in piece.get("defects", []):
                    sizes = ["width_in", "height_in", "length_ft", "angle_degrees"]
                    defects.append((len(logs), defect["method"], *(thousandths(defect.get(size, "0")) for size in sizes)))
                logs.append((number, piece["species"], len(readings), sum(readings), length))
    return (
        pd.DataFrame(tickets, columns=["ticket", "job", "day", "skid", "haul"]),
        pd.DataFrame(work, columns=["ticket", "task", "party"]),
        pd.DataFrame(logs, columns=["ticket", "species", "readings", "sum", "length"]),
        pd.DataFrame(defects, columns=["log", "method", "width", "height", "length", "angle"]),
    )


def gross_of(rule, inches, feet):
    """Board feet by the rule."""
    if rule == "doyle":
        return ((inches - 4) ** 2 * feet + 8) // 16
    table = pd.Series(scribner_decimal_c())
    cells = table.reindex(pd.MultiIndex.from_arrays([inches, feet]))
    if cells.isna().any():
        sys.exit("a log is not in the table")
    return pd.Series(cells.to_numpy(dtype="int64"), index=inches.index)


def scale(rule, trim, logs, defects):
    """Gross, net and cull of every log."""
    # One reading goes to the nearest inch, a half up; of the mean of two a half is dropped.
    inches = ((logs["sum"] + 500) // 1000).where(logs["readings"] == 1, (logs["sum"] + 999) // 2000)
    feet = (logs["length"] - trim) // 24_000 * 2
    gross = gross_of(rule, inches, feet)
    net = gross.copy()
    found = defects["log"].unique()
    if len(found):
        net[found] -= deduction(STEPS[rule], gross, feet, defects)
    return pd.DataFrame({"inches": inches, "feet": feet, "gross": gross, "net": net, "cull": 3 * net < gross})


def deduction(step, gross, feet, defects):
    """What comes off, of the logs that have a defect: cuts in length by proportion, then squared defects by
    width × height × length ÷ 15 and pie cuts by proportion of what is left; the sum rounded once to the rule's step."""
    volume, whole = defects["log"].map(gross), defects["log"].map(feet)
    run = defects["length"].clip(upper=1000 * whole)
    cuts = run.where(defects["method"] == "length_cut", 0).groupby(defects["log"]).transform("sum")
    cut = cuts.clip(upper=1000 * whole)
    run = np.minimum(run, 1000 * whole - cut)
    # Over one denominator: 360 × length × a thousand for each of three sizes.
    squared = defects["width"] * defects["height"] * run * 24 * whole
    pie = volume * run * defects["angle"] * 1000
    lost = squared.where(defects["method"] == "squared", 0) + pie.where(defects["method"] == "pie_cut", 0)
    by_log = defects["log"]
    lost = lost.groupby(by_log).sum() + (volume * cut * 360_000_000).groupby(by_log).first()
    gross, whole = gross[lost.index], feet[lost.index] * 360_000_000_000
    rounded = step * ((2 * lost + step * whole) // (2 * step * whole))
    return np.minimum(rounded, gross)


def quantities(contracts, frames):
    """How much of its unit each rate comes to, by line and by party."""
    tickets, work, logs, defects = frames
    tickets = tickets[tickets["day"].between(contracts.begins, contracts.ends)]
    scales, counted = {}, []
    for rate in contracts.rates:
        mine = (tickets["job"] == rate["job"]) & (tickets["day"] >= rate["since"]) & (tickets["day"] < rate["until"])
        for moved in ["skid", "haul"]:
            mine &= (tickets[moved] >= rate[moved][0]) & (tickets[moved] < rate[moved][1])
        done = work[(work["task"] == rate["task"]) & (work["party"] == rate["party"])]
        done = tickets[mine & tickets["ticket"].isin(done["ticket"])][["ticket", "day"]]
        if rate["unit"] == "turn":
            counted.append(done.assign(line=rate["line"], quantity=1))
            continue
        by = (rate["rule"], rate["trim"])
        if by not in scales:
            scales[by] = logs[["ticket", "species"]].join(scale(*by, logs, defects))
        scaled = scales[by]
        chosen = scaled["ticket"].isin(done["ticket"])
        for size, name in [("inches", "diameter"), ("feet", "length")]:
            chosen &= (1000 * scaled[size] >= rate[name][0]) & (1000 * scaled[size] < rate[name][1])
        if rate["species"]:
            chosen &= scaled["species"].isin(rate["species"])
        if not rate["pays_cull"]:
            chosen &= ~scaled["cull"]
        sticks = scaled[chosen]
        sticks = sticks[["ticket"]].assign(quantity=sticks[rate["basis"]] if rate["basis"] else 1)
        counted.append(sticks.merge(done, on="ticket").assign(line=rate["line"]))
    return pd.concat(counted).groupby(["line", "day"], as_index=False)["quantity"].sum()


def pay(contracts, counted):
    """Each line priced and rounded once, divided by largest remainder, and added up by payee."""
    rates = pd.DataFrame(contracts.rates)[["line", "party", "is_mill", "price_millionths", "per"]]
    lines = counted.merge(rates, on="line")
    shares = pd.DataFrame(contracts.shares)
    mills = pd.DataFrame({"party": lines.loc[lines["is_mill"], "party"].unique()})
    mills = mills.assign(share_set=mills["party"], worker=mills["party"], parts=1, place=0, since="", until="9999-12-31")
    shares = pd.concat([shares.rename(columns={"crew": "party"}), mills])
    lines = lines.merge(shares, on="party")
    lines = lines[(lines["day"] >= lines["since"]) & (lines["day"] < lines["until"])]
    by_payee = ["line", "share_set", "place", "worker", "parts", "price_millionths", "per"]
    lines = lines.groupby(by_payee, as_index=False)["quantity"].sum()
    # Python's own whole numbers: a large week times a price passes 64 bits.
    of_line = [lines["line"], lines["share_set"]]
    unit = 10_000 * lines["per"].astype(object)
    cents = (2 * lines["quantity"].astype(object) * lines["price_millionths"] + unit) // (2 * unit)
    all_parts = lines["parts"].groupby(of_line).transform("sum").astype(object)
    share, remainder = cents * lines["parts"] // all_parts, cents * lines["parts"] % all_parts
    left = cents - share.groupby(of_line).transform("sum")
    # The largest remainders first; among equal ones whoever stands first in the share set.
    turn = lines.assign(below=-remainder).sort_values(["below", "place"]).groupby(["line", "share_set"]).cumcount()
    share += (turn.sort_index() < left).astype(int)
    return share.groupby(lines["worker"]).sum().to_dict()


def main():
    directory = sys.argv[1]
    contracts = Contracts(directory)
    print(json.dumps({payee: int(cents) for payee, cents in pay(contracts, quantities(contracts, read(directory))).items()}))


if __name__ == "__main__":
    main()
