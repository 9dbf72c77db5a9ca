//! Sizes in sentences.

use fenlamp_quantity::{Length, Mass, Units, Volume, print};
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::volume::{cubic_meter, liter};

use super::{Part, Sized, Trade};
use crate::advice::ceiling::Ceiling;
use crate::advice::said::Said;
use fenlamp_model::forecast::chances::fraction;
use fenlamp_model::plan::Plan;
use fenlamp_model::say;

impl Part {
    /// A size as a person reads it.
    pub fn size_words(self, size: f64, units: Units) -> String {
        match self {
            Part::Vessel | Part::Store => print(Volume::new::<liter>(size), units),
            Part::Heap => print(Volume::new::<cubic_meter>(size), units),
            Part::Insulation => print(Length::new::<meter>(size), units),
            Part::Wash => print(Mass::new::<kilogram>(size), units),
        }
    }

    /// "a vessel of 800 L".
    fn with_size(self, size: f64, units: Units) -> String {
        let size = self.size_words(size, units);
        match self {
            Part::Vessel => format!("a vessel of {size}"),
            Part::Heap => format!("a heap of {size}"),
            Part::Insulation => {
                format!("insulation of {size} (its thickest layer, others in step)")
            }
            Part::Store => format!("a store of {size}"),
            Part::Wash => format!("a wash filled with {size} (the largest, others in step)"),
        }
    }
}

fn chance_words(share: f64) -> String {
    format!("{} in 100 worlds", (100.0 * share).round())
}

pub(super) fn all(plan: &Plan, sized: &Sized) -> Vec<Said> {
    let mut out = vec![Said {
        about: "size",
        words: answer(plan, sized),
    }];
    let mut put = |about, words: String| {
        if !words.is_empty() {
            out.push(Said { about, words });
        }
    };
    put("reason", reason(plan, sized));
    if sized.part.needs_amount() {
        put("ceiling", Ceiling::of(plan, &sized.wish).words);
    }
    put("souring", souring(sized));
    put("doubt", doubt(sized));
    out
}

fn answer(plan: &Plan, s: &Sized) -> String {
    let units = plan.units.into();
    let words = |size: f64| s.part.size_words(size, units);
    let wish = match s.part {
        Part::Wash => format!(
            "to be spent on no more than {:.0} % of the days",
            100.0 * super::SPENT
        ),
        _ => format!("for {}", s.wish.words()),
    };
    let of = |share: f64| {
        let n = s.worlds.max(1) as usize;
        fraction((share * n as f64).round() as usize, n)
    };
    if s.worlds == 0 {
        return format!(
            "No store is enough {wish}: in no world does the vessel make the gas for it."
        );
    }
    match s.smallest {
        Some(size) => {
            let open = s
                .tried
                .first()
                .is_some_and(|t| s.now * super::FROM >= t.size * 0.999)
                && s.tried.first().map(|t| t.size) == Some(size);
            let least = if open {
                "or less is enough"
            } else {
                "is the smallest"
            };
            format!(
                "{} {least} {wish}: it is had in {} ({} were asked for). The plan has {}, with which \
                 it is had in {}.",
                say::capital(&s.part.with_size(size, units)),
                of(s.met_share),
                chance_words(s.chance),
                words(s.now),
                of(s.met_share_now)
            )
        }
        None => {
            let (low, high) = (s.now * super::FROM, s.now * super::TO);
            format!(
                "No {} between {} and {} is enough {wish}: the best tried has it in {}, and {} \
                 were asked for. The plan has {}, with which it is had in {}.",
                s.part.name(),
                words(low),
                words(high),
                of(s.met_share),
                chance_words(s.chance),
                words(s.now),
                of(s.met_share_now)
            )
        }
    }
}

fn reason(plan: &Plan, s: &Sized) -> String {
    let Some(month) = s.hardest_month else {
        return String::new();
    };
    let cold = matches!(s.part, Part::Vessel) && s.smallest.is_none();
    let help = match (s.part, s.smallest.is_some()) {
        (_, true) => String::new(),
        _ if cold => " Warmth or more waste would help, not room: try --what insulation or heap, or \
                      fewer months in the wish."
            .to_owned(),
        _ if plan.waste.is_empty() => String::new(),
        _ => " More waste in the months before it, or fewer months in the wish, would help more than \
              this part."
            .to_owned(),
    };
    format!(
        "{} is the month that fewest worlds have it in.{help}",
        say::month(month)
    )
}

fn souring(s: &Sized) -> String {
    if s.part.is_behind_the_vessel() {
        return String::new();
    }
    let n = s.worlds as usize;
    let sour = (s.sour_share * n as f64).round() as usize;
    match sour {
        0 => format!("None of the {n} worlds turns sour with it."),
        k => format!(
            "It turns sour in {} with this feed: a recipe for the new size (fenlamp recipe) makes \
             it surer.",
            fraction(k, n)
        ),
    }
}

fn doubt(s: &Sized) -> String {
    let means = match s.part {
        Part::Store => format!(
            "Only worlds whose vessel makes enough gas are counted, for a store brings none. Had \
             means that the store carries {:.0} % of the wish over its hours in the months \
             asked for.",
            100.0 * super::COVERED
        ),
        Part::Wash => "The renewals are those of the plan.".to_owned(),
        _ => "Had means that every month asked for gives as much on the mean, in the last year of \
              the forecast, with the feed of the plan."
            .to_owned(),
    };
    format!(
        "{means} Each size was tried in the same {} worlds, and the answer is within 2 % of what \
         these worlds ask for; other worlds would move it more than that.",
        s.worlds
    )
}

pub(super) fn of_trade(plan: &Plan, t: &Trade) -> Vec<Said> {
    let units: Units = plan.units.into();
    let points: Vec<String> = t
        .points
        .iter()
        .map(|p| {
            let given = t.against.size_words(p.against, units);
            match p.smallest {
                Some(size) => format!(
                    "with {} of {given} {}",
                    t.against.name(),
                    t.part.size_words(size, units)
                ),
                None => format!("with {} of {given} no size does", t.against.name()),
            }
        })
        .collect();
    let words = format!(
        "The smallest {} for {}, had in {}: {}.",
        t.part.name(),
        t.wish.words(),
        chance_words(t.chance),
        points.join("; ")
    );
    vec![Said {
        about: "trade",
        words,
    }]
}
