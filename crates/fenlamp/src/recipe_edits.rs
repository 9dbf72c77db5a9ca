//! Advice as changes to the plan's text, for "take it".

use fenlamp_model::plan::{Plan, WasteBasis};
use fenlamp_report::advice::{Period, Recipe};
use uom::si::mass::kilogram;
use uom::si::volume::liter;

use crate::plan_edit::Edit;

/// The edits that put a recipe into the plan it was made for; `None` when the
/// recipe feeds nothing.
pub fn of_recipe(plan: &Plan, recipe: &Recipe) -> Option<Vec<Edit>> {
    let mut edits = Vec::new();
    let fed = |w: usize| {
        let parts = |m: usize| {
            recipe
                .months
                .iter()
                .filter(|month| usize::from(month.month.unsigned_abs()) == m + 1)
                .flat_map(|month| &month.doses)
                .find(|d| d.waste == w)
                .map_or(0, |d| d.parts)
        };
        let row: [u32; 12] = std::array::from_fn(parts);
        row
    };
    let rows: Vec<[u32; 12]> = (0..plan.waste.len()).map(fed).collect();
    if rows.iter().flatten().all(|p| *p == 0) {
        return None;
    }
    for (w, (waste, row)) in plan.waste.iter().zip(&rows).enumerate() {
        if row.iter().all(|p| *p == 0) {
            continue;
        }
        let at = |key: &str| format!("waste[{w}].{key}");
        if let WasteBasis::Animals { .. } = waste.basis {
            let id = &plan.feedstocks.get(waste.feedstock)?.id;
            edits.push(Edit::text(at("feedstock"), id));
        }
        for key in ["animal", "head", "collected", "amount", "months", "steps"] {
            edits.push(Edit::Remove { path: at(key) });
        }
        edits.push(Edit::text(at("by_month"), &by_month(recipe, row)));
    }
    // From the last, so that the places of the others stand.
    for (w, row) in rows.iter().enumerate().rev() {
        if row.iter().all(|p| *p == 0) {
            edits.push(Edit::RemoveItem {
                path: format!("waste[{w}]"),
            });
        }
    }
    let percent = 100.0 * recipe.thinned_to_share;
    edits.push(Edit::text(
        "feeding.water",
        &format!("to {percent:.0} % solids"),
    ));
    let feeding = &recipe.plan.feeding;
    if feeding.first_day != plan.feeding.first_day {
        edits.push(Edit::text(
            "feeding.from",
            &format!("day {}", feeding.first_day),
        ));
    }
    if feeding.ramp_days != plan.feeding.ramp_days {
        edits.push(Edit::text(
            "feeding.ramp",
            &format!("{} days", feeding.ramp_days),
        ));
    }
    let (then, now) = (&recipe.plan.first_fill, &plan.first_fill);
    for (i, (then, now)) in then.seeds.iter().zip(&now.seeds).enumerate() {
        if then.volume != now.volume {
            edits.push(Edit::text(
                format!("seed[{i}].volume"),
                &format!("{:.1} L", then.volume.get::<liter>()),
            ));
        }
    }
    for (i, (then, now)) in then.feed.iter().zip(&now.feed).enumerate() {
        if then.1 != now.1 {
            let kg = then.1.get::<kilogram>();
            edits.push(Edit::text(
                format!("first_fill.feed[{i}].amount"),
                &format!("{kg:.2} kg"),
            ));
        }
    }
    Some(edits)
}

/// "0 0 0 0 20 20 ... L/week", the plan's bulk density making kilograms of it.
fn by_month(recipe: &Recipe, row: &[u32; 12]) -> String {
    let litres = recipe.measure.litres();
    let numbers: Vec<String> = row
        .iter()
        .map(|p| {
            let text = format!("{:.3}", f64::from(*p) * litres);
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        })
        .collect();
    let per = match recipe.measure.per {
        Period::Day => "day",
        Period::Week => "week",
    };
    format!("{} L/{per}", numbers.join(" "))
}
