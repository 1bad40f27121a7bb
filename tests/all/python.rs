//! Runs the outside checks, which are Python.

use serde_json::json;
use std::io::BufRead;
use std::io::BufReader;
use std::io::Write;
use std::path::Path;
use std::path::PathBuf;
use std::process::Child;
use std::process::ChildStdin;
use std::process::ChildStdout;
use std::process::Command;
use std::process::Stdio;
use std::sync::Mutex;

/// Interpreters that wait for the next check. To start one and import its readers takes
/// longer than most checks. They end with the tests, when their input does.
static IDLE: Mutex<Vec<Interpreter>> = Mutex::new(Vec::new());

/// One that runs `tests/outside/serve.py`.
struct Interpreter {
    child: Child,
    orders: ChildStdin,
    answers: BufReader<ChildStdout>,
}

/// The interpreter with the foreign readers.
///
/// # Panics
/// When `tests/outside/setup.sh` has not been run.
pub(crate) fn python() -> PathBuf {
    let python = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/bin/python");
    assert!(
        python.exists(),
        "the foreign readers are missing: run tests/outside/setup.sh once, it makes .venv"
    );
    python
}

impl Interpreter {
    fn start() -> Self {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/serve.py");
        let mut command = Command::new(python());
        command.arg(script).stdin(Stdio::piped()).stdout(Stdio::piped());
        let mut child = command.spawn().expect("python starts");
        let orders = child.stdin.take().expect("its input is a pipe");
        let answers = BufReader::new(child.stdout.take().expect("its output is a pipe"));
        Self { child, orders, answers }
    }

    /// Whether a script accepts its arguments, and all it said.
    fn run(&mut self, script: &str, arguments: &[&str]) -> (bool, String) {
        let order = json!([&[script], arguments].concat());
        writeln!(self.orders, "{order}").expect("the interpreter waits");
        let mut answer = String::new();
        self.answers.read_line(&mut answer).expect("it answers in one line");
        match serde_json::from_str::<(i32, String)>(&answer) {
            Ok((code, said)) => (code == 0, said),
            Err(error) => {
                // Where it still runs, it is of no use any more.
                let _ = self.child.kill();
                let end = self.child.wait();
                panic!("{script} ended its interpreter, {end:?}: {error}")
            }
        }
    }
}

/// The output of a script of `tests/outside`, and whether it succeeds.
pub(crate) fn run(script: &str, arguments: &[&str]) -> (bool, String) {
    let idle = IDLE.lock().expect("nobody panics while it is held").pop();
    let mut interpreter = idle.unwrap_or_else(Interpreter::start);
    let said = interpreter.run(script, arguments);
    IDLE.lock().expect("nobody panics while it is held").push(interpreter);
    said
}

/// The output of a check of a folder, and whether it accepts it.
pub(crate) fn outside(script: &str, folder: &Path) -> (bool, String) {
    run(script, &[folder.to_str().expect("temporary folders have plain names")])
}

/// Lets a check judge a folder it must accept; gives how many facts it checked.
///
/// # Panics
/// With all it said, when it does not accept the folder.
pub(crate) fn accepted(script: &str, folder: &Path) -> usize {
    let (accepted, said) = outside(script, folder);
    let last = said.lines().last().unwrap_or_default();
    let passed = last.strip_suffix(" passed, 0 failed").and_then(|n| n.parse().ok());
    match passed {
        Some(passed) if accepted => passed,
        _ => panic!("{script} refuses the folder: {said}"),
    }
}
