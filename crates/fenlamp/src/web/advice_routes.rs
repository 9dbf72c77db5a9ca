//! Advice on the page: recipe, size, payback, and "take it".

use std::sync::{Arc, PoisonError};

use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use fenlamp_model::forecast::ensemble;
use fenlamp_model::forecast::ensemble::Worlds;
use fenlamp_model::forecast::runs::Control;
use fenlamp_report::advice::{
    HOW_TO_WISH, Part, Prices, Settings, SizeSettings, Wish, payback, recipe, size,
};

use super::App;
use super::advice::{Advice, Question};
use super::negotiate::{either, failed};
use super::plan_routes::with_look;
use super::run::Read;
use super::view::{self, Look};
use crate::failure::Failure;
use crate::learning::world;
use crate::plan_edit::Edit;
use crate::plan_file::Opened;
use crate::{recipe_edits, size_edits};

/// Advice kept for "take it".
const KEPT: usize = 12;

fn number(text: &str, what: &str) -> Result<f64, Failure> {
    let text = text.trim();
    text.replace(',', ".")
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
        .ok_or_else(|| {
            Failure::input(
                format!("{what}: \"{text}\" is no number"),
                "write a plain number, like 250",
            )
        })
}

fn wish(text: &str) -> Result<Wish, Failure> {
    let text = if text.trim().is_empty() {
        "all of it"
    } else {
        text
    };
    Wish::parse(text).map_err(|e| Failure::input(e.to_string(), HOW_TO_WISH))
}

fn work_out(opened: &Opened, q: &Question, control: &Control) -> Result<Advice, Failure> {
    match q.ask.as_str() {
        "recipe" => recipe(&opened.plan, &wish(&q.wish)?, &Settings::default(), control)
            .map(|r| Advice::Recipe(Box::new(r)))
            .map_err(|e| crate::view_model::refusal::of_recipe(opened, e)),
        "size" => {
            let names = Part::ALL.map(Part::name).join(", ");
            let part = Part::parse(&q.what).ok_or_else(|| {
                Failure::input(format!("\"{}\" is no part to size", q.what), names)
            })?;
            size(
                &opened.plan,
                &wish(&q.wish)?,
                &SizeSettings::default(),
                part,
                control,
            )
            .map(|s| Advice::Size(Box::new(s)))
            .map_err(|e| crate::view_model::refusal::of_size(opened, e))
        }
        "payback" => {
            let prices = Prices {
                parts: number(&q.parts, "what the parts cost")?,
                upkeep_per_year: if q.upkeep.trim().is_empty() {
                    0.0
                } else {
                    number(&q.upkeep, "upkeep")?
                },
                fuel: q.fuel.trim().to_lowercase(),
                fuel_price: number(&q.price, "price of the fuel")?,
                money: q.money.trim().to_owned(),
                fuel_carbon_kg_per_gj: None,
            };
            let ran = ensemble::run_with(&opened.plan, Worlds::OfPlan, control)
                .map_err(|e| world(opened, e))?;
            payback(&opened.plan, &ran.draws, &ran.runs, &prices)
                .map(|p| Advice::Payback(Box::new(p)))
                .map_err(crate::view_model::refusal::of_payback)
        }
        other => Err(Failure::input(
            format!("\"{other}\" is nothing that can be asked"),
            "ask for recipe, size or payback",
        )),
    }
}

/// The advice to a question, from memory where it was given already.
///
/// # Errors
/// A plan with faults, a wish that says nothing, a part that is not there.
pub fn advice(app: &App, look: &Look, q: &Question) -> Result<Arc<Advice>, Failure> {
    let Read::Plan(opened) = &look.trial else {
        return Err(Failure::input(
            "the plan has faults and cannot be run",
            "mend them first",
        ));
    };
    let key = format!(
        "{} {}",
        opened.sha256,
        serde_json::to_string(q).unwrap_or_default()
    );
    {
        let known = app.advice.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, found)) = known.iter().find(|(k, _)| *k == key) {
            return Ok(Arc::clone(found));
        }
    }
    let found = Arc::new(app.watched(&look.id, |control| work_out(opened, q, control))?);
    let mut known = app.advice.lock().unwrap_or_else(PoisonError::into_inner);
    known.push_back((key, Arc::clone(&found)));
    while known.len() > KEPT {
        known.pop_front();
    }
    Ok(found)
}

/// The edits that put advice into the plan; `None` when it is nothing to put in.
pub fn edits(look: &Look, advice: &Advice) -> Option<Vec<Edit>> {
    let Read::Plan(opened) = &look.trial else {
        return None;
    };
    match advice {
        Advice::Recipe(r) => recipe_edits::of_recipe(&opened.plan, r),
        Advice::Size(s) => size_edits::of_size(&opened.plan, &look.trial_text, s),
        Advice::Payback(_) => None,
    }
}

/// `GET /plans/{plan}/advice`: the questions; what was asked is fetched by the
/// page's script, or by a link where there is none.
pub async fn page(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(q): Query<Question>,
    headers: HeaderMap,
) -> Response {
    let json = super::negotiate::wants_json(&headers);
    let asked = q.clone();
    let done = with_look(&app, &name, &headers, move |app, look| {
        let found = (json && !asked.ask.is_empty()).then(|| advice(app, &look, &asked));
        (look, found.transpose())
    })
    .await;
    match done {
        Err(response) => response,
        Ok((_, Err(e))) => failed(&e, &headers),
        Ok((look, Ok(found))) => either(
            &headers,
            || serde_json::to_value(found.as_deref()).unwrap_or_default(),
            || view::advice::page(&look, &q),
        ),
    }
}

/// `GET /plans/{plan}/advice/answer`: the advice as a fragment.
pub async fn answer(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(q): Query<Question>,
    headers: HeaderMap,
) -> Response {
    let asked = q.clone();
    let done = with_look(&app, &name, &headers, move |app, look| {
        let found = advice(app, &look, &asked);
        (look, found)
    })
    .await;
    match done {
        Err(response) => response,
        Ok((_, Err(Failure::Internal(e)))) => failed(&Failure::Internal(e), &headers),
        // What cannot be asked is an answer too: it says what can.
        Ok((_, Err(e))) => view::advice::refused(&e.text()).into_response(),
        Ok((look, Ok(found))) => view::advice::fragment(&look, &q, &found).into_response(),
    }
}
