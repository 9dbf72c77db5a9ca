//! The first filling, in buckets.

use fenlamp_model::plan::{AdditiveKind, DoseTime, SeedKind};
use fenlamp_model::world::mix;
use fenlamp_quantity::{BucketSize, Mass, Units, Volume};
use maud::{Markup, html};
use uom::si::mass::kilogram;
use uom::si::volume::liter;

use super::Book;
use super::cautions::Step;

/// One line of the recipe.
struct Row {
    name: String,
    kg: f64,
    /// As it is scooped.
    litres: f64,
}

pub fn chapter(b: &Book) -> Markup {
    let bucket_l = bucket_l(b);
    let rows = rows(b);
    let sum: f64 = rows.iter().map(|r| r.kg).sum();
    let doses: Vec<String> = b
        .plan
        .additives
        .iter()
        .map(|a| dose(b, a.kind, a.dose, a.when))
        .collect();
    b.chapter("fill", html! {
        (b.step(Step::Fill, html! {
            p { (b.tf("b.fill.intro", &[
                ("date", &b.date(b.plan.start)),
                ("bucket", &b.say.figure(Volume::new::<liter>(bucket_l))),
            ])) }
            table #recipe {
                thead { tr {
                    th { (b.t("b.fill.what")) } th.n { (b.t("b.fill.mass")) }
                    th.n { (b.t("b.fill.volume")) } th.n { (b.t("b.fill.buckets")) }
                } }
                tbody {
                    @for r in &rows {
                        tr data-kg=(r.kg) {
                            td { (r.name) }
                            td.n.w { (b.say.figure(Mass::new::<kilogram>(r.kg))) }
                            td.n.w { (b.say.figure(Volume::new::<liter>(r.litres))) }
                            td.n { (buckets(b, r.litres / bucket_l)) }
                        }
                    }
                    tr data-sum=(sum) {
                        td { strong { (b.t("b.fill.sum")) } }
                        td.n.w { strong { (b.say.figure(Mass::new::<kilogram>(sum))) } }
                        td.n.w { (b.tf("b.fill.level", &[("v", &b.say.figure(b.plan.vessel.liquid))])) }
                        td {}
                    }
                }
            }
            @for d in doses { p { (d) } }
            (b.ticks("b.filling"))
        }))
        @if b.stands(Step::Caustic) { (b.step(Step::Caustic, html! { (b.ticks("b.caustic")) })) }
    })
}

fn bucket_l(b: &Book) -> f64 {
    let size = match b.f.units {
        Units::Metric => BucketSize::metric(),
        Units::Us => BucketSize::us(),
    };
    size.0.get::<liter>()
}

fn rows(b: &Book) -> Vec<Row> {
    let fill = &b.plan.first_fill;
    let mut rows: Vec<Row> = fill
        .feed
        .iter()
        .filter_map(|(i, mass)| {
            let f = b.plan.feedstocks.get(*i)?;
            let kg = mass.get::<kilogram>();
            Some(Row {
                name: f.name.clone(),
                kg,
                litres: 1000.0 * kg / f.bulk_density_kg_m3.max(1.0),
            })
        })
        .collect();
    for seed in &fill.seeds {
        // A litre of seed or water is taken to weigh a kilogram, as the forecast does.
        let litres = seed.volume.get::<liter>();
        let kind = b.t(match seed.kind {
            SeedKind::Digestate => "b.seed.digestate",
            SeedKind::OldSlurry => "b.seed.old_slurry",
            SeedKind::Rumen => "b.seed.rumen",
            SeedKind::PondMud => "b.seed.pond_mud",
            SeedKind::SewageSludge => "b.seed.sewage_sludge",
        });
        rows.push(Row {
            name: b.tf(
                "b.fill.seed",
                &[("kind", &kind), ("t", &b.say.figure(seed.grown_at))],
            ),
            kg: litres,
            litres,
        });
    }
    let water = mix::fill_water_l(b.plan);
    rows.push(Row {
        name: b.t("b.fill.water"),
        kg: water,
        litres: water,
    });
    rows
}

/// Buckets to the half.
fn buckets(b: &Book, n: f64) -> String {
    if n < 0.25 {
        return b.t("b.fill.scoop");
    }
    let halves = (2.0 * n).round();
    let whole = (halves / 2.0).floor();
    let half = halves % 2.0 > 0.5;
    match (whole as u64, half) {
        (0, _) => "1/2".to_owned(),
        (w, true) => format!("{w} 1/2"),
        (w, false) => w.to_string(),
    }
}

fn dose(b: &Book, kind: AdditiveKind, mass: fenlamp_quantity::Mass, when: DoseTime) -> String {
    let name = b.t(match kind {
        AdditiveKind::WoodAsh => "b.dose.wood_ash",
        AdditiveKind::SlakedLime => "b.dose.slaked_lime",
        AdditiveKind::Bicarbonate => "b.dose.bicarbonate",
        AdditiveKind::IronChloride => "b.dose.iron_chloride",
        AdditiveKind::Gypsum => "b.dose.gypsum",
    });
    let when = match when {
        DoseTime::AtFill => b.t("b.dose.at_fill"),
        DoseTime::OnDay(n) => b.tf("b.dose.on_day", &[("n", &n.to_string())]),
        DoseTime::Every(n) => b.tf("b.dose.every", &[("n", &n.to_string())]),
    };
    b.tf(
        "b.dose.words",
        &[("m", &b.say.figure(mass)), ("what", &name), ("when", &when)],
    )
}
