"""Values of libraries for the gas side; `library_values.py` takes them in."""

import cantera as ct


def burning_velocity(ch4):
    """Laminar burning velocity of dry biogas with just enough air from 25 degC, m/s.

    The grid gives three figures at best; rounded so that no machine's last digits count.
    """
    gas = ct.Solution("gri30.yaml")
    gas.set_equivalence_ratio(1.0, {"CH4": ch4, "CO2": 1 - ch4}, {"O2": 1, "N2": 3.76})
    gas.TP = 298.15, 101325
    flame = ct.FreeFlame(gas, width=0.05)
    flame.set_refine_criteria(ratio=3, slope=0.08, curve=0.15)
    flame.transport_model = "mixture-averaged"
    flame.solve(loglevel=0, auto=True)
    return round(float(flame.velocity[0]), 3)


def hottest(ch4):
    """Adiabatic flame of dry biogas with just enough air from 25 degC, K."""
    gas = ct.Solution("gri30.yaml")
    gas.set_equivalence_ratio(1.0, {"CH4": ch4, "CO2": 1 - ch4}, {"O2": 1, "N2": 3.76})
    gas.TP = 298.15, 101325
    gas.equilibrate("HP")
    return gas.T


def rows(add):
    """Rows of the gas side, through `add(id, inputs, unit, library, call, tolerance)`."""
    for ch4 in (0.45, 0.6, 0.8):
        add(f"burning_velocity_{round(ch4 * 100)}", f"CH4 share {ch4}; just enough air, 25 degC", "m/s", "cantera",
            f"gas_values.burning_velocity({ch4})", 3e-2)
    for ch4, name in ((0.6, "60"), (1.0, "100")):
        add(f"flame_temperature_{name}", f"CH4 share {ch4}; just enough air, 25 degC", "K", "cantera", f"gas_values.hottest({ch4})", 2e-3)
    for ch4 in (0.5, 0.6, 0.7):
        for t in (10, 20, 35):
            mix = f"HEOS::Methane[{ch4}]&CarbonDioxide[{round(1 - ch4, 2)}]"
            add(f"biogas_density_{round(ch4 * 100)}_{t}", f"CH4 share {ch4}; {t} degC; 101325 Pa", "kg/m3", "CoolProp",
                f"PropsSI('D','T',{t + 273.15},'P',101325,'{mix}')", 1e-3)
    for t in (0, 20, 35):
        add(f"viscosity_60_{t}_cantera", f"CH4 share 0.6; {t} degC", "Pa s", "cantera", f"viscosity(0.6, {t + 273.15})", 3e-2)
    for re, rough in ((5000, 1e-4), (2e4, 1e-4), (2e4, 1.5e-2), (1e5, 1e-3)):
        add(f"friction_{re:.0f}_{rough:g}", f"Re {re:.0f}; relative roughness {rough:g}", "-", "fluids",
            f"fluids.friction_factor(Re={re}, eD={rough})", 1e-3)
    for t, liquid, name in ((0, "MNA-20%", "salt_20"), (0, "MPG-40%", "glycol_40")):
        add(f"density_{name}", f"{t} degC", "kg/m3", "CoolProp", f"PropsSI('D','T',{t + 273.15},'P',101325,'INCOMP::{liquid}')", 1e-3)
        add(f"freezing_{name}", "at 101325 Pa", "K", "CoolProp", f"PropsSI('T_FREEZE','T',{t + 273.15},'P',101325,'INCOMP::{liquid}')", 1e-3)
