"""An invented outfit and a week of its tickets, the same in every run: what is settled four times over.

Logs of 8 to 30 inches and 8 to 16 feet with trim; one in five has a defect that takes wood off. Three felling crews that are
paid by two log rules, on gross or on net scale, in bands of diameter; two teams that are paid by the turn, in bands of
distance, and by the piece; a mill that pays on net scale. Parts of the pay are chosen so that cents do not divide.
"""

import random

WEEK = {"begins": "2026-05-31", "ends": "2026-06-06"}
FROM = "2026-05-01"
DAYS = ["2026-06-01", "2026-06-02", "2026-06-03", "2026-06-04", "2026-06-05", "2026-06-06"]


def rate(name, task, unit, price, **more):
    return {"name": name, "task": task, "unit": unit, "price": price} | more


def by_thousand(name, task, basis, price, **covers):
    more = {"product": "log", "basis": basis} | ({"covers": covers} if covers else {})
    return rate(name, task, "thousand_board_feet", price, **more)


SCRIBNER = {"log": {"rule": "scribner-decimal-c", "least_trim_in": "3"}}
DOYLE = {"log": {"rule": "doyle", "least_trim_in": "3"}}

# Name, parts of the members, practice, rates.
CREWS = [
    ("First felling crew", ["1", "1", "1"], SCRIBNER, [
        by_thousand("under 12 inches", "felling", "gross", "14.55", diameter_in={"below": "12"}),
        by_thousand("12 to 18 inches", "felling", "gross", "11.35", diameter_in={"from": "12", "below": "18"}),
        by_thousand("18 inches and up", "felling", "gross", "9.85", diameter_in={"from": "18"}),
    ]),
    ("Second felling crew", ["3", "2"], DOYLE, [
        by_thousand("pine", "felling", "net", "15.75", species=["white pine", "red pine"]),
        by_thousand("hemlock", "felling", "net", "13.05", species=["hemlock"]),
    ]),
    ("Third felling crew", ["1", "1"], SCRIBNER, [by_thousand("all logs", "felling", "net", "12.35")]),
    ("Team of four", ["2.5", "2", "2", "1"], SCRIBNER, [
        rate("near", "skidding", "turn", "3.25", covers={"skid_distance_ft": {"below": "400"}}),
        rate("far", "skidding", "turn", "4.77", covers={"skid_distance_ft": {"from": "400"}}),
        rate("hauled near", "hauling", "turn", "6.05", covers={"haul_distance_mi": {"below": "3"}}),
        rate("hauled far", "hauling", "turn", "8.55", covers={"haul_distance_mi": {"from": "3"}}),
        rate("logs loaded", "loading", "piece", "0.035", product="log"),
    ]),
    ("Team of two", ["1", "2"], DOYLE, [
        rate("any distance", "skidding", "turn", "4.01"),
        by_thousand("hauled", "hauling", "net", "2.35"),
        by_thousand("loaded by scale", "loading", "gross", "1.15"),
    ]),
]
MILL = [
    by_thousand("pine at the mill", "delivery", "net", "92.15", species=["white pine", "red pine"]),
    by_thousand("hemlock at the mill", "delivery", "net", "71.05", species=["hemlock"]),
]


def furnish(file):
    """Files people, places and contracts. `file(path, body)` answers with what was filed."""
    job = file("/v1/jobs", {"name": "Invented tract"})["job_id"]
    landing = file(f"/v1/jobs/{job}/landings", {"name": "North landing"})["landing_id"]
    mill = file("/v1/mills", {"name": "Invented mill"})["mill_id"]

    def contract(title, party, practice, rates):
        terms = {"effective_from": FROM, "practice": practice, "rates": rates}
        file("/v1/contracts", {"title": title, "job_id": job, "party": party, "terms": terms})

    crews = []
    for name, parts, practice, rates in CREWS:
        crew = file("/v1/crews", {"name": name})["crew_id"]
        members = [file("/v1/workers", {"name": f"{name}, hand {n}"})["worker_id"] for n in range(1, len(parts) + 1)]
        shares = [{"worker_id": one, "parts": part} for one, part in zip(members, parts)]
        file(f"/v1/crews/{crew}/share-sets", {"effective_from": FROM, "shares": shares})
        contract(name, {"crew_id": crew}, practice, rates)
        crews.append(crew)
    contract("Logs delivered", {"mill_id": mill}, SCRIBNER, MILL)
    return {"job": job, "landing": landing, "mill": mill, "fellers": crews[:3], "teams": crews[3:]}


def tickets(places, count, logs):
    """So many tickets of so many logs, as they are posted."""
    chance = random.Random(2026)
    for number in range(1, count + 1):
        team = chance.choice(places["teams"])
        ticket = {
            "book": "A",
            "number": number,
            "job_id": places["job"],
            "landing_id": places["landing"],
            "scaled_on": chance.choice(DAYS),
            "scaler": "Yard scaler",
            "work": [
                {"task": "felling", "crew_id": chance.choice(places["fellers"])},
                {"task": "skidding", "crew_id": team},
                {"task": "loading", "crew_id": team},
                {"task": "hauling", "crew_id": team},
            ],
            "turn": {
                "moved_by": "team",
                "skid_distance_ft": str(50 * chance.randint(2, 16)),
                "haul_distance_mi": halves(chance.randint(2, 12)),
            },
            "pieces": [log(chance) for _ in range(logs)],
        }
        if chance.random() < 0.9:
            ticket["delivered_to"] = places["mill"]
        yield ticket


def halves(count):
    return f"{count / 2:g}"


def log(chance):
    small = chance.randint(16, 60)
    readings = [small] if chance.random() < 0.5 else [small, small + chance.randint(0, 4)]
    feet = chance.choice([8, 10, 12, 14, 16])
    piece = {
        "product": "log",
        "species": chance.choice(["white pine", "red pine", "hemlock"]),
        "small_diameter_in": [halves(reading) for reading in readings],
        "length_ft": str(feet),
        "length_in": halves(chance.randint(4, 16)),
    }
    if chance.random() < 0.2:
        piece["defects"] = [defect(chance) for _ in range(chance.choice([1, 1, 1, 2]))]
    return piece


def defect(chance):
    """One that fits the smallest of the logs."""
    feet = halves(chance.randint(2, 12))
    match chance.choice(["squared", "pie_cut", "length_cut"]):
        case "squared":
            across = {"width_in": halves(chance.randint(4, 14)), "height_in": halves(chance.randint(4, 14))}
            return {"kind": "heart_rot", "method": "squared", "length_ft": feet} | across
        case "pie_cut":
            angle = str(chance.randint(15, 90))
            return {"kind": "catface", "method": "pie_cut", "angle_degrees": angle, "length_ft": feet}
        case _:
            return {"kind": "break", "method": "length_cut", "length_ft": halves(chance.randint(1, 8))}
