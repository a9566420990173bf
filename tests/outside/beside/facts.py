"""What the contracts of a week say, read out of the API's answers for tools that know nothing of the service.

Nothing is scaled or added up here. What the other tools are not written for is refused by name and not passed over:

- two log rules, Scribner Decimal C and Doyle, with the practice that holds where a contract names none but the least trim;
- prices by the thousand board feet, the piece and the turn, in bands of diameter, length and distance and by species;
- crews that share by parts or equally, and whole tickets done by one crew a task;
- what the lines of a statement come to. Hours, wages, charges, advances and holdback are left out.

Sizes are whole thousandths of their unit and money is whole cents; there is no binary floating point.
"""

import csv
import functools
import json
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent.parent
PUBLISHED = ROOT / "tests" / "data" / "scaling" / "published_tables.csv"
RECALLED = ROOT / "tests" / "data" / "beside" / "scribner_decimal_c_recalled.csv"

# The step that a rule's deductions are rounded to, in board feet.
STEPS = {"scribner-decimal-c": 10, "doyle": 1}
PER_UNIT = {"thousand_board_feet": 1000, "piece": 1, "turn": 1}
NEVER = "9999-12-31"
USUAL_PRACTICE = {
    "sources": "any",
    "system": "inch_foot",
    "one_reading": "half_up",
    "two_readings": "half_down",
    "first_half": "up",
    "length_multiple_ft": "2",
    "over_long": "next_class",
    "longest_scaling_length_ft": "40",
    "division": "near_equal",
    "odd_taper": "raised",
    "cull_share": "1/3",
    "waste_inch": False,
    "grade_only_kinds": ["sound_knot", "spiral_grain"],
    "estimates": "refused",
    "deduction_rounding": "by_rule",
    "volume_rounding": "by_rule",
    "printed_cells_only": False,
}


def left_out(what):
    sys.exit(f"the other tools are not written for {what}")


def decimal(text, places):
    """A decimal without sign as a whole number of its last place."""
    whole, _, rest = text.partition(".")
    if len(rest) > places:
        left_out(f"{text}, which has more than {places} decimals")
    return int(whole + rest.ljust(places, "0"))


@functools.lru_cache(maxsize=100_000)
def thousandths(text):
    return decimal(text, 3)


def practice_of(terms):
    """Rule and least trim of the logs, in thousandths of an inch; nothing where no log is scaled."""
    practice = dict(terms["practice"].get("log", {}))
    if not practice:
        return None, 0
    rule, trim = practice.pop("rule"), practice.pop("least_trim_in", "0")
    other = {name: value for name, value in practice.items() if value != USUAL_PRACTICE.get(name, "")}
    if rule not in STEPS or other:
        left_out(f"the practice {rule} with {other}")
    return rule, thousandths(trim)


def band(covers, name):
    """A band of whole numbers or thousandths: from, and below."""
    ends = covers.pop(name, {})
    first, last = ends.get("from", "0"), ends.get("below", "1000000")
    return thousandths(first), thousandths(last)


def in_force(filed):
    """What was filed with the days that it holds for, the last left out: of two for one day the later revision."""
    by_day = {one["effective_from"]: one for one in sorted(filed, key=lambda one: one["revision"])}
    days = sorted(by_day)
    return [(by_day[day], day, until) for day, until in zip(days, days[1:] + [NEVER])]


class Contracts:
    """Rates and shares as flat rows, and the table of the rule that has one."""

    def __init__(self, directory):
        read = json.loads((pathlib.Path(directory) / "contracts.json").read_text())
        self.begins, self.ends = read["week"]["begins"], read["week"]["ends"]
        self.rates = [rate for contract in read["contracts"] for rate in self.rates_of(contract)]
        self.shares = [share for crew in read["crews"] for share in self.shares_of(crew)]

    def rates_of(self, contract):
        for terms, since, until in in_force(contract["terms"]):
            if until <= self.begins or since > self.ends:
                continue
            rule, trim = practice_of(terms)
            for number, rate in enumerate(terms["rates"]):
                covers, unit = dict(rate.get("covers", {})), rate["unit"]
                diameter, length = band(covers, "diameter_in"), band(covers, "length_ft")
                skid, haul = band(covers, "skid_distance_ft"), band(covers, "haul_distance_mi")
                species = covers.pop("species", [])
                plain = rate.get("kind", "price") == "price" and "least_quantity_a_turn" not in rate
                if unit not in PER_UNIT or covers or not plain or rate.get("product", "log") != "log":
                    left_out(f"the rate {rate}")
                yield {
                    "line": f"{terms['terms_id']}/{number}",
                    "job": contract["job_id"],
                    "party": contract["party"].get("crew_id") or contract["party"]["mill_id"],
                    "is_mill": "mill_id" in contract["party"],
                    "since": since,
                    "until": until,
                    "rule": rule,
                    "trim": trim,
                    "task": rate["task"],
                    "unit": unit,
                    "basis": rate.get("basis"),
                    "pays_cull": rate["pays_cull"],
                    "diameter": diameter,
                    "length": length,
                    "skid": skid,
                    "haul": haul,
                    "species": species,
                    "price_millionths": decimal(rate["price"], 6),
                    "per": PER_UNIT[unit],
                }

    def shares_of(self, crew):
        for shared, since, until in in_force(crew["share_sets"]):
            if shared.get("method", "parts") == "by_hours":
                left_out("a crew that shares by hours")
            for place, share in enumerate(shared["shares"]):
                yield {
                    "share_set": shared["share_set_id"],
                    "crew": crew["crew_id"],
                    "since": since,
                    "until": until,
                    "place": place,
                    "worker": share["worker_id"],
                    "parts": decimal(share.get("parts") or "1", 6),
                }


def scribner_decimal_c():
    """The table of Scribner Decimal C: (inches, feet) to board feet. Printed cells stand; beyond them a remembered factor of
    board feet a foot is multiplied and brought to the nearest ten, a half up."""
    cells = {}
    with RECALLED.open() as rows:
        for row in csv.DictReader(rows):
            inches, factor = int(row["diameter_in"]), thousandths(row["board_feet_a_foot"])
            for feet in range(int(row["from_ft"]), int(row["to_ft"]) + 1, 2):
                cells[inches, feet] = (factor * feet + 5_000) // 10_000 * 10
    with PUBLISHED.open() as rows:
        for row in csv.DictReader(rows):
            if row["rule"] == "Scribner Decimal C" and row["unit"] == "board_feet":
                cells[int(row["diameter_in"]), int(row["length_ft"])] = int(row["published_value"])
    return cells
