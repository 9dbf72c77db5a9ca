//! What was learned, in sentences.

use fenlamp_quantity::{Quantity, Volume, format_number, print_gas_band};

use super::{Learned, LearnedInput, Settings};
use fenlamp_model::plan::Plan;
use fenlamp_model::world::draw::{InputKind, inputs};

/// One input's sentence; empty when it says nothing a person can use.
fn of_input(plan: &Plan, input: &LearnedInput) -> String {
    let stock = input.feedstock.and_then(|i| plan.feedstocks.get(i));
    let name = stock.map_or_else(String::new, |f| inputs::short(&f.name));
    let book = input.before.p50;
    let factor = |low: f64, high: f64| {
        let low = format_number(low, 2);
        let high = format_number(high, 2);
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    };
    let of_book = factor(
        input.now.p10 / book.max(1e-12),
        input.now.p90 / book.max(1e-12),
    );
    let (low, high) = (
        input.now.p10 / book.max(1e-12),
        input.now.p90 / book.max(1e-12),
    );
    let side = |more: &str, less: &str, same: &str| {
        if low > 1.0 {
            more.to_owned()
        } else if high < 1.0 {
            less.to_owned()
        } else if f64::midpoint(low, high) > 1.08 {
            format!("rather {more}")
        } else if f64::midpoint(low, high) < 0.92 {
            format!("rather {less}")
        } else {
            same.to_owned()
        }
    };
    match input.kind {
        InputKind::Potential => format!(
            "Your {name} gives {}: {of_book} of it.",
            side(
                "more than the book",
                "less than the book",
                "what the book says"
            )
        ),
        InputKind::Rate => format!(
            "Your {name} breaks down {}: {of_book} of its speed.",
            side(
                "faster than in the book",
                "slower than in the book",
                "about as in the book"
            )
        ),
        InputKind::Solids => format!(
            "Your {name} is {} the book says: {of_book} of its dry matter.",
            side("drier than", "wetter than", "about as dry as")
        ),
        InputKind::Amount => format!(
            "Of {name} there comes {} you write down: {of_book} of it.",
            side("more than", "less than", "about what")
        ),
        InputKind::Buffer => format!(
            "Your {name} carries {} buffer: {of_book} of the book's.",
            side("more", "less", "about the usual")
        ),
        InputKind::Uptake => format!(
            "Your microbes are {}: {of_book} of the usual vigour.",
            side(
                "livelier than usual",
                "slower than usual",
                "about as lively as usual"
            )
        ),
        InputKind::Seed => format!(
            "Your {} was {}: {of_book} of the middling one.",
            input.name.trim_start_matches("strength of the "),
            side(
                "stronger than a middling one",
                "weaker than a middling one",
                "a middling one"
            )
        ),
        InputKind::OwnMethanogens => format!(
            "Fresh {name} brings {} methane makers: {of_book} of what was reckoned.",
            side("more", "fewer", "about as many")
        ),
        // A diary of one plant hardly tells these constants apart.
        InputKind::Inferred
        | InputKind::Soluble
        | InputKind::Carbonate
        | InputKind::Carbon
        | InputKind::SeedFermenters
        | InputKind::Sulfur
        | InputKind::Iron
        | InputKind::SolidsStay => String::new(),
        // Places in a band have no book to be held against.
        InputKind::WashCapacity => format!(
            "Your wash holds {} was reckoned.",
            side("more than", "less than", "about what")
        ),
        InputKind::WashContact => format!(
            "Gas and wash meet {} was reckoned.",
            side("better than", "worse than", "about as")
        ),
        InputKind::StoreLeak => format!(
            "Your store leaks {}: {of_book} of the middling one.",
            side("more", "less", "as a middling one")
        ),
        InputKind::Insulation => format!(
            "Your insulation leaks {} heat: {of_book} of what was reckoned.",
            side("more", "less", "about as much")
        ),
        InputKind::HeapHeat | InputKind::HeapFuel => format!(
            "Your heap is {}: the {} is {of_book} of what was reckoned.",
            side("hotter", "cooler", "about as reckoned"),
            input.name
        ),
        InputKind::HeapAir
        | InputKind::HeapConductivity
        | InputKind::Sun
        | InputKind::Wind
        | InputKind::Ground
        | InputKind::GroundWarmth
        | InputKind::FeedWarmth
        | InputKind::StillTop => String::new(),
        InputKind::YearWarmth => format!(
            "The year is {} to {} K off the normals.",
            signed(input.now.p10),
            signed(input.now.p90)
        ),
    }
}

fn signed(v: f64) -> String {
    let text = format_number(v, 1);
    if v > 0.0 { format!("+{text}") } else { text }
}

/// Puts into `learned` what it says in words, input by input and as a whole.
pub(super) fn tell(learned: &mut Learned, settings: &Settings) {
    for i in 0..learned.inputs.len() {
        if learned.inputs[i].tells {
            learned.inputs[i].words = of_input(&learned.plan, &learned.inputs[i]);
        }
    }
    learned.words = sentences(learned, settings);
}

/// The whole of it, the answer first.
fn sentences(learned: &Learned, settings: &Settings) -> Vec<String> {
    let units = learned.plan.units.into();
    let mut out = Vec::new();
    let from = learned.today as usize + 1;
    if learned.days.len() > from {
        let to = learned.days.len();
        let now = learned.mean_gas_l(from..to);
        let n = (to - from) as f64;
        let before = |f: fn(&fenlamp_model::band::Quantiles) -> f64| {
            learned.days[from..to]
                .iter()
                .map(|d| f(&d.gas_wet_l_before))
                .sum::<f64>()
                / n
        };
        let litres = |l: f64| Volume::from_si(l / 1000.0);
        out.push(format!(
            "In the next {} days expect {} of gas a day, if you feed as the plan says; \
             before the diary it was {}.",
            to - from,
            print_gas_band(litres(now.p10), litres(now.p90), units),
            print_gas_band(litres(before(|q| q.p10)), litres(before(|q| q.p90)), units),
        ));
    }
    let taught: Vec<&str> = learned
        .inputs
        .iter()
        .map(|i| i.words.as_str())
        .filter(|w| !w.is_empty())
        .take(5)
        .collect();
    if taught.is_empty() {
        out.push(
            "The diary has not taught anything about single feeds yet; gas written down \
             daily teaches most."
                .to_owned(),
        );
    }
    out.extend(taught.iter().map(|w| (*w).to_owned()));
    if let Some(f) = &learned.foresight {
        let skill = match f.skill() {
            Some(s) if s > 0.05 => format!(
                "its error was {} % smaller than that of \"the same as last week\"",
                format_number(100.0 * s, 2)
            ),
            Some(s) if s < -0.05 => format!(
                "\"the same as last week\" would have been nearer, by {} %",
                format_number(100.0 * (1.0 - 1.0 / (1.0 - s)), 2)
            ),
            Some(_) => "it was no better than \"the same as last week\"".to_owned(),
            None => "no week before it was written down to compare with".to_owned(),
        };
        out.push(format!(
            "Of the last {} days, {} of {} readings of gas lay in the band of 8 in 10 that \
             was foretold without them; {skill}.",
            settings.held_back,
            (f.inside * f64::from(f.days)).round(),
            f.days
        ));
    }
    out
}
