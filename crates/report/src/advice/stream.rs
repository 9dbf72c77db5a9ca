//! What one waste of the plan brings, per kilogram fresh, at its central figures.

use uom::si::mass_rate::kilogram_per_second;

use fenlamp_adm1::constants::Constants;
use fenlamp_model::feed::{Feedstock, Group};
use fenlamp_model::plan::Plan;
use fenlamp_model::world::calendar::DAY_S;
use fenlamp_model::world::draw::inputs::short;
use fenlamp_model::world::fractionate::Fractions;

/// A waste as the proposal sees it.
#[derive(Debug, Clone)]
pub(super) struct Stream {
    /// Short name: "goat manure".
    pub name: String,
    /// At hand, kg fresh a day in each month.
    pub at_hand_kg_d: [f64; 12],
    /// Bulk density, kg/L.
    pub kg_per_l: f64,
    /// Total solids, kg/kg.
    pub solids: f64,
    /// Volatile solids, kg/kg.
    pub volatile: f64,
    /// Methane potential, dry normal L/kg.
    pub potential_l: f64,
    /// Hydrolysis at 35 degC, 1/d.
    pub hydrolysis_per_d: f64,
    /// Nitrogen set free as ammonium, kg/kg.
    pub ammonium_n: f64,
    /// Nitrogen in all, kg/kg.
    pub nitrogen: f64,
    /// Carbon in all, kg/kg.
    pub carbon: f64,
    /// Sulfur less what its iron binds, kg/kg.
    pub free_sulfur: f64,
    /// Alkalinity it leaves, eq/kg.
    pub alkalinity_eq: f64,
    /// Fibrous greens and crops.
    pub fibrous: bool,
    /// Wood.
    pub woody: bool,
}

/// Iron to sulfur of FeS, kg/kg (atomic masses).
const SULFUR_PER_IRON: f64 = 32.06 / 55.845;

impl Stream {
    /// The wastes of `plan`, in their order.
    pub fn all(plan: &Plan) -> Vec<Self> {
        let constants = Constants::reference();
        plan.waste
            .iter()
            .filter_map(|w| {
                let feedstock = plan.feedstocks.get(w.feedstock)?;
                let kg_d = w.fresh.map(|m| m.get::<kilogram_per_second>() * DAY_S);
                Some(Self::of(feedstock, kg_d, &constants))
            })
            .collect()
    }

    fn of(f: &Feedstock, at_hand_kg_d: [f64; 12], c: &Constants) -> Self {
        let ts = f.total_solids.mid;
        let degradable = Fractions::new(f, c)
            .degradable(f.bmp.mid, f.volatile_of_ts)
            .min(1.0);
        let freed = f.ammonium_share + (1.0 - f.ammonium_share) * degradable;
        let ammonium_n = ts * f.nitrogen_of_ts * freed;
        Stream {
            name: short(&f.name),
            at_hand_kg_d,
            kg_per_l: f.bulk_density_kg_m3 / 1000.0,
            solids: ts,
            volatile: ts * f.volatile_of_ts,
            potential_l: 1000.0 * ts * f.volatile_of_ts * f.bmp.mid,
            hydrolysis_per_d: f.hydrolysis_per_d.mid,
            ammonium_n,
            nitrogen: ts * f.nitrogen_of_ts,
            carbon: ts * f.carbon_of_ts(),
            free_sulfur: (ts * (f.sulfur_of_ts - f.iron_of_ts * SULFUR_PER_IRON)).max(0.0),
            // Ammonium holds as much bicarbonate; 14 g of nitrogen are one equivalent.
            alkalinity_eq: 1000.0 * ammonium_n / 14.007 + ts * f.mineral_alkalinity_eq_kg,
            fibrous: matches!(f.group, Group::Crop | Group::Garden),
            woody: f.group == Group::Woody,
        }
    }

    /// Of a feedstock alone.
    pub fn plain(f: &Feedstock) -> Self {
        Self::of(f, [0.0; 12], &Constants::reference())
    }

    /// Methane per kilogram in one stirred tank, dry normal L: first-order breakdown
    /// over the time it stays, `pace` times as fast as at 35 degC.
    pub fn methane_l(&self, pace: f64, stays_days: f64) -> f64 {
        let turns = self.hydrolysis_per_d * pace * stays_days;
        self.potential_l * turns / (1.0 + turns)
    }
}
