//! The booklet: build it, start it, run it, from paper. One file with pictures
//! and styles inside, made for print.
//!
//! Figures come from the same [`Answer`] as the forecast, sums from the core,
//! drawings from the drawing crate, words from the catalogue.

mod building;
pub mod cautions;
mod drawings;
mod expect;
mod filling;
mod flame;
mod left;
mod page;
mod parts;
mod quantity;
mod running;
mod sheets;
mod sources;
mod trouble;
mod weeks;

use fenlamp_drawing::build::{self, Head, Joint, Line};
use fenlamp_drawing::plant::Say;
use fenlamp_model::forecast::bands::MonthBand;
use fenlamp_model::plan::{Additive, AdditiveKind, Plan, Wash, WashKind};
use fenlamp_report::hazard::{Finding, Severity};
use fenlamp_words::{Language, Words};
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};

use crate::answer::Answer;
use cautions::{CAUTIONS, Step, frost, step_of};
pub use page::Paper;
use quantity::Figures;

/// How the booklet is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Paper.
    pub paper: Paper,
    /// Language.
    pub language: Language,
}

/// What the chapters are made from.
struct Book<'a> {
    plan: &'a Plan,
    answer: &'a Answer,
    words: &'static Words,
    say: Say<'a>,
    f: Figures<'a>,
    heads: Vec<Option<Head>>,
    joints: Vec<Joint>,
    lines: Vec<Line>,
}

/// The booklet of a plan and its forecast.
///
/// # Errors
/// If the answer cannot be written as JSON.
pub fn write(plan: &Plan, answer: &Answer, wanted: Wanted) -> Result<String, serde_json::Error> {
    let words = Words::of(wanted.language);
    let heads = build::heads(plan, answer.gas_train.as_ref());
    let joints = build::joints(plan, &heads);
    let lines = build::list(&joints);
    let book = Book {
        plan,
        answer,
        words,
        say: Say::new(plan, words),
        f: Figures {
            json: serde_json::to_value(answer)?,
            units: plan.units.into(),
            words,
        },
        heads,
        joints,
        lines,
    };
    let body = html! {
        (expect::chapter(&book))
        (drawings::chapter(&book))
        (parts::chapter(&book))
        (building::chapter(&book))
        (filling::chapter(&book))
        (weeks::chapter(&book))
        (flame::chapter(&book))
        (running::chapter(&book))
        (trouble::chapter(&book))
        (left::chapter(&book))
        (sources::chapter(&book))
        (sheets::chapter(&book))
    };
    let tag = wanted.language.tag();
    let head = book.t("b.head");
    let pages = book.t("b.pages");
    Ok(page::page(
        &plan.name,
        &head,
        &pages,
        tag,
        wanted.paper,
        &body,
    ))
}

impl<'a> Book<'a> {
    /// Words under a key.
    fn t(&self, key: &str) -> String {
        self.words.say(key)
    }

    /// Words with blanks.
    fn tf(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        self.words.fill(key, blanks)
    }

    /// Words with one blank that carries a figure.
    fn tm(&self, key: &str, blank: &str, figure: &Markup) -> Markup {
        let text = self.t(key);
        match text.split_once(&format!("{{{blank}}}")) {
            Some((before, after)) => html! { (before) (figure) (after) },
            None => html! { (text) },
        }
    }

    /// A chapter on a new page.
    fn chapter(&self, id: &str, body: Markup) -> Markup {
        html! { section.chapter id=(id) { h2 { (self.t(&format!("b.{id}.title"))) } (body) } }
    }

    /// A part of a chapter that is a step with its cautions.
    fn step(&self, step: Step, body: Markup) -> Markup {
        let id = step.id();
        html! {
            section.step data-step=(id) {
                h3 { (self.t(&format!("b.step.{id}"))) }
                (body)
                (self.cautions(step))
            }
        }
    }

    /// Paragraphs under numbered keys `key.1`, `key.2`, ... as long as there are any.
    fn all(&self, key: &str) -> Vec<String> {
        (1..)
            .map_while(|n| self.words.find(&format!("{key}.{n}")).map(str::to_owned))
            .collect()
    }

    /// A list of them, with boxes to tick.
    fn ticks(&self, key: &str) -> Markup {
        html! { ul { @for text in self.all(key) { li.box { (text) } } } }
    }

    /// The cautions of a step: those of the published list that apply, and what the
    /// forecast found.
    fn cautions(&self, step: Step) -> Markup {
        let listed = CAUTIONS
            .iter()
            .filter(|c| c.step == step && c.applies(self.plan, self.answer));
        let found = self
            .answer
            .findings
            .iter()
            .filter(|f| self.place(f) == step);
        let listed: Vec<_> = listed.collect();
        let found: Vec<&Finding> = found.collect();
        if listed.is_empty() && found.is_empty() {
            return html! {};
        }
        html! {
            ul.cautions {
                @for f in found {
                    li data-finding=(f.id) {
                        (self.mark(f.severity))
                        span {
                            @if self.words.language() != Language::English {
                                @if let Some(short) = self.words.find(&format!("finding.{}", f.id)) { (short) " " }
                            }
                            span lang="en" { (f.words) }
                            (keys(f.sources.iter().map(|s| s.key.as_str())))
                        }
                    }
                }
                @for c in listed {
                    li data-caution=(c.at) {
                        (self.mark(c.severity))
                        span { (self.t(&format!("caution.{}", c.at))) (keys(c.keys.iter().copied())) }
                    }
                }
            }
        }
    }

    /// The step beside which a finding stands: that of its rule, or the daily round
    /// where the booklet has no such step.
    fn place(&self, finding: &Finding) -> Step {
        let step = step_of(finding.id);
        if self.stands(step) {
            step
        } else {
            Step::Routine
        }
    }

    /// Whether the booklet has a step.
    fn stands(&self, step: Step) -> bool {
        let side = &self.plan.gas_side;
        match step {
            Step::Flame | Step::Burner => !side.uses.is_empty(),
            Step::Store => side.store.is_some(),
            Step::Service => !side.washes.is_empty() || side.trap.is_some(),
            Step::Winter => {
                let cold = |m: &MonthBand| m.slurry_temperature_c.p10 < 15.0;
                frost(self.plan) || self.answer.months.iter().any(cold)
            }
            Step::Caustic => {
                let lye =
                    |w: &Wash| matches!(w.kind, WashKind::LyeJar { .. } | WashKind::AshBed { .. });
                let ash = |a: &Additive| {
                    matches!(a.kind, AdditiveKind::WoodAsh | AdditiveKind::SlakedLime)
                };
                side.washes.iter().any(lye) || self.plan.additives.iter().any(ash)
            }
            _ => true,
        }
    }

    /// Triangle and word.
    fn mark(&self, severity: Severity) -> Markup {
        let (fill, ink, key) = match severity {
            Severity::Stop => ("#1c1b19", "#ffffff", "plant.stop"),
            Severity::Care => ("#ffffff", "#1c1b19", "plant.care"),
            Severity::Note => return html! { span.mark { (self.t("plant.note")) } },
        };
        let sign = format!(
            r##"<svg viewBox="0 0 16 14" aria-hidden="true"><path d="M8 1L15 13L1 13Z" fill="{fill}" stroke="#1c1b19" stroke-width="1.4" stroke-linejoin="round"/><path d="M8 5L8 9.4M8 10.6L8 11.8" stroke="{ink}" stroke-width="1.5"/></svg>"##
        );
        html! { span.mark { (PreEscaped(sign)) (self.t(key)) } }
    }

    /// A day of the calendar: "3 May 2026".
    fn date(&self, date: Date) -> String {
        let month = self.t(&format!("month.{}", date.month()));
        format!("{}\u{a0}{month}\u{a0}{}", date.day(), date.year())
    }

    /// A month of the calendar: "May 2026".
    fn month(&self, year: i16, month: i8) -> String {
        format!("{}\u{a0}{year}", self.t(&format!("month.{month}")))
    }

    /// A drawing as it is.
    fn svg(&self, svg: &str) -> Markup {
        html! { (PreEscaped(svg)) }
    }
}

/// Keys into the sources.
fn keys<'k>(keys: impl Iterator<Item = &'k str>) -> Markup {
    let all: Vec<&str> = keys.collect();
    if all.is_empty() {
        return html! {};
    }
    html! { " " span.keys { "[" (all.join(", ")) "]" } }
}
