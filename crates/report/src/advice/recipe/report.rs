//! A checked proposal as months, limits and worths.

use super::propose::Proposal;
use super::{Dose, RecipeMonth, Settings, Tightening};
use crate::advice::away::Away;
use crate::advice::binding::{self, About, Binding};
use crate::advice::ceiling::Ceiling;
use crate::advice::check::Checked;
use crate::advice::month::{Limit, Program, Setting, dot};
use crate::advice::prices::{self, Worth};
use crate::advice::solve::Unsolved;
use crate::advice::start::StartUp;
use crate::advice::stream::Stream;
use crate::advice::wish::Wish;
use crate::hazard::limit;
use fenlamp_model::plan::Plan;
use fenlamp_model::reference::LimitState;
use fenlamp_quantity::Units;

/// All that is known when the check is done.
pub(super) struct Done<'a> {
    pub setting: &'a Setting<'a>,
    pub wish: &'a Wish,
    pub proposal: &'a Proposal,
    pub checked: &'a Checked,
    pub settings: &'a Settings,
    pub passed: bool,
    pub tightened: &'a [Tightening],
    pub away: Option<&'a Away>,
    pub plan: &'a Plan,
    pub ceiling: Ceiling,
    pub start: StartUp,
}

/// What is made of it.
pub(super) struct Report {
    pub months: Vec<RecipeMonth>,
    pub binding: Vec<Binding>,
    pub worths: Vec<Worth>,
}

impl Done<'_> {
    pub fn units(&self) -> Units {
        self.plan.units.into()
    }

    pub fn report(&self) -> Result<Report, Unsolved> {
        let months: Vec<RecipeMonth> = (0..12).filter_map(|m| self.month(m)).collect();
        let binding = self.binding()?;
        let fed = self.proposal.fed_months();
        let over: Vec<usize> = if fed.is_empty() {
            (0..12).filter(|m| self.wish.months[*m]).collect()
        } else {
            fed
        };
        let ratio = self.proposal.gas_per_methane(self.checked);
        // Without any feed to compare, what 60 % methane makes of it.
        let ratio = if ratio > 0.0 { ratio } else { 1.0 / 0.6 };
        let worths = prices::worths(self.setting, &over, ratio, self.units())?;
        Ok(Report {
            months,
            binding,
            worths,
        })
    }

    fn about(&self, m: usize) -> About<'_> {
        About {
            streams: self.setting.streams,
            measure: self.setting.measure,
            slurry_c: self.setting.slurry_c[m].unwrap_or(f64::NAN),
            units: self.units(),
        }
    }

    fn month(&self, m: usize) -> Option<RecipeMonth> {
        let program = self.proposal.programs[m].as_ref()?;
        let streams = self.setting.streams;
        let whole = &self.proposal.parts[m];
        let parts = self.proposal.parts_of(m);
        let kg: Vec<f64> = (0..streams.len())
            .map(|w| parts[w] * self.setting.kg_per_part(w))
            .collect();
        let of = |f: &dyn Fn(&Stream) -> f64| -> f64 {
            kg.iter().zip(streams).map(|(kg, s)| kg * f(s)).sum()
        };
        let (feed, water) = (dot(&program.feed_l, &parts), program.water(&parts));
        let through = feed + water;
        let volatile = of(&|s| s.volatile);
        let nitrogen = of(&|s| s.nitrogen);
        let ammonium = of(&|s| s.ammonium_n);
        let share = |top: f64, bottom: f64| if bottom > 0.0 { top / bottom } else { 0.0 };
        let ends = if self.wish.months[m] {
            binding::at_their_end(program, whole)
        } else {
            Vec::new()
        };
        let about = self.about(m);
        let measure = self.setting.measure;
        Some(RecipeMonth {
            month: m as i8 + 1,
            doses: (0..streams.len())
                .filter(|w| whole[*w] > 0)
                .map(|w| Dose {
                    waste: w,
                    name: streams[w].name.clone(),
                    parts: whole[w],
                    words: measure.words(whole[w]),
                    kg_per_day: kg[w],
                    at_hand_kg_per_day: streams[w].at_hand_kg_d[m],
                })
                .collect(),
            water_l_per_day: water,
            liquor_l_per_day_at_most: liquor(ammonium, feed, water),
            slurry_c: self.setting.slurry_c[m]?,
            solids_share: share(of(&|s| s.solids), through),
            load_kg_vs_m3_d: 1000.0 * volatile / self.setting.slurry_l,
            safe_load_kg_vs_m3_d: program.safe_load,
            most_load_kg_vs_m3_d: program.most_load,
            stays_days: (through > 0.0).then(|| self.setting.slurry_l / through),
            least_stay_days: program.stay_days,
            ammonium_mg_n_l: 1e6 * share(ammonium, through),
            carbon_to_nitrogen: (nitrogen > 0.0).then(|| of(&|s| s.carbon) / nitrogen),
            fibre_share: share(of(&|s| if s.fibrous { s.volatile } else { 0.0 }), volatile),
            at_their_end_words: ends.iter().map(|l| about.name(*l)).collect(),
            at_their_end: ends,
            short: self.proposal.short[m] || self.missed(m),
            proposed_methane_dry_normal_l_per_day: program.methane(&parts),
        })
    }

    /// Whether too few worlds have what is wished for in a month.
    fn missed(&self, m: usize) -> bool {
        self.wish.months[m]
            && self
                .checked
                .month(m as i8 + 1)
                .is_some_and(|c| !c.starting && c.met_share_of_worlds < self.settings.sure)
    }

    /// What binds in the month that falls shortest.
    fn binding(&self) -> Result<Vec<Binding>, Unsolved> {
        let Some(need) = self.wish.methane_l_per_day() else {
            return Ok(Vec::new());
        };
        let shortest = (0..12)
            .filter(|m| self.wish.months[*m] && self.proposal.short[*m])
            .filter_map(|m| Some((m, self.proposal.programs[m].as_ref()?)))
            .map(|(m, p): (usize, &Program)| (m, p, p.methane(&self.proposal.parts_of(m))))
            .min_by(|a, b| a.2.total_cmp(&b.2));
        match shortest {
            Some((m, program, _)) => binding::short_of(program, m, need, &self.about(m)),
            None => Ok(Vec::new()),
        }
    }

    /// Names of limits, for the words.
    pub fn limit_name(&self, m: usize, limit: Limit) -> String {
        self.about(m).name(limit)
    }
}

/// How much of the water may be liquor from the outlet, L/day: it brings its
/// ammonium back, which must stay below the published mark of inhibition.
fn liquor(ammonium_kg_d: f64, feed_l: f64, water_l: f64) -> f64 {
    let mark = limit("total_ammonia_nitrogen", LimitState::Watch, |l| {
        l.low == Some(1500.0)
    })
    .and_then(|l| l.low)
    .unwrap_or(1500.0);
    let fresh = (ammonium_kg_d / (mark * 1e-6) - feed_l).max(0.0);
    (water_l - fresh).max(0.0)
}
