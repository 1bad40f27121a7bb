//! The program killed while it saves: the file has the old text or the new one.

use crate::page::desk::JOB;
use crate::page::desk::set;
use serde_json::json;
use std::fs;
use std::io::BufRead;
use std::io::BufReader;
use std::io::Read;
use std::io::Write;
use std::net::TcpStream;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;
use tempfile::TempDir;

/// A page that is served, and its address.
struct Served {
    child: Child,
    port: u16,
    key: String,
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn served(folder: &Path) -> Served {
    served_in(folder, &[])
}

/// The same where the environment has these variables.
fn served_in(folder: &Path, variables: &[(&str, &str)]) -> Served {
    served_with(folder, &["cart.toml"], variables)
}

fn served_with(folder: &Path, arguments: &[&str], variables: &[(&str, &str)]) -> Served {
    let mut program = Command::new(snapbox::cmd::cargo_bin!("platewright"));
    program.arg("page").args(arguments).current_dir(folder).envs(variables.iter().copied());
    let mut child = program.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let (port, key) =
        line.trim().strip_prefix("http://127.0.0.1:").unwrap().split_once("/?key=").unwrap();
    let (port, key) = (port.parse().unwrap(), key.to_owned());
    assert!(key.len() >= 32, "a key that nobody guesses: {key}");
    Served { child, port, key }
}

/// The code of the answer; `None` if the server ended meanwhile.
fn post(served: &Served, path: &str, body: &str) -> Option<u16> {
    answer(served, path, body)?.split(' ').nth(1)?.parse().ok()
}

/// The answer to what is posted, with its head; nothing where the server ended meanwhile.
fn answer(served: &Served, path: &str, body: &str) -> Option<String> {
    let (port, key) = (served.port, &served.key);
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    let head = format!(
        "POST {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\norigin: http://127.0.0.1:{port}\r\n\
         cookie: platewright-{port}={key}\r\ncontent-type: application/json\r\n\
         content-length: {}\r\nconnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    Some(answer)
}

#[cfg(unix)]
#[test]
#[expect(clippy::disallowed_methods, reason = "more kills are asked for by a variable")]
fn a_kill_leaves_the_old_or_the_new_text() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("cart.toml");
    let text = |n: usize| JOB.replacen("30 mm", &format!("{} mm", 30 + n), 1);
    let rounds = std::env::var("PLATEWRIGHT_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(4);
    for round in 0..rounds {
        fs::write(&path, text(0)).unwrap();
        let mut served = served(folder.path());
        let mut taken = 0;
        std::thread::scope(|scope| {
            let edits = scope.spawn(|| {
                let mut n = 0;
                loop {
                    let (was, value) = (format!("{} mm", 30 + n), format!("{} mm", 31 + n));
                    let edit = set("ear", "reach", Some(&was), Some(&value));
                    let body = json!({ "edit": edit }).to_string();
                    match post(&served, "/edit", &body) {
                        Some(200) => n += 1,
                        Some(code) => panic!("{code}"),
                        None => return n,
                    }
                }
            });
            std::thread::sleep(Duration::from_millis(350 + 131 * round % 977));
            let id = served.child.id().to_string();
            assert!(Command::new("kill").args(["-KILL", &id]).status().unwrap().success());
            taken = edits.join().unwrap();
        });
        served.child.wait().unwrap();
        let there = fs::read_to_string(&path).unwrap();
        assert!(there == text(taken) || there == text(taken + 1), "{taken} taken, but\n{there}");
    }
}

#[test]
fn the_page_is_served_on_this_machine_alone() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("cart.toml"), JOB).unwrap();
    let served = served(folder.path());
    // Another address of this machine is no way in.
    let other = std::net::UdpSocket::bind("0.0.0.0:0").and_then(|socket| {
        socket.connect("192.0.2.1:9")?;
        socket.local_addr()
    });
    if let Ok(address) = other.map(|address| address.ip()).map_err(|_| ()) {
        let is_loopback = address.is_loopback() || address.is_unspecified();
        let reached = TcpStream::connect_timeout(
            &std::net::SocketAddr::new(address, served.port),
            Duration::from_secs(2),
        );
        assert!(is_loopback || reached.is_err(), "{address} is served");
    }
    assert_eq!(post(&served, "/stop", "{}"), Some(200));
}

/// What is answered, written into the job and made does not depend on the language or the time zone.
#[test]
fn another_language_and_time_zone_change_nothing() {
    let come_to = |variables: &[(&str, &str)]| {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("cart.toml"), JOB).unwrap();
        let served = served_in(folder.path(), variables);
        let edit = json!({ "edit": set("ear", "reach", Some("30 mm"), Some("31.5")) });
        let edited = answer(&served, "/edit", &edit.to_string()).unwrap();
        let body = edited.split("\r\n\r\n").nth(1).unwrap().to_owned();
        assert!(edited.starts_with("HTTP/1.1 200"), "{edited}");
        assert_eq!(post(&served, "/make", "{}"), Some(200));
        let read = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
        [body, read("cart.toml"), read("out/cart/parts.csv"), read("out/cart/purchases.csv")]
    };
    let plain = come_to(&[("TZ", "UTC"), ("LC_ALL", "C"), ("LANG", "C")]);
    let german = [
        ("TZ", "Pacific/Kiritimati"),
        ("LC_ALL", "de_DE.UTF-8"),
        ("LANG", "de_DE.UTF-8"),
        ("LC_NUMERIC", "de_DE.UTF-8"),
    ];
    assert_eq!(come_to(&german), plain);
    assert!(plain[1].contains("31.5 mm"), "{}", plain[1]);
}

/// In an empty folder, or of a file that does not exist, the page begins a job: nothing is written before the
/// first change.
#[test]
fn a_job_is_begun_on_the_page() {
    for (arguments, file) in
        [(&[][..], "job.toml"), (&["."][..], "job.toml"), (&["cart.toml"][..], "cart.toml")]
    {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join(file);
        let served = served_with(folder.path(), arguments, &[]);
        assert!(!path.exists(), "nothing is written yet");
        let edit = json!({ "edit": { "do": "new", "recipe": "tab" } });
        let edited = answer(&served, "/edit", &edit.to_string()).unwrap();
        assert!(edited.starts_with("HTTP/1.1 200"), "{edited}");
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains("[[sheet]]") && text.contains("recipe   = \"tab\""), "{text}");
        assert_eq!(post(&served, "/make", "{}"), Some(200), "it is a whole job");
        drop(served);
        // The only job of a folder is the one that is opened.
        let again = served_with(folder.path(), &[], &[]);
        let edit = json!({ "edit": set("tab", "quantity", Some("1"), Some("3")) });
        assert_eq!(post(&again, "/edit", &edit.to_string()), Some(200));
        assert!(fs::read_to_string(&path).unwrap().contains("quantity = 3"));
    }
}

/// A job that was begun on the page and whose file is removed since does not begin anew: no edit is written over
/// what may come back.
#[test]
fn a_job_whose_file_is_removed_is_not_begun_anew() {
    let folder = TempDir::new().unwrap();
    let (path, aside) = (folder.path().join("cart.toml"), folder.path().join("aside.txt"));
    let served = served(folder.path());
    let begin = json!({ "edit": { "do": "new", "recipe": "tab" } }).to_string();
    assert_eq!(post(&served, "/edit", &begin), Some(200));
    fs::rename(&path, &aside).unwrap();
    let edit = json!({ "edit": set("tab", "quantity", Some("1"), Some("3")) }).to_string();
    let said = answer(&served, "/edit", &edit).unwrap();
    assert!(said.starts_with("HTTP/1.1 422") && said.contains("has been removed"), "{said}");
    assert!(!path.exists());
    fs::rename(&aside, &path).unwrap();
    assert_eq!(post(&served, "/edit", &edit), Some(200));
    assert!(fs::read_to_string(&path).unwrap().contains("quantity = 3"));
}
