//! What changes a plan.

use std::sync::{Arc, PoisonError};

use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::json;

use super::advice_routes;
use super::desk::{Clash, DeskError};
use super::edits::{self, Changes, Form, get};
use super::negotiate::{apart, desk_failed, failed, not_found, wants_json};
use super::plan_routes::{Asked, answers, fragment};
use super::run::Stage;
use super::view::live::On;
use super::view::{self, Look};
use super::{App, Event, fields, levers};
use crate::failure::Failure;
use crate::web::advice::Question;

/// What became of a request to change something.
enum Done {
    /// It was done, or there was nothing to do.
    Yes,
    /// There is no plan of this name.
    NoPlan,
    /// It is not known what was meant.
    Unclear(String),
    /// The page was behind: someone else did something meanwhile.
    Behind,
}

/// Does `work` at the desk of a plan.
async fn at_desk(
    app: &Arc<App>,
    name: &str,
    work: impl FnOnce(&App, &mut super::desk::Desk) -> Result<Done, DeskError> + Send + 'static,
) -> Result<Result<Done, DeskError>, Failure> {
    let (app, name) = (Arc::clone(app), name.to_owned());
    apart(move || {
        let Some(desk) = app.desk(&name)? else {
            return Ok(Done::NoPlan);
        };
        let mut desk = desk.lock().unwrap_or_else(PoisonError::into_inner);
        // A file that cannot be read just now is told by what is done with it.
        let _ = desk.refresh();
        let before = desk.rev();
        let done = work(&app, &mut desk);
        if desk.rev() != before {
            app.tell(Event::Changed {
                plan: name,
                rev: desk.rev(),
            });
        }
        done
    })
    .await
}

/// Where to go back to: the page the form stood on, if it is one of ours.
fn back(headers: &HeaderMap, plan: &str) -> String {
    let own = format!("/plans/{plan}");
    headers
        .get(header::REFERER)
        .and_then(|v| v.to_str().ok())
        .and_then(|r| r.split_once("://"))
        .and_then(|(_, rest)| rest.find('/').map(|i| rest[i..].to_owned()))
        .filter(|path| path.starts_with(&own) && !path.contains("/desk"))
        .unwrap_or(own)
}

fn apply(
    app: &App,
    desk: &mut super::desk::Desk,
    changes: Changes,
    follows: bool,
) -> Result<Done, DeskError> {
    if changes.edits.is_empty() {
        return Ok(Done::Yes);
    }
    let words = changes.words.join("; ");
    desk.change(&app.shelf, words, changes.edits, &changes.saw, follows)?;
    Ok(Done::Yes)
}

/// `POST /plans/{plan}/parts/{part}`.
pub async fn part(
    State(app): State<Arc<App>>,
    Path((name, id)): Path<(String, String)>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
    axum::Form(form): axum::Form<Form>,
) -> Response {
    let Some(part) = fields::part(&id) else {
        return not_found(&format!("part \"{id}\""), &headers);
    };
    let sent = form.clone();
    let done = at_desk(&app, &name, move |app, desk| {
        let what = get(&form, "do").unwrap_or("set");
        let mut changes = edits::of_fields(desk.trial(), &form);
        let follows = get(&form, "follows") == Some("yes");
        if what == "set" {
            return apply(app, desk, changes, follows);
        }
        // What was typed before the button was pressed is not lost.
        if !changes.edits.is_empty() {
            apply(app, desk, std::mem::take(&mut changes), false)?;
        }
        let plan: toml_edit::DocumentMut = desk.trial().parse().unwrap_or_default();
        let us = crate::plan_paths::stands(plan.as_item(), "plan.units").text == "us";
        let today = jiff::ZonedDateTime::now().date();
        let more = match what.split_once(':') {
            Some(("add", path)) => edits::add(desk.trial(), path, us, today),
            Some(("remove", path)) => {
                let behind = get(&form, "rev") != Some(&desk.rev().to_string());
                if behind && path.ends_with(']') && form_is_old(&form, desk.trial(), path) {
                    return Ok(Done::Behind);
                }
                edits::remove(desk.trial(), path)
            }
            _ => None,
        };
        match more {
            Some(changes) => apply(app, desk, changes, false),
            None => Ok(Done::Unclear(what.to_owned())),
        }
    })
    .await;
    if wants_json(&headers) {
        return live_answer(&app, &name, part, asked, done, &headers).await;
    }
    match done {
        Ok(Err(DeskError::Clash(clashes))) => {
            (StatusCode::CONFLICT, two(&name, &id, &clashes, &sent)).into_response()
        }
        other => finish(other, &format!("/plans/{name}/parts/{id}"), &name, &headers),
    }
}

/// Whether the item a button means may no longer be the one that was seen: some
/// field of it stands otherwise than the form says.
fn form_is_old(form: &Form, text: &str, path: &str) -> bool {
    let plan: toml_edit::DocumentMut = text.parse().unwrap_or_default();
    form.iter().any(|(name, saw)| {
        name.strip_prefix("w:")
            .filter(|p| p.starts_with(path))
            .is_some_and(|p| crate::plan_paths::stands(plan.as_item(), p).literal != *saw)
    })
}

/// Two have written at one place: both are shown, and the writer chooses.
fn two(plan: &str, part: &str, clashes: &[Clash], form: &Form) -> maud::Markup {
    let at = view::layout::Where::default();
    view::layout::page(
        "Two have written",
        at,
        maud::html! {
            h1 { "Someone else has changed the same" }
            p class="lead" { "Nothing was written yet. Choose what should stand." }
            form method="post" action={"/plans/" (plan) "/parts/" (part)} class="two" {
                @for c in clashes {
                    h2 { (c.path) }
                    dl {
                        dt { "Stands there now" } dd { (c.now.as_deref().unwrap_or("nothing")) }
                        dt { "You wrote" } dd { (c.wants.as_deref().unwrap_or("nothing")) }
                    }
                    input type="hidden" name={"w:" (c.path)} value=(c.now.as_deref().unwrap_or_default());
                    input type="hidden" name={"v:" (c.path)} value=(get(form, &format!("v:{}", c.path)).unwrap_or_default());
                }
                button type="submit" name="do" value="set" { "Write mine" }
                " " a href={"/plans/" (plan) "/parts/" (part)} { "Keep theirs" }
            }
        },
    )
}

/// What the page's script gets back: the new fragment, faults by field, and what
/// stands in the fields by now.
async fn live_answer(
    app: &Arc<App>,
    name: &str,
    part: &'static fields::Part,
    asked: Asked,
    done: Result<Result<Done, DeskError>, Failure>,
    headers: &HeaderMap,
) -> Response {
    let clash = match done {
        Err(e) => return failed(&e, headers),
        Ok(Ok(Done::NoPlan)) => return not_found(&format!("plan \"{name}\""), headers),
        Ok(Ok(Done::Unclear(what))) => return unclear(&what, headers),
        Ok(Ok(Done::Behind)) => return behind(name, headers),
        Ok(Err(DeskError::Clash(clashes))) => Some(clashes),
        Ok(Err(e)) => return desk_failed(&e, headers),
        Ok(Ok(Done::Yes)) => None,
    };
    let width = asked.width(headers);
    let on = if asked.on.is_some() {
        asked.on()
    } else {
        On::Part
    };
    let answer = super::plan_routes::with_look(app, name, headers, move |app, look| {
        let answers = answers(app, &look, Stage::Quick)?;
        let live = fragment(&look, &answers, on, width).into_string();
        let fields = super::plan_routes::part_json(&look, part);
        Ok::<_, Failure>(json!({
            "rev": look.rev,
            "live": live,
            "form": view::form::form(&look, part).into_string(),
            "fields": fields["fields"],
            "clash": clash,
        }))
    })
    .await;
    match answer {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, headers),
        Ok(Ok(value)) => {
            let status = if value["clash"].is_null() {
                StatusCode::OK
            } else {
                StatusCode::CONFLICT
            };
            (status, axum::Json(value)).into_response()
        }
    }
}

fn unclear(what: &str, headers: &HeaderMap) -> Response {
    super::access::refuse(
        StatusCode::UNPROCESSABLE_ENTITY,
        &format!("\"{what}\" is nothing that can be done here."),
        headers,
    )
}

fn behind(plan: &str, headers: &HeaderMap) -> Response {
    super::access::refuse(
        StatusCode::CONFLICT,
        &format!(
            "The plan \"{plan}\" was changed meanwhile in another window or by an editor, so nothing \
             was done. Go back, load the page again and look at it as it is now."
        ),
        headers,
    )
}

fn finish(
    done: Result<Result<Done, DeskError>, Failure>,
    to: &str,
    name: &str,
    headers: &HeaderMap,
) -> Response {
    match done {
        Err(e) => failed(&e, headers),
        Ok(Err(e)) => desk_failed(&e, headers),
        Ok(Ok(Done::NoPlan)) => not_found(&format!("plan \"{name}\""), headers),
        Ok(Ok(Done::Unclear(what))) => unclear(&what, headers),
        Ok(Ok(Done::Behind)) => behind(name, headers),
        Ok(Ok(Done::Yes)) if wants_json(headers) => {
            axum::Json(json!({ "done": true })).into_response()
        }
        Ok(Ok(Done::Yes)) => Redirect::to(to).into_response(),
    }
}

/// `POST /plans/{plan}/desk`: keep, drop, undo, redo, try a lever, settle a clash,
/// go back to a version, make a waste one's own.
pub async fn desk(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    axum::Form(form): axum::Form<Form>,
) -> Response {
    let what = get(&form, "do").unwrap_or_default().to_owned();
    let (own, taken) = (what == "own", what == "take");
    let done = at_desk(&app, &name, move |app, desk| {
        let seen = get(&form, "rev").and_then(|r| r.parse::<u64>().ok());
        // What acts on the whole of the desk must have seen the whole of it.
        if !own && seen != Some(desk.rev()) {
            return Ok(Done::Behind);
        }
        let shelf = &app.shelf;
        let number = |field| get(&form, field).and_then(|v| v.parse::<usize>().ok());
        let done = match what.as_str() {
            "keep" => {
                let now = look_of(app, desk);
                if let super::run::Read::Faults(_) = now.trial {
                    return Err(DeskError::Edit("a plan with faults is not kept".to_owned()));
                }
                desk.keep(shelf).map(|_| true)
            }
            "drop" => desk.drop_all(shelf),
            "undo" => desk.undo(shelf),
            "redo" => desk.redo(shelf),
            "mine" | "theirs" => match number("change") {
                Some(change) => desk.settle(shelf, change, what == "mine"),
                None => return Ok(Done::Unclear(what)),
            },
            "try" => {
                let id = get(&form, "lever").unwrap_or_default();
                let Some(edits) = levers::edits(id, desk.trial()) else {
                    return Ok(Done::Unclear(format!("{what} {id}")));
                };
                let words = id.replace('_', " ");
                desk.change(shelf, words, edits, &[], false).map(|()| true)
            }
            "take" => {
                let question = Question {
                    ask: get(&form, "ask").unwrap_or_default().to_owned(),
                    wish: get(&form, "wish").unwrap_or_default().to_owned(),
                    what: get(&form, "what").unwrap_or_default().to_owned(),
                    ..Question::default()
                };
                let now = look_of(app, desk);
                let edits = advice_routes::advice(app, &now, &question)
                    .ok()
                    .and_then(|found| advice_routes::edits(&now, &found));
                let Some(edits) = edits else {
                    return Ok(Done::Unclear(format!("{what} {}", question.ask)));
                };
                let wish = if question.wish.is_empty() {
                    "all of it"
                } else {
                    &question.wish
                };
                let words = format!("{} for: {wish}", question.ask);
                desk.change(shelf, words, edits, &[], false).map(|()| true)
            }
            "own" => {
                let id = get(&form, "feedstock").unwrap_or_default();
                match edits::own(desk.trial(), id) {
                    Some(changes) => return apply(app, desk, changes, false),
                    None => return Ok(Done::Unclear(format!("{what} {id}"))),
                }
            }
            "version" => {
                let id = get(&form, "version").unwrap_or_default();
                let Some(text) = shelf.version_text(&desk.name, id) else {
                    return Ok(Done::Unclear(format!("{what} {id}")));
                };
                let saw = super::shelf::sha256(desk.trial());
                desk.rewrite(shelf, format!("back to the version of {id}"), text, &saw)
                    .map(|()| true)
            }
            _ => return Ok(Done::Unclear(what)),
        };
        done.map(|_| Done::Yes)
    })
    .await;
    let to = if taken {
        format!("/plans/{name}")
    } else if own {
        format!("/plans/{name}/parts/waste")
    } else {
        back(&headers, &name)
    };
    finish(done, &to, &name, &headers)
}

/// A look at a desk that is held already.
fn look_of(app: &App, desk: &super::desk::Desk) -> Look {
    let shown = desk.name.clone();
    let folder = desk.file.as_ref().map(|_| app.shelf.folder());
    let trial = super::run::read(desk.trial(), &shown, folder);
    Look {
        id: desk.name.clone(),
        name: shown,
        file: None,
        rev: desk.rev(),
        kept: trial.clone(),
        trial,
        trial_text: desk.trial().to_owned(),
        changes: Vec::new(),
        undone: 0,
        clashes: Vec::new(),
    }
}

/// `POST /plans/{plan}/text`.
pub async fn text(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    axum::Form(form): axum::Form<Form>,
) -> Response {
    let wrote = get(&form, "text").unwrap_or_default().replace("\r\n", "\n");
    let mine = wrote.clone();
    let done = at_desk(&app, &name, move |app, desk| {
        let saw = get(&form, "saw").unwrap_or_default();
        // A browser's form has its own line ends and no last empty line of ours.
        let old = desk.trial().replace("\r\n", "\n");
        if old.trim_end() == wrote.trim_end() {
            return Ok(Done::Yes);
        }
        let mut text = wrote;
        if !text.ends_with('\n') {
            text.push('\n');
        }
        desk.rewrite(&app.shelf, "the text rewritten".to_owned(), text, saw)?;
        Ok(Done::Yes)
    })
    .await;
    if let Ok(Err(DeskError::Clash(_))) = &done
        && !wants_json(&headers)
    {
        let page = super::plan_routes::with_look(&app, &name, &headers, move |_, look| {
            view::text::clash(&look, &mine)
        })
        .await;
        return match page {
            Ok(page) => (StatusCode::CONFLICT, page).into_response(),
            Err(response) => response,
        };
    }
    finish(done, &format!("/plans/{name}/text"), &name, &headers)
}
