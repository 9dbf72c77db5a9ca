//! What the mix is made of, and how well that is known.

use super::case::{Case, found, limit, number};
use super::{Found, Severity};
use fenlamp_adm1::constants::Constants;
use fenlamp_model::feed::{Feedstock, Group, How};
use fenlamp_model::reference::LimitState;
use fenlamp_model::say;
use fenlamp_model::say::number_band;
use fenlamp_model::world::fractionate::Fractions;
use fenlamp_model::world::mix;

/// Wood inside the vessel.
pub(super) fn wood(case: &Case<'_>) -> Option<Found> {
    let wood: Vec<&Feedstock> = case
        .in_vessel()
        .into_iter()
        .filter(|f| f.group == Group::Woody)
        .collect();
    if wood.is_empty() {
        return None;
    }
    let names: Vec<&str> = wood.iter().map(|f| f.name.as_str()).collect();
    let words = format!(
        "{} in the vessel: wood gives next to no gas there, for its carbon is locked in lignin; \
         it takes room and makes scum. Put it in the heap.",
        say::list(&names)
    );
    let bmp = wood.iter().map(|f| f.bmp.mid).fold(0.0, f64::max);
    let keys: Vec<String> = wood.iter().flat_map(|f| keys_of(f, "bmp")).collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    found(
        Severity::Care,
        words,
        vec![number("methane_m3_per_kg_vs", bmp)],
        &keys,
    )
}

fn keys_of(f: &Feedstock, field: &str) -> Vec<String> {
    f.origins
        .iter()
        .filter(|o| o.field == field)
        .flat_map(|o| o.keys.clone())
        .collect()
}

/// C:N of the mix, as a mass balance.
pub(super) fn carbon_to_nitrogen(case: &Case<'_>) -> Option<Found> {
    let good = limit("feed_c_to_n", LimitState::Good, |_| true)?;
    let act = limit("feed_c_to_n", LimitState::Act, |_| true)?;
    let (low, high, poor) = (good.low?, good.high?, act.high?);
    let ratio = mix::carbon_to_nitrogen(case.plan)?;
    if (low..=high).contains(&ratio) {
        return None;
    }
    let top = case
        .over(|r| r.days.iter().map(|d| d.ammonium_mg_n_l).fold(0.0, f64::max))
        .p50;
    let (severity, meaning) = if ratio > high {
        let words = "nitrogen is short: expect a slow start and a thin buffer; add manure or urine"
            .to_owned();
        (Severity::Note, words)
    } else {
        let words = format!(
            "slurries and droppings stand there by nature and digest all the same; judge by the \
             ammonia, which tops at about {} mg N/L here",
            number_band(top, top)
        );
        // The published mark for harm counts only where the ammonia bears it out.
        let bad = ratio < poor && top > 3000.0;
        (if bad { Severity::Care } else { Severity::Note }, words)
    };
    let words = format!(
        "The mix has a C:N of {:.0} by mass balance, outside {low:.0} to {high:.0}: {meaning}. \
         (Averages of C:N by weight, as old tables print them, are not a balance.)",
        ratio
    );
    let evidence = vec![
        number("good_from", low),
        number("good_to", high),
        number("carbon_to_nitrogen", ratio),
        number("highest_ammonium_mg_n_l_p50", top),
    ];
    found(severity, words, evidence, &[&good.source_key])
}

/// Above this share of the open COD a potential is out of reach (rounding apart).
const REACH: f64 = 1.005;

/// Potentials that their own composition cannot give.
pub(super) fn capped(case: &Case<'_>) -> Option<Found> {
    let c = Constants::reference();
    let over: Vec<(&Feedstock, f64)> = case
        .in_vessel()
        .into_iter()
        .filter(|f| f.bmp.mid > 0.0)
        .map(|f| {
            (
                f,
                Fractions::new(f, &c).degradable(f.bmp.mid, f.volatile_of_ts),
            )
        })
        .filter(|(_, share)| *share > REACH)
        .collect();
    let worst = over.iter().map(|(_, s)| *s).fold(0.0, f64::max);
    if over.is_empty() {
        return None;
    }
    let names: Vec<&str> = over.iter().map(|(f, _)| f.name.as_str()).collect();
    let words = format!(
        "The methane potential given for {} is more than its carbohydrate, protein and fat hold \
         outside lignin; the forecast takes what the composition gives. One of the two figures is \
         off.",
        say::list(&names)
    );
    let keys: Vec<String> = over.iter().flat_map(|(f, _)| keys_of(f, "bmp")).collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    let evidence = vec![number("highest_share_of_composition", worst)];
    found(Severity::Note, words, evidence, &keys)
}

/// High over low from which a band is wide (judgement).
const WIDE: f64 = 2.0;

/// Feedstocks whose methane potential is a guess or a wide band.
pub(super) fn weak_figures(case: &Case<'_>) -> Option<Found> {
    let mut guessed = Vec::new();
    let mut wide = Vec::new();
    let mut widest = 0.0_f64;
    for f in case.in_vessel() {
        let how = f.origins.iter().find(|o| o.field == "bmp").map(|o| o.how);
        let spread = f.bmp.high / f.bmp.low.max(1e-9);
        if how == Some(How::Judgement) {
            guessed.push(f.name.as_str());
        } else if f.bmp.mid > 0.0 && spread > WIDE {
            wide.push(f.name.as_str());
        }
        widest = widest.max(if f.bmp.mid > 0.0 { spread } else { 0.0 });
    }
    if guessed.is_empty() && wide.is_empty() {
        return None;
    }
    let mut words = Vec::new();
    if !guessed.is_empty() {
        words.push(format!(
            "No measured methane potential was found for {}: the figure is our judgement.",
            say::list(&guessed)
        ));
    }
    if !wide.is_empty() {
        words.push(format!(
            "Published methane potentials of {} differ by a factor of two or more.",
            say::list(&wide)
        ));
    }
    words.push("A measurement of your own, in the plan, would narrow the bands.".to_owned());
    let evidence = vec![
        number("feedstocks_judged", guessed.len() as f64),
        number("feedstocks_wide", wide.len() as f64),
        number("widest_high_over_low", widest),
    ];
    found(Severity::Note, words.join(" "), evidence, &[])
}
