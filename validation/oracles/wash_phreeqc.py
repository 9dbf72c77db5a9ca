"""Wash liquors in balance with biogas by PHREEQC, through phreeqpython.

`Sg` is the database's sulfide that takes no part in redox. One kilogram of
water is brought to balance with endless gas at 1 atm of dry gas; what it holds
is counted per kilogram of the water first weighed out. A second table walks
shut liquors from fresh to spent by adding CO2 and H2S.
"""

import csv
import math
from importlib.metadata import version
from pathlib import Path

from phreeqpython import PhreeqPython

HERE = Path(__file__).resolve().parent
VERSION = "1.6.2"
MOLALITIES = [0.01, 0.05, 0.1, 0.25, 0.5, 1.0]
CO2_SHARES = [0.2, 0.35, 0.5]
H2S_PPM = [200, 2000, 5000]
TEMPERATURES_C = [10, 15, 25, 35]
# Salt, carbon in it; the others at fewer points.
SALTS = {"K2CO3": 1, "KOH": 0, "NaOH": 0, "Na2CO3": 1}
FIELDS = ["salt", "molality", "co2_share", "h2s_ppm", "t_c", "fresh_ph", "ph", "co2_taken", "sulfide_held"]


# Dissolved lime, with calcite as the solid that falls; slaked lime itself is not in the database.
LIME = "Ca(OH)2"
PATH_FIELDS = ["salt", "molality", "t_c", "co2_added", "h2s_added", "ph", "co2_atm", "h2s_atm"]


def grid():
    pp = PhreeqPython(database="phreeqc.dat")
    rows = []
    for salt, carbon in [*SALTS.items(), (LIME, 0)]:
        full, lime = salt == "K2CO3", salt == LIME
        for molality in MOLALITIES if full else [0.015, 0.02] if lime else [0.02, 0.2, 1.0]:
            for t in TEMPERATURES_C if full else [10, 25, 35]:
                for share in CO2_SHARES if full else [0.2, 0.4]:
                    for ppm in H2S_PPM if full else [2000]:
                        s = pp.add_solution_simple({salt: 1000 * molality}, temperature=t, units="mmol")
                        fresh = s.pH
                        solids, at = (["Calcite"], [0]) if lime else ([], [])
                        s.equalize(solids + ["CO2(g)", "H2Sg(g)"], at + [math.log10(share), math.log10(ppm / 1e6)])
                        taken = s.total_element("C", units="mol") - carbon * molality
                        held = s.total_element("Sg", units="mol")
                        values = [f"{x:.8g}" for x in (fresh, s.pH, taken, held)]
                        rows.append(dict(zip(FIELDS, [salt, str(molality), str(share), str(ppm), str(t), *values])))
                        s.forget()
    return rows


def path():
    pp = PhreeqPython(database="phreeqc.dat")
    rows = []
    for salt, room in [("K2CO3", 1), ("Na2CO3", 1), ("KOH", 1), ("NaOH", 1)]:
        for molality in [0.05, 0.5]:
            for t in [10, 25, 35]:
                for step in range(1, 6):
                    s = pp.add_solution_simple({salt: 1000 * molality}, temperature=t, units="mmol")
                    co2, h2s = 0.19 * step * room * molality, 0.001 * step * molality
                    s.add("CO2", 1000 * co2)
                    s.add("H2Sg", 1000 * h2s)
                    values = [f"{x:.8g}" for x in (s.pH, 10 ** s.si("CO2(g)"), 10 ** s.si("H2Sg(g)"))]
                    given = [salt, str(molality), str(t), f"{co2:.6g}", f"{h2s:.6g}"]
                    rows.append(dict(zip(PATH_FIELDS, given + values)))
                    s.forget()
    return rows


TABLES = {"wash_phreeqc.csv": (FIELDS, 5, grid), "wash_phreeqc_path.csv": (PATH_FIELDS, 5, path)}


def write():
    assert version("phreeqpython") == VERSION
    for name, (fields, _, compute) in TABLES.items():
        with open(HERE / name, "w", newline="") as file:
            table = csv.DictWriter(file, fields, lineterminator="\n")
            table.writeheader()
            table.writerows(compute())


def check(drift):
    """Faults of the stored tables against fresh ones."""
    assert version("phreeqpython") == VERSION
    faults = []
    for name, (fields, inputs, compute) in TABLES.items():
        with open(HERE / name, newline="") as file:
            old = list(csv.DictReader(file))
        new = compute()
        if len(old) != len(new):
            faults.append(f"{name}: {len(old)} rows stored, {len(new)} recomputed")
        for a, b in zip(old, new):
            at = " ".join(b[k] for k in fields[:inputs])
            if any(a[k] != b[k] for k in fields[:inputs]):
                faults.append(f"{name}: inputs of {at} changed")
            faults += [f"{name} {at}: {k} stored {a[k]}, recomputed {b[k]}"
                       for k in fields[inputs:] if abs(float(a[k]) - float(b[k])) > drift * abs(float(b[k]))]
        print(f"{name} by PHREEQC: {len(new)} liquors")
    return faults


if __name__ == "__main__":
    write()
