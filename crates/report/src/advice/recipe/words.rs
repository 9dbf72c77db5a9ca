//! The recipe in sentences, the answer first.

use super::care;
use super::report::Done;
use super::{RecipeMonth, TightenedFor};
use crate::advice::binding::Binding;
use crate::advice::grid::water_words;
use crate::advice::prices::Worth;
use crate::advice::said::Said;
use crate::advice::wish::{Want, months_in_words};
use crate::hazard::load_words;
use fenlamp_model::band::Quantiles;
use fenlamp_model::forecast::chances::fraction;
use fenlamp_model::say;

pub(super) fn all(
    done: &Done<'_>,
    months: &[RecipeMonth],
    binding: &[Binding],
    worths: &[Worth],
) -> Vec<Said> {
    let said = |about, words: String| (!words.is_empty()).then_some(Said { about, words });
    [
        said("recipe", recipe(done, months)),
        said("wish", wish(done, months, binding)),
        said("ceiling", done.ceiling.words.clone()),
        said("souring", souring(done)),
        said("start", care::start(done)),
        said("limits", limits(done, months)),
        said("worth", worth(worths)),
        said("water", care::water(months)),
        said(
            "away",
            done.away.map(|a| a.words.clone()).unwrap_or_default(),
        ),
        said("change", care::change(months)),
        said("doubt", care::doubt(done)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Months with the same doses, in the order of what they give.
fn groups<'a>(months: &'a [RecipeMonth]) -> Vec<Vec<&'a RecipeMonth>> {
    let mut groups: Vec<Vec<&RecipeMonth>> = Vec::new();
    for month in months.iter().filter(|m| !m.doses.is_empty()) {
        match groups.iter_mut().find(|g| g[0].doses_alike(month)) {
            Some(group) => group.push(month),
            None => groups.push(vec![month]),
        }
    }
    let gives = |g: &Vec<&'a RecipeMonth>| -> f64 {
        g.iter()
            .map(|m| m.proposed_methane_dry_normal_l_per_day)
            .sum()
    };
    groups.sort_by(|a, b| gives(b).total_cmp(&gives(a)));
    groups
}

impl RecipeMonth {
    fn doses_alike(&self, other: &Self) -> bool {
        let parts = |m: &Self| {
            m.doses
                .iter()
                .map(|d| (d.waste, d.parts))
                .collect::<Vec<_>>()
        };
        parts(self) == parts(other)
    }
}

fn when(group: &[&RecipeMonth]) -> String {
    let mut on = [false; 12];
    for month in group {
        on[month.month as usize - 1] = true;
    }
    months_in_words(&on)
}

/// "2 buckets of goat manure and half a bucket of peelings with 6 litres of water".
fn dose(done: &Done<'_>, month: &RecipeMonth) -> String {
    let parts: Vec<String> = month
        .doses
        .iter()
        .map(|d| format!("{} of {}", d.words, d.name))
        .collect();
    let per = done.setting.measure.per;
    let litres = month.water_l_per_day * per.days();
    let water = if litres < 0.25 {
        "no water".to_owned()
    } else {
        format!("{} of water", water_words(litres, done.units()))
    };
    format!("{} with {water} {}", say::list(&parts), per.words())
}

fn gas_of(done: &Done<'_>, group: &[&RecipeMonth]) -> Option<(Quantiles, Quantiles)> {
    let all = || group.iter().filter_map(|m| done.checked.month(m.month));
    let settled: Vec<_> = all().filter(|c| !c.starting).collect();
    let checked = if settled.is_empty() {
        all().collect()
    } else {
        settled
    };
    let n = checked.len() as f64;
    if checked.is_empty() {
        return None;
    }
    let mean = |f: &dyn Fn(&crate::advice::check::CheckedMonth) -> Quantiles| {
        let sum = |g: fn(&Quantiles) -> f64| checked.iter().map(|c| g(&f(c))).sum::<f64>() / n;
        Quantiles {
            p10: sum(|q| q.p10),
            p50: sum(|q| q.p50),
            p90: sum(|q| q.p90),
        }
    };
    Some((
        mean(&|c| c.gas_wet_l_per_day),
        mean(&|c| c.methane_dry_normal_l_per_day),
    ))
}

fn recipe(done: &Done<'_>, months: &[RecipeMonth]) -> String {
    let groups = groups(months);
    let Some(first) = groups.first() else {
        let cold = months.iter().any(|m| m.most_load_kg_vs_m3_d <= 0.0);
        let why = if cold {
            "in every month asked for the slurry is too cold for any published load, or nothing \
             is at hand"
        } else {
            "in every month asked for nothing is at hand, or not even the smallest part of a \
             bucket keeps the limits"
        };
        return format!("Feed nothing: {why}.");
    };
    let mut text = format!("Feed {} {}", dose(done, first[0]), when(first));
    if let Some((gas, methane)) = gas_of(done, first) {
        let count = methane.map(|l| done.wish.counted(l).0);
        let unit = done.wish.counted(0.0).1;
        text += &format!(
            ": {}, {} {unit} a day",
            say::gas_a_day(gas, done.units()),
            say::with_middle(count)
        );
    }
    text.push('.');
    for group in &groups[1..] {
        text += &format!(" {}: {}", say::capital(&when(group)), dose(done, group[0]));
        if let Some((gas, _)) = gas_of(done, group) {
            text += &format!(" ({})", say::gas_a_day(gas, done.units()));
        }
        text.push('.');
    }
    let fed: Vec<i8> = groups.iter().flatten().map(|m| m.month).collect();
    let not: Vec<&RecipeMonth> = months
        .iter()
        .filter(|m| !fed.contains(&m.month) && done.wish.months[m.month as usize - 1])
        .collect();
    if !not.is_empty() {
        let cold = not.iter().any(|m| m.most_load_kg_vs_m3_d <= 0.0);
        let why = if cold {
            ": it is too cold, or nothing is at hand"
        } else {
            ""
        };
        text += &format!(" Nothing {}{why}.", when(&not));
    }
    text
}

fn wish(done: &Done<'_>, months: &[RecipeMonth], binding: &[Binding]) -> String {
    if done.wish.want == Want::Everything {
        return String::new();
    }
    let wished: Vec<&RecipeMonth> = months
        .iter()
        .filter(|m| done.wish.months[m.month as usize - 1])
        .filter(|m| done.checked.month(m.month).is_some_and(|c| !c.starting))
        .collect();
    if wished.is_empty() {
        return "All months of the wish fall into the start: forecast longer to see it met."
            .to_owned();
    }
    let short: Vec<&RecipeMonth> = wished.iter().copied().filter(|m| m.short).collect();
    let worlds = done.checked.worlds as usize;
    let met = |m: &RecipeMonth| {
        done.checked
            .month(m.month)
            .map_or(0.0, |c| c.met_share_of_worlds)
    };
    let least = wished.iter().map(|m| met(m)).fold(1.0, f64::min);
    let of = |share: f64| fraction((share * worlds as f64).round() as usize, worlds);
    let wish = done.wish.words();
    if short.is_empty() {
        return format!(
            "That meets the wish, {wish}: in the poorest month in {}.",
            of(least)
        );
    }
    let all = short.len() == wished.len();
    let mut text = if all {
        format!("The wish, {wish}, is not met")
    } else {
        format!("The wish, {wish}, is met but for {}", {
            let names: Vec<&str> = short.iter().map(|m| say::month(m.month)).collect();
            say::list(&names)
        })
    };
    text += &format!(": in the poorest month it is had in {}.", of(least));
    if let [first, more @ ..] = binding {
        text += &format!(
            " What binds in {}: {}",
            say::month(first.month),
            first.words
        );
        for b in more.iter().take(2) {
            text += &format!("; and with it {}", b.words);
        }
        text.push('.');
    } else {
        text += " No limit of the feed binds there: it is the gas of the months before that is \
                 missing, for slurry that was cold or unfed is slow to come back.";
    }
    text
}

fn souring(done: &Done<'_>) -> String {
    let c = done.checked;
    let allowed = done.settings.sour_chance;
    let n = c.worlds as usize;
    let mut text = match c.sour_worlds as usize {
        0 => format!("None of the {n} worlds run with it turns sour"),
        s => format!("It turns sour in {}", fraction(s, n)),
    };
    text += &format!("; {:.0} in 100 were to be borne at most.", 100.0 * allowed);
    if !done.passed {
        text += " No gentler recipe was found that keeps below it: better seed, a warmer vessel or \
                 less of the quick feeds come first. Do not build on this one.";
    }
    let times = |what| done.tightened.iter().filter(|t| t.what == what).count();
    let rounds: Vec<String> = [
        (TightenedFor::Load, "less load and more buffer"),
        (TightenedFor::Start, "a later and slower start"),
        (TightenedFor::Fill, "more seed or a smaller first fill"),
        (TightenedFor::Wish, "more feed, to be surer of the wish"),
    ]
    .into_iter()
    .filter(|(what, _)| times(*what) > 0)
    .map(|(what, words)| format!("{words} ({} times)", times(what)).replace("(1 times)", "(once)"))
    .collect();
    if !rounds.is_empty() {
        text += &format!(
            " The first proposal was changed on the way: {}.",
            say::list(&rounds)
        );
    }
    text
}

fn limits(done: &Done<'_>, months: &[RecipeMonth]) -> String {
    let groups = groups(months);
    let Some(main) = groups.first().map(|g| g[0]) else {
        return String::new();
    };
    let names: Vec<String> = main
        .at_their_end
        .iter()
        .map(|l| done.limit_name(main.month as usize - 1, *l))
        .collect();
    let stays = main.stays_days.unwrap_or(f64::NAN);
    let units = done.units();
    let mut text = format!(
        "In {} the feed has {:.0} % solids and stays {} (at least {} are wanted), with {} a day \
         where the slurry's temperature bears {} safely and acids rise from {}.",
        say::month(main.month),
        100.0 * main.solids_share,
        say::days_word(stays),
        say::days_word(main.least_stay_days),
        load_words(main.load_kg_vs_m3_d, units),
        load_words(main.safe_load_kg_vs_m3_d, units),
        load_words(main.most_load_kg_vs_m3_d, units),
    );
    let heavy = |m: &&RecipeMonth| m.load_kg_vs_m3_d > 1.001 * m.safe_load_kg_vs_m3_d;
    if months
        .iter()
        .filter(|m| !m.doses.is_empty())
        .any(|m| heavy(&m))
    {
        text += " Above the safe load the worlds bore it, but test the pH weekly and do not go \
                 further.";
    }
    if !names.is_empty() {
        text += &format!(" At its end there: {}.", say::list(&names));
    }
    text
}

fn worth(worths: &[Worth]) -> String {
    let parts: Vec<String> = worths.iter().map(|w| w.words.clone()).collect();
    if parts.is_empty() {
        return String::new();
    }
    format!(
        "What more would be worth, within the same limits: {}.",
        parts.join("; ")
    )
}
