"""Wash liquors in balance with biogas by PHREEQC, through phreeqpython.

`Sg` is the database's sulfide that takes no part in redox. One kilogram of
water is brought to balance with endless gas at 1 atm of dry gas; what it holds
is counted per kilogram of the water first weighed out.
"""

import csv
import math
from importlib.metadata import version
from pathlib import Path

from phreeqpython import PhreeqPython

STORE = Path(__file__).resolve().parent / "wash_phreeqc.csv"
VERSION = "1.6.2"
MOLALITIES = [0.01, 0.05, 0.1, 0.25, 0.5, 1.0]
CO2_SHARES = [0.2, 0.35, 0.5]
H2S_PPM = [200, 2000, 5000]
TEMPERATURES_C = [10, 15, 25, 35]
# Salt, carbon in it; the others at fewer points.
SALTS = {"K2CO3": 1, "KOH": 0, "NaOH": 0, "Na2CO3": 1}
FIELDS = ["salt", "molality", "co2_share", "h2s_ppm", "t_c", "fresh_ph", "ph", "co2_taken", "sulfide_held"]


def compute():
    assert version("phreeqpython") == VERSION
    pp = PhreeqPython(database="phreeqc.dat")
    rows = []
    for salt, carbon in SALTS.items():
        full = salt == "K2CO3"
        for molality in MOLALITIES if full else [0.02, 0.2, 1.0]:
            for t in TEMPERATURES_C if full else [10, 25, 35]:
                for share in CO2_SHARES if full else [0.2, 0.4]:
                    for ppm in H2S_PPM if full else [2000]:
                        s = pp.add_solution_simple({salt: 1000 * molality}, temperature=t, units="mmol")
                        fresh = s.pH
                        s.equalize(["CO2(g)", "H2Sg(g)"], [math.log10(share), math.log10(ppm / 1e6)])
                        taken = s.total_element("C", units="mol") - carbon * molality
                        held = s.total_element("Sg", units="mol")
                        values = [f"{x:.8g}" for x in (fresh, s.pH, taken, held)]
                        rows.append(dict(zip(FIELDS, [salt, str(molality), str(share), str(ppm), str(t), *values])))
                        s.forget()
    return rows


def write():
    with open(STORE, "w", newline="") as file:
        table = csv.DictWriter(file, FIELDS, lineterminator="\n")
        table.writeheader()
        table.writerows(compute())


def check(drift):
    """Faults of the stored grid against a fresh one."""
    with open(STORE, newline="") as file:
        old = list(csv.DictReader(file))
    new = compute()
    if len(old) != len(new):
        return [f"wash_phreeqc.csv: {len(old)} rows stored, {len(new)} recomputed"]
    faults = []
    for a, b in zip(old, new):
        at = " ".join(a[k] for k in FIELDS[:5])
        if any(a[k] != b[k] for k in FIELDS[:5]):
            faults.append(f"wash_phreeqc.csv: inputs of {at} changed")
        faults += [f"wash_phreeqc.csv {at}: {k} stored {a[k]}, recomputed {b[k]}"
                   for k in FIELDS[5:] if abs(float(a[k]) - float(b[k])) > drift * abs(float(b[k]))]
    print(f"wash grid by PHREEQC: {len(new)} liquors, {len(faults)} faults")
    return faults


if __name__ == "__main__":
    write()
