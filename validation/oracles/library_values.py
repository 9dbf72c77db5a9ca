"""Values of general-purpose libraries that the engine is held against.

Each row's `call` is a Python expression, evaluated here as it is written, so
the stored file says exactly how to get the number again.
"""

import math
from importlib.metadata import version

import cantera as ct
import fluids
import ht
import numpy as np
import psychrolib
from CoolProp.CoolProp import PropsSI
from scipy.integrate import quad, solve_ivp

import gas_values

psychrolib.SetUnitSystem(psychrolib.SI)

MIX = "HEOS::Methane[0.6]&CarbonDioxide[0.4]"
# Mid-days of the months and Chicago's mean air, worked_examples_thermal.md examples 6 and 7.
MID_DAYS = [15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5]
CHICAGO = [-4.6, -2.2, 1.6, 8.4, 15.3, 21.1, 23.5, 21.8, 18.1, 11.7, 4.2, -2.6]
# degF, worked_examples_thermal.md example 21: monthly mean daily high and low.
CLIMATE_F = {
    "fairbanks": ([1, 12, 25, 46, 62, 72, 73, 66, 55, 34, 12, 4], [-17, -11, -3, 22, 39, 50, 53, 48, 36, 18, -4, -13]),
    "agassiz": ([14.4, 21.2, 34.9, 53.2, 68.4, 76.0, 81.0, 79.1, 68.3, 56.3, 35.2, 19.4],
                [-8.3, -2.8, 11.7, 29.0, 41.8, 51.4, 55.9, 52.3, 42.6, 32.5, 16.9, -0.3]),
    "denver": ([43.2, 47.2, 53.7, 60.9, 70.5, 82.1, 88.0, 86.0, 77.4, 66.0, 51.5, 44.1],
               [15.2, 19.1, 25.4, 34.2, 43.8, 53.0, 58.7, 57.4, 47.3, 35.9, 23.5, 16.4]),
    "seattle": ([47, 51, 55, 59, 65, 70, 75, 75, 70, 60, 52, 47], [36, 37, 39, 43, 48, 53, 56, 57, 53, 46, 40, 36]),
}


def methane_heat(water):
    """J/mol of CH4 burned at 298.15 K; `water` "vapour" or "liquid" (44.0 kJ/mol apart by PropsSI)."""
    gas = ct.Solution("gri30.yaml")

    def enthalpy(species):
        gas.TPX = 298.15, 101325, {species: 1}
        return gas.enthalpy_mole / 1000

    net = enthalpy("CH4") + 2 * enthalpy("O2") - enthalpy("CO2") - 2 * enthalpy("H2O")
    if water == "vapour":
        return net
    boil = (PropsSI("HMOLAR", "T", 298.15, "Q", 1, "Water") - PropsSI("HMOLAR", "T", 298.15, "Q", 0, "Water"))
    return net + 2 * boil


def flame_kelvin(biogas_share, ch4):
    """Adiabatic constant-pressure flame of biogas in air from 25 degC, K."""
    gas = ct.Solution("gri30.yaml")
    gas.TPX = 298.15, 101325, {"CH4": biogas_share * ch4, "CO2": biogas_share * (1 - ch4),
                               "O2": 0.2095 * (1 - biogas_share), "N2": 0.7905 * (1 - biogas_share)}
    gas.equilibrate("HP")
    return gas.T


def lean_limit(ch4):
    """Share of biogas in air whose flame is as hot as that of 5.0 % CH4."""
    aim, low, high = flame_kelvin(0.05, 1.0), 0.02, 0.20
    for _ in range(50):
        mid = (low + high) / 2
        low, high = (mid, high) if flame_kelvin(mid, ch4) < aim else (low, mid)
    return low


def viscosity(ch4, kelvin):
    gas = ct.Solution("gri30.yaml")
    gas.transport_model = "mixture-averaged"
    gas.TPX = kelvin, 101325, {"CH4": ch4, "CO2": 1 - ch4}
    return gas.viscosity


def darcy_drop(bore, length, m3_h):
    """Pa, straight tube, 60/40 gas at 20 degC as in worked_examples_gas.md example 8."""
    rho, mu = 1.1352, 1.331e-5
    v = m3_h / 3600 / (math.pi * bore**2 / 4)
    f = fluids.friction_factor(Re=fluids.Reynolds(V=v, D=bore, rho=rho, mu=mu), eD=1.5e-6 / bore)
    return f * length / bore * rho * v**2 / 2


def harmonic(values):
    """(mean, amplitude, day of the coldest) of twelve monthly means by least squares."""
    w = 2 * math.pi / 365
    t = np.array(MID_DAYS)
    a, c, s = np.linalg.lstsq(np.column_stack([np.ones(12), np.cos(w * t), np.sin(w * t)]), np.array(values),
                              rcond=None)[0]
    return a, math.hypot(c, s), (math.atan2(-s, -c) / w) % 365


def monthly_mean_c(place):
    return [((h + l) / 2 - 32) / 1.8 for h, l in zip(*CLIMATE_F[place])]


def ground(z, day, mean, amplitude, t0, a):
    k = math.sqrt(math.pi / (365 * a))
    return mean - amplitude * math.exp(-z * k) * math.cos(2 * math.pi / 365 * (day - t0 - z / 2 * math.sqrt(365 / (math.pi * a))))


def ground_layer(depth, day, a=0.0557418):
    """Mean from the surface to `depth` at Chicago (example 7)."""
    return quad(lambda z: ground(z, day, sum(CHICAGO) / 12, 14.05, 36, a), 0, depth)[0] / depth


def cooling(volume, ua, days):
    """degC after `days`: water-like slurry, 35 at first, air at -5, integrated, not by formula."""
    run = solve_ivp(lambda t, y: -ua * 86400 * (y + 5) / (volume * 1000 * 4100), (0, days), [35.0], rtol=1e-10, atol=1e-10)
    return run.y[0, -1]


def rows():
    """(id, inputs, unit, library, call, tolerance); tolerance is relative."""
    out = []
    add = lambda *row: out.append(row)
    for t in range(5, 60, 5):
        k = t + 273.15
        at = f"t={t} degC; p=101325 Pa"
        add(f"water_density_{t}", at, "kg/m3", "CoolProp", f"PropsSI('D','T',{k},'P',101325,'Water')", 1e-3)
        add(f"water_heat_capacity_{t}", at, "J/(kg K)", "CoolProp", f"PropsSI('C','T',{k},'P',101325,'Water')", 5e-3)
        add(f"water_conductivity_{t}", at, "W/(m K)", "CoolProp", f"PropsSI('L','T',{k},'P',101325,'Water')", 2e-2)
        add(f"water_saturation_{t}", f"t={t} degC", "Pa", "CoolProp", f"PropsSI('P','T',{k},'Q',0,'Water')", 1e-2)
    for t in (20, 35):
        add(f"water_latent_heat_{t}", f"t={t} degC", "J/kg", "CoolProp",
            f"PropsSI('H','T',{t + 273.15},'Q',1,'Water')-PropsSI('H','T',{t + 273.15},'Q',0,'Water')", 1e-2)
    add("water_boil_from_15", "15 degC to the boil, liquid", "J/kg", "CoolProp",
        "PropsSI('H','T',373.124,'Q',0,'Water')-PropsSI('H','T',288.15,'P',101325,'Water')", 5e-3)
    for name, fluid in [("methane", "Methane"), ("carbon_dioxide", "CarbonDioxide"), ("hydrogen_sulfide", "HydrogenSulfide"),
                        ("hydrogen", "Hydrogen"), ("nitrogen", "Nitrogen"), ("oxygen", "Oxygen"), ("biogas_60_40", MIX)]:
        at = "t=0 degC; p=101325 Pa"
        add(f"density_{name}", at, "kg/m3", "CoolProp", f"PropsSI('D','T',273.15,'P',101325,'{fluid}')", 1e-2)
        add(f"compressibility_{name}", at, "-", "CoolProp", f"PropsSI('Z','T',273.15,'P',101325,'{fluid}')", 1e-2)
    add("methane_net_heat", "25 degC, GRI-Mech 3.0", "J/mol", "cantera", "methane_heat('vapour')", 2e-3)
    add("methane_gross_heat", "25 degC, GRI-Mech 3.0; water by CoolProp", "J/mol", "cantera", "methane_heat('liquid')", 2e-3)
    add("flame_temperature_5_ch4", "5 % CH4 in air, 25 degC", "K", "cantera", "flame_kelvin(0.05, 1.0)", 1e-2)
    for ch4 in (0.5, 0.6, 0.65, 0.7):
        add(f"lean_limit_{round(ch4 * 100)}", f"CH4 share {ch4}; equal flame temperature", "m3/m3", "cantera", f"lean_limit({ch4})", 1e-2)
    for ch4 in (0.5, 0.6, 0.7):
        add(f"viscosity_{round(ch4 * 100)}_20", f"CH4 share {ch4}; 20 degC", "Pa s", "cantera", f"viscosity({ch4}, 293.15)", 3e-2)
    for mm, length, q in [(8, 10, 0.3), (6, 5, 0.2), (12.7, 15, 0.45), (10, 3, 0.4), (8, 10, 0.9)]:
        add(f"line_drop_{mm}mm_{length}m_{q}", "60/40 gas, 20 degC, smooth tube", "Pa", "fluids",
            f"darcy_drop({mm / 1000}, {length}, {q})", 1e-2 if q < 0.8 else 0.25)
    w0 = "psychrolib.GetHumRatioFromRelHum(0, 0.8, 101325)"
    add("humidity_ratio_inlet", "0 degC, 80 % RH", "kg/kg", "PsychroLib", w0, 1e-2)
    add("air_enthalpy_inlet", "0 degC, 80 % RH", "J/kg", "PsychroLib", f"psychrolib.GetMoistAirEnthalpy(0, {w0})", 1e-2)
    for t in (30, 40, 50, 55, 60):
        w = f"psychrolib.GetSatHumRatio({t}, 101325)"
        add(f"humidity_ratio_saturated_{t}", f"{t} degC", "kg/kg", "PsychroLib", w, 1e-2)
        add(f"air_enthalpy_saturated_{t}", f"{t} degC", "J/kg", "PsychroLib", f"psychrolib.GetMoistAirEnthalpy({t}, {w})", 1e-2)
    drum = "ht.conduction.cylindrical_heat_transfer(Ti=308.15, To={to}, hi=300.0, ho=25.0, Di={d}, ts={ts}, ks={ks})"
    straw = drum.format(to=263.15, d=1.09, ts="[0.005,0.150]", ks="[0.45,0.065]")
    add("cylinder_loss_per_m", "1.09 m bore, 5 mm HDPE, 150 mm straw, 35 to -10", "W/m", "ht", f"{straw}['Q']", 1e-3)
    add("cylinder_ua_per_m", "the same", "W/(m K)", "ht", f"{straw}['UA']", 1e-3)
    add("cylinder_straw_resistance", "straw layer, 1.2 m tall", "K/W", "ht",
        "ht.conduction.R_cylinder(Di=1.10, Do=1.40, k=0.065, L=1.2)", 1e-3)
    for name, ts, ks in [("none", "[0.003]", "[0.45]"), ("eps_50", "[0.003,0.05]", "[0.45,0.036]"),
                         ("eps_100", "[0.003,0.1]", "[0.45,0.036]"), ("straw_360_dry", "[0.003,0.36]", "[0.45,0.065]"),
                         ("straw_360_damp", "[0.003,0.36]", "[0.45,0.10]")]:
        call = drum.format(to=268.15, d=0.57, ts=ts, ks=ks)
        add(f"drum_jacket_{name}", "0.57 m bore, 0.88 m tall, 3 mm HDPE, 35 to -5", "W", "ht", f"{call}['Q']*0.88", 1e-3)
    add("buried_sphere_shape", "1.2 m across, centre 1.5 m deep", "m", "ht", "ht.conduction.S_isothermal_sphere_to_plane(D=1.2, Z=1.5)", 1e-3)
    add("buried_pipe_shape", "0.1 m across, 0.8 m deep, 1 m long", "m", "ht", "ht.conduction.S_isothermal_pipe_to_plane(D=0.1, Z=0.8, L=1.0)", 1e-3)
    for place in [*CLIMATE_F, "chicago"]:
        values = "CHICAGO" if place == "chicago" else f"monthly_mean_c('{place}')"
        for i, (what, unit) in enumerate([("mean", "degC"), ("amplitude", "K"), ("coldest_day", "d")]):
            add(f"harmonic_{place}_{what}", "12 monthly means, mid-days", unit, "numpy", f"harmonic({values})[{i}]", 2e-2)
    for depth in (0.5, 2.0, 4.0):
        for month, day in enumerate(MID_DAYS, 1):
            add(f"ground_layer_{depth}m_{month:02d}", f"mean of 0 to {depth} m, day {day}", "degC", "scipy", f"ground_layer({depth}, {day})", 1e-3)
    for name, volume, ua, days in [("bare", 0.2, 31.8037, 1), ("eps", 0.2, 0.6569, 7), ("straw", 0.2, 0.4398, 7), ("tote", 1.0, 6.0, 7)]:
        add(f"cooling_{name}_{days}d", f"{volume} m3, {ua} W/K, 35 to -5", "degC", "scipy", f"cooling({volume}, {ua}, {days})", 5e-3)
    gas_values.rows(add)
    return out


def compute():
    """Stored-file rows as dicts of text, value first computed."""
    out = []
    for name, inputs, unit, library, call, tolerance in rows():
        value = float(eval(call))  # noqa: S307 - our own text, above
        out.append({"id": name, "inputs": inputs, "value": f"{value:.9g}", "unit": unit, "library": library,
                    "version": version(library), "call": call, "tolerance": f"{tolerance:g}"})
    return out
