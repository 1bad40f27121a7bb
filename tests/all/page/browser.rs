//! The page in a browser we did not write.

use crate::page::desk::JOB;
use crate::python;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// Whether the page of a job is as it should be, with a message.
fn looked_at() -> (bool, String) {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("cart.toml"), JOB).unwrap();
    let program = snapbox::cmd::cargo_bin!("platewright");
    let arguments = [program.to_str().unwrap(), folder.path().to_str().unwrap()];
    python::run("check_serve.py", &arguments)
}

/// With much else to do a machine may take longer for a step than is waited for: then once more, from
/// the start.
#[test]
fn a_browser_sees_changes_nests_and_makes_a_job() {
    let (accepted, said) = match looked_at() {
        (false, said) if said.contains("TimeoutError") => looked_at(),
        first => first,
    };
    assert!(accepted, "{said}");
    let counted = said.lines().find_map(|line| line.split_once(" facts checked"));
    let passed: usize = counted.unwrap().0.parse().unwrap();
    assert!(passed >= 90, "only {passed} facts of the page were checked: {said}");
}

/// Pictures of the README, which are made by `PLATEWRIGHT_BLESS=1 cargo test --test all page::browser`.
#[test]
fn the_pictures_of_the_readme_show_the_page_of_the_demo() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = TempDir::new().unwrap();
    let parts = folder.path().join("parts");
    fs::create_dir_all(parts.join("jobs")).unwrap();
    for name in ["shop.toml", "jobs/vineyard-cart.toml", "jobs/hoses.csv"] {
        fs::copy(root.join("parts").join(name), parts.join(name)).unwrap();
    }
    let pictures =
        ["page-desk.png", "page-phone.png"].map(|name| root.join("parts/pictures").join(name));
    let program = snapbox::cmd::cargo_bin!("platewright");
    let mut arguments = vec![program.to_str().unwrap(), folder.path().to_str().unwrap()];
    arguments.extend(pictures.iter().map(|path| path.to_str().unwrap()));
    if std::env::var_os("PLATEWRIGHT_BLESS").is_none() {
        arguments.insert(0, "--same");
    }
    let (accepted, said) = python::run("draw_page.py", &arguments);
    assert!(accepted, "{said}");
}
