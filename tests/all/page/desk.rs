//! A job on a desk of the tests: its text in memory, with requests through the router as from a
//! browser.

use axum::Router;
use axum::body::Body;
use axum::body::HttpBody;
use axum::body::to_bytes;
use axum::http::Request;
use axum::http::Response;
use axum::http::StatusCode;
use platewright::history::FILE;
use platewright::history::Made;
use platewright::history::Past;
use platewright::history::Sent;
use platewright::job::Shelf;
use platewright::serve;
use platewright::serve::Desk;
use platewright::serve::Key;
use platewright::serve::Opened;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use platewright::write::NamedFile;
use serde_json::Value;
use serde_json::json;
use std::collections::BTreeSet;
use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering;
use std::time::Duration;
use tower::ServiceExt;

/// Two tabs and a box, with comments, on two sheets.
pub(super) const JOB: &str = r#"# A cart.
process = "laser"   # ours

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["500 mm", "400 mm"], price = 14 } ]

[[sheet]]
name      = "S235 2 mm"
material  = "S235"
thickness = "2 mm"
stock     = [ { size = ["500 mm", "400 mm"] } ]

# The first.
[[part]]
recipe   = "tab"
name     = "ear"
quantity = 2   # pairs
sheet    = "S235 4 mm"
given    = { bolt = "M8", reach = "30 mm", foot = "40 mm" }

[[part]]
recipe = "tab"
name   = "lug"
sheet  = "S235 4 mm"

[[part]]
recipe = "box-bracket"
name   = "box"
sheet  = "S235 2 mm"
given  = { length = "120 mm", width = "90 mm" }
"#;

pub(super) const KEY: &str = "0123456789abcdef0123456789abcdef";
pub(super) const PORT: u16 = 4711;
pub(super) const HOST: &str = "127.0.0.1:4711";

/// The contents of the desk, shared with the test.
#[derive(Default)]
pub(super) struct OnDesk {
    pub(super) text: Mutex<String>,
    /// The records of what was made and sent.
    pub(super) past: Mutex<Past>,
    /// The shop file, `shop.toml`; empty where there is none.
    pub(super) shop: Mutex<String>,
    pub(super) files: Mutex<Vec<NamedFile>>,
    /// Whether nothing more can be written.
    pub(super) full: AtomicBool,
}

struct Memory {
    on: Arc<OnDesk>,
    tables: Tables,
}

impl Desk for Memory {
    fn name(&self) -> String {
        "cart".into()
    }

    fn shown(&self) -> String {
        "cart.toml".into()
    }

    fn text(&self) -> Result<String, String> {
        Ok(self.on.text.lock().unwrap().clone())
    }

    fn save(&self, was: &str, text: &str) -> Result<bool, String> {
        if self.on.full.load(Ordering::Relaxed) {
            return Err("cart.toml cannot be written: no space left on device".into());
        }
        let mut there = self.on.text.lock().unwrap();
        let same = *there == was;
        if same {
            text.clone_into(&mut there);
        }
        Ok(same)
    }

    fn file(&self, name: &str) -> Result<Option<String>, String> {
        let text = self.on.shop.lock().unwrap().clone();
        Ok((name == "shop.toml" && !text.is_empty()).then_some(text))
    }

    fn save_file(&self, name: &str, was: &str, text: &str) -> Result<bool, String> {
        assert_eq!(name, "shop.toml");
        let mut there = self.on.shop.lock().unwrap();
        let same = *there == was;
        if same {
            text.clone_into(&mut there);
        }
        Ok(same)
    }

    fn past(&self) -> Result<Past, String> {
        Ok(self.on.past.lock().unwrap().clone())
    }

    fn sent(
        &self,
        to: &str,
        packages: &BTreeSet<String>,
        parts: &BTreeSet<String>,
    ) -> Result<String, String> {
        if self.on.files.lock().unwrap().is_empty() {
            return Err("nothing was made".into());
        }
        let mut past = self.on.past.lock().unwrap();
        let made = self.on.files.lock().unwrap();
        let text = made.iter().find(|file| file.name == FILE).unwrap();
        let mut state = Made::read(std::str::from_utf8(&text.bytes).unwrap()).unwrap().now;
        for part in state.part.iter_mut().filter(|part| parts.contains(&part.name)) {
            part.pieces = 0;
        }
        let number = past.sent.len() as u32 + 1;
        let date = "2026-03-31".to_owned();
        past.sent.push(Sent { number, to: to.into(), date, state, ..Sent::default() });
        Ok(format!("no. {number}, without {packages:?}"))
    }

    fn in_workshop(&self, work: &mut dyn FnMut(&Workshop)) -> Result<(), String> {
        let file = |name: &str| Some((name.to_owned(), self.file(name).ok()??));
        let shelf = Shelf { file: &file, ..Shelf::shipped(&self.tables) };
        work(&Workshop::new(shelf));
        Ok(())
    }

    fn write(&self, files: &[NamedFile]) -> Result<String, String> {
        let record = files.iter().find(|file| file.name == FILE).unwrap();
        let made = Made::read(std::str::from_utf8(&record.bytes).unwrap()).unwrap();
        self.on.past.lock().unwrap().made = Some(made);
        *self.on.files.lock().unwrap() = files.to_vec();
        Ok("out/cart".into())
    }
}

/// The messages to a page.
#[derive(Default)]
pub(super) struct Heard(Arc<Mutex<Vec<Value>>>);

impl Heard {
    pub(super) fn told(&self) -> Vec<Value> {
        // The last message is on its way.
        std::thread::sleep(std::time::Duration::from_millis(50));
        self.0.lock().unwrap().clone()
    }
}

/// An open job, and its client.
pub(super) struct Asker {
    pub(super) on: Arc<OnDesk>,
    pub(super) opened: Arc<Opened>,
    pub(super) router: Router,
    runtime: tokio::runtime::Runtime,
}

impl Asker {
    pub(super) fn new(text: &str, read_only: bool) -> Self {
        Self::in_shop(text, "", read_only)
    }

    /// The same with a shop file beside the job.
    pub(super) fn in_shop(text: &str, shop: &str, read_only: bool) -> Self {
        let on = Arc::new(OnDesk::default());
        shop.clone_into(&mut on.shop.lock().unwrap());
        text.clone_into(&mut on.text.lock().unwrap());
        let memory = Memory { on: Arc::clone(&on), tables: Tables::shipped() };
        let opened = Opened::open(Box::new(memory), read_only).unwrap();
        let router = serve::router(Arc::clone(&opened), Key::new(KEY, PORT));
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
        Self { on, opened, router, runtime }
    }

    /// The server's answer to a request as it is.
    pub(super) fn raw(&self, request: Request<Body>) -> (Response<()>, Vec<u8>) {
        self.runtime.block_on(async {
            let answer = self.router.clone().oneshot(request).await.unwrap();
            let (head, body) = answer.into_parts();
            let bytes = to_bytes(body, 64 << 20).await.unwrap();
            (Response::from_parts(head, ()), bytes.to_vec())
        })
    }

    fn request(method: &str, path: &str) -> axum::http::request::Builder {
        let cookie = format!("platewright-{PORT}={KEY}");
        let origin = format!("http://{HOST}");
        let request = Request::builder().method(method).uri(path).header("host", HOST);
        request.header("cookie", cookie).header("origin", origin)
    }

    pub(super) fn get(&self, path: &str) -> Value {
        let (head, body) = self.raw(Self::request("GET", path).body(Body::empty()).unwrap());
        assert_eq!(head.status(), StatusCode::OK, "{path}: {}", String::from_utf8_lossy(&body));
        serde_json::from_slice(&body).unwrap()
    }

    pub(super) fn post(&self, path: &str, body: &Value) -> (u16, Value) {
        let request = Self::request("POST", path).header("content-type", "application/json");
        let (head, body) = self.raw(request.body(Body::from(body.to_string())).unwrap());
        let text = String::from_utf8_lossy(&body).into_owned();
        (head.status().as_u16(), serde_json::from_slice(&body).unwrap_or(json!(text)))
    }

    /// All messages to a page from now on.
    pub(super) fn heard(&self) -> Heard {
        let heard = Heard::default();
        let request = Self::request("GET", "/events").body(Body::empty()).unwrap();
        let mut body =
            self.runtime.block_on(self.router.clone().oneshot(request)).unwrap().into_body();
        let told = Arc::clone(&heard.0);
        self.runtime.spawn(async move {
            while let Some(Ok(frame)) = poll_fn(|c| Pin::new(&mut body).poll_frame(c)).await {
                let text = frame.data_ref().map(|data| String::from_utf8_lossy(data).into_owned());
                let lines = text.unwrap_or_default();
                let events = lines.lines().filter_map(|line| line.strip_prefix("data: "));
                told.lock()
                    .unwrap()
                    .extend(events.map(|e| serde_json::from_str::<Value>(e).unwrap()));
            }
        });
        heard
    }

    /// An edit that is made.
    pub(super) fn edit(&self, edit: &Value) -> Value {
        let (code, answer) = self.post("/edit", &json!({ "edit": edit }));
        assert_eq!(code, 200, "{edit}: {answer}");
        answer
    }

    /// An edit that is not made, with its code and why.
    pub(super) fn refused(&self, edit: &Value) -> (u16, String) {
        let before = self.text();
        let (code, answer) = self.post("/edit", &json!({ "edit": edit }));
        assert_ne!(code, 200, "{edit}: {answer}");
        assert_eq!(self.text(), before, "{edit} was refused and changed the file");
        (code, answer["why"].as_str().unwrap_or_default().to_owned())
    }

    /// The first layout of the present job, once it is worked out.
    pub(super) fn sheets(&self) -> Value {
        for _ in 0..2400 {
            let sheets = self.get("/sheets");
            if sheets["how"] != "coming" {
                return sheets;
            }
            std::thread::sleep(Duration::from_millis(25));
        }
        panic!("no layout comes");
    }

    pub(super) fn text(&self) -> String {
        self.on.text.lock().unwrap().clone()
    }

    /// The file changed outside.
    pub(super) fn outside(&self, from: &str, to: &str) {
        let mut text = self.on.text.lock().unwrap();
        assert!(text.contains(from), "{from}");
        *text = text.replacen(from, to, 1);
    }
}

/// A field set.
pub(super) fn set(part: &str, key: &str, was: Option<&str>, value: Option<&str>) -> Value {
    json!({ "do": "set", "part": part, "key": key, "was": was, "value": value })
}
