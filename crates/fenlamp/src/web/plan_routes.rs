//! What is asked about a plan: reading only.

use std::convert::Infallible;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::sse::{self, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use maud::{Markup, html};
use tokio_stream::StreamExt;
use tokio_stream::wrappers::BroadcastStream;

use super::desk::{Desk, DeskError};
use super::fields;
use super::negotiate::{apart, desk_failed, either, failed, not_found, wants_json};
use super::run::{self, Progress, Read, Stage, Told};
use super::view::live::{Live, On};
use super::view::plot::{WIDTHS, Window};
use super::view::{self, Look};
use super::{App, Event};
use crate::failure::Failure;

/// What an address may say behind its question mark.
#[derive(Debug, Default, Clone, serde::Deserialize)]
pub struct Asked {
    /// Width of the plots.
    pub w: Option<f64>,
    /// `full` or `changes`.
    pub stage: Option<String>,
    /// `part` beside a form.
    pub on: Option<String>,
    /// First day of a plot.
    pub from: Option<jiff::civil::Date>,
    /// Last day of a plot.
    pub to: Option<jiff::civil::Date>,
    /// The day that counts as today, in a diary.
    pub day: Option<Date>,
    /// Year and month of a figure.
    pub month: Option<String>,
}

impl Asked {
    /// Width of the plots: what the page measured, or a guess by the browser.
    pub fn width(&self, headers: &HeaderMap) -> f64 {
        let phone = headers
            .get(header::USER_AGENT)
            .and_then(|v| v.to_str().ok())
            .is_some_and(|a| a.contains("Mobi"));
        let guess = if phone { 350.0 } else { 760.0 };
        self.w
            .filter(|w| w.is_finite())
            .unwrap_or(guess)
            .clamp(WIDTHS.0, WIDTHS.1)
    }

    /// On which page the fragment stands.
    pub fn on(&self) -> On {
        if self.on.as_deref() == Some("part") {
            On::Part
        } else {
            On::Year
        }
    }
}

/// What a plan is just now.
pub fn look(app: &App, desk: &Arc<Mutex<Desk>>) -> Look {
    let mut desk = desk.lock().unwrap_or_else(PoisonError::into_inner);
    // A file that cannot be read just now: what lies on the desk is shown.
    if desk.refresh() == Ok(true) {
        app.tell(Event::Changed {
            plan: desk.name.clone(),
            rev: desk.rev(),
        });
    }
    let folder: Option<PathBuf> = Some(app.shelf.folder().to_path_buf());
    let file = desk.file.as_ref().map(|f| f.display().to_string());
    let shown = file
        .clone()
        .unwrap_or_else(|| format!("demo:{}", desk.name));
    let folder = desk.file.as_ref().and(folder);
    let kept = run::read(desk.kept(), &shown, folder.as_deref());
    let trial = if desk.trial() == desk.kept() {
        kept.clone()
    } else {
        run::read(desk.trial(), &shown, folder.as_deref())
    };
    let name = match (&trial, &kept) {
        (Read::Plan(p), _) | (_, Read::Plan(p)) => p.plan.name.clone(),
        _ => desk.name.clone(),
    };
    Look {
        id: desk.name.clone(),
        name,
        file,
        rev: desk.rev(),
        kept,
        trial,
        trial_text: desk.trial().to_owned(),
        changes: desk.changes().iter().map(|c| c.words.clone()).collect(),
        undone: desk.undone().len(),
        clashes: desk.clashes().to_vec(),
    }
}

/// The answers of a plan: that shown, and beside a trial that of the plan as kept.
pub struct Answers {
    /// What is shown.
    pub shown: Option<Arc<Told>>,
    /// The plan as kept, beside a trial that runs.
    pub kept: Option<Arc<Told>>,
}

/// Runs what is asked of a plan.
///
/// # Errors
/// As [`run::Runner::tell`].
pub fn answers(app: &App, look: &Look, stage: Stage) -> Result<Answers, Failure> {
    let on = |progress: Progress| {
        app.tell(Event::Progress {
            plan: look.id.clone(),
            progress,
        });
    };
    let quiet = |_: Progress| {};
    let kept_side = format!("{} kept", look.id);
    let tell_kept = |stage| match &look.kept {
        Read::Plan(opened) => app.runner.tell(&kept_side, opened, stage, &quiet).map(Some),
        Read::Faults(_) => Ok(None),
    };
    match (&look.trial, look.is_tried()) {
        (Read::Plan(opened), true) => {
            let shown = app.runner.tell(&look.id, opened, stage, &on)?;
            // Beside a trial the kept plan needs no changes of its own.
            let beside = if stage == Stage::Quick {
                Stage::Quick
            } else {
                Stage::Full
            };
            Ok(Answers {
                kept: tell_kept(beside)?,
                shown: Some(shown),
            })
        }
        (Read::Plan(opened), false) => Ok(Answers {
            shown: Some(app.runner.tell(&look.id, opened, stage, &on)?),
            kept: None,
        }),
        // What is tried is no plan: the plan as kept is shown.
        (Read::Faults(_), _) => Ok(Answers {
            shown: tell_kept(stage)?,
            kept: None,
        }),
    }
}

/// The fragment that moves.
pub fn fragment(look: &Look, answers: &Answers, on: On, width: f64) -> Markup {
    let gain = match (&answers.kept, &answers.shown) {
        (Some(kept), Some(shown)) => run::compare(kept, shown, "as tried"),
        _ => None,
    };
    view::live::live(&Live {
        look,
        shown: answers.shown.as_deref(),
        kept: answers.kept.as_deref(),
        gain,
        on,
        width,
    })
}

type Found<T> = Result<Option<T>, DeskError>;

/// Does `work` with a plan, off the threads that answer; answers for plans that are
/// not there and files that cannot be read.
pub async fn with_look<T: Send + 'static>(
    app: &Arc<App>,
    name: &str,
    headers: &HeaderMap,
    work: impl FnOnce(&App, Look) -> T + Send + 'static,
) -> Result<T, Response> {
    let (app, plan) = (Arc::clone(app), name.to_owned());
    let done: Result<Found<T>, Failure> = apart(move || {
        let Some(desk) = app.desk(&plan)? else {
            return Ok(None);
        };
        let look = look(&app, &desk);
        Ok(Some(work(&app, look)))
    })
    .await;
    match done {
        Ok(Ok(Some(t))) => Ok(t),
        Ok(Ok(None)) => Err(not_found(&format!("plan \"{name}\""), headers)),
        Ok(Err(e)) => Err(desk_failed(&e, headers)),
        Err(e) => Err(failed(&e, headers)),
    }
}

/// `GET /plans/{plan}`: the opening view, or the whole answer as JSON.
pub async fn year(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let json = wants_json(&headers);
    let stage = if json || asked.stage.as_deref() == Some("changes") {
        Stage::Changes
    } else {
        Stage::Quick
    };
    let width = asked.width(&headers);
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, stage)?;
        Ok::<_, Failure>((look, answers))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok((look, answers))) if json => match &answers.shown {
            Some(told) => {
                let mut response = axum::Json(&told.answer).into_response();
                let vary = HeaderValue::from_static("accept");
                response.headers_mut().insert(header::VARY, vary);
                response
            }
            None => failed(&Failure::input(faults(&look), ""), &headers),
        },
        Ok(Ok((look, answers))) => {
            let live = fragment(&look, &answers, On::Year, width);
            view::layout::page(
                &look.name,
                look.at(""),
                html! {
                    h1 { (look.name) }
                    @if let Some(told) = &answers.shown { p class="about" { (told.opened.plan.about) } }
                    noscript { p { a href={"/plans/" (look.id) "?stage=changes"} { "Show the full band" } } }
                    (live)
                },
            )
            .into_response()
        }
    }
}

fn faults(look: &Look) -> String {
    match &look.trial {
        Read::Faults(faults) => faults.to_string(),
        Read::Plan(_) => String::new(),
    }
}

/// `GET /plans/{plan}/live`: the fragment at a stage.
pub async fn live(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let stage = Stage::of_word(asked.stage.as_deref().unwrap_or_default());
    let (on, width) = (asked.on(), asked.width(&headers));
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, stage)?;
        Ok::<_, Failure>(fragment(&look, &answers, on, width))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok(markup)) => markup.into_response(),
    }
}

/// The best that is known already of the plan shown, run quickly if nothing is.
fn at_hand(app: &App, look: &Look) -> Result<Answers, Failure> {
    let known = |read: &Read| match read {
        Read::Plan(opened) => app.runner.known(&opened.sha256, Stage::Quick),
        Read::Faults(_) => None,
    };
    let shown = known(&look.trial);
    match (shown, look.is_tried()) {
        (Some(shown), false) => Ok(Answers {
            shown: Some(shown),
            kept: None,
        }),
        (Some(shown), true) => match known(&look.kept) {
            Some(kept) => Ok(Answers {
                shown: Some(shown),
                kept: Some(kept),
            }),
            None => answers(app, look, Stage::Quick),
        },
        (None, _) => answers(app, look, Stage::Quick),
    }
}

/// `GET /plans/{plan}/plot`: the year's plot, or a part of it.
pub async fn plot(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let window = Window {
        from: asked.from,
        to: asked.to,
        width: asked.width(&headers),
    };
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = at_hand(app, &look)?;
        Ok::<_, Failure>(
            answers
                .shown
                .map(|told| view::plot::year_inside(&told, answers.kept.as_deref(), window)),
        )
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok(Some(markup))) => markup.into_response(),
        Ok(Ok(None)) => not_found("plot of a plan that cannot be run", &headers),
    }
}

/// `GET /plans/{plan}/days.csv`.
pub async fn days(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, Stage::Full)?;
        match answers.shown {
            Some(told) => crate::view_model::daily_csv::write(&told.answer),
            None => Err(Failure::input(faults(&look), "")),
        }
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok(csv)) => {
            let mut response = csv.into_response();
            let out = response.headers_mut();
            let kind = HeaderValue::from_static("text/csv; charset=utf-8");
            out.insert(header::CONTENT_TYPE, kind);
            let as_file = format!(
                "attachment; filename=\"{}-days.csv\"",
                super::shelf::slug(&name)
            );
            if let Ok(value) = HeaderValue::from_str(&as_file) {
                out.insert(header::CONTENT_DISPOSITION, value);
            }
            response
        }
    }
}

/// `GET /plans/{plan}/parts`.
pub async fn parts(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let width = asked.width(&headers);
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = at_hand(app, &look)?;
        let drawing = answers
            .shown
            .as_ref()
            .map(|told| view::plant::plant(&look, told, width));
        Ok::<_, Failure>((look, drawing))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok((look, drawing))) => either(
            &headers,
            || {
                fields::PARTS
                    .iter()
                    .map(|p| serde_json::json!({ "id": p.id, "title": p.title }))
                    .collect::<Vec<_>>()
            },
            || view::form::parts(&look, &drawing.unwrap_or_default()),
        ),
    }
}

/// The fields of a part with what stands in them, for JSON.
pub fn part_json(look: &Look, part: &fields::Part) -> serde_json::Value {
    let plan: toml_edit::DocumentMut = look.trial_text.parse().unwrap_or_default();
    let mut out = Vec::new();
    for table in part.tables {
        let n = crate::plan_paths::count(plan.as_item(), table.path);
        let heres: Vec<String> = if table.list {
            (0..n).map(|i| format!("{}[{i}]", table.path)).collect()
        } else {
            vec![table.path.to_owned()]
        };
        for here in heres {
            for field in table.fields {
                let path = format!("{here}.{}", field.key);
                let stands = crate::plan_paths::stands(plan.as_item(), &path);
                let faults = view::form::faults_at(look, &path);
                if !stands.literal.is_empty() || !faults.is_empty() {
                    out.push(serde_json::json!({
                        "path": path, "label": field.label, "text": stands.text,
                        "literal": stands.literal, "faults": faults,
                    }));
                }
            }
        }
    }
    serde_json::json!({ "part": part.id, "rev": look.rev, "fields": out })
}

/// `GET /plans/{plan}/parts/{part}`.
pub async fn part(
    State(app): State<Arc<App>>,
    Path((name, id)): Path<(String, String)>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let Some(part) = fields::part(&id) else {
        return not_found(&format!("part \"{id}\""), &headers);
    };
    let width = asked.width(&headers);
    let only_form = asked.on.as_deref() == Some("form");
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = if only_form {
            None
        } else {
            Some(at_hand(app, &look)?)
        };
        Ok::<_, Failure>((look, answers))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok((look, None))) => view::form::form(&look, part).into_response(),
        Ok(Ok((look, Some(answers)))) => either(
            &headers,
            || part_json(&look, part),
            || {
                let live = fragment(&look, &answers, On::Part, width);
                view::form::page(&look, part, &live)
            },
        ),
    }
}

/// `GET /plans/{plan}/cautions`.
pub async fn cautions(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, Stage::Full)?;
        Ok::<_, Failure>((look, answers.shown))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok((look, None))) => failed(&Failure::input(faults(&look), ""), &headers),
        Ok(Ok((look, Some(told)))) => either(
            &headers,
            || &told.answer.findings,
            || view::cautions::page(&look, &told),
        ),
    }
}

/// `GET /plans/{plan}/figures/{figure}`.
pub async fn figure(
    State(app): State<Arc<App>>,
    Path((name, figure)): Path<(String, String)>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let month = asked.month.as_deref().and_then(|m| {
        let (y, m) = m.split_once('-')?;
        Some((y.parse::<i16>().ok()?, m.parse::<i8>().ok()?))
    });
    let shown = figure.clone();
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, Stage::Full)?;
        let story = answers
            .shown
            .and_then(|told| view::figure::story(&look, &told, &figure, month));
        Ok::<_, Failure>((look, story))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok((_, None))) => not_found(&format!("figure \"{shown}\""), &headers),
        Ok(Ok((look, Some(story)))) => either(
            &headers,
            || story.clone(),
            || view::figure::page(&look, &story),
        ),
    }
}

/// `GET /plans/{plan}/text`.
pub async fn text(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    let done = with_look(&app, &name, &headers, move |app, look| {
        let versions = app.shelf.versions(&look.id);
        (look, versions)
    })
    .await;
    match done {
        Err(response) => response,
        Ok((look, versions)) => either(
            &headers,
            || {
                serde_json::json!({
                    "rev": look.rev, "text": look.trial_text, "file": look.file,
                    "changes": look.changes, "versions": versions,
                })
            },
            || view::text::page(&look, &versions),
        ),
    }
}

/// `GET /plans/{plan}/versions/{version}`.
pub async fn version(
    State(app): State<Arc<App>>,
    Path((name, id)): Path<(String, String)>,
    headers: HeaderMap,
) -> Response {
    let wanted = id.clone();
    let done = with_look(&app, &name, &headers, move |app, look| {
        let text = app.shelf.version_text(&look.id, &wanted);
        (look, text)
    })
    .await;
    match done {
        Err(response) => response,
        Ok((_, None)) => not_found("such version", &headers),
        Ok((look, Some(text))) => either(
            &headers,
            || serde_json::json!({ "id": id, "text": text }),
            || view::text::version(&look, &id, &text),
        ),
    }
}

/// What kind of booklet.
#[derive(Debug, Default, serde::Deserialize)]
pub struct Printed {
    paper: Option<String>,
    language: Option<String>,
}

/// `GET /plans/{plan}/print`: the way to the booklet.
pub async fn print(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    match with_look(&app, &name, &headers, |_, look| view::print::page(&look)).await {
        Ok(page) => page.into_response(),
        Err(response) => response,
    }
}

/// The booklet carries its own styles and pictures, and no script.
const BOOKLET_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
    font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// `GET /plans/{plan}/booklet`: the booklet, one file.
pub async fn booklet(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(printed): Query<Printed>,
    headers: HeaderMap,
) -> Response {
    let paper = match printed.paper.as_deref() {
        Some("letter") => crate::booklet::Paper::Letter,
        _ => crate::booklet::Paper::A4,
    };
    let language = printed
        .language
        .as_deref()
        .and_then(fenlamp_words::Language::of_tag)
        .unwrap_or(fenlamp_words::Language::English);
    let done = with_look(&app, &name, &headers, move |app, look| {
        let answers = answers(app, &look, Stage::Changes)?;
        let Some(told) = answers.shown else {
            return Err(Failure::input(faults(&look), ""));
        };
        let wanted = crate::booklet::Wanted { paper, language };
        crate::booklet::write(&told.opened.plan, &told.answer, wanted)
            .map_err(|e| Failure::Internal(format!("the booklet could not be written: {e}")))
    })
    .await;
    match done {
        Err(response) => response,
        Ok(Err(e)) => failed(&e, &headers),
        Ok(Ok(html)) => {
            let mut response = axum::response::Html(html).into_response();
            let policy = HeaderValue::from_static(BOOKLET_POLICY);
            response
                .headers_mut()
                .insert(header::CONTENT_SECURITY_POLICY, policy);
            response
        }
    }
}

/// `GET /plans/{plan}/events`: how far a run is, and that the plan was changed.
pub async fn events(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
) -> Sse<impl tokio_stream::Stream<Item = Result<sse::Event, Infallible>>> {
    let stream = BroadcastStream::new(app.events.subscribe()).filter_map(move |event| {
        let event = event.ok()?;
        let of = match &event {
            Event::Progress { plan, .. } | Event::Changed { plan, .. } => plan,
        };
        if *of != name {
            return None;
        }
        sse::Event::default().json_data(&event).ok().map(Ok)
    });
    Sse::new(stream).keep_alive(KeepAlive::new().interval(Duration::from_secs(20)))
}
