"""Dynamic cases of plain ADM1: case files for the engine, and their answers.

Each case is written twice: `validation/cases/NAME.toml` (the input, read by the
engine) and `validation/oracles/adm1_NAME.csv` (the answer of adm1.py, one row a
day). Rows carry the state at the end of the day.
"""

import csv
import io
from pathlib import Path

import numpy as np

from adm1 import AT, LIQUID, N_LIQUID, STATES, Adm1, published, vector

HERE = Path(__file__).resolve().parent
CASES = HERE.parent / "cases"
RTOL = 1e-9
FULL = {"liquid_m3": 3400.0, "gas_m3": 300.0, "temperature_c": 35.0}


def cases():
    influent, steady = published()
    influent = {k: influent[k] for k in LIQUID}
    steady = {k: steady[k] for k in STATES}
    doubled = {k: 2 * v for k, v in influent.items()}
    weak = {k: v * (0.5 if k[:2] == "X_" and k[2:] in "su aa fa c4 pro ac h2".split() else 1.0)
            for k, v in steady.items()}
    half = {k: 0.5 * (v + influent[k]) if k in influent else v for k, v in steady.items()}

    def daily(start, end, share, feed=influent):
        return {"from_day": start, "until_day": end, "displaced_fraction_per_day": share, "influent": feed}

    return {
        "daily_fed": {
            "about": "Steady state, then fed once a day: 5 % of the liquid replaced at the start of each day.",
            "days": 30, "dilution_per_day": 0.0, "initial": steady, "influent": influent,
            "doses": [daily(0, 30, 0.05)],
        },
        "feed_shock": {
            "about": "Fed once a day, three times as much on days 10 to 12.",
            "days": 30, "dilution_per_day": 0.0, "initial": steady, "influent": influent,
            "doses": [daily(0, 10, 0.05), daily(10, 13, 0.15), daily(13, 30, 0.05)],
        },
        "strong_feed": {
            "about": "Steady state, then continuous inflow of twice the strength.",
            "days": 30, "dilution_per_day": 0.05, "initial": steady, "influent": doubled, "doses": [],
        },
        "recovery": {
            "about": "Half of each biomass group lost at the start, continuous inflow of the usual strength.",
            "days": 60, "dilution_per_day": 0.05, "initial": weak, "influent": influent, "doses": [],
        },
        "batch": {
            "about": "Closed batch: equal parts of feed and steady-state liquid, nothing in or out but gas.",
            "days": 60, "dilution_per_day": 0.0, "initial": half, "influent": influent, "doses": [],
        },
    }


def number(x):
    text = repr(float(x))
    return text if any(mark in text for mark in ".en") else text + ".0"


def toml(name, case):
    table = lambda values: "".join(f"{k} = {number(v)}\n" for k, v in values.items())
    out = [
        f"# {case['about']}\n# Written by validation/oracles/adm1_cases.py; answers in validation/oracles/adm1_{name}.csv.\n"
        f"days = {case['days']}\nrtol = 1e-7\n",
        "[reactor]\n" + table({**FULL, "dilution_per_day": case["dilution_per_day"]}),
        "[initial]\n" + table(case["initial"]),
        "[influent]\n" + table(case["influent"]),
    ]
    for dose in case["doses"]:
        out.append(
            f"[[dose]]\nfrom_day = {dose['from_day']}\nuntil_day = {dose['until_day']}\n"
            f"displaced_fraction_per_day = {number(dose['displaced_fraction_per_day'])}\n"
            "[dose.influent]\n" + table(dose["influent"])
        )
    return "\n".join(out)


def model(case):
    return Adm1(FULL["liquid_m3"], FULL["gas_m3"], FULL["temperature_c"] + 273.15, case["dilution_per_day"])


def solve(case, rtol=RTOL, method="BDF"):
    """One dict a day: gas of the day, then the state at its end."""
    m, y, influent = model(case), vector(case["initial"]), vector(case["influent"])
    rows = []
    for day in range(case["days"]):
        for dose in case["doses"]:
            if dose["from_day"] <= day < dose["until_day"]:
                share = dose["displaced_fraction_per_day"]
                fresh = vector(dose["influent"])[:N_LIQUID]
                y = np.concatenate([(1 - share) * y[:N_LIQUID] + share * fresh, y[N_LIQUID:]])
        y, (wet, dry, ch4, _) = m.run_day(y, influent, rtol, method)
        rows.append({
            "day": day + 1, "pH": m.derived(y)["pH"], "q_gas_m3_per_d": float(wet), "ch4_dry_fraction": float(ch4 / dry),
            "ch4_m3_per_d": float(ch4),
            "ch4_dry_fraction_end": (p := m.partial_pressures(y))[1] / sum(p),
            **{k: y[AT[k]] for k in STATES},
        })
    return rows


HEAD = (
    "# {about}\n# Independent plain ADM1 (adm1.py, SciPy BDF, rtol 1e-9): gas of the day (wet, digester temperature, at P_atm;"
    " methane dry, its share flow-weighted), state at its end. Row d: day d, the first is 1.\n"
)


def write(name, case, rows):
    out = io.StringIO()
    out.write(HEAD.format(**case))
    table = csv.writer(out, lineterminator="\n")
    table.writerow(rows[0])
    for row in rows:
        table.writerow([f"{v:.9g}" if isinstance(v, float) else v for v in row.values()])
    CASES.mkdir(exist_ok=True)
    (HERE / f"adm1_{name}.csv").write_text(out.getvalue())
    (CASES / f"{name}.toml").write_text(toml(name, case))


def stored(name):
    with open(HERE / f"adm1_{name}.csv", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    return [{k: float(v) for k, v in row.items()} for row in csv.DictReader(lines)]


def worst(a, b):
    """Largest relative difference between two tables and where it is."""
    return max(
        (abs(x[k] - y[k]) / max(abs(x[k]), abs(y[k]), 1e-30), k, int(x["day"]))
        for x, y in zip(a, b, strict=True) for k in y if k != "day"
    )
