"""Recompute every stored oracle and compare; `--write` stores them anew.

Stored values drift only when a library or a script changes, so the tolerance
here is far tighter than the ones the engine is held to.
"""

import csv
import sys
import time
from pathlib import Path

import numpy as np

import adm1
import adm1_cases
import library_values
import wash_phreeqc

HERE = Path(__file__).resolve().parent
STORE = HERE / "oracles.csv"
DRIFT_LIBRARY = 1e-6
DRIFT_ADM1 = 2e-6


def library(write):
    new = library_values.compute()
    if write:
        with open(STORE, "w", newline="") as file:
            table = csv.DictWriter(file, new[0].keys(), lineterminator="\n")
            table.writeheader()
            table.writerows(new)
        return []
    with open(STORE, newline="") as file:
        old = list(csv.DictReader(file))
    faults = [f"{x['id']}: only {side}" for a, b, side in ((new, old, "recomputed"), (old, new, "stored"))
              for x in a if x["id"] not in {y["id"] for y in b}]
    by_id = {row["id"]: row for row in new}
    for row in old:
        fresh = by_id.get(row["id"])
        if fresh is None:
            continue
        a, b = float(row["value"]), float(fresh["value"])
        if abs(a - b) > DRIFT_LIBRARY * max(abs(a), abs(b), 1e-9):
            faults.append(f"{row['id']}: stored {a}, recomputed {b}")
        faults += [f"{row['id']}: {k} stored {row[k]!r}, now {fresh[k]!r}" for k in row if k != "value" and row[k] != fresh[k]]
    return faults


def steady_state():
    """The oracle itself, held against the published steady state (all digits printed there)."""
    influent, published = adm1.published()
    m = adm1.Adm1(3400.0, 300.0, 308.15, 170.0 / 3400.0)
    start = adm1_cases.cases()["recovery"]["initial"]
    end, _ = m.run_day(adm1.vector(start), adm1.vector(influent), 1e-9, span=3000.0)
    found = {**dict(zip(adm1.STATES, end)), **m.derived(end)}
    worst = max((abs(found[k] / published[k] - 1), k) for k in published if published[k])
    print(f"ADM1 steady state against the published one: {len(published)} values, worst {worst[0]:.1e} ({worst[1]})")
    return [] if worst[0] < 1e-7 else [f"steady state: {worst[1]} off by {worst[0]:.1e}"]


def balances():
    """COD in a closed batch: what left the liquid is in the gas."""
    case = adm1_cases.cases()["batch"]
    m, y = adm1_cases.model(case), adm1.vector(case["initial"])
    cod_states = [s for s in adm1.LIQUID if s not in ("S_IC", "S_IN", "S_cat", "S_an")]

    def cod(z):
        gas = z[adm1.AT["S_gas_ch4"]] + z[adm1.AT["S_gas_h2"]]
        return sum(z[adm1.AT[s]] for s in cod_states) * m.liquid + gas * m.gas

    def nitrogen(z):
        c = m.c
        content = {"S_aa": c["N_aa"], "X_pr": c["N_aa"], "X_xc": c["N_xc"], "S_I": c["N_I"], "X_I": c["N_I"], "S_IN": 1.0,
                   **{"X_" + g: c["N_bac"] for g in "su aa fa c4 pro ac h2".split()}}
        return sum(z[adm1.AT[s]] * n for s, n in content.items())

    first, first_n, out = cod(y), nitrogen(y), 0.0
    for _ in range(case["days"]):
        y, (_, _, ch4, h2) = m.run_day(y, adm1.vector(case["influent"]), 1e-9)
        out += (64 * ch4 + 16 * h2) * m.c["P_atm"] / m.rt
    off_cod, off_n = (cod(y) + out) / first - 1, nitrogen(y) / first_n - 1
    finite = bool(np.all(np.isfinite(y)) and np.all(y > -1e-9))
    print(f"ADM1 batch: COD closes to {off_cod:.1e}, nitrogen to {off_n:.1e}")
    ok = abs(off_cod) < 1e-7 and abs(off_n) < 1e-7 and finite
    return [] if ok else [f"batch: COD {off_cod:.1e}, nitrogen {off_n:.1e}, finite {finite}"]


def dynamic(write):
    faults = []
    for name, case in adm1_cases.cases().items():
        rows = adm1_cases.solve(case)
        if write:
            adm1_cases.write(name, case, rows)
            continue
        if (adm1_cases.CASES / f"{name}.toml").read_text() != adm1_cases.toml(name, case):
            faults.append(f"validation/cases/{name}.toml is not what the script writes")
        off, where, day = adm1_cases.worst(rows, adm1_cases.stored(name))
        print(f"ADM1 {name}: {len(rows)} days, worst {off:.1e} ({where}, day {day})")
        if off > DRIFT_ADM1:
            faults.append(f"adm1_{name}.csv: {where} on day {day} off by {off:.1e}")
    return faults


def wash(write):
    if write:
        wash_phreeqc.write()
        return []
    return wash_phreeqc.check(DRIFT_LIBRARY)


def main():
    write = sys.argv[1:] == ["--write"]
    if sys.argv[1:] and not write:
        sys.exit("usage: check.py [--write]")
    start = time.time()
    faults = library(write) + steady_state() + balances() + dynamic(write) + wash(write)
    for fault in faults:
        print("DRIFT", fault)
    count = sum(1 for _ in open(STORE)) - 1
    print(f"{count} library values {'written' if write else 'checked'}, {len(faults)} faults, {time.time() - start:.0f} s")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
