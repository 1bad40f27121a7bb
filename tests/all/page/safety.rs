//! Access, and permitted requests.

use crate::page::desk::Asker;
use crate::page::desk::HOST;
use crate::page::desk::JOB;
use crate::page::desk::KEY;
use crate::page::desk::PORT;
use crate::page::desk::set;
use axum::body::Body;
use axum::http::Request;
use serde_json::json;

/// Code and body of a request with these headers.
fn asked(asker: &Asker, method: &str, path: &str, headers: &[(&str, &str)]) -> (u16, String) {
    let mut request = Request::builder().method(method).uri(path);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let body = if method == "POST" { Body::from("{\"back\":true}") } else { Body::empty() };
    let (head, body) = asker.raw(request.body(body).unwrap());
    (head.status().as_u16(), String::from_utf8_lossy(&body).into_owned())
}

#[test]
fn only_who_brings_the_key_comes_in_and_gets_it_as_a_cookie() {
    let asker = Asker::new(JOB, false);
    for path in [
        "/",
        "/job",
        "/page.mjs",
        "/?key=",
        "/?key=0123",
        "/job?key=0123456789abcdef0123456789abcdef",
    ] {
        let (code, body) = asked(&asker, "GET", path, &[("host", HOST)]);
        assert_eq!(code, 401, "{path}: {body}");
        assert!(!body.contains("ear"), "{path}: {body}");
    }
    let request = Request::get(format!("/?key={KEY}")).header("host", HOST);
    let (head, _) = asker.raw(request.body(Body::empty()).unwrap());
    assert_eq!(head.status(), 303);
    assert_eq!(head.headers()["location"], "/", "the key does not stay in the address");
    let cookie = head.headers()["set-cookie"].to_str().unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let pair = format!("other=1; {}", cookie.split(';').next().unwrap());
    let (code, body) = asked(&asker, "GET", "/", &[("host", HOST), ("cookie", &pair)]);
    assert_eq!(code, 200);
    assert!(body.starts_with("<!doctype html>"), "{body}");
    let wrong = pair.replace("0123", "0124");
    assert_eq!(asked(&asker, "GET", "/", &[("host", HOST), ("cookie", &wrong)]).0, 401);
}

#[test]
fn a_page_from_elsewhere_may_neither_read_nor_write() {
    let asker = Asker::new(JOB, false);
    let cookie = format!("platewright-{PORT}={KEY}");
    let own = format!("http://{HOST}");
    let json = ("content-type", "application/json");
    let with = |host: &str, origin: Option<&str>, method: &str, path: &str| {
        let mut headers = vec![("host", host), ("cookie", cookie.as_str()), json];
        headers.extend(origin.map(|origin| ("origin", origin)));
        asked(&asker, method, path, &headers).0
    };
    // A name that leads to this machine by way of another's server.
    for host in ["evil.example:4711", "127.0.0.1", "127.0.0.1:80", "localhost.evil.example:4711"] {
        assert_eq!(with(host, None, "GET", "/job"), 403, "{host}");
    }
    for origin in ["http://evil.example", "http://127.0.0.1:80", "null", "https://127.0.0.1:4711"] {
        assert_eq!(with(HOST, Some(origin), "GET", "/job"), 403, "{origin}");
        assert_eq!(with(HOST, Some(origin), "POST", "/step"), 403, "{origin}");
    }
    assert_eq!(with(HOST, None, "POST", "/step"), 403, "a browser names where it comes from");
    assert_eq!(with(HOST, Some(&own), "POST", "/step"), 422, "there is nothing to undo");
    assert_eq!(with("localhost:4711", None, "GET", "/job"), 200);
    // A form of another page can send text without being asked, but no JSON.
    let headers =
        [("host", HOST), ("cookie", &*cookie), ("origin", &*own), ("content-type", "text/plain")];
    assert_eq!(asked(&asker, "POST", "/step", &headers).0, 415);
}

#[test]
fn no_answer_lets_a_browser_run_or_fetch_what_is_not_ours() {
    let asker = Asker::new(JOB, false);
    let cookie = format!("platewright-{PORT}={KEY}");
    for path in [
        "/",
        "/page.css",
        "/page.mjs",
        "/job",
        "/nothing",
        "/../Cargo.toml",
        "/%2e%2e/cart.toml",
        "/cart.toml",
    ] {
        let request = Request::get(path).header("host", HOST).header("cookie", &cookie);
        let (head, body) = asker.raw(request.body(Body::empty()).unwrap());
        let there = ["/", "/page.css", "/page.mjs", "/job"].contains(&path);
        assert_eq!(head.status().as_u16(), if there { 200 } else { 404 }, "{path}");
        let policy = head.headers()["content-security-policy"].to_str().unwrap();
        assert!(policy.contains("default-src 'none'") && policy.contains("script-src 'self'"));
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(head.headers()["x-content-type-options"], "nosniff");
        assert_eq!(head.headers()["cache-control"], "no-store");
        let body = String::from_utf8_lossy(&body);
        assert!(!body.contains("[dependencies]") && !body.contains("# A cart."), "{path}");
    }
    let (_, page) = asked(&asker, "GET", "/", &[("host", HOST), ("cookie", &cookie)]);
    assert_eq!(page.matches("<script").count(), 1);
    assert!(page.contains("<script type=\"module\" src=\"/page.mjs\"></script>"), "{page}");
    assert!(!page.contains("style=") && !page.contains("onclick"), "{page}");
}

#[test]
fn a_request_has_an_end_and_a_page_that_only_reads_writes_nothing() {
    let asker = Asker::new(JOB, false);
    let (code, _) = asker.post(
        "/edit",
        &json!({ "edit": { "do": "text", "text": "x".repeat(6 << 20), "was": "" } }),
    );
    assert_eq!(code, 413);
    let (code, _) = asker.post("/edit", &json!({ "edit": { "do": "delete-everything" } }));
    assert_eq!(code, 422);
    assert_eq!(asker.text(), JOB);
    let reader = Asker::new(JOB, true);
    assert_eq!(reader.get("/job")["read_only"], true);
    let (code, why) = reader.refused(&set("ear", "reach", Some("30 mm"), Some("34 mm")));
    assert_eq!((code, why.as_str()), (422, "this page is read-only: nothing was written"));
    let (code, _) = reader.post("/make", &json!({}));
    assert_eq!(code, 422);
    assert!(reader.on.files.lock().unwrap().is_empty());
    // The result may be viewed.
    let tried = json!({ "edit": set("ear", "reach", Some("30 mm"), Some("34 mm")) });
    assert_eq!(reader.post("/try", &tried).0, 200);
}

/// A full disk is reported; the job stays as it is in the file, until there is room again.
#[test]
fn a_full_disk_is_said_and_changes_nothing() {
    let asker = Asker::new(JOB, false);
    let edits = [
        set("ear", "reach", Some("30 mm"), Some("34 mm")),
        json!({ "do": "text", "text": format!("{JOB}# more\n"), "was": JOB }),
        json!({ "do": "new", "recipe": "tab" }),
    ];
    asker.on.full.store(true, std::sync::atomic::Ordering::Relaxed);
    let before = asker.get("/job");
    for edit in &edits {
        let (code, why) = asker.refused(edit);
        assert!(code == 422 && why.contains("no space left on device"), "{code}: {why}");
    }
    assert_eq!(asker.get("/job"), before, "what is seen is what is in the file");
    asker.on.full.store(false, std::sync::atomic::Ordering::Relaxed);
    asker.edit(&edits[0]);
    assert!(asker.text().contains("34 mm"));
}
