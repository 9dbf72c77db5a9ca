"""The whole model (every addition in) integrated by SciPy against the engine.

Twenty plans drawn at random with a fixed seed: feedstocks out of the table,
5 to 50 degC with a wave about it, seeds, ash, lime, bicarbonate, iron, gypsum.
The right-hand side is the engine's own (`crates/model/examples/rhs.rs` serves
it); the integrators are SciPy's BDF and Radau with their own Jacobian by
differences, and the jumps of feeding are made here. So this tests the stepper,
the Jacobian in it, the jumps and the sums of gas; the equations themselves are
held against others in adm1.py.

    python validation/oracles/extended_check.py PATH_OF_RHS [PLANS [DAYS]]
"""

import csv
import json
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

ROOT = Path(__file__).resolve().parents[2]
RTOL = 1e-8
# Differences allowed, relative to the size of each state (never taken smaller
# than ten times what the engine calls small) and to the gas of the run.
ALLOWED = 1e-5
ADDITIVES = ("wood ash", "slaked lime", "bicarbonate", "iron chloride", "gypsum")
SEEDS = ("digestate", "old slurry", "rumen", "pond mud")


def feedstocks():
    with open(ROOT / "reference" / "feedstocks.csv", newline="") as file:
        lines = (line for line in file if not line.startswith("#"))
        return [row["id"] for row in csv.DictReader(lines)]


def plan(number, days, ids):
    """(text of the plan, swing of temperature in K)."""
    draw = random.Random(1000 + number)
    celsius = 5 + 45 * (number + draw.random()) / 20
    text = f"""
[plan]
name = "Drawn {number}"
about = "Invented: drawn at random."
start = 2026-05-01
length = "{days} days"
seed = {number}
[place]
name = "nowhere"
latitude = "45 °N"
altitude = "{draw.randrange(0, 2500)} m"
[slurry]
temperature = "{min(max(celsius, 7), 48):.2f} °C"
[vessel]
kind = "tote"
volume = "1000 L"
slurry = "{draw.randrange(600, 951)} L"
stands = "room"
room_temperature = "20 °C"
run = "overflow"
[feeding]
every = "{draw.choice((1, 1, 2))} days"
water = "to {draw.randrange(4, 10)} % solids"
[seed]
kind = "{draw.choice(SEEDS)}"
volume = "{draw.randrange(100, 500)} L"
grown_at = "{draw.randrange(10, 50)} °C"
age = "1 day"
[[first_fill.feed]]
feedstock = "{draw.choice(ids)}"
amount = "{draw.randrange(5, 30)} kg"
"""
    for name in draw.sample(ids, draw.randrange(1, 5)):
        text += f'[[waste]]\nfeedstock = "{name}"\namount = "{draw.randrange(200, 2500)} g/day"\n'
    for name in draw.sample(ADDITIVES, draw.randrange(0, 4)):
        when = draw.choice(("at fill", f"day {draw.randrange(1, days)}"))
        text += f'[[additive]]\nkind = "{name}"\ndose = "{draw.randrange(50, 800)} g"\nwhen = "{when}"\n'
    return text, 2.0


class Served:
    """One plan's right-hand side, served by the engine."""

    def __init__(self, program, number, days, ids):
        text, swing = plan(number, days, ids)
        with tempfile.NamedTemporaryFile("w", suffix=".toml") as file:
            file.write(text)
            file.flush()
            self.process = subprocess.Popen([program, file.name, str(swing)],
                                            stdin=subprocess.PIPE, stdout=subprocess.PIPE)
            line = self.process.stdout.readline()
        if not line:
            raise SystemExit(f"plan {number} is not served:\n{text}")
        self.head = json.loads(line)

    def slopes(self, day, vectors):
        """Derivatives of some states, one a row."""
        vectors = np.ascontiguousarray(vectors, dtype="<f8")
        count = vectors.size // self.head["states"]
        self.process.stdin.write(np.array([count, day], dtype="<f8").tobytes() + vectors.tobytes())
        self.process.stdin.flush()
        return np.frombuffer(self.process.stdout.read(vectors.nbytes), dtype="<f8").reshape(vectors.shape)

    def close(self):
        self.process.stdin.close()
        self.process.wait()


def integrate(served, method):
    """End of each day."""
    head = served.head
    y = np.array(head["start"])
    in_liquid, volume = np.array(head["in_liquid"]), head["liquid_m3"]
    floor = np.array([1e-3 if v is None else v for v in head["floor"]])
    ends = []
    for day, morning in enumerate(head["days"]):
        left = 1 - morning["volume_m3"] / volume
        y = np.where(in_liquid, y * left + np.array(morning["amounts"]) / volume, y)

        def slope(_, z):
            return served.slopes(day, z)

        def jacobian(_, z):
            # Forward differences, all columns in one request.
            step = 1e-7 * np.maximum(np.abs(z), floor)
            base = served.slopes(day, z)
            return ((served.slopes(day, z + np.diag(step)) - base) / step[:, None]).T

        run = solve_ivp(slope, (0.0, 1.0), y, method=method, rtol=RTOL, atol=floor * RTOL * 100, jac=jacobian)
        if not run.success:
            raise SystemExit(f"{method} fails on day {day}: {run.message}")
        y = run.y[:, -1]
        ends.append(y)
    return np.array(ends)


def compare(program, number, days, ids):
    """Worst difference of a state and of the gas, over both integrators."""
    served = Served(program, number, days, ids)
    head = served.head
    ours = np.array(head["ends"])
    counted = np.array([v is not None for v in head["floor"]])
    floor = np.array([np.inf if v is None else v for v in head["floor"]])
    result = {}
    for method in ("BDF", "Radau"):
        theirs = integrate(served, method)
        size = np.maximum(np.abs(theirs), 10 * floor)
        off = np.abs(ours - theirs)[:, counted] / size[:, counted]
        gas = np.abs(ours - theirs)[:, ~counted].max() / np.abs(theirs[:, ~counted]).max()
        day, state = np.unravel_index(off.argmax(), off.shape)
        result[method] = (off.max(), int(np.flatnonzero(counted)[state]), int(day), gas)
    served.close()
    return result


def main():
    program = sys.argv[1]
    plans = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    days = int(sys.argv[3]) if len(sys.argv) > 3 else 20
    ids, failed = feedstocks(), 0
    with ThreadPoolExecutor(2) as pool:
        results = pool.map(lambda number: compare(program, number, days, ids), range(plans))
        for number, result in enumerate(results):
            good = all(r[0] < ALLOWED and r[3] < ALLOWED for r in result.values())
            failed += not good
            said = "; ".join(f"{method} state {state} day {day}: {off:.1e}, gas {gas:.1e}"
                             for method, (off, state, day, gas) in result.items())
            print(f"plan {number:2}: {said}{'' if good else '  DIFFERS'}", flush=True)
    if failed:
        raise SystemExit(f"{failed} of {plans} plans differ by more than {ALLOWED}")
    print(f"{plans} plans of {days} days agree within {ALLOWED}")


if __name__ == "__main__":
    main()
