//! People and germs.

use super::case::{Case, found, number, safety};
use super::{Evidence, Found, Severity};
use fenlamp_model::digestate::{Class, MEAT, bars_food_as_human_or_pet, speaks_of};
use fenlamp_model::feed::Feedstock;
use fenlamp_model::plan::AdditiveKind;
use fenlamp_model::say::temperature;

/// Whether something in the vessel is of that kind.
fn used(case: &Case<'_>, is: impl Fn(&Feedstock) -> bool) -> bool {
    case.in_vessel().iter().any(|f| is(f))
}

/// Human, dog or cat waste: germs, law.
pub(super) fn human_or_pet(case: &Case<'_>) -> Option<Found> {
    let seed = case.plan.first_fill.has_human_seed();
    let what = match (used(case, bars_food_as_human_or_pet), seed) {
        (true, _) => "Human or pet waste goes in.",
        (false, true) => {
            "Sewage sludge goes in as seed: it carries the germs of many people, and often metals."
        }
        (false, false) => return None,
    };
    let (heat_c, key) = safety("digestate hygiene", "hygienization temperature")?;
    let words = format!(
        "{what} A vessel at these temperatures does not make it safe: worm eggs \
         and many germs live through it. In most places this needs a permit, and never take it from, \
         or connect it to, an existing septic tank: that is a deadly pit and another system. Keep what \
         comes out off all food crops unless local rules and a heat step ({} for an hour) are met.",
        temperature(heat_c, case.units)
    );
    let evidence = vec![number("limit_heat_step_c", heat_c)];
    found(
        Severity::Stop,
        words,
        evidence,
        &[key, "HOHENHEIM2022", "WHO06", "CODES"],
    )
}

/// Waiting times in words, their numbers and key.
fn waits() -> Option<(String, Vec<Evidence>, &'static str)> {
    let (soil, key) = safety(
        "digestate hygiene",
        "raw manure to harvest, crop touches soil",
    )?;
    let (off, _) = safety(
        "digestate hygiene",
        "raw manure to harvest, crop off the soil",
    )?;
    let words = format!(
        "under the soil, {soil:.0} days before harvest where the crop touches soil, {off:.0} where it \
         does not (US organic rule)"
    );
    let evidence = vec![
        number("wait_touching_soil_days", soil),
        number("wait_off_soil_days", off),
    ];
    Some((words, evidence, key))
}

/// Pig manure: worms and disease that go on to people and other pigs.
pub(super) fn pig_manure(case: &Case<'_>) -> Option<Found> {
    if !used(case, |f| speaks_of(f, &["pig", "pigs", "swine", "hog"])) {
        return None;
    }
    let (wait, evidence, key) = waits()?;
    let words = format!(
        "Pig manure can carry worms and germs that go on to people and pigs; warm digestion lowers their \
         number and does not end them. Treat what comes out as raw manure: {wait}, no pigs on that \
         ground meanwhile; gloves, and hands washed. Local by-product rules come first."
    );
    found(Severity::Care, words, evidence, &[key, "HOHENHEIM2022"])
}

/// Poultry: salmonella, campylobacter, and bird diseases that are the law's affair.
pub(super) fn poultry_manure(case: &Case<'_>) -> Option<Found> {
    let birds = [
        "chicken", "hen", "broiler", "duck", "turkey", "poultry", "goose", "quail", "pigeon",
    ];
    if !used(case, |f| speaks_of(f, &birds)) {
        return None;
    }
    let (wait, evidence, key) = waits()?;
    let words = format!(
        "Poultry droppings carry salmonella and its like, which can come through a warm digester alive. \
         Treat what comes out as raw manure: {wait}, and keep birds off that ground. With sick or dead \
         birds stop and ask the veterinary office first. Dust of dry droppings: mask and gloves."
    );
    found(Severity::Care, words, evidence, &[key, "HOHENHEIM2022"])
}

/// Meat, and kitchen waste that may hold it.
pub(super) fn meat(case: &Case<'_>) -> Option<Found> {
    if !used(case, |f| {
        speaks_of(f, MEAT) || f.id.contains("kitchen_waste")
    }) {
        return None;
    }
    let (heat_c, key) = safety("digestate hygiene", "hygienization temperature")?;
    let words = format!(
        "Meat, or kitchen waste that may hold some, goes in. Many countries let it into a digester only \
         with a heat step ({} for an hour in the EU, small pieces, recorded) and never near pigs, \
         poultry or ruminants. Leave meat out, or ask the by-products office first.",
        temperature(heat_c, case.units)
    );
    let evidence = vec![number("limit_heat_step_c", heat_c)];
    found(Severity::Care, words, evidence, &[key, "EU142", "WSI1293"])
}

/// What runs out, and food.
pub(super) fn digestate(case: &Case<'_>) -> Option<Found> {
    let d = &case.forecast.digestate;
    let class = d.worst_class.or(d.held_class)?;
    let warm = |m: &fenlamp_model::digestate::MonthDigestate| m.class == Some(Class::CoolOrShort);
    let (severity, why) = match class {
        Class::HeldHot | Class::NotOnFood => return None,
        Class::DigestedWarm => (
            Severity::Note,
            "stays warm long enough to lower germs, not to end them".to_owned(),
        ),
        Class::CoolOrShort => {
            let months = d.months.iter().filter(|m| m.class.is_some()).count();
            let short = d.months.iter().filter(|m| warm(m)).count();
            let when = if months == 0 {
                String::new()
            } else {
                format!(" in {short} of {months} months")
            };
            (
                Severity::Care,
                format!("is too cool or leaves too soon for any published rule on germs{when}"),
            )
        }
    };
    let (wait, mut evidence, key) = waits()?;
    let words = format!(
        "What comes out {why}. On food crops it is raw manure: {wait}, never on leaves that are eaten, \
         never on a crop that is growing. Hands, boots and tools washed; children and grazing stock off."
    );
    let worst = d.months.iter().filter(|m| m.class.is_some());
    let least = worst
        .map(|m| m.digested_warm_share.p10)
        .fold(f64::INFINITY, f64::min);
    if least.is_finite() {
        evidence.push(number("least_share_of_warm_rule_p10", least));
    }
    found(
        severity,
        words,
        evidence,
        &[key, "WY-APPB", "EPA625", "HOHENHEIM2022"],
    )
}

/// Ash, lime: burns of eyes and skin.
pub(super) fn caustic(case: &Case<'_>) -> Option<Found> {
    let what = case.plan.additives.iter().find_map(|a| match a.kind {
        AdditiveKind::WoodAsh => Some("Wood ash makes lye"),
        AdditiveKind::SlakedLime => Some("Slaked lime is caustic"),
        _ => None,
    })?;
    let words = format!(
        "{what}: it burns eyes in seconds and skin in minutes. Goggles, long gloves, running \
         water at hand before you start. Add it to cold water, slowly, never water onto it; no \
         aluminium or zinc. Eyes: water at once for 30 minutes, then a doctor. Only ash of clean \
         wood, cold for days."
    );
    found(
        Severity::Care,
        words,
        Vec::new(),
        &["NJ-KOH", "COOL1996", "TEXTBOOK"],
    )
}
