"""Plain ADM1, written afresh from its published equations.

Sources: Batstone et al. (2002), IWA Scientific and Technical Report No. 13;
Rosen and Jeppsson (2006), Lund University, CODEN:LUTEDX/(TEIE-7224).
Constants: reference/adm1_constants.csv. Nothing here is shared with the Rust
engine but that table, so agreement between the two is evidence for both.

Form chosen: 26 liquid states and 3 gas states as ordinary differential
equations (S_h2 too), acid-base by an algebraic charge balance, pH inhibition
by the Hill form, gas outlet closed while the headspace is below the ambient
pressure (no air is drawn in).
"""

import csv
import math
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

ROOT = Path(__file__).resolve().parents[2]

LIQUID = (
    "S_su S_aa S_fa S_va S_bu S_pro S_ac S_h2 S_ch4 S_IC S_IN S_I "
    "X_xc X_ch X_pr X_li X_su X_aa X_fa X_c4 X_pro X_ac X_h2 X_I S_cat S_an"
).split()
GAS = "S_gas_h2 S_gas_ch4 S_gas_co2".split()
STATES = LIQUID + GAS
AT = {name: i for i, name in enumerate(STATES)}
N_LIQUID = len(LIQUID)


def constants():
    with open(ROOT / "reference" / "adm1_constants.csv", newline="") as file:
        return {row["symbol"]: float(row["value"]) for row in csv.DictReader(file)}


def published():
    """(influent, steady state) of the Lund report by symbol."""
    with open(ROOT / "reference" / "adm1_steady_state.csv", newline="") as file:
        rows = list(csv.DictReader(file))
    influent = {r["symbol"]: float(r["influent"]) for r in rows if r["influent"]}
    steady = {r["symbol"]: float(r["steady_state"]) for r in rows}
    return influent, steady


def vector(values):
    return np.array([values.get(name, 0.0) for name in STATES])


PROCESSES = (
    "disintegration hyd_ch hyd_pr hyd_li up_su up_aa up_fa up_va up_bu up_pro up_ac up_h2 "
    "dec_su dec_aa dec_fa dec_c4 dec_pro dec_ac dec_h2"
).split()


def petersen(c):
    """Stoichiometry, processes x states. Carbon and nitrogen close each row."""
    uptake = {
        "up_su": ("S_su", "X_su", c["Y_su"],
                  {"S_bu": c["f_bu_su"], "S_pro": c["f_pro_su"], "S_ac": c["f_ac_su"], "S_h2": c["f_h2_su"]}),
        "up_aa": ("S_aa", "X_aa", c["Y_aa"],
                  {"S_va": c["f_va_aa"], "S_bu": c["f_bu_aa"], "S_pro": c["f_pro_aa"],
                   "S_ac": c["f_ac_aa"], "S_h2": c["f_h2_aa"]}),
        "up_fa": ("S_fa", "X_fa", c["Y_fa"], {"S_ac": c["f_ac_fa"], "S_h2": 1 - c["f_ac_fa"]}),
        "up_va": ("S_va", "X_c4", c["Y_c4"], {"S_pro": c["f_pro_va"], "S_ac": 0.31, "S_h2": 0.15}),
        "up_bu": ("S_bu", "X_c4", c["Y_c4"], {"S_ac": c["f_ac_bu"], "S_h2": 1 - c["f_ac_bu"]}),
        "up_pro": ("S_pro", "X_pro", c["Y_pro"], {"S_ac": c["f_ac_pro"], "S_h2": 1 - c["f_ac_pro"]}),
        "up_ac": ("S_ac", "X_ac", c["Y_ac"], {"S_ch4": 1.0}),
        "up_h2": ("S_h2", "X_h2", c["Y_h2"], {"S_ch4": 1.0}),
    }
    rows = {
        "disintegration": {"X_xc": -1.0, "S_I": c["f_sI_xc"], "X_ch": c["f_ch_xc"], "X_pr": c["f_pr_xc"],
                           "X_li": c["f_li_xc"], "X_I": c["f_xI_xc"]},
        "hyd_ch": {"X_ch": -1.0, "S_su": 1.0},
        "hyd_pr": {"X_pr": -1.0, "S_aa": 1.0},
        "hyd_li": {"X_li": -1.0, "S_su": 1 - c["f_fa_li"], "S_fa": c["f_fa_li"]},
    }
    for name, (food, group, y, products) in uptake.items():
        rows[name] = {food: -1.0, group: y, **{p: (1 - y) * f for p, f in products.items()}}
    for name in PROCESSES[12:]:
        rows[name] = {"X_" + name[4:]: -1.0, "X_xc": 1.0}

    carbon = {"S_su": "C_su", "S_aa": "C_aa", "S_fa": "C_fa", "S_va": "C_va", "S_bu": "C_bu", "S_pro": "C_pro",
              "S_ac": "C_ac", "S_ch4": "C_ch4", "S_I": "C_sI", "X_xc": "C_xc", "X_ch": "C_ch", "X_pr": "C_pr",
              "X_li": "C_li", "X_I": "C_xI", "S_h2": None}
    nitrogen = {"S_aa": "N_aa", "X_pr": "N_aa", "X_xc": "N_xc", "S_I": "N_I", "X_I": "N_I"}
    groups = "X_su X_aa X_fa X_c4 X_pro X_ac X_h2".split()
    table = np.zeros((len(PROCESSES), len(STATES)))
    for i, name in enumerate(PROCESSES):
        ic = i_n = 0.0
        for state, nu in rows[name].items():
            table[i, AT[state]] += nu
            ic -= nu * (c["C_bac"] if state in groups else c[carbon[state]] if carbon[state] else 0.0)
            i_n -= nu * (c["N_bac"] if state in groups else c[nitrogen[state]] if state in nitrogen else 0.0)
        # The report closes nitrogen in every process and carbon in every one too.
        table[i, AT["S_IC"]] += ic
        table[i, AT["S_IN"]] += i_n
    return table


class Adm1:
    """The model at one temperature. `liquid` and `gas` in m3, `dilution` in 1/d."""

    def __init__(self, liquid, gas, temperature_k, dilution):
        c = self.c = constants()
        self.liquid, self.gas, self.t, self.dilution = liquid, gas, temperature_k, dilution
        self.table = petersen(c)
        r_joule = c["R"] * 100.0  # bar m3/(kmol K) to J/(mol K)
        lag = 1 / c["T_base"] - 1 / temperature_k

        def hoff(at_base, enthalpy):
            return at_base * math.exp(enthalpy / r_joule * lag)

        self.kw = hoff(10 ** -c["pK_w"], 55900.0)
        self.k_va, self.k_bu, self.k_pro, self.k_ac = (10 ** -c["pK_a_" + a] for a in ("va", "bu", "pro", "ac"))
        self.k_co2 = hoff(10 ** -c["pK_a_co2"], 7646.0)
        self.k_in = hoff(10 ** -c["pK_a_IN"], 51965.0)
        self.h_co2 = hoff(c["K_H_co2"], -19410.0)
        self.h_ch4 = hoff(c["K_H_ch4"], -14240.0)
        self.h_h2 = hoff(c["K_H_h2"], -4180.0)
        self.p_h2o = c["p_h2o"] * math.exp(5290.0 * lag)
        self.rt = c["R"] * temperature_k

    def charge(self, h, y):
        a = y[AT["S_cat"]] - y[AT["S_an"]] + y[AT["S_IN"]] * h / (self.k_in + h) + h - self.kw / h
        a -= y[AT["S_IC"]] * self.k_co2 / (self.k_co2 + h)
        a -= y[AT["S_ac"]] / 64 * self.k_ac / (self.k_ac + h)
        a -= y[AT["S_pro"]] / 112 * self.k_pro / (self.k_pro + h)
        a -= y[AT["S_bu"]] / 160 * self.k_bu / (self.k_bu + h)
        a -= y[AT["S_va"]] / 208 * self.k_va / (self.k_va + h)
        return a

    def hydrogen_ion(self, y):
        """kmol/m3; the charge rises with H, so one root lies between pH 0 and 14."""
        return 10.0 ** -brentq(lambda ph: self.charge(10.0 ** -ph, y), 0.0, 14.0, xtol=1e-14, rtol=1e-14)

    def partial_pressures(self, y):
        """bar: H2, CH4, CO2."""
        return (y[AT["S_gas_h2"]] * self.rt / 16, y[AT["S_gas_ch4"]] * self.rt / 64, y[AT["S_gas_co2"]] * self.rt)

    def outlet(self, y):
        """(flow of the gas balance, flow brought to P_atm), m3/d."""
        p = sum(self.partial_pressures(y)) + self.p_h2o
        q = max(0.0, self.c["k_P"] * (p - self.c["P_atm"]))
        return q, q * p / self.c["P_atm"]

    def rates(self, y, h):
        c = self.c
        s = dict(zip(STATES, y))

        def hill(group):
            ul, ll = c["pH_UL_" + group], c["pH_LL_" + group]
            n, k = 3 / (ul - ll), 10 ** (-(ul + ll) / 2)
            return k**n / (k**n + h**n)

        i_in = s["S_IN"] / (s["S_IN"] + c["K_S_IN"])
        i_aa, i_ac, i_h2 = hill("aa") * i_in, hill("ac") * i_in, hill("h2") * i_in
        nh3 = s["S_IN"] * self.k_in / (self.k_in + h)

        def monod(x, k):
            return x / (k + x)

        def by_h2(k):
            return 1 / (1 + s["S_h2"] / k)

        c4 = s["S_va"] + s["S_bu"] + 1e-6
        fat_c4 = c["k_m_c4"] * s["X_c4"] * i_aa * by_h2(c["K_I_h2_c4"])
        return np.array([
            c["k_dis"] * s["X_xc"],
            c["k_hyd_ch"] * s["X_ch"],
            c["k_hyd_pr"] * s["X_pr"],
            c["k_hyd_li"] * s["X_li"],
            c["k_m_su"] * monod(s["S_su"], c["K_S_su"]) * s["X_su"] * i_aa,
            c["k_m_aa"] * monod(s["S_aa"], c["K_S_aa"]) * s["X_aa"] * i_aa,
            c["k_m_fa"] * monod(s["S_fa"], c["K_S_fa"]) * s["X_fa"] * i_aa * by_h2(c["K_I_h2_fa"]),
            fat_c4 * monod(s["S_va"], c["K_S_c4"]) * s["S_va"] / c4,
            fat_c4 * monod(s["S_bu"], c["K_S_c4"]) * s["S_bu"] / c4,
            c["k_m_pro"] * monod(s["S_pro"], c["K_S_pro"]) * s["X_pro"] * i_aa * by_h2(c["K_I_h2_pro"]),
            c["k_m_ac"] * monod(s["S_ac"], c["K_S_ac"]) * s["X_ac"] * i_ac / (1 + nh3 / c["K_I_nh3"]),
            c["k_m_h2"] * monod(s["S_h2"], c["K_S_h2"]) * s["X_h2"] * i_h2,
        ] + [c["k_dec"] * s[x] for x in "X_su X_aa X_fa X_c4 X_pro X_ac X_h2".split()])

    def slope(self, y, influent):
        """dy/dt of the 29 states, 1/d."""
        h = self.hydrogen_ion(y)
        d = self.rates(y, h) @ self.table
        d[:N_LIQUID] += self.dilution * (influent[:N_LIQUID] - y[:N_LIQUID])
        p_h2, p_ch4, p_co2 = self.partial_pressures(y)
        co2 = y[AT["S_IC"]] * h / (self.k_co2 + h)
        k = self.c["k_L_a"]
        out = {
            "S_h2": k * (y[AT["S_h2"]] - 16 * self.h_h2 * p_h2),
            "S_ch4": k * (y[AT["S_ch4"]] - 64 * self.h_ch4 * p_ch4),
            "S_IC": k * (co2 - self.h_co2 * p_co2),
        }
        q = self.outlet(y)[0]
        for (liquid, rate), gas in zip(out.items(), GAS):
            d[AT[liquid]] -= rate
            d[AT[gas]] = rate * self.liquid / self.gas - y[AT[gas]] * q / self.gas
        return d

    def run_day(self, y, influent, rtol, method="BDF", span=1.0):
        """One stretch; returns the end state and the gas let out: wet, dry, CH4 and H2, m3 at P_atm."""

        def f(_, z):
            d = self.slope(z, influent)
            flow = self.outlet(z)[1]
            p = self.partial_pressures(z)
            total = sum(p) + self.p_h2o
            return np.concatenate([d, [flow, flow * sum(p) / total, flow * p[1] / total, flow * p[0] / total]])

        def jacobian(t, z):
            # Own differences: SciPy's step for states nothing depends on (inerts) grows without bound.
            base, columns = f(t, z), np.zeros((len(z), len(z)))
            for i in range(len(STATES)):
                step = 1e-7 * max(abs(z[i]), 1e-6 if i != AT["S_h2"] else 1e-9)
                columns[:, i] = (f(t, z + step * np.eye(1, len(z), i)[0]) - base) / step
            return columns

        # Each state is resolved to rtol of its own size, down to a floor far below any that matters.
        floor = np.concatenate([np.maximum(np.abs(y) * 1e-3, 1e-9) * rtol * 10, [1e-6] * 4])
        run = solve_ivp(f, (0.0, span), np.concatenate([y, [0.0] * 4]), method=method, rtol=rtol, atol=floor,
                        jac=jacobian)
        if not run.success:
            raise RuntimeError(run.message)
        end = run.y[:, -1]
        return end[: len(STATES)], end[len(STATES):]

    def derived(self, y):
        """Named values of one state: ions, pH, pressures, flow."""
        h = self.hydrogen_ion(y)
        p = self.partial_pressures(y)
        return {
            "S_va_ion": y[AT["S_va"]] * self.k_va / (self.k_va + h),
            "S_bu_ion": y[AT["S_bu"]] * self.k_bu / (self.k_bu + h),
            "S_pro_ion": y[AT["S_pro"]] * self.k_pro / (self.k_pro + h),
            "S_ac_ion": y[AT["S_ac"]] * self.k_ac / (self.k_ac + h),
            "S_hco3_ion": y[AT["S_IC"]] * self.k_co2 / (self.k_co2 + h),
            "S_nh3": y[AT["S_IN"]] * self.k_in / (self.k_in + h),
            "pH": -math.log10(h),
            "q_gas": self.outlet(y)[1],
            "p_gas_h2": p[0],
            "p_gas_ch4": p[1],
            "p_gas_co2": p[2],
            "p_gas_total": sum(p) + self.p_h2o,
        }
