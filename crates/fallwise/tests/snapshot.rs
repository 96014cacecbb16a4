//! What `check --json` prints for the demo today, numbers to a hundredth. It warns, it does not decide: look at each
//! change, then take it with `INSTA_UPDATE=always cargo test -p fallwise --test snapshot`.

use std::process::Command;

use serde_json::Value;

/// Numbers to a hundredth, so that the last bits of a sum do not show.
fn rounded(value: Value) -> Value {
    match value {
        Value::Number(number) => number
            .as_f64()
            .filter(|_| number.is_f64())
            // Adding 0 makes of -0 what is meant.
            .map_or(Value::Number(number), |n| {
                ((n * 100.0).round() / 100.0 + 0.0).into()
            }),
        Value::Array(items) => items.into_iter().map(rounded).collect(),
        Value::Object(fields) => fields
            .into_iter()
            .map(|(name, field)| (name, rounded(field)))
            .collect(),
        Value::Null | Value::Bool(_) | Value::String(_) => value,
    }
}

#[test]
fn the_demo_checked_as_json() {
    let scenes = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes");
    let output = Command::new(env!("CARGO_BIN_EXE_fallwise"))
        .args(["check", "demo.ron", "--json"])
        .current_dir(scenes)
        .output()
        .expect("the program starts");
    let report: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let pretty = serde_json::to_string_pretty(&rounded(report)).expect("JSON");
    insta::assert_snapshot!(pretty);
}
