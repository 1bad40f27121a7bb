//! The requests of the page, and the answers.

use crate::serve::assets;
use crate::serve::changed::Refused;
use crate::serve::edit::Edit;
use crate::serve::guard;
use crate::serve::guard::Key;
use crate::serve::opened::Opened;
use crate::solve::Depth;
use axum::Json;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::extract::Query;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::Uri;
use axum::http::header;
use axum::middleware;
use axum::response::IntoResponse;
use axum::response::Response;
use axum::response::sse::Event;
use axum::response::sse::KeepAlive;
use axum::response::sse::Sse;
use axum::routing::get;
use axum::routing::post;
use futures_core::Stream;
use serde::Deserialize;
use serde_json::Value;
use serde_json::json;
use std::convert::Infallible;
use std::pin::Pin;
use std::sync::Arc;
use std::task::Context;
use std::task::Poll;
use tokio::sync::mpsc::UnboundedReceiver;

/// Maximum size of a request, in bytes: a job as a text. Our choice.
const LARGEST: usize = 5 << 20;

type Job = State<Arc<Opened>>;

/// A job for pages that have a key.
pub fn router(opened: Arc<Opened>, key: Key) -> Router {
    Router::new()
        .route("/job", get(list))
        .route("/flats", post(flats))
        .route("/part", get(part))
        .route("/folded", get(folded))
        .route("/section", get(section))
        .route("/causes", get(causes))
        .route("/remedies", get(remedies))
        .route("/entry-remedies", get(entry_remedies))
        .route("/entries", get(entries))
        .route("/entry", get(entry))
        .route("/measurable", get(measurable))
        .route("/handles", get(handles))
        .route("/machine", get(machine))
        .route("/shop", get(shop))
        .route("/order", get(order))
        .route("/keep", post(keep))
        .route("/sent", post(sent))
        .route("/text", get(text))
        .route("/recipes", get(recipes))
        .route("/sheets", get(sheets))
        .route("/events", get(events))
        .route("/try", post(tried))
        .route("/edit", post(edit))
        .route("/step", post(step))
        .route("/search", post(search))
        .route("/stop", post(stop))
        .route("/make", post(make))
        .route("/written", get(written))
        .fallback(get(file))
        .with_state(opened)
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(middleware::from_fn_with_state(key, guard::guard))
}

async fn file(uri: Uri) -> Response {
    assets::file(uri.path())
}

/// Does what takes its time beside the other requests.
async fn beside<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Response> {
    let lost = |_| (StatusCode::INTERNAL_SERVER_ERROR, "this is an error in platewright");
    tokio::task::spawn_blocking(work).await.map_err(|error| lost(error).into_response())
}

fn cannot(words: String) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, Json(json!({ "why": words }))).into_response()
}

fn refused(why: Refused) -> Response {
    match why {
        Refused::Cannot(words) => cannot(words),
        Refused::Outside(words) => {
            (StatusCode::CONFLICT, Json(json!({ "why": words }))).into_response()
        }
    }
}

fn nothing() -> Response {
    (StatusCode::NOT_FOUND, Json(json!({ "why": "there is no such part" }))).into_response()
}

async fn list(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.list()).await.map(Json)
}

/// Some parts by their names.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Names {
    names: Vec<String>,
}

async fn flats(State(job): Job, Json(of): Json<Names>) -> Result<Json<Vec<Value>>, Response> {
    beside(move || job.flats(&of.names)).await.map(Json)
}

/// A part, and the room for its drawing, px.
#[derive(Deserialize)]
struct Named {
    name: String,
    #[serde(default = "usual_width")]
    w: f64,
    #[serde(default = "usual_height")]
    h: f64,
}

const fn usual_width() -> f64 {
    560.0
}

const fn usual_height() -> f64 {
    420.0
}

async fn part(State(job): Job, Query(of): Query<Named>) -> Result<Json<Value>, Response> {
    let part = beside(move || job.part(&of.name, [of.w, of.h])).await?;
    part.map(Json).ok_or_else(nothing)
}

#[derive(Deserialize)]
struct Folding {
    name: String,
    #[serde(default)]
    done: f64,
}

async fn folded(State(job): Job, Query(of): Query<Folding>) -> Result<Json<Value>, Response> {
    let folded = beside(move || job.folded(&of.name, of.done)).await?;
    folded.ok_or_else(nothing)?.map(Json).map_err(cannot)
}

/// A step of a part's bends, counted from 1.
#[derive(Deserialize)]
struct Stepped {
    name: String,
    step: usize,
}

async fn section(State(job): Job, Query(of): Query<Stepped>) -> Result<Json<Value>, Response> {
    let section = beside(move || job.section(&of.name, of.step)).await?;
    section.map(Json).ok_or_else(nothing)
}

async fn entries(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.entries()).await.map(Json)
}

/// A link, a tube or a load, and the room for its drawing, px.
#[derive(Deserialize)]
struct EntryRequest {
    kind: String,
    index: usize,
    #[serde(default = "usual_width")]
    w: f64,
    #[serde(default = "usual_height")]
    h: f64,
}

async fn entry(State(job): Job, Query(of): Query<EntryRequest>) -> Result<Json<Value>, Response> {
    let entry = beside(move || job.entry(&of.kind, of.index, [of.w, of.h])).await?;
    entry.map(Json).ok_or_else(nothing)
}

async fn measurable(State(job): Job, Query(of): Query<Named>) -> Result<Json<Value>, Response> {
    let all = beside(move || job.measurable(&of.name)).await?;
    all.map(Json).ok_or_else(nothing)
}

async fn causes(State(job): Job, Query(of): Query<Named>) -> Result<Json<Value>, Response> {
    let all = beside(move || job.trials.run(|| job.causes(&of.name))).await?;
    all.map(Json).ok_or_else(nothing)
}

async fn remedies(State(job): Job, Query(of): Query<Named>) -> Result<Json<Value>, Response> {
    let all = beside(move || job.trials.run(|| job.remedies(&of.name))).await?;
    all.map(Json).ok_or_else(nothing)
}

/// A link, a tube or a load.
#[derive(Deserialize)]
struct EntryName {
    kind: String,
    index: usize,
}

async fn entry_remedies(
    State(job): Job,
    Query(of): Query<EntryName>,
) -> Result<Json<Value>, Response> {
    let all = beside(move || job.trials.run(|| job.entry_remedies(&of.kind, of.index))).await?;
    all.map(Json).ok_or_else(nothing)
}

async fn handles(State(job): Job, Query(of): Query<Named>) -> Result<Json<Value>, Response> {
    let all = beside(move || job.trials.run(|| job.handles(&of.name, [of.w, of.h]))).await?;
    all.map(Json).ok_or_else(nothing)
}

/// The room for a drawing, px.
#[derive(Deserialize)]
struct Room {
    #[serde(default = "usual_width")]
    w: f64,
    #[serde(default = "usual_height")]
    h: f64,
}

async fn machine(State(job): Job, Query(of): Query<Room>) -> Result<Json<Value>, Response> {
    beside(move || job.machine([of.w, of.h])).await.map(Json)
}

async fn shop(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.shop()).await?.map(Json).map_err(cannot)
}

async fn order(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.order()).await?.map(Json).map_err(cannot)
}

/// A package of the order, and whether it is kept here.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Keep {
    name: String,
    keep: bool,
}

async fn keep(State(job): Job, Json(of): Json<Keep>) -> Json<Value> {
    job.keep(&of.name, of.keep);
    Json(json!({}))
}

/// The recipient of an order.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct To {
    to: String,
}

async fn sent(State(job): Job, Json(of): Json<To>) -> Result<Json<Value>, Response> {
    let words = beside(move || job.sent(&of.to)).await?.map_err(cannot)?;
    Ok(Json(json!({ "words": words })))
}

async fn text(State(job): Job) -> Json<Value> {
    let (text, version) = job.text();
    Json(json!({ "text": text, "version": version }))
}

async fn recipes(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.recipes()).await?.map(Json).map_err(cannot)
}

async fn sheets(State(job): Job) -> Result<Json<Value>, Response> {
    beside(move || job.sheets()).await.map(Json)
}

/// An edit, and the room for the drawing of its part, px.
#[derive(Deserialize)]
struct EditRequest {
    edit: Edit,
    #[serde(default = "usual_width")]
    w: f64,
    #[serde(default = "usual_height")]
    h: f64,
    /// Whether to answer with the picture at once, and send the rest later.
    #[serde(default)]
    quick: bool,
}

const fn depth(quick: bool) -> Depth {
    if quick { Depth::Flat } else { Depth::Whole }
}

async fn tried(State(job): Job, Json(of): Json<EditRequest>) -> Result<Json<Value>, Response> {
    beside(move || job.tried(&of.edit, [of.w, of.h], depth(of.quick)))
        .await?
        .map(Json)
        .map_err(refused)
}

async fn edit(State(job): Job, Json(of): Json<EditRequest>) -> Result<Json<Value>, Response> {
    let edited = beside(move || {
        let seen = job.edit(&of.edit, depth(of.quick))?;
        let part = seen.part.and_then(|name| job.part(&name, [of.w, of.h]));
        let entry = seen.entry.as_deref().and_then(|place| {
            let (kind, index) = place.split_once('/')?;
            job.entry(kind, index.parse().ok()?, [of.w, of.h])
        });
        Ok(json!({ "job": job.list(), "part": part, "entry": entry, "place": seen.entry }))
    });
    edited.await?.map(Json).map_err(refused)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Back {
    back: bool,
    #[serde(default)]
    quick: bool,
}

async fn step(State(job): Job, Json(of): Json<Back>) -> Result<Json<Value>, Response> {
    let stepped = beside(move || {
        let seen = job.step(of.back, depth(of.quick))?;
        Ok(json!({
            "job": job.list(), "part": seen.part, "entry": seen.entry, "name": seen.name
        }))
    });
    stepped.await?.map(Json).map_err(refused)
}

/// A request without further data.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Bare {}

async fn search(State(job): Job, Json(Bare {}): Json<Bare>) -> Result<Json<Value>, Response> {
    let searched = beside(move || {
        job.search()?;
        Ok(job.sheets())
    });
    searched.await?.map(Json).map_err(cannot)
}

async fn stop(State(job): Job, Json(Bare {}): Json<Bare>) -> Json<Value> {
    job.stop();
    Json(json!({}))
}

async fn make(State(job): Job, Json(Bare {}): Json<Bare>) -> Result<Json<Value>, Response> {
    let (folder, files) = beside(move || job.make()).await?.map_err(cannot)?;
    Ok(Json(json!({ "folder": folder, "files": files })))
}

#[derive(Deserialize)]
struct Written {
    name: String,
}

/// A file of what was written, to be saved by the browser: it is never shown here.
async fn written(State(job): Job, Query(of): Query<Written>) -> Result<Response, Response> {
    let bytes = job.written(&of.name).ok_or_else(nothing)?;
    let name = of.name.rsplit('/').next().unwrap_or_default();
    let plain: String =
        name.chars().map(|c| if c.is_ascii_graphic() && c != '"' { c } else { '_' }).collect();
    let kind = (header::CONTENT_TYPE, "application/octet-stream".to_owned());
    let saved = (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{plain}\""));
    Ok(([kind, saved], bytes).into_response())
}

/// Messages as they come.
struct Messages(UnboundedReceiver<String>);

impl Stream for Messages {
    type Item = Result<Event, Infallible>;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        self.0.poll_recv(context).map(|told| told.map(|words| Ok(Event::default().data(words))))
    }
}

async fn events(State(job): Job) -> impl IntoResponse {
    Sse::new(Messages(job.listeners.add())).keep_alive(KeepAlive::default())
}
