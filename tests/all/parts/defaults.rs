//! scratch
use platewright::diag::About;
use platewright::job::Shelf;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use std::collections::BTreeMap;

#[test]
fn scratch() {
    let text = std::fs::read_to_string("/tmp/wt/sweep/j.toml").unwrap();
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let mut out = String::new();
    let (head, parts) = text.split_at(text.find("[[part]]").unwrap());
    let parts: Vec<&str> = parts.split("[[part]]").filter(|p| !p.trim().is_empty()).collect();
    for chunk in parts.chunks(400) {
        let mut job = head.to_owned();
        for p in chunk {
            job += "[[part]]";
            job += p;
        }
        let asked = match workshop.read("j", "j.toml", &job) {
            Ok(a) => a,
            Err(s) => {
                out += &format!("READ {}\n", s);
                continue;
            }
        };
        let findings = match asked.solve() {
            Ok(r) => r.findings,
            Err(s) => s.findings,
        };
        for f in findings {
            let mut names = BTreeMap::new();
            for a in &f.about {
                if let About::Part { name, .. } = a {
                    names.insert(name.clone(), ());
                }
            }
            if names.is_empty() {
                names.insert("?".to_owned(), ());
            }
            for n in names.keys() {
                out += &serde_json::json!([
                    n,
                    f.weight.to_string(),
                    f.code,
                    f.headline,
                    f.help,
                    f.repeats
                ])
                .to_string();
                out.push('\n');
            }
        }
    }
    std::fs::write("/tmp/wt/sweep/f.jsonl", out).unwrap();
}
