//! Folding step by step: the tools of each step, as the drawings have them.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use axum::body::Body;
use axum::http::Request;
use axum::http::StatusCode;
use serde_json::Value;

const SHOP: &str = include_str!("../../../parts/shop.toml");

fn in_shop() -> Asker {
    let job = JOB.replacen("# A cart.\n", "# A cart.\nshop = \"shop.toml\"\n", 1);
    Asker::in_shop(&job, SHOP, false)
}

fn section(asker: &Asker, step: usize) -> Value {
    asker.get(&format!("/section?name=box&step={step}"))
}

/// How many areas of a class a picture has.
fn areas(section: &Value, class: &str) -> usize {
    let picture = section["picture"].as_str().unwrap();
    picture.matches(&format!("class=\"{class}\"")).count()
}

#[test]
fn each_step_shows_its_tools_and_names_them() {
    let asker = in_shop();
    let part = asker.get("/part?name=box");
    let steps = part["drawn"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 4);
    for (i, step) in steps.iter().enumerate() {
        let section = section(&asker, i + 1);
        let tool = section["tool"].as_str().unwrap();
        let lines = step["lines"].to_string().to_lowercase();
        let brake = tool.split(", ").next().unwrap().to_lowercase();
        assert!(lines.contains(&brake), "{tool} is not what is said: {lines}");
        // At least punch and die, or beam and bed; and the part, clamped and moving.
        assert!(areas(&section, "metal") >= 2, "{section}");
        assert!(areas(&section, "ink-black") + areas(&section, "ink-accent") >= 2, "{section}");
        let title = section["picture"].as_str().unwrap();
        assert!(title.contains(&format!("Bend {}", i + 1)) && title.contains(tool), "{title}");
    }
    // Every die and punch of the shop is one of the shop file.
    let tools: Vec<String> =
        (1..=4).map(|step| section(&asker, step)["tool"].to_string()).collect();
    for tool in tools.iter().filter(|tool| tool.contains(", V ")) {
        assert!(tool.contains("punch"), "{tool}");
    }
}

#[test]
fn without_a_shop_the_bend_is_seen_and_its_tool_is_not_judged() {
    let asker = Asker::new(JOB, false);
    let first = section(&asker, 1);
    assert_eq!(first["tool"], "not known: the job names no shop file");
    assert_eq!(areas(&first, "metal"), 0, "{first}");
    assert!(areas(&first, "ink-accent") >= 1, "{first}");
}

#[test]
fn a_step_that_is_not_there_has_no_section() {
    let asker = Asker::new(JOB, false);
    for of in ["name=box&step=0", "name=box&step=5", "name=ear&step=1", "name=none&step=1"] {
        let cookie = format!("platewright-{}={}", crate::page::desk::PORT, crate::page::desk::KEY);
        let request = Request::builder()
            .uri(format!("/section?{of}"))
            .header("host", crate::page::desk::HOST)
            .header("cookie", cookie)
            .body(Body::empty())
            .unwrap();
        assert_eq!(asker.raw(request).0.status(), StatusCode::NOT_FOUND, "{of}");
    }
}
