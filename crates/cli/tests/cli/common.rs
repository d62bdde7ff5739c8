//! Running the program as a script would.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Address space a reader of others' files gets, KiB: 300 MB. Its memory cannot be more than that.
#[cfg(target_os = "linux")]
const MOST_KIB: usize = 300_000_000 / 1024;

/// Runs `lengthwise` with these arguments and this text on standard input.
pub(crate) fn lengthwise(arguments: &[&str], input: &[u8]) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_lengthwise"));
    program.args(arguments);
    fed(program, input)
}

/// Has a file read as the studio does, with less memory.
pub(crate) fn in_little_memory(command: &str, input: &[u8]) -> Output {
    #[cfg(target_os = "linux")]
    {
        let mut shell = Command::new("/bin/sh");
        let script = format!("ulimit -v {MOST_KIB} && exec \"$0\" {command}");
        shell.args(["-c", &script, env!("CARGO_BIN_EXE_lengthwise")]);
        fed(shell, input)
    }
    #[cfg(not(target_os = "linux"))]
    lengthwise(&[command], input)
}

fn fed(mut program: Command, input: &[u8]) -> Output {
    let mut child = program
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program was built for this test");
    let mut stdin = child.stdin.take().expect("standard input is piped");
    // a program that refuses early may close its end before everything is written
    let written = stdin.write_all(input);
    drop(stdin);
    let output = child.wait_with_output().expect("the program ends");
    assert!(written.is_ok() || !output.status.success(), "input was not read by a run that succeeded");
    output
}

/// Returns standard output as text.
pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("standard output is UTF-8")
}

/// Returns standard error as text.
pub(crate) fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("standard error is UTF-8")
}

/// Returns the path of an example card.
pub(crate) fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name)
}

/// Asks one question and returns the answer.
pub(crate) fn calc(what: &str, question: &serde_json::Value) -> serde_json::Value {
    let output = lengthwise(&["calc", what], question.to_string().as_bytes());
    assert!(output.status.success(), "{what} {question}: {}", out(&output));
    serde_json::from_str(&out(&output)).unwrap()
}
